package kerf

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// designed is a coupon on a shipped machine, changed before anything asks it.
func designed(t require.TestingT, machine string, spec CouponSpec, change func(*profiles.Machine)) (*Coupon, finding.List) {
	c := catalog(t)
	m, ok := c.Machine(machine)
	require.True(t, ok)
	if change != nil {
		change(&m)
	}
	return DesignCoupon(CouponInput{
		CouponSpec: spec, Catalog: c, Machine: m, Means: process.MeansOf(m),
		Recipe: func(foam, tool string) (profiles.Recipe, bool) { return c.Recipe(foam, machine, tool) },
	})
}

// lengthsOf are so many mm each.
func lengthsOf(list ...float64) []units.Length {
	var lengths []units.Length
	for _, v := range list {
		lengths = append(lengths, length(v))
	}
	return lengths
}

// A coupon as large as the bed, less the tool on both sides, fits it; on a bed a
// thousandth smaller it does not.
func TestCouponAsLargeAsTheBed(t *testing.T) {
	for machine, tool := range map[string]float64{"bench-router": 3.175, "bench-laser": 0.4} {
		spec := CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(60)}
		c, found := designed(t, machine, spec, nil)
		require.Empty(t, found)
		size := [2]float64{c.Job.Trays[0].Length.MM(), c.Job.Trays[0].Width.MM()}
		for axis := range 2 {
			for short, fits := range map[float64]bool{0: true, 0.001: false} {
				_, found := designed(t, machine, spec, func(m *profiles.Machine) {
					m.TravelMM[axis].Value = size[axis] + 2*tool - short
				})
				assert.Equal(t, fits, len(of(found, "coupon-too-large")) == 0, "%s, axis %d, %v short", machine, axis, short)
			}
		}
	}
}

// The bed is what a machine's measured scale makes of its travel, in true mm.
func TestBedInTrueMM(t *testing.T) {
	spec := CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(60)}
	c, _ := designed(t, "bench-laser", spec, nil)
	short := func(scale float64) func(*profiles.Machine) {
		return func(m *profiles.Machine) {
			m.TravelMM[0].Value = c.Job.Trays[0].Length.MM() + 2*0.4
			m.ScaleX = profiles.Number{Value: scale, Source: "measured"}
		}
	}
	_, found := designed(t, "bench-laser", spec, short(0.99))
	assert.Len(t, of(found, "coupon-too-large"), 1)
	_, found = designed(t, "bench-laser", spec, short(1.01))
	assert.Empty(t, found)
}

// A plain coupon by hand: four squares of the usual sizes with the beam's 0.4 mm,
// each with a label strip below it, in rows, upper edges in line. Half a millimetre is the grid, 8 mm
// the least wall and 10 the least edge.
func TestPlainCouponByHand(t *testing.T) {
	c, found := designed(t, "bench-laser", CouponSpec{Foam: "pe-30", Thickness: 25 * mm}, nil)
	require.Empty(t, found)
	wall, edge := math.Max(8, c.Foam.LeastWallMM.Value), math.Max(10, c.Foam.LeastEdgeMM.Value)
	// A letter of 4 mm and its stroke of 0.4, 1.5 mm free above: 5.9, on the grid 6.
	const label, margin = 6.0, 0.5
	var got []string
	for _, s := range c.Squares {
		got = append(got, fmt.Sprintf("%s at %g, %g", s.Label, s.At.X, s.At.Y))
	}
	// Two rows of 60 + 45 and 30 + 20 are 122 + 2 edges wide; three shelves of 61 take
	// more foam: 82 x 142 against 126 x 92.
	row1 := edge + (30 + 1 + label) + wall
	want := []string{
		fmt.Sprintf("60 at %g, %g", edge+margin, row1+margin+label),
		fmt.Sprintf("45 at %g, %g", edge+61+wall+margin, row1+15+margin+label),
	}
	require.Len(t, got, 4)
	assert.Equal(t, want, got[:2])
	assert.Equal(t, fmt.Sprintf("30 at %g, %g", edge+margin, edge+margin+label), got[2])
	assert.Equal(t, fmt.Sprintf("20 at %g, %g", edge+31+wall+margin, edge+10+margin+label), got[3])
	assert.Equal(t, []float64{2*edge + 61 + wall + 46, 2*edge + 67 + wall + 37}, []float64{c.Job.Trays[0].Length.MM(), c.Job.Trays[0].Width.MM()})
	assert.Len(t, c.labels, 8, "a label under each square and one on each plug")
	for _, l := range c.labels {
		assert.InDelta(t, 4, l.Box.Height(), 1.5)
	}
}

