package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry"
)

// outlined is the form of a drawing.
func outlined(r geometry.Region) form {
	d := newDrawn(r)
	box := d.shape.Bounds()
	return form{name: "outline", length: box.Width(), width: box.Height(), outline: d}
}

// corners is a drawing of straight lines.
func corners(xy ...float64) geometry.Region {
	var list []geometry.Point
	for i := 0; i < len(xy); i += 2 {
		list = append(list, geometry.Point{X: xy[i], Y: xy[i+1]})
	}
	return geometry.NewRegion(geometry.Polygon(list...))
}

// A drawn pocket's notch sits on its outline, not on its box: each row has the half disc's middle worked out by hand, or says
// that there is none.
func TestNotchesOfDrawings(t *testing.T) {
	hook := corners(0, 0, 90, 0, 90, 50, 65, 50, 65, 25, 25, 25, 25, 70, 0, 70)
	mouth := func(wide float64) geometry.Region { // legs of 18 mm
		return corners(0, 0, 36+wide, 0, 36+wide, 60, 18+wide, 60, 18+wide, 20, 18, 20, 18, 60, 0, 60)
	}
	ring := geometry.NewRegion(geometry.Circle(geometry.Point{X: 50, Y: 50}, 50), geometry.Circle(geometry.Point{X: 50, Y: 50}, 46).Reverse())
	for _, c := range []struct {
		name  string
		shape geometry.Region
		side  job.Side
		x, y  float64
		none  bool
		wide  float64 // widest that the side takes; 0 where the row does not say
	}{
		{"on the longer leg", hook, job.North, 12.5, 70, false, 0},
		{"under all of it", hook, job.South, 45, 0, false, 90},
		{"beside the leg", hook, job.West, 0, 35, false, 70},
		{"beside the shorter leg", hook, job.East, 90, 25, false, 50},
		{"in a mouth that keeps 6 mm on both sides", mouth(32.5), job.North, 34.25, 20, false, 20.5},
		{"in a narrower mouth", mouth(31), job.North, 0, 0, true, 0},
		{"on a ring, not in it", ring, job.North, 50, 100, false, 0},
		{"on a point", corners(0, 0, 60, 0, 30, 40), job.North, 0, 0, true, 0},
		{"on a roof of 45 degrees", corners(0, 0, 80, 0, 80, 10, 40, 50, 0, 10), job.North, 0, 0, true, 0},
		{"on a small square", corners(0, 0, 19, 0, 19, 19, 0, 19), job.North, 0, 0, true, 19},
		{"on a square of a finger's breadth", corners(0, 0, 20, 0, 20, 20, 0, 20), job.North, 10, 20, false, 20},
	} {
		f := outlined(c.shape)
		l, ok := f.outline.sky(c.side).ledge(notchWidthMM)
		require.Equal(t, !c.none, ok, c.name)
		if c.wide > 0 {
			assert.InDelta(t, c.wide-0.3, f.longestNotch(c.side), 0.4, "%s: looked at to a quarter of a millimetre", c.name)
		}
		if c.none {
			continue
		}
		at := geometry.Point{X: l.along, Y: l.out}.Transform(geometry.Rotate(outward(c.side), geometry.Point{})).Add(middle(f.box()))
		assert.InDelta(t, c.x, at.X, 0.15, c.name)
		assert.InDelta(t, c.y, at.Y, 0.15, c.name)
		p, err := newMaker(Input{Job: &job.Job{}}).pattern(patternKey{form: f, notch: c.side})
		require.NoError(t, err)
		assert.Len(t, p.bare.Contours(), len(c.shape.Contours()), "%s: no hole and no island more", c.name)
		assert.GreaterOrEqual(t, p.bare.Area()-c.shape.Area(), 0.97*math.Pi*50, "%s: a half disc of 20 mm", c.name)
	}
}

