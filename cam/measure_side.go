package cam

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/trace"
)

// MeasuredSide is a photograph from the side. Stands are the numbers of the pieces in it, from left to right;
// none is all of them in their order, or one of each kind.
type MeasuredSide struct {
	Photo string
	*trace.Side
	Stands []int
}

// A piece that stands with its long side along the card's line is seen as wide as it is long, or narrower where it
// is widest behind its front, within this share and this much more (judged, no source: at 300 mm, 3 mm nearer is
// 1 %, and a turn of a quarter shows).
const widthShare, widthMM = 0.03, 1.0

// asLong reports whether what is seen from the side may be a piece.
func (q MeasuredSide) asLong(st trace.Standing, p trace.Piece) bool {
	room := widthShare*p.Length + widthMM
	return st.Width < p.Length+room && st.Width > p.Length*q.CameraMM/(q.CameraMM+p.Width)-room
}

// stand takes heights from the side, and measures again from above what stands so high. What is then
// not sure enough is left out.
func (q MeasureRequest) stand(set *measuredSet) (found finding.List) {
	side := q.Side
	if set.stands, found = q.standing(set); found.Failed() {
		return found
	}
	kinds := kindsOf(set.pieces)
	for i, number := range set.stands {
		p := set.numbered(number)
		warn := func(message, hint string) {
			found = append(found, finding.Finding{Severity: finding.Warning, Rule: "height-not-measured",
				Where: fmt.Sprintf("%s: piece %d", side.Photo, number), Message: message, Hint: hint})
		}
		st := side.Standing[i]
		if st.Why == nil && !side.asLong(st, p.Piece) {
			warn(fmt.Sprintf("it is seen %s wide from the side, and from above it is %s long", q.said("%.1f", st.Width), q.said("%.1f", p.Length)),
				"stand its long side along the card's line; or say which pieces stand there, from left to right, such as --stands 3,1,2")
			continue
		}
		h, why := side.Height(i, p.Piece)
		if why != nil {
			warn(why.Message, why.Hint)
			continue
		}
		set.high++
		p.height, p.heightOff = h.MM, h.Off
		if h.NearMM != 0 || h.LowMM != 0 {
			found = append(found, q.asideNote(number, h))
		}
	}
	shareHeights(set, kinds)
	set.again(q.Photos)
	return append(found, set.leaveOut(q)...)
}

// asideNote says that a piece is not on the card's line, or not on its ground.
func (q MeasureRequest) asideNote(number int, h trace.Height) finding.Finding {
	var seen []string
	if h.NearMM != 0 {
		where := "nearer"
		if h.NearMM < 0 {
			where = "farther away"
		}
		seen = append(seen, fmt.Sprintf("it stands about %s %s than the card; each %s changes its height by %.3f %s", q.said("%.0f", math.Abs(h.NearMM)), where, q.one(), h.PerMM, q.Unit))
	}
	if h.LowMM != 0 {
		where := "lower"
		if h.LowMM < 0 {
			where = "higher"
		}
		seen = append(seen, fmt.Sprintf("its foot is seen %s %s than the card's", q.said("%.1f", math.Abs(h.LowMM)), where))
	}
	return finding.Finding{Severity: finding.Note, Rule: "beside-the-line", Where: fmt.Sprintf("%s: piece %d", q.Side.Photo, number),
		Message: strings.Join(seen, "; ") + ", which is in what that may be off by",
		Hint:    "a surer height: its front on one line with the card's, both on one flat surface"}
}

