package drawing

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/geometry"
)

func pt(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

func vx(x, y, bulge float64) geometry.Vertex { return geometry.Vertex{Point: pt(x, y), Bulge: bulge} }

// disc of radius r: two vertices of bulge 1 (DXF reference: 1 is a half circle).
func disc(x, y, r float64) geometry.Contour {
	return geometry.NewContour(vx(x+r, y, 1), vx(x-r, y, 1))
}

func square(side float64) geometry.Contour {
	return geometry.NewContour(vx(0, 0, 0), vx(side, 0, 0), vx(side, side, 0), vx(0, side, 0))
}

var sampleLayers = []Layer{
	{Name: "MARK", Stroke: "#0072B2", Index: 163}, {Name: "POCKET", Stroke: "#D55E00", Index: 30},
	{Name: "OUTLINE", Stroke: "#000000", Index: 7}, {Name: "FINISHED", Stroke: "#009E73", Index: 122},
}

// sample has every kind of path once, and finished sizes where they are wanted.
func sample(finished bool) Drawing {
	d := Drawing{Layers: sampleLayers, About: "Paths are in cutting order.", Paths: []Path{
		{Layer: "MARK", Open: geometry.NewPath(vx(5, 5, 0), vx(15, 5, 0.5), vx(20, 10, 0.25))},
		{Layer: "POCKET", Contour: disc(20, 20, 10)},
		{Layer: "OUTLINE", Contour: square(60)},
	}}
	if finished {
		d.Paths = append(d.Paths, Path{Layer: "FINISHED", Contour: disc(20, 20, 10.1)}, Path{Layer: "FINISHED", Contour: square(59.8)})
	}
	return d
}

// pocket is a drawing of one contour.
func pocket(vertices ...geometry.Vertex) Drawing {
	return Drawing{Layers: sampleLayers, Paths: []Path{{Layer: "POCKET", Contour: geometry.NewContour(vertices...)}}}
}

// written is one way to write a drawing, and to read it again.
type written struct {
	name  string
	write func(d Drawing) (string, error)
	read  func(context.Context, []byte) ([]Piece, error)
}

// everyFormat is all that a drawing can be written as.
var everyFormat = []written{
	{"r2000", func(d Drawing) (string, error) { return dxfText(d, R2000) }, readDXF},
	{"r12", func(d Drawing) (string, error) { return dxfText(d, R12) }, readDXF},
	{"svg", svgText, readSVG},
}

func dxfText(d Drawing, v DXFVersion) (string, error) {
	var b bytes.Buffer
	err := WriteDXF(&b, d, v)
	return b.String(), err
}

func svgText(d Drawing) (string, error) {
	var b bytes.Buffer
	err := WriteSVG(&b, d)
	return b.String(), err
}

func writeDXF(t require.TestingT, d Drawing, v DXFVersion) string {
	text, err := dxfText(d, v)
	require.NoError(t, err)
	return text
}

func writeSVG(t require.TestingT, d Drawing) string {
	text, err := svgText(d)
	require.NoError(t, err)
	return text
}

// wantFault expects one finding with a hint, and in its line and message the text.
func wantFault(t require.TestingT, err error, want string) {
	var list finding.List
	require.ErrorAs(t, err, &list)
	require.Len(t, list, 1)
	said := list[0].Message
	if list[0].Line > 0 {
		said = fmt.Sprintf("line %d: %s", list[0].Line, said)
	}
	require.Contains(t, said, want)
	require.NotEmpty(t, list[0].Hint)
	require.Equal(t, "outline", list[0].Rule)
	require.NotContains(t, said, "\n")
}

// readAnything reads a text that may be one of the format or not: either there is
// one fault, or what is read makes a valid region or one fault.
func readAnything(t *testing.T, read func(context.Context, []byte) ([]Piece, error), text string) {
	pieces, err := read(context.Background(), []byte(text))
	if err != nil {
		wantFault(t, err, "")
		return
	}
	r, err := Region(context.Background(), pieces, Tolerance{FitMM: 0.01, GapMM: 0.01})
	if err != nil {
		wantFault(t, err, "")
		return
	}
	require.Greater(t, r.Area(), 0.0)
	require.NoError(t, r.Validate(samePointMM))
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

// sketch is a piece's curves in short: every curve as its ends and its middle
// where it is not straight.
func sketch(pieces []Piece) string {
	var words []string
	for _, p := range pieces {
		for _, c := range p.Curves {
			a, b := c.ends()
			s := fmt.Sprintf("%s-%s", spot(a), spot(b))
			switch c := c.(type) {
			case segment:
				if c.Bulge != 0 {
					s += " via " + spot(geometry.Segment(c).At(0.5))
				}
			case arc:
				half := c
				half.To = (c.From + c.To) / 2
				_, middle := half.ends()
				s += " via " + spot(middle)
			case bezier:
				s += " by " + spot(c[1]) + " " + spot(c[2])
			}
			words = append(words, s)
		}
		if p.Closed {
			words = append(words, "closed")
		}
	}
	return strings.Join(words, "; ")
}

func spot(p geometry.Point) string {
	round := func(v float64) float64 { return math.Round(v*1e6)/1e6 + 0 }
	return fmt.Sprintf("%g,%g", round(p.X), round(p.Y))
}

// anyContour is a rectangle, a slot, a disc or a key hole, turned and moved.
func anyContour(t *rapid.T) geometry.Contour {
	size := rapid.Float64Range(1, 300)
	a, b := size.Draw(t, "a"), size.Draw(t, "b")
	var c geometry.Contour
	switch rapid.IntRange(0, 3).Draw(t, "shape") {
	case 0:
		c = geometry.Rectangle(geometry.Box{Max: pt(a, b)}, rapid.Float64Range(0, 0.49).Draw(t, "corner")*min(a, b))
	case 1:
		c = geometry.Slot(pt(0, 0), pt(a, 0), b)
	case 2:
		c = geometry.Circle(pt(0, 0), a)
	case 3:
		chord := rapid.Float64Range(0.01, 1.9).Draw(t, "chord") * a
		angle := 2*math.Pi - 2*math.Asin(chord/2/a)
		c = geometry.NewContour(vx(chord/2, 0, math.Tan(angle/4)), vx(-chord/2, 0, 0), vx(-chord/2, -3*a, 0), vx(chord/2, -3*a, 0))
	}
	turn := geometry.Rotate(rapid.Float64Range(0, 7).Draw(t, "turn"), pt(0, 0))
	c = c.Transform(turn.Then(geometry.Translate(size.Draw(t, "x"), size.Draw(t, "y"))))
	if rapid.Bool().Draw(t, "clockwise") {
		return c.Reverse()
	}
	return c
}

// apart is the greatest distance of a point of a from b.
func apart(a, b geometry.Contour) float64 {
	worst := 0.0
	for s := range a.Segments() {
		for i := range 8 {
			p, nearest := s.At(float64(i)/8), math.Inf(1)
			for other := range b.Segments() {
				q, _ := other.Nearest(p)
				nearest = math.Min(nearest, q.DistanceTo(p))
			}
			worst = math.Max(worst, nearest)
		}
	}
	return worst
}
