package plan

import (
	"fmt"
	"math"
	"strconv"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/lettering"
)

// Single strokes are measured once a letter, at a capital height of 1 mm: drawn
// as thin lines that leave every gap open, the gaps between their middles looked
// for up to a share of the height beyond which no letter can be read.
const (
	thinLine  = 0.01
	widestGap = 0.6
)

// strokeGap is the least distance between two strokes of a letter that run side
// by side, as a part of the height of a capital.
func (m *maker) strokeGap(l lettering.Letter, heightMM float64) float64 {
	if gap, done := m.strokeGaps[l.Rune]; done {
		return gap
	}
	var small []geometry.Path
	for _, p := range l.Strokes {
		small = append(small, p.Transform(geometry.Scale(1/heightMM, geometry.Point{})))
	}
	gap := widestGap
	// A letter that cannot be measured is no letter that is too fine.
	if drawn, err := swept(small, thinLine/2, m.TolMM); err == nil {
		for _, thin := range lettering.Thinnest(drawn, 0, widestGap) {
			gap = min(gap, thin.WidthMM+thinLine)
		}
	}
	m.strokeGaps[l.Rune] = gap
	return gap
}

// thinStrokes finds the letter whose strokes come too near each other for a
// groove of its width, with a ridge between; nil for none.
func (m *maker) thinStrokes(line lettering.Line, by marking) *finding.Finding {
	need := by.groove() + by.ridge()
	worst, letter := need-m.slackMM(), rune(0)
	for _, l := range line.Letters {
		if len(l.Strokes) == 0 {
			continue
		}
		if apart := line.HeightMM * m.strokeGap(l, line.HeightMM); apart < worst {
			worst, letter = apart, l.Rune
		}
	}
	if letter == 0 {
		return nil
	}
	return &finding.Finding{
		Rule: "letter-too-fine",
		Message: fmt.Sprintf("has %s with strokes %s apart, less than the %s of a groove by the tool %s and a ridge beside it",
			quoted(letter), m.mm(worst), m.mm(need), by.tool.ID),
		Hint: fmt.Sprintf("make it %s high instead of %s, or engrave it with a thinner tool (`tool:`)", m.above(line.HeightMM*need/worst), m.mm(line.HeightMM)),
	}
}

// thinGap finds the thinnest foam that a shape leaves within or between its
// letters, where that is less than it should be; nil for none.
func (m *maker) thinGap(k *mark, line lettering.Line, shape geometry.Region, least float64) *finding.Finding {
	found := lettering.Thinnest(shape, 0, least-gapSlackMM)
	if len(found) == 0 {
		return nil
	}
	at := found[0]
	return &finding.Finding{
		Rule: "gap-too-thin",
		Message: fmt.Sprintf("has only %s of foam left at %s near x %s, y %s, less than the %s that should stay",
			m.below(at.WidthMM), k.part(line, at.At), m.mm(at.At.X), m.mm(at.At.Y), m.mm(least)),
		Hint: m.larger(k, line, at.WidthMM/least),
	}
}

// gapSlackMM is what the fitting of a letter's curves may take off a gap.
const gapSlackMM = 0.05

// part names the letter at a place.
func (k *mark) part(line lettering.Line, p geometry.Point) string {
	best, name := math.Inf(1), "a line"
	for _, l := range line.Letters {
		if l.Box.Empty() {
			continue
		}
		dx := math.Max(0, math.Max(l.Box.Min.X-p.X, p.X-l.Box.Max.X))
		dy := math.Max(0, math.Max(l.Box.Min.Y-p.Y, p.Y-l.Box.Max.Y))
		if d := math.Hypot(dx, dy); d < best {
			best, name = d, "the letter "+quoted(l.Rune)
		}
	}
	return name
}

// larger says what size would do, when the worst place is a share of what it
// should be.
func (m *maker) larger(k *mark, line lettering.Line, share float64) string {
	if k.label != nil {
		return fmt.Sprintf("make its letters %s high instead of %s, choose a bolder font or a thinner tool (`tool:`)", m.above(line.HeightMM/share), m.mm(line.HeightMM))
	}
	width := k.drawn.Bounds().Width()
	if width/share > 2000 {
		return "take a picture with thicker lines and wider gaps"
	}
	return fmt.Sprintf("make it %s wide instead of %s, or take a picture with thicker lines and wider gaps", m.above(width/share), m.mm(width))
}

// above prints a length that is enough: rounded up to a tenth of a millimetre.
func (m *maker) above(x float64) string { return m.printed(math.Ceil(x*10) / 10) }

func quoted(r rune) string { return strconv.QuoteRune(r) }

// swept is the area within radius mm of paths.
func swept(paths []geometry.Path, radius, tol float64) (geometry.Region, error) {
	var parts []geometry.Region
	for _, p := range paths {
		for s := range p.Segments() {
			for _, chord := range chords(s, radius/2) {
				parts = append(parts, geometry.NewRegion(geometry.Slot(chord.A, chord.B, 2*radius)))
			}
		}
	}
	return geometry.Union(tol, parts...)
}

// chords are straight pieces that follow a segment to within tol mm.
func chords(s geometry.Segment, tol float64) []geometry.Segment {
	n := 1.0
	if r := s.Radius(); s.IsArc() && r > tol {
		n = math.Max(1, math.Ceil(math.Abs(s.Sweep())/(2*math.Acos(1-tol/r))))
	}
	var list []geometry.Segment
	for i := 0.0; i < n; i++ {
		list = append(list, geometry.Segment{A: s.At(i / n), B: s.At((i + 1) / n)})
	}
	return list
}
