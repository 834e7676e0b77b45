package dxf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/outline"
	"traywright/cam/process"
	"traywright/geometry"
)

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

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	const same = 1e-6 // mm, one nanometre
	for _, format := range []Format{R2000, R12} {
		t.Run(format.String(), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				c := anyContour(t)
				p := process.Program{Drawn: []process.Drawn{{Kind: process.Pocket, Contour: c}}}
				pieces, err := Read([]byte(write(t, p, Options{Format: format})))
				require.NoError(t, err)
				r, err := outline.Region(pieces, outline.Tolerance{FitMM: same, GapMM: same})
				require.NoError(t, err)
				require.Len(t, r.Contours(), 1)
				back := r.Contours()[0]
				assert.LessOrEqual(t, apart(c, back), same)
				assert.LessOrEqual(t, apart(back, c), same)
				assert.InDelta(t, c.Length(), back.Length(), 1e-5)
				assert.InDelta(t, math.Abs(c.Area()), back.Area(), same*c.Length())
			})
		})
	}
}

// Marks stay open, and every path of a program comes back in its order.
func TestAProgramIsReadBack(t *testing.T) {
	for _, format := range []Format{R2000, R12} {
		pieces, err := Read([]byte(write(t, sample(), Options{Format: format, Finished: true})))
		require.NoError(t, err)
		assert.Equal(t, "5,5-15,5; 15,5-20,10 via 18.75,6.25; "+
			"30,20-10,20 via 20,30; 10,20-30,20 via 20,10; closed; "+
			"0,0-60,0; 60,0-60,60; 60,60-0,60; 0,60-0,0; closed; "+
			"30.1,20-9.9,20 via 20,30.1; 9.9,20-30.1,20 via 20,9.9; closed; "+
			"0,0-59.8,0; 59.8,0-59.8,59.8; 59.8,59.8-0,59.8; 0,59.8-0,0; closed", sketch(pieces))
	}
}
