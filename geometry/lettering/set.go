package lettering

import (
	"fmt"
	"math"
	"slices"
	"unicode"

	"traywright/geometry"
)

// joinMM is the distance under which two points of a letter are one.
const joinMM = 1e-6

// Align says which place of a line lies at X 0.
type Align int

const (
	Left   Align = iota // where the first letter begins
	Center              // the middle of the line
	Right               // where the last letter ends
)

// Setting says how a text is set. The zero value has no height, which Set refuses
// and Fit finds.
type Setting struct {
	HeightMM    float64 // of a capital letter without accent, 0.5 to 1000
	Align       Align
	TrackingMM  float64 // added between letters, may be negative; up to 10 times the height
	ArcRadiusMM float64 // radius of the baseline: 0 is straight, above 0 over the top of a circle, below 0 along the bottom of one
	ToleranceMM float64 // how far lines and arcs may leave the curves of the face; 0 means 0.01
	BridgeMM    float64 // width of the bridges that hold the islands of letters cut through, see Stencil; 0 for none; a single stroke needs none
}

// Letter is one character where it is set. Its Region is empty in a single-stroke
// face, its Strokes in any other, and both for a space.
type Letter struct {
	Rune    rune
	Region  geometry.Region
	Strokes []geometry.Path
	Bridges []Bridge
	Box     geometry.Box // of what there is to cut; empty for a space
}

// Line is a text that is set. Its baseline goes through (0, 0), to the right there.
type Line struct {
	Letters   []Letter
	Box       geometry.Box // of all letters
	HeightMM  float64      // of a capital letter
	AdvanceMM float64      // along the baseline, from where the first letter begins to where the last ends, with the room on both sides of each
}

// Set sets the text on its baseline.
//
// Spacing is that of the face, with its kerning. On an arc it is measured along the
// baseline, and every letter is turned as it is about the arc's centre: (0, -radius),
// below the text, for a radius above 0, and above it for one below 0.
//
// The error is or wraps a *MissingError with every character that the face lacks, a *Fault
// for text that cannot be set, numbers out of range, or an outline beyond the limits
// of ParseFont, or a *geometry.Fault for an outline that cannot be made a region.
func (f *Face) Set(text string, s Setting) (Line, error) {
	runes, s, err := f.prepare(text, s)
	if err != nil {
		return Line{}, err
	}
	shapes, err := f.shapes(runes, s)
	if err != nil {
		return Line{}, err
	}
	return f.layOut(runes, shapes, s)
}

// prepare looks at everything that can be wrong before a letter is drawn.
func (f *Face) prepare(text string, s Setting) ([]rune, Setting, error) {
	if f.source == nil {
		return nil, s, &Fault{ruleFont, "this face has no letters", "take a shipped face or a font file"}
	}
	s, err := s.check()
	if err != nil {
		return nil, s, err
	}
	runes, err := characters(text)
	if err != nil {
		return nil, s, err
	}
	return runes, s, f.missing(runes)
}

// check refuses numbers out of range and puts the default tolerance in.
func (s Setting) check() (Setting, error) {
	fault := func(format string, args ...any) (Setting, error) {
		return s, &Fault{ruleSetting, fmt.Sprintf(format, args...), "change the setting"}
	}
	if s.ToleranceMM == 0 {
		s.ToleranceMM = 0.01
	}
	switch {
	case !(s.HeightMM >= leastHeight && s.HeightMM <= mostHeight):
		return fault("a letter height of %g mm is outside %g to %d mm", s.HeightMM, leastHeight, mostHeight)
	case !(math.Abs(s.TrackingMM) <= 10*s.HeightMM):
		return fault("a tracking of %g mm is more than 10 times the height of %g mm", s.TrackingMM, s.HeightMM)
	case s.ArcRadiusMM != 0 && !(math.Abs(s.ArcRadiusMM) >= s.HeightMM/2 && math.Abs(s.ArcRadiusMM) <= 1e6):
		return fault("an arc radius of %g mm is outside half the letter height, %g mm, to a kilometre", s.ArcRadiusMM, s.HeightMM/2)
	case !(s.ToleranceMM >= 1e-4 && s.ToleranceMM <= s.HeightMM/10):
		return fault("a tolerance of %g mm is outside 0.0001 mm to a tenth of the height of %g mm", s.ToleranceMM, s.HeightMM)
	case s.BridgeMM != 0 && !(s.BridgeMM > 0 && s.BridgeMM <= s.HeightMM/2):
		return fault("bridges of %g mm are outside 0 to half the height of %g mm", s.BridgeMM, s.HeightMM)
	case s.Align < Left || s.Align > Right:
		return fault("an alignment of %d is none", s.Align)
	}
	return s, nil
}