// rough draws a shape: heaps of bars and discs, or a blob, some with holes.
func rough(r *rand.Rand) geometry.Region {
	if r.IntN(3) == 0 {
		var list []geometry.Point
		n := 12 + r.IntN(60)
		size, ripple, waves := 20+50*r.Float64(), 0.4*r.Float64(), float64(2+r.IntN(7))
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			d := size * (1 + ripple*math.Sin(a*waves) + 0.02*r.Float64())
			list = append(list, geometry.Point{X: d * math.Cos(a), Y: d * math.Sin(a)})
		}
		return geometry.NewRegion(geometry.Polygon(list...))
	}
	var parts []geometry.Region
	for range 2 + r.IntN(5) {
		at := geometry.Point{X: 80 * r.Float64(), Y: 80 * r.Float64()}
		c := geometry.Circle(at, 5+25*r.Float64())
		if r.IntN(3) > 0 {
			c = geometry.Rectangle(geometry.Box{Min: at, Max: at.Add(geometry.Point{X: 6 + 60*r.Float64(), Y: 6 + 60*r.Float64()})}, 0)
		}
		parts = append(parts, geometry.NewRegion(c).Transform(geometry.Rotate(float64(r.IntN(4))*0.2, at)))
	}
	shape, err := geometry.Union(1e-6, parts...)
	if err != nil || len(shape.Pieces()) > 1 {
		return rough(r)
	}
	return shape
}

// Whatever is drawn, a notch that is cut leaves as many contours as there were, begins at the outline, takes at least most of
// a half disc of foam, and has nothing of the outline in front of it: looked at along lines outward, with the drawing alone.
func TestNotchesOfAnyDrawing(t *testing.T) {
	cut, none := 0, 0
	for seed := range uint64(120) {
		r := rand.New(rand.NewPCG(seed, 19))
		shape := rough(r)
		for _, side := range allSides {
			f := outlined(shape)
			l, ok := f.outline.sky(side).ledge(notchWidthMM)
			if !ok {
				none++
				continue
			}
			cut++
			p, err := newMaker(Input{Job: &job.Job{}}).pattern(patternKey{form: f, notch: side})
			require.NoError(t, err, "seed %d", seed)
			assert.Len(t, p.bare.Contours(), len(shape.Contours()), "seed %d, side %d", seed, side)
			assert.GreaterOrEqual(t, p.bare.Area()-shape.Area(), 0.85*math.Pi*50, "seed %d, side %d", seed, side)
			turn := geometry.Rotate(outward(side), geometry.Point{})
			point := func(x, y float64) geometry.Point {
				return geometry.Point{X: l.along + x, Y: l.out + y}.Transform(turn).Add(middle(f.box()))
			}
			near := math.Inf(1)
			for _, c := range f.outline.shape.Contours() {
				for s := range c.Segments() {
					_, d := s.Nearest(point(0, 0))
					near = min(near, d)
				}
			}
			assert.Less(t, near, 0.5, "seed %d, side %d: its middle is on the outline", seed, side)
			walls := geometry.NewWalls(f.outline.shape)
			for y := 4.0; y < 200; y += 0.5 {
				for _, x := range [...]float64{-9.5, -5, 0, 5, 9.5} {
					require.False(t, walls.Contains(point(x, y)), "seed %d, side %d: the outline stands in front of it", seed, side)
				}
			}
		}
	}
	assert.Greater(t, cut, 200)
	assert.Greater(t, none, 20)
}

// A drawing's side without a place for a notch is told, with a side that has one, and what the hint says is cut.
func TestNoPlaceForNotch(t *testing.T) {
	tip, diamond := corners(0, 0, 60, 0, 30, 40), corners(30, 0, 60, 30, 30, 60, 0, 30)
	for _, c := range []struct {
		shape geometry.Region
		hint  string
		then  job.Side
	}{
		{tip, "write `notch: s` on this pocket; it is said as the drawing lies, before it is turned", job.South},
		{diamond, "none of its sides has one: write `access: none` on this pocket where the piece can be taken by its top, or draw a hollow for a finger", 0},
	} {
		notched := func(side job.Side) *maker {
			m, p := newMaker(Input{Job: &job.Job{}}), &job.Pocket{Notch: side}
			made, err := m.pattern(patternKey{form: outlined(c.shape), notch: side})
			require.NoError(t, err)
			tray := &job.Tray{}
			wide := &board{Tray: Tray{Length: mm(200), Width: mm(200)}, source: tray, holes: []*hole{{pattern: made, source: p, at: place{text: "pocket 1"}}}}
			p.X, p.Y = mm(50), mm(50)
			m.checkNotches(wide)
			return m
		}
		m := notched(job.North)
		found := m.log.list()
		require.Len(t, found, 1)
		assert.Equal(t, "no-place-for-notch", found[0].Rule)
		assert.Equal(t, "pocket 1: has no place for a notch on its north side: nowhere there is its outline straight enough, with foam in front of it; none is cut", found[0].Where+": "+found[0].Message)
		assert.Equal(t, c.hint, found[0].Hint)
		assert.Empty(t, notched(c.then).log.list())
	}
}