// Rows: in their order, none wider than asked, the first at the top, a wall
// between any two.
func TestShelves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &designer{coupon: Coupon{Foam: profiles.Foam{LeastWallMM: profiles.Number{Value: rapid.Float64Range(0, 20).Draw(t, "wall")}}}}
		widest, area := 0.0, 0.0
		for range rapid.IntRange(1, 8).Draw(t, "patches") {
			p := patch{width: onGrid(rapid.Float64Range(1, 80).Draw(t, "width")), height: onGrid(rapid.Float64Range(1, 80).Draw(t, "height"))}
			d.patches, widest, area = append(d.patches, p), math.Max(widest, p.width), area+p.width*p.height
		}
		width := widest + rapid.Float64Range(0, 200).Draw(t, "more")
		l := d.shelves(width)
		require.LessOrEqual(t, l.size.X, width+1e-9)
		require.GreaterOrEqual(t, l.size.X*l.size.Y, area-1e-6)
		boxes := make([]geometry.Box, len(d.patches))
		for i, p := range d.patches {
			boxes[i] = geometry.Box{Min: l.places[i], Max: l.places[i].Add(geometry.Point{X: p.width, Y: p.height})}
			require.True(t, boxes[i].Min.X >= 0 && boxes[i].Min.Y >= -1e-9 && boxes[i].Max.X <= l.size.X+1e-9 && boxes[i].Max.Y <= l.size.Y+1e-9)
			for k, b := range boxes[:i] {
				dx := math.Max(boxes[i].Min.X-b.Max.X, b.Min.X-boxes[i].Max.X)
				dy := math.Max(boxes[i].Min.Y-b.Max.Y, b.Min.Y-boxes[i].Max.Y)
				require.GreaterOrEqual(t, math.Max(dx, dy), d.wallMM()-1e-9, "%d and %d", k, i)
			}
			if i > 0 {
				below := boxes[i].Max.Y <= boxes[i-1].Min.Y-d.wallMM()+1e-9 || boxes[i].Max.Y < boxes[i-1].Max.Y
				require.True(t, below || boxes[i].Min.X >= boxes[i-1].Max.X+d.wallMM()-1e-9, "in their order")
			}
		}
	})
}

// Less foam is better; of two areas, the one nearer to a square.
func TestBetterLayout(t *testing.T) {
	of := func(x, y float64) layout { return layout{geometry.Point{X: x, Y: y}, []geometry.Point{{}}} }
	assert.True(t, of(10, 10).better(layout{}), "some is better than none")
	assert.True(t, of(10, 10).better(of(11, 11)))
	assert.False(t, of(11, 11).better(of(10, 10)))
	assert.True(t, of(20, 20).better(of(40, 10)))
	assert.False(t, of(40, 10).better(of(20, 20)))
	assert.Equal(t, of(40, 10).better(of(21, 20)), of(10, 40).better(of(20, 21)), "whichever way it lies")
}

// Up to the grid of half a millimetre, and a hair above it is on it.
func TestOnGrid(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, 0.1: 0.5, 0.5: 0.5, 0.51: 1, 3.175: 3.5, 60.0000000001: 60} {
		assert.Equal(t, want, onGrid(in), in)
		assert.Equal(t, int64(math.Round(want*2)), steps(want))
	}
}
