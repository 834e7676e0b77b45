package plan

import (
	"fmt"
	"math"
	"strconv"
	"sync"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/lettering"
)

// Foam that is left within and between letters is too thin where a disc of the
// least width does not pass: where growing the shape by half of it and shrinking
// it again fills something up. Notches beside joints are always filled, and no
// harm: a spike of foam stands on its base.

// webShare is what counts as more than a notch, as a part of the width squared.
const webShare = 1.5

// closed is the shape with every gap that is narrower than width filled up, and
// what it took.
func (m *maker) closed(shape geometry.Region, width float64) (whole, gaps geometry.Region, err error) {
	if whole, err = geometry.Offset(shape, width/2, m.TolMM); err != nil {
		return
	}
	if whole, err = geometry.Offset(whole, -width/2, m.TolMM); err != nil {
		return
	}
	gaps, err = geometry.Difference(whole, shape, m.TolMM)
	return
}

// filled is the middle of the largest gap of a shape that is narrower than
// width; false where there is none, or where it cannot be measured.
func (m *maker) filled(shape geometry.Region, width float64) (geometry.Point, bool) {
	most, at, found := webShare*width*width, geometry.Point{}, false
	if _, gaps, err := m.closed(shape, width); err == nil {
		for _, gap := range gaps.Pieces() {
			if area := gap.Area(); area > most {
				most, at, found = area, middle(gap.Bounds()), true
			}
		}
	}
	return at, found
}

// Single strokes are measured at a capital height of 1 mm, drawn as thin lines.
// A groove and its ridge that take more than widestStroke of the height are no
// letter any more, and neither is one that loses a hole or a dot, or a gap of
// more than lostShare of the height squared.
const (
	thinLine     = 0.01
	widestStroke = 0.5
	lostShare    = 0.04
)

// strokeKey is a single-stroke letter, and the width of groove and ridge as a part
// of its height.
type strokeKey struct {
	letter     rune
	share, tol float64
}

// fineStrokes are answers of strokeFine, which hang on the alphabet alone. A plan that is made
// anew with each step of a hand would spend a third of its time on them.
var fineStrokes = struct {
	sync.Mutex
	known map[strokeKey]bool
}{known: map[strokeKey]bool{}}

// mostStrokes bounds them, for who looks at a job all day.
const mostStrokes = 10_000

// strokeFine reports whether a letter of the single-stroke alphabet is too fine for a groove
// and its ridge that take a share of its height.
func (m *maker) strokeFine(letter rune, share float64) bool {
	key := strokeKey{letter, share, m.TolMM}
	fineStrokes.Lock()
	fine, done := fineStrokes.known[key]
	fineStrokes.Unlock()
	if done {
		return fine
	}
	fine = m.strokeFineAnew(letter, share)
	fineStrokes.Lock()
	defer fineStrokes.Unlock()
	if len(fineStrokes.known) == mostStrokes {
		clear(fineStrokes.known)
	}
	fineStrokes.known[key] = fine
	return fine
}

func (m *maker) strokeFineAnew(letter rune, share float64) bool {
	if share > widestStroke {
		return true
	}
	drawn, err := swept(strokesOf(letter), thinLine/2, m.TolMM)
	return err == nil && m.lost(drawn, share-thinLine)
}

// strokesOf are a letter's strokes at a capital height of 1 mm, wherever it stands on a tray.
func strokesOf(letter rune) []geometry.Path {
	alphabet, _ := lettering.Shipped(lettering.Strokes)
	line, err := alphabet.Set(string(letter), lettering.Setting{HeightMM: 1})
	if err != nil {
		return nil // one that it lacks, which is told where the line is set
	}
	return line.Strokes()
}

// lost reports whether a letter, drawn as thin lines at a height of 1 mm, is
// another one with its gaps up to a width filled.
func (m *maker) lost(drawn geometry.Region, width float64) bool {
	whole, gaps, err := m.closed(drawn, width)
	if err != nil {
		return false
	}
	if len(whole.Pieces()) < len(drawn.Pieces()) || len(whole.Contours()) < len(drawn.Contours()) {
		return true
	}
	for _, gap := range gaps.Pieces() {
		if gap.Area() > lostShare {
			return true
		}
	}
	return false
}

