package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"traywright/geometry"
)

// Each limit that the settings' messages name: at it is good, beyond it is not.
func TestSettingsAtTheirLimits(t *testing.T) {
	good := Setting{HeightMM: 5}
	for name, c := range map[string]struct {
		set          func(*Setting, float64)
		good, beyond []float64
	}{
		"height":    {func(s *Setting, v float64) { s.HeightMM = v }, []float64{leastHeight, mostHeight}, []float64{leastHeight / 1.001, mostHeight * 1.001, 0, -5, math.NaN()}},
		"tracking":  {func(s *Setting, v float64) { s.TrackingMM = v }, []float64{50, -50, 0}, []float64{50.01, -50.01, math.NaN()}},
		"arc":       {func(s *Setting, v float64) { s.ArcRadiusMM = v }, []float64{2.5, -2.5, 1e6, -1e6, 0}, []float64{2.49, -2.49, 1.01e6, -1.01e6, math.NaN()}},
		"tolerance": {func(s *Setting, v float64) { s.ToleranceMM = v }, []float64{1e-4, 0.5, 0}, []float64{0.99e-4, 0.51, -0.01, math.NaN()}},
		"bridges":   {func(s *Setting, v float64) { s.BridgeMM = v }, []float64{0, 0.001, 2.5}, []float64{-0.001, 2.51, math.NaN()}},
		"align":     {func(s *Setting, v float64) { s.Align = Align(v) }, []float64{float64(Left), float64(Center), float64(Right)}, []float64{float64(Left) - 1, float64(Right) + 1}},
	} {
		for _, v := range c.good {
			s := good
			c.set(&s, v)
			_, err := s.check()
			assert.NoError(t, err, "%s %g", name, v)
		}
		for _, v := range c.beyond {
			s := good
			c.set(&s, v)
			_, err := s.check()
			assert.Error(t, err, "%s %g", name, v)
		}
	}
	s, err := good.check()
	require.NoError(t, err)
	assert.Equal(t, 0.01, s.ToleranceMM, "when none is given")
}

// A letter with a mark is the letter, moved to the side at most, and its mark over or under
// its middle; it takes no less room than the letter, and no stroke stands outside.
func TestAMarkedLetterIsItsLetterAndItsMark(t *testing.T) {
	f := alphabet()
	seen := 0
	for r := rune(0xc0); r < 0x180; r++ {
		parts := []rune(norm.NFD.String(string(r)))
		base, known := f.letters[parts[0]]
		if _, own := f.letters[r]; own || !known || len(parts) != 2 {
			continue
		}
		m, known := f.marks[parts[1]]
		if !known {
			continue
		}
		seen++
		if m.where == "over" {
			base = f.dotless(parts[0])
		}
		g, err := f.glyph(r)
		require.NoError(t, err)
		require.Len(t, g.strokes, len(base.strokes)+len(m.strokes), "%c", r)
		moved := g.left - base.left
		assert.GreaterOrEqual(t, moved, 0.0)
		for i, p := range base.strokes {
			for k, v := range p.Vertices() {
				got := g.strokes[i].Vertices()[k]
				require.InDelta(t, v.X+moved, got.X, 1e-9, "%c", r)
				require.InDelta(t, v.Y, got.Y, 1e-9, "%c", r)
			}
		}
		letter, mark := bounds(g.strokes[:len(base.strokes)]), bounds(g.strokes[len(base.strokes):])
		own := bounds(m.strokes)
		assert.InDelta(t, own.Width(), mark.Width(), 1e-9)
		switch m.where {
		case "over":
			assert.InDelta(t, letter.Max.Y+own.Min.Y, mark.Min.Y, 1e-9, "%c", r)
			assert.InDelta(t, (letter.Min.X+letter.Max.X)/2+own.Min.X, mark.Min.X, 1e-9, "%c", r)
		case "foot":
			assert.InDelta(t, own.Min.Y, mark.Min.Y, 1e-9, "%c", r)
		}
		all := bounds(g.strokes)
		assert.GreaterOrEqual(t, all.Min.X, min(leastRoom, bounds(base.strokes).Min.X)-1e-9, "%c", r)
		assert.GreaterOrEqual(t, g.advance, base.advance+moved, "%c", r)
		assert.GreaterOrEqual(t, g.advance-all.Max.X, min(leastRoom, base.advance-bounds(base.strokes).Max.X)-1e-9, "%c", r)
		assert.InDelta(t, math.Max(base.advance+moved, all.Max.X+leastRoom), g.advance, 1e-9, "%c", r)
	}
	assert.Greater(t, seen, 60)
}

// A curve's end is the next one's beginning: a contour has each of its points once.
func TestAContourHasEachPointOnce(t *testing.T) {
	at := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	c, err := fitContour([]curve{{at(0, 0), at(10, 0)}, {at(10, 0), at(15, 0), at(15, 5)}, {at(15, 5), at(0, 5)}, {at(0, 5), at(0, 0)}, {at(0, 0), at(0, 0)}}, 2, 0.01)
	require.NoError(t, err)
	v := c.Vertices()
	assert.InDelta(t, 2*2*(75-12.5+12.5*2/3), c.Area(), 0.1, "a parabola fills two thirds of its triangle")
	for i, p := range v {
		assert.Greater(t, p.DistanceTo(v[(i+1)%len(v)].Point), joinMM)
	}
}

// On equal ways a quarter is a quarter of a circle, to either side; a turn that is given is
// the arc's sweep.
func TestQuartersAndTurns(t *testing.T) {
	for _, c := range []struct {
		to     string
		center geometry.Point
		sweep  float64
	}{
		{"(6,6", geometry.Point{Y: 6}, math.Pi / 2}, {")6,6", geometry.Point{X: 6}, -math.Pi / 2},
		{")6,-6", geometry.Point{Y: -6}, -math.Pi / 2}, {"(-6,6", geometry.Point{X: -6}, math.Pi / 2},
		{"(180:6,0", geometry.Point{X: 3}, math.Pi}, {")180:6,0", geometry.Point{X: 3}, -math.Pi}, {"(90:6,0", geometry.Point{X: 3, Y: 3}, math.Pi / 2},
	} {
		path, err := alphabet().readPath([]string{"0,0", c.to})
		require.NoError(t, err, c.to)
		n := 0
		for s := range path[0].Segments() {
			n++
			assert.InDelta(t, c.sweep, s.Sweep(), 1e-9, c.to)
			assert.InDelta(t, 0, s.Center().DistanceTo(c.center), 1e-9, "%s: %v", c.to, s.Center())
		}
		assert.Equal(t, 1, n, c.to)
	}
}