// shapes makes each letter of the text once.
func (f *Face) shapes(runes []rune, s Setting) (map[rune]shape, error) {
	made := map[rune]shape{}
	for _, r := range runes {
		if _, ok := made[r]; ok {
			continue
		}
		g, err := f.glyphOrSpace(r)
		if err != nil {
			return nil, err
		}
		if made[r], err = g.made(s.HeightMM/f.source.capital(), s); err != nil {
			return nil, fmt.Errorf("the letter %s: %w", named(r), err)
		}
	}
	return made, f.drawn(runes, made)
}

// drawn refuses characters that the face has, but draws nothing for: a label would lose a
// letter without a word.
func (f *Face) drawn(runes []rune, made map[rune]shape) error {
	e := &MissingError{Face: f.name, Hint: "the font draws nothing there; use another font"}
	for _, r := range runes {
		if m := made[r]; m.region.Empty() && m.strokes == nil && !unicode.IsSpace(r) && !slices.Contains(e.Runes, r) {
			e.Runes = append(e.Runes, r)
		}
	}
	if e.Runes == nil {
		return nil
	}
	return e
}

// layOut puts the letters, which have the height of the setting, on their baseline.
func (f *Face) layOut(runes []rune, shapes map[rune]shape, s Setting) (Line, error) {
	scale := s.HeightMM / f.source.capital()
	starts := make([]float64, len(runes))
	pen := 0.0
	for i, r := range runes {
		if i > 0 {
			pen += f.source.kern(runes[i-1], r)*scale + s.TrackingMM
		}
		starts[i] = pen
		pen += shapes[r].advance
	}
	if err := s.checkArc(pen); err != nil {
		return Line{}, err
	}
	line := Line{HeightMM: s.HeightMM, AdvanceMM: pen, Box: geometry.EmptyBox()}
	for i, r := range runes {
		line.add(shapes[r].at(r, s.place(starts[i], shapes[r].advance, pen)))
	}
	return line, nil
}

func (l *Line) add(letter Letter) {
	l.Letters = append(l.Letters, letter)
	l.Box = l.Box.Union(letter.Box)
}

// glyphOrSpace lets any space of Unicode stand for the plain one where the face has
// no own.
func (f *Face) glyphOrSpace(r rune) (glyph, error) {
	if unicode.IsSpace(r) && !f.source.has(r) {
		r = ' '
	}
	if !f.source.has(r) {
		return glyph{advance: f.source.capital() / 3}, nil
	}
	return f.source.glyph(r)
}

// checkArc refuses a line that would meet its own beginning.
func (s Setting) checkArc(advance float64) error {
	if around := 2 * math.Pi * math.Abs(s.ArcRadiusMM); s.ArcRadiusMM != 0 && advance > around {
		return &Fault{ruleTooLong, fmt.Sprintf("the text is %.1f mm long, more than the %.1f mm around its arc", advance, around),
			"use a larger radius, smaller letters or less tracking"}
	}
	return nil
}

// place moves a letter that begins at start mm of a line of whole mm to where it is set.
func (s Setting) place(start, advance, whole float64) geometry.Transform {
	start -= whole * float64(s.Align) / 2
	if s.ArcRadiusMM == 0 {
		return geometry.Translate(start, 0)
	}
	middle := start + advance/2
	return geometry.Translate(-advance/2, 0).Then(
		geometry.Rotate(-middle/s.ArcRadiusMM, geometry.Point{Y: -s.ArcRadiusMM}))
}

// shape is a glyph in millimetres.
type shape struct {
	region  geometry.Region
	strokes []geometry.Path
	bridges []Bridge
	advance float64
}

func (s shape) at(r rune, t geometry.Transform) Letter {
	letter := Letter{Rune: r, Region: s.region.Transform(t)}
	for _, b := range s.bridges {
		letter.Bridges = append(letter.Bridges, Bridge{b.From.Transform(t), b.To.Transform(t), b.WidthMM * factor(t)})
	}
	letter.Box = letter.Region.Bounds()
	for _, p := range s.strokes {
		p = p.Transform(t)
		letter.Strokes = append(letter.Strokes, p)
		letter.Box = letter.Box.Union(p.Bounds())
	}
	return letter
}

