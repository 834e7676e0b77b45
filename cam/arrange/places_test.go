package arrange

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// rect is a pocket's own box in mm, notches left out.
type rect struct{ x0, y0, x1, y1 float64 }

// rectsOf are the new pockets of a tray, worked out from the text of the job:
// corner, size, grid and pitch.
func rectsOf(one job.Tray) (list []rect) {
	for _, p := range one.Pockets {
		l, w := p.Length.MM(), p.Width.MM()
		if p.Shape == job.RoundShape {
			l, w = p.Diameter.MM(), p.Diameter.MM()
		}
		for c := range p.Columns {
			for r := range p.Rows {
				x, y := p.X.MM()+float64(c)*p.PitchX.MM(), p.Y.MM()+float64(r)*p.PitchY.MM()
				if p.For != "" {
					list = append(list, rect{x, y, x + l, y + w})
				}
			}
		}
	}
	return list
}

func (a rect) distance(b rect) float64 {
	return math.Hypot(max(0, b.x0-a.x1, a.x0-b.x1), max(0, b.y0-a.y1, a.y0-b.y1))
}

// toRim is how far the corners of a rectangle are from the rim of a tray with
// rounded corners.
func (a rect) toRim(l, w, corner float64) float64 {
	least := math.Inf(1)
	for _, p := range [][2]float64{{a.x0, a.y0}, {a.x0, a.y1}, {a.x1, a.y0}, {a.x1, a.y1}} {
		x, y := min(p[0], l-p[0]), min(p[1], w-p[1])
		d := min(x, y)
		if x < corner && y < corner {
			d = corner - math.Hypot(corner-x, corner-y)
		}
		least = min(least, d)
	}
	return least
}

// Walls and edges by true distance, each piece once, and stacks that are no
// higher than their case, of sheets that are sold.
func TestWallsEdgesAndStacks(t *testing.T) {
	measured, arranged := 0, 0
	for n := range 80 {
		j := seeded(n)
		r := run(t, j, func(in *Input) { in.Try = 0 })
		if r.Job == nil {
			continue
		}
		arranged++
		var ids []string
		for _, one := range r.Job.Trays {
			ids = append(ids, one.ID)
			if one.Halves == 2 {
				continue
			}
			list := rectsOf(one)
			for i, a := range list {
				assert.GreaterOrEqual(t, a.toRim(one.Length.MM(), one.Width.MM(), one.Corner.MM()), one.Edge.MM()-1e-6, "%d %s", n, one.ID)
				for _, b := range list[:i] {
					measured++
					assert.GreaterOrEqual(t, a.distance(b), one.Wall.MM()-1e-6, "%d %s", n, one.ID)
				}
			}
		}
		for _, p := range j.Roster {
			assert.Equal(t, p.Count, placesFor(r.Job, ids, p.ID), "%d %s", n, p.ID)
		}
		for _, c := range r.Job.Cases {
			checkStack(t, r.Job, c)
		}
	}
	assert.Greater(t, measured, 1000)
	assert.Greater(t, arranged, 40)
}

func checkStack(t *testing.T, j *job.Job, c job.Case) {
	var sum units.Length
	for _, id := range c.Stack {
		at := slices.IndexFunc(j.Trays, func(one job.Tray) bool { return one.ID == id })
		require.GreaterOrEqual(t, at, 0, id)
		for _, l := range j.Trays[at].Layers {
			foam, _ := catalog(t).Foam(l.Foam)
			assert.Contains(t, foam.Thicknesses, l.Thickness)
			sum += l.Thickness
		}
	}
	assert.LessOrEqual(t, sum, c.Inside.Height, c.Name)
}

// The thinnest pad that holds a piece of 18 mm is 20 mm; with a base of 6.35 mm
// and the thinnest cover, 6 mm, the stack is 32.35 mm: exactly that fills the
// case, and a nanometre less is too low.
func TestThinnestPadAndExactStack(t *testing.T) {
	j := bench(piece("urchin", "g", 4, 22, 22, 18, job.Upright))
	j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(mmOf(32.35))}}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	require.Equal(t, []string{"reef-cover", "reef-tray-1"}, r.Job.Cases[0].Stack)
	var got []units.Length
	for _, one := range r.Job.Trays {
		for _, l := range one.Layers {
			got = append(got, l.Thickness)
		}
	}
	assert.Equal(t, []units.Length{6 * mm, 20 * mm, inch / 4}, got)
	assert.Equal(t, 1, r.Trays[0].TraysMin)

	j.Cases[0].Inside.Height--
	r = run(t, j)
	require.Nil(t, r.Job)
	assert.Contains(t, r.Findings[0].Message, "at least 0.000001 mm higher than the 32.349999 mm inside")
}

// Without a base the pad is its own floor: a router leaves 2 mm, a beam cuts
// through and the sheet below is the floor.
func TestPadWithoutBase(t *testing.T) {
	for machine, want := range map[string]units.Length{"bench-router": 25_400_000, "bench-laser": 20 * mm} {
		j := bench(piece("urchin", "g", 4, 22, 22, 19, job.Upright))
		j.Machine, j.Defaults.Layers = machine, j.Defaults.Layers[:1]
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(want + 6*mm)}}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		last := r.Job.Trays[len(r.Job.Trays)-1]
		assert.Equal(t, []job.Layer{{Foam: "pe-30", Thickness: want}}, last.Layers, machine)
	}
}

// The rim of a rounded corner: a box of 10 mm edge in a corner of 40 mm lies
// where its corner is 30 mm from the arc's centre, by Pythagoras 18 and 24.
func TestWithinARoundedCorner(t *testing.T) {
	r := room{length: 200 * mm, width: 150 * mm, corner: 40 * mm, edge: 10 * mm}
	for _, c := range []struct {
		x, y float64
		ok   bool
	}{{22, 16, true}, {16, 22, true}, {21.99, 16, false}, {22, 15.99, false}, {40, 10, true}, {39, 10, false}, {10, 40, true}, {9.99, 50, false}, {50, 9.99, false}} {
		x, y := mmOf(c.x), mmOf(c.y)
		for _, b := range []box{
			{x, y, x + 50*mm, y + 40*mm},
			{200*mm - x - 50*mm, y, 200*mm - x, y + 40*mm},
			{x, 150*mm - y - 40*mm, x + 50*mm, 150*mm - y},
			{200*mm - x - 50*mm, 150*mm - y - 40*mm, 200*mm - x, 150*mm - y},
		} {
			assert.Equal(t, c.ok, r.within(b), "%+v", c)
		}
	}
}
