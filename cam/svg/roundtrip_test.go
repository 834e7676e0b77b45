package svg

import (
	"math"
	"regexp"
	"strconv"
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
		c = geometry.Rectangle(geometry.Box{Max: point(a, b)}, rapid.Float64Range(0, 0.49).Draw(t, "corner")*min(a, b))
	case 1:
		c = geometry.Slot(point(0, 0), point(a, 0), b)
	case 2:
		c = geometry.Circle(point(0, 0), a)
	case 3:
		chord := rapid.Float64Range(0.01, 1.9).Draw(t, "chord") * a
		angle := 2*math.Pi - 2*math.Asin(chord/2/a)
		c = geometry.NewContour(vx(chord/2, 0, math.Tan(angle/4)), vx(-chord/2, 0, 0), vx(-chord/2, -3*a, 0), vx(chord/2, -3*a, 0))
	}
	turn := geometry.Rotate(rapid.Float64Range(0, 7).Draw(t, "turn"), point(0, 0))
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
	rapid.Check(t, func(t *rapid.T) {
		c := anyContour(t)
		text := write(t, process.Program{Drawn: []process.Drawn{{Kind: process.Pocket, Contour: c}}}, Options{})
		pieces, err := Read([]byte(text))
		require.NoError(t, err)
		r, err := outline.Region(pieces, outline.Tolerance{FitMM: same, GapMM: same})
		require.NoError(t, err)
		require.Len(t, r.Contours(), 1)
		back := r.Contours()[0].Transform(fromPage(t, text))
		assert.LessOrEqual(t, apart(c, back), same)
		assert.LessOrEqual(t, apart(back, c), same)
		assert.InDelta(t, c.Length(), back.Length(), 1e-5)
		assert.InDelta(t, math.Abs(c.Area()), back.Area(), same*c.Length())
	})
}

// fromPage takes what was read back to where it was in the program, by what the
// drawing says of itself.
func fromPage(t *rapid.T, text string) geometry.Transform {
	said := regexp.MustCompile(`height="([\d.]+)mm"[^$]* at x=(\S+) y=(\S+) on this page`).FindStringSubmatch(text)
	require.Len(t, said, 4)
	var v [3]float64
	for i := range v {
		var err error
		v[i], err = strconv.ParseFloat(said[i+1], 64)
		require.NoError(t, err)
	}
	return geometry.Translate(-v[1], v[2]-v[0])
}

func point(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
