// Package stock lays what the plan needs onto sheets of foam as they are sold, and says
// what to buy.
//
// Sizes are in mm, and two that differ by less than half a hundredth are one.
package stock

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"traywright/geometry/pack"
)

// Blank is foam to have for a sheet of the plan.
type Blank struct {
	Foam        string
	ThicknessMM float64
	SizeMM      [2]float64
	Count       int
	Sold        [][2]float64 // sizes that this foam is sold in; none where nobody has said
}

// Purchase is a number of sheets of one foam, thickness and size.
type Purchase struct {
	Foam        string
	ThicknessMM float64
	SizeMM      [2]float64
	Count       int
	Blank       bool     // no size that it is sold in holds it, or none is known: buy at least this
	Price       float64  // of one; 0 where nobody has said
	Called      []string // names of the sheets, where layers are laid on them
}

// steps of the search: some hundredths of a second for each foam and thickness.
const steps = 200_000

// mostBlanks of one foam and thickness are laid out: of more, a part is, and bought as often
// as it takes.
const mostBlanks = 2000

// perMM is how many of the whole numbers that sheets are laid out in are a mm; an eighth of an inch is whole
// in them as well.
const perMM = 200

// Buy is the least foam, by area, that the search finds to part the blanks from with a
// knife, which takes nothing: in the order of the blanks, larger sheets first. And which
// share of it is in no blank. Blanks may be turned. An error is one of numbers that no foam
// has.
func Buy(ctx context.Context, blanks []Blank) (list []Purchase, waste float64, err error) {
	type of struct {
		foam      string
		thickness float64
	}
	groups := map[of][]Blank{}
	var order []of
	bought, used := 0.0, 0.0
	for _, b := range blanks {
		key := of{b.Foam, b.ThicknessMM}
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], b)
		used += float64(b.Count) * b.ThicknessMM * b.SizeMM[0] * b.SizeMM[1]
	}
	for _, key := range order {
		some, err := buy(ctx, groups[key])
		if err != nil {
			return nil, 0, fmt.Errorf("%s, %.4g mm: %w", key.foam, key.thickness, err)
		}
		for _, p := range some {
			bought += float64(p.Count) * p.ThicknessMM * p.SizeMM[0] * p.SizeMM[1]
		}
		list = append(list, some...)
	}
	if bought > 0 {
		waste = max(0, 1-used/bought)
	}
	return list, waste, nil
}

// buy is that of one foam and thickness.
func buy(ctx context.Context, blanks []Blank) (list []Purchase, err error) {
	var items []pack.Item
	many := 0
	for _, b := range blanks {
		many += b.Count
	}
	times := (many + mostBlanks - 1) / mostBlanks
	for _, b := range blanks {
		item := pack.Item{Length: whole(b.SizeMM[0]), Width: whole(b.SizeMM[1])}
		if !heldBy(b) {
			list = append(list, Purchase{Foam: b.Foam, ThicknessMM: b.ThicknessMM, SizeMM: b.SizeMM, Count: b.Count, Blank: true})
			continue
		}
		for range (b.Count + times - 1) / times {
			items = append(items, item)
		}
	}
	first := blanks[0]
	sold := slices.Clone(first.Sold)
	slices.SortFunc(sold, func(a, b [2]float64) int { return cmp.Compare(b[0]*b[1], a[0]*a[1]) })
	sheets := make([]pack.Sheet, len(sold))
	for i, s := range sold {
		sheets[i] = pack.Sheet{Length: whole(s[0]), Width: whole(s[1]), Cost: int64(math.Round(s[0] * s[1])), Count: len(items)}
	}
	if len(items) == 0 {
		return list, nil
	}
	laid, err := pack.Sheets(ctx, items, sheets, pack.Options{Steps: steps})
	if err != nil {
		return nil, err
	}
	counts := make([]int, len(sold))
	for _, kind := range laid.Used {
		counts[kind]++
	}
	for kind, n := range counts {
		if n > 0 {
			list = append(list, Purchase{Foam: first.Foam, ThicknessMM: first.ThicknessMM, SizeMM: sold[kind], Count: n * times})
		}
	}
	return list, nil
}

// whole is a length in the unit of the layout.
func whole(mm float64) int64 { return int64(math.Round(mm * perMM)) }

// heldBy reports whether a blank lies on a size that its foam is sold in.
func heldBy(b Blank) bool {
	l, w := whole(b.SizeMM[0]), whole(b.SizeMM[1])
	return slices.ContainsFunc(b.Sold, func(s [2]float64) bool {
		return l <= whole(s[0]) && w <= whole(s[1]) || w <= whole(s[0]) && l <= whole(s[1])
	})
}