// made is the glyph in millimetres, with bridges if they are asked for.
func (g glyph) made(scale float64, s Setting) (shape, error) {
	made, err := g.scaled(scale, s.ToleranceMM)
	if err != nil || s.BridgeMM == 0 {
		return made, err
	}
	made.region, made.bridges, err = Stencil(made.region, StencilOptions{BridgeMM: s.BridgeMM}, joinMM)
	return made, err
}

// scaled turns the curves to lines and arcs, and unites the contours.
func (g glyph) scaled(scale, tol float64) (shape, error) {
	s := shape{advance: g.advance * scale}
	for _, p := range g.strokes {
		s.strokes = append(s.strokes, p.Transform(geometry.Scale(scale, geometry.Point{})))
	}
	var contours, reversed []geometry.Contour
	for _, curves := range g.contours {
		c, err := fitContour(curves, scale, tol)
		if err != nil {
			return shape{}, err
		}
		if c.Len() >= 2 {
			contours = append(contours, c)
			reversed = append(reversed, c.Reverse())
		}
	}
	if contours == nil {
		return s, nil
	}
	// Inside is what the contours wind around, whichever way: TrueType has its outer
	// contours clockwise, CFF counter-clockwise, and Union keeps what is counter-clockwise.
	left, err := geometry.Union(joinMM, geometry.NewRegion(contours...))
	if err != nil {
		return shape{}, err
	}
	right, err := geometry.Union(joinMM, geometry.NewRegion(reversed...))
	if err != nil {
		return shape{}, err
	}
	if s.region, err = geometry.Union(joinMM, left, right); err != nil {
		return shape{}, err
	}
	return s, nil
}

// fitContour follows the closed row of curves; the last point repeats the first.
func fitContour(curves []curve, scale, tol float64) (geometry.Contour, error) {
	var vertices []geometry.Vertex
	for _, c := range curves {
		control := make([]geometry.Point, len(c))
		for i, p := range c {
			control[i] = p.Scale(scale)
		}
		if len(control) == 2 {
			vertices = append(vertices, geometry.Vertex{Point: control[0]})
			continue
		}
		path, err := geometry.FitBezier(tol, control...)
		if err != nil {
			return geometry.Contour{}, err
		}
		vertices = append(vertices, path.Vertices()...) // its end is where the next begins
	}
	return geometry.NewContour(distinct(vertices)...), nil
}

// distinct leaves out vertices that lie on the one after them.
func distinct(vertices []geometry.Vertex) []geometry.Vertex {
	var kept []geometry.Vertex
	for i, v := range vertices {
		next := vertices[(i+1)%len(vertices)]
		if v.DistanceTo(next.Point) > joinMM {
			kept = append(kept, v)
		}
	}
	return kept
}

// Transform is the line moved, turned or scaled with all its letters.
func (l Line) Transform(t geometry.Transform) Line {
	moved := Line{HeightMM: l.HeightMM * factor(t), AdvanceMM: l.AdvanceMM * factor(t), Box: geometry.EmptyBox()}
	for _, letter := range l.Letters {
		s := shape{region: letter.Region, strokes: letter.Strokes, bridges: letter.Bridges}
		moved.add(s.at(letter.Rune, t))
	}
	return moved
}

// factor is how much larger t makes things.
func factor(t geometry.Transform) float64 {
	return geometry.Point{X: 1}.Transform(t).DistanceTo(geometry.Point{}.Transform(t))
}

// Region is all letters as one region; where they overlap they are united. The error is that
// of geometry.Union, with tol in mm.
func (l Line) Region(tol float64) (geometry.Region, error) {
	var regions []geometry.Region
	for _, letter := range l.Letters {
		if !letter.Region.Empty() {
			regions = append(regions, letter.Region)
		}
	}
	return geometry.Union(tol, regions...)
}

// Strokes is the strokes of all letters, in reading order.
func (l Line) Strokes() []geometry.Path {
	var strokes []geometry.Path
	for _, letter := range l.Letters {
		strokes = append(strokes, letter.Strokes...)
	}
	return strokes
}