// thinStrokes finds the letter whose strokes come too near each other for a
// groove of its width, with a ridge between; nil for none.
func (m *maker) thinStrokes(k *mark, line lettering.Line, by marking) *finding.Finding {
	need := by.groove() + by.ridge()
	fits := func(l lettering.Letter, height float64) bool {
		return len(l.Strokes) == 0 || !m.strokeFine(l.Rune, need/height)
	}
	height, letter := line.HeightMM, rune(0)
	for _, l := range line.Letters {
		for n := 0; n < mostSizes && !fits(l, height); n++ {
			height, letter = height*sizeStep, l.Rune
		}
	}
	if letter == 0 {
		return nil
	}
	return &finding.Finding{
		Rule: "letter-too-fine",
		Message: fmt.Sprintf("has %s with strokes so near each other that a groove by the tool %s and a ridge beside it, %s together, do not fit",
			quoted(letter), by.tool.ID, m.mm(need)),
		Hint: m.larger(k, line, line.HeightMM/height),
	}
}

// thinGap finds the foam that a shape leaves too thin within or between its
// letters; nil for none.
func (m *maker) thinGap(k *mark, line lettering.Line, shape geometry.Region, least float64) *finding.Finding {
	at, thin := m.filled(shape, least-gapSlackMM)
	if !thin {
		return nil
	}
	scale := 1.0
	for n, still := 0, true; n < mostSizes && still; n++ {
		scale *= sizeStep
		_, still = m.filled(shape, (least-gapSlackMM)/scale)
	}
	return &finding.Finding{
		Rule:    "gap-too-thin",
		Message: fmt.Sprintf("leaves less than %s of foam at %s near x %s, y %s", m.more(least), k.part(line, at), m.mm(at.X), m.mm(at.Y)),
		Hint:    m.larger(k, line, 1/scale),
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
	box, otherwise := k.drawn.Bounds(), "take a picture with thicker lines and wider gaps"
	if k.label != nil {
		box, otherwise = line.Box, "choose a bolder font or a thinner tool (`tool:`)"
		if k.Font == "strokes" {
			otherwise = "engrave it with a thinner tool (`tool:`), or take it out"
		}
	}
	grown := scaledAbout(geometry.Point{X: k.making.X.MM(), Y: k.making.Y.MM()}, box, 1/share)
	if grown.Width() > k.tray.Width() || grown.Height() > k.tray.Height() {
		return fmt.Sprintf("%s: as large as would do, %s, it has no room on the tray", otherwise, m.size(grown.Width(), grown.Height()))
	}
	write := fmt.Sprintf("make it %s wide instead of %s", m.above(box.Width()/share), m.mm(box.Width()))
	if e := k.emblem; e != nil && e.Length > 0 && e.Width > 0 {
		write = fmt.Sprintf("write `size: [%s, %s]`", m.above(e.Length.MM()/share), m.above(e.Width.MM()/share))
	}
	if k.label != nil {
		write = fmt.Sprintf("make its letters %s high instead of %s", m.above(line.HeightMM/share), m.mm(line.HeightMM))
	}
	if out, _ := outside(grown, k.tray); out > 0 {
		write += fmt.Sprintf(" and move it to where it has the %s that it takes then", m.size(grown.Width(), grown.Height()))
	}
	return write + ", or " + otherwise
}

// scaledAbout is a box, larger or smaller by a factor, whose point at the middle stays.
func scaledAbout(middle geometry.Point, b geometry.Box, by float64) geometry.Box {
	from := func(p geometry.Point) geometry.Point { return middle.Add(p.Sub(middle).Scale(by)) }
	return geometry.Box{Min: from(b.Min), Max: from(b.Max)}
}

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
