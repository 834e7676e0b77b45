package plan

import (
	"fmt"
	"math"
	"strconv"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/profiles"
)

// thinLineShare is how wide single strokes are drawn to measure the gaps
// between their middles, as a part of the letters' height: thin enough to keep
// every gap open.
const thinLineShare = 0.01

// thinStrokes finds the letter whose strokes come too near each other for a
// groove of its width, with a ridge between.
func (m *maker) thinStrokes(k *mark, line lettering.Line, by marking) *finding.Finding {
	width := thinLineShare * line.HeightMM
	need := by.groove() + by.ridge()
	worst, letter := need-m.slackMM(), rune(0)
	done := map[rune]bool{}
	for _, l := range line.Letters {
		if done[l.Rune] || len(l.Strokes) == 0 {
			continue
		}
		done[l.Rune] = true
		drawn, err := swept(l.Strokes, width/2, m.TolMM)
		if err != nil {
			continue // a letter that cannot be measured is no letter that is too fine
		}
		for _, thin := range lettering.Thinnest(drawn, 0, need) {
			if apart := thin.WidthMM + width; apart < worst {
				worst, letter = apart, l.Rune
			}
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

// thinShape finds the place of a shape that is too narrow for the tool, or
// where less foam than gap is left; nil for none.
func (m *maker) thinShape(k *mark, line lettering.Line, shape geometry.Region, tool profiles.Tool, stroke, gap float64) *finding.Finding {
	worst := 1.0
	var at lettering.Thin
	for _, thin := range lettering.Thinnest(shape, stroke-m.slackMM(), gap-m.slackMM()) {
		need := stroke
		if thin.Kind == lettering.Gap {
			need = gap
		}
		if share := thin.WidthMM / need; share < worst {
			worst, at = share, thin
		}
	}
	if worst == 1 {
		return nil
	}
	what, why := m.mm(at.WidthMM)+" wide", fmt.Sprintf("the tool %s cuts %s", tool.ID, m.mm(stroke))
	rule := "letter-too-fine"
	if at.Kind == lettering.Gap {
		what, why = m.mm(at.WidthMM)+" of foam left", fmt.Sprintf("less than the %s that should stay", m.mm(gap))
		rule = "gap-too-thin"
	}
	return &finding.Finding{Rule: rule, Message: fmt.Sprintf("has %s, %s near x %s, y %s: %s", k.part(line, at.At), what, m.mm(at.At.X), m.mm(at.At.Y), why),
		Hint: m.larger(k, line, worst)}
}

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
			for _, chord := range chords(s, radius/20) {
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
