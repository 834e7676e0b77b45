package plan

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// stockSheet is a sheet as it can be bought.
type stockSheet struct {
	foam      string
	thickness units.Length
}

// mostFillers is how many sheets may fill a case together.
const mostFillers = 3

// leastScrap is the thinnest that anybody lays in. Judged.
const leastScrap units.Length = 1_000_000 // nm

// toFill says what to do with the room: what pieces of the top tray stand out into stays free.
func (m *maker) toFill(c *job.Case, stack []*board, room units.Length) string {
	out := outOf(stack[0])
	if out <= m.slackMM() {
		return m.stuffing(c, stack, room, pressed(stack))
	}
	free, _ := units.FromMM(out)
	text := "leave " + m.length(free) + " of it free, for pieces of " + stack[0].ID + " stand out into it"
	if room-free < leastScrap {
		return text
	}
	return text + "; below the stack, of the rest: " + m.stuffing(c, stack, room-free, "lay soft scrap as thick as that there")
}

// outOf is how far pieces stand out of a tray, mm, as many as its pockets take.
func outOf(b *board) (out float64) {
	for _, h := range b.holes {
		out = math.Max(out, -h.seat.rest)
	}
	return out
}

// stuffing says what fills the room. Of a stack that the arranger chose it is what no sheet fills,
// of those that it looked among: in inches it asks nobody for metric ones.
func (m *maker) stuffing(c *job.Case, stack []*board, room units.Length, scrap string) string {
	switch {
	case !c.Chosen:
		return m.filler(stack, room, scrap)
	case m.Job.Units == units.Inch:
		return "no sheets that are sold in inches fill it; " + scrap
	}
	return "no sheets that can be cut fill it; " + scrap
}

// pressed is what takes up room that no sheet fills: a lid may press on a cover, and not on pieces.
func pressed(stack []*board) string {
	if len(stack[0].holes) == 0 {
		return "let the lid press on the cover"
	}
	return "lay soft scrap as thick as that on " + stack[0].ID
}

// filler says which stock sheets of the stack's foams fill the room best; of
// several ways that leave the same, that with the fewest sheets.
func (m *maker) filler(stack []*board, room units.Length, scrap string) string {
	var stock []stockSheet
	for _, l := range stackLayers(stack) {
		for _, t := range l.layer.Foam.Thicknesses {
			if s := (stockSheet{l.layer.Foam.ID, t}); t <= room && !slices.Contains(stock, s) {
				stock = append(stock, s)
			}
		}
	}
	if len(stock) == 0 {
		return "no stock sheet of its foams is as thin as that; " + scrap
	}
	slices.SortStableFunc(stock, func(a, b stockSheet) int { return cmp.Compare(b.thickness, a.thickness) })
	sheets, sum := bestFill(stock, room, mostFillers)
	var parts []string
	for _, s := range sheets {
		parts = append(parts, s.thickness.Exact(m.unit)+" of "+s.foam)
	}
	what, fills, leaves := "a sheet of ", " fills it exactly", " leaves "
	if len(parts) > 1 {
		what, fills, leaves = "sheets of ", " fill it exactly", " leave "
	}
	if sum == room {
		return what + strings.Join(parts, " and ") + fills
	}
	return what + strings.Join(parts, " and ") + leaves + m.length(room-sum)
}

// bestFill is the largest sum up to the room that at most so many sheets make.
// One sheet more has to gain something.
func bestFill(stock []stockSheet, room units.Length, most int) (best []stockSheet, sum units.Length) {
	for i, s := range stock {
		if s.thickness > room {
			continue
		}
		with, more := []stockSheet{s}, s.thickness
		if most > 1 {
			rest, add := bestFill(stock[i:], room-s.thickness, most-1)
			with, more = append(with, rest...), more+add
		}
		if more > sum || more == sum && len(with) < len(best) {
			best, sum = with, more
		}
	}
	return best, sum
}