// standing says which pieces stand there.
func (q MeasureRequest) standing(set *measuredSet) (numbers []int, found finding.List) {
	seen, kinds := len(q.Side.Standing), kindsOf(set.pieces)
	fail := func(message, hint string) ([]int, finding.List) {
		return nil, finding.List{{Rule: "side-differs", Where: q.Side.Photo, Message: message, Hint: hint}}
	}
	for _, n := range q.Side.Stands {
		if set.numbered(n) == nil {
			return fail(fmt.Sprintf("no measured piece has the number %d", n), "the check picture has their numbers; a piece that was not measured from above is typed")
		}
	}
	const which = "say which pieces stand there, from left to right, by their numbers on the check picture, such as --stands 3,1,2"
	switch {
	case len(q.Side.Stands) == seen:
		return q.Side.Stands, nil
	case len(q.Side.Stands) > 0:
		return fail(fmt.Sprintf("%d things stand beside the card, and --stands names %d", seen, len(q.Side.Stands)),
			"keep all else out of the picture, what the card leans on hidden behind it, the pieces apart; the side photograph's check picture shows what was found")
	case seen == len(set.pieces):
		for _, p := range set.pieces {
			numbers = append(numbers, p.number)
		}
	case seen == len(kinds):
		for _, k := range kinds {
			numbers = append(numbers, k.first.number)
		}
	default:
		return fail(fmt.Sprintf("%d things stand beside the card, and from above there are %d pieces of %d kinds", seen, len(set.pieces), len(kinds)), which)
	}
	return numbers, nil
}

// numbered is the piece of a number.
func (s *measuredSet) numbered(n int) *measuredPiece {
	i := slices.IndexFunc(s.pieces, func(p measuredPiece) bool { return p.number == n })
	if i < 0 {
		return nil
	}
	return &s.pieces[i]
}

// shareHeights gives the pieces of a kind that did not stand there the height of those that did.
func shareHeights(set *measuredSet, kinds []measuredKind) {
	for _, k := range kinds {
		sum, off, n := 0.0, 0.0, 0.0
		for _, p := range k.pieces {
			if own := set.numbered(p.number); own.height > 0 {
				sum, off, n = sum+own.height, max(off, own.heightOff), n+1
			}
		}
		for _, p := range k.pieces {
			if own := set.numbered(p.number); own.height == 0 && n > 0 {
				own.height, own.heightOff = sum/n, off
			}
		}
	}
}

// again measures from above what is known to stand so high.
func (s *measuredSet) again(photos []Measured) {
	first := map[int]bool{}
	for i, p := range photos {
		for k := range p.Measured {
			var number int
			fmt.Sscan(s.labels[i][k], &number)
			own := s.numbered(number)
			if own.height == 0 {
				continue
			}
			p.Stand(k, own.height, own.heightOff)
			if !first[number] {
				first[number], own.Piece = true, p.Measured[k]
			} else {
				own.average(p.Measured[k])
			}
		}
	}
}

// leaveOut takes out the pieces whose size is not sure enough, now that they are known to be so high.
func (s *measuredSet) leaveOut(q MeasureRequest) (found finding.List) {
	s.pieces = slices.DeleteFunc(s.pieces, func(p measuredPiece) bool {
		worst := max(p.LengthOff, p.WidthOff)
		if p.height == 0 || worst <= q.WithinMM {
			return false
		}
		found = append(found, finding.Finding{Severity: finding.Warning, Rule: "not-measured", Where: fmt.Sprintf("piece %d", p.number),
			Message: fmt.Sprintf("%s x %s, but as high as it stands that may be off by %s, and %s is allowed", q.bare(p.Length), q.said("%.1f", p.Width), q.said("%.2f", worst), q.said("%.2f", q.WithinMM)),
			Hint:    "photograph it from above from higher up, near the middle of the picture; or take a less sure size with --within"})
		s.left++
		return true
	})
	return found
}

// asHigh reports whether two pieces may be of one height.
func (p measuredPiece) asHigh(other measuredPiece) bool {
	return p.height == 0 || other.height == 0 || math.Abs(p.height-other.height) <= alikeShare*(p.heightOff+other.heightOff)
}

// sideComment says in the roster what heights rest on; "" where nobody photographed from the side.
func (q MeasureRequest) sideComment(kinds []measuredKind) string {
	var list []string
	for _, k := range kinds {
		if k.height > 0 {
			list = append(list, fmt.Sprintf("%s by %s", k.id(), q.said("%.2f", math.Ceil(100*k.heightOff)/100)))
		}
	}
	if q.Side == nil || len(list) == 0 {
		return ""
	}
	return fmt.Sprintf("# heights from the side; they may be off: %s\n", strings.Join(list, ", "))
}
