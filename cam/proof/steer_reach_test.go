package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
	"traywright/profiles"
)

// A blade 2 mm long reaches half of that on along its circle, as an angle of reach over radius; on a circle whose
// radius is no more than its half it cannot follow, and where it would come round to its own beginning it ends there.
func TestHowFarABladeReachesOnAnArc(t *testing.T) {
	b := &steering{tool: profiles.Tool{ChordMM: profiles.Number{Value: 2}}, reach: 1}
	on := func(r, angle float64) Point {
		return Point{Point: geometry.Point{X: 7 + r*math.Cos(angle), Y: 3 + r*math.Sin(angle)}}
	}
	for _, c := range []struct {
		r, turn float64
		reaches bool
	}{
		{5, math.Pi / 2, true}, {5, -math.Pi / 2, true}, {1.01, 1, true}, {1, 1, false}, {0.4, 1, false},
		{5, 2*math.Pi - 0.19, false}, {5, 2*math.Pi - 0.21, true}, {5, 0.21 - 2*math.Pi, true}, {5, 0.19 - 2*math.Pi, false},
	} {
		m := Motion{Arc: true, CCW: c.turn > 0, From: on(c.r, 0.3), To: on(c.r, 0.3+c.turn), Center: geometry.Point{X: 7, Y: 3}}
		before, behind := 0.0, 0.0
		if c.reaches {
			before, behind = math.Copysign(1/c.r, -c.turn), math.Copysign(1/c.r, c.turn)
		}
		for end, want := range map[bool]Point{false: on(c.r, 0.3+before), true: on(c.r, 0.3+c.turn+behind)} {
			assert.InDelta(t, 0, want.DistanceTo(b.extended(m, end)), 1e-9, "%+v, end %v", c, end)
		}
	}
	straight := Motion{From: Point{Point: geometry.Point{X: 1}}, To: Point{Point: geometry.Point{X: 4, Y: 4}}}
	assert.InDelta(t, 0, b.extended(straight, true).DistanceTo(geometry.Point{X: 4.6, Y: 4.8}), 1e-9)
	assert.InDelta(t, 0, b.extended(straight, false).DistanceTo(geometry.Point{X: 0.4, Y: -0.8}), 1e-9)
	down := Motion{From: Point{Point: geometry.Point{X: 1}}, To: Point{Point: geometry.Point{X: 1}, Z: -3}}
	assert.Equal(t, down.To.Point, b.extended(down, true))
}

// How high over foam what does not cut has to pass, mm: by whose program it is, and how it goes there.
func TestHowHighOverFoam(t *testing.T) {
	m := func(rapid, flat bool) Motion {
		to := Point{Z: 1}
		if flat {
			to.X = 9
		}
		return Motion{Rapid: rapid, From: Point{Z: 1}, To: to}
	}
	const least = leastAboveMM - slackMM
	for _, c := range []struct {
		what                             string
		ours, planned                    bool
		rapid, slow, rapidDown, slowDown float64
	}{
		{"with its job", true, true, 0, least, least, 0},
		{"a foreign one with a job", false, true, 0, least, least, 0},
		{"ours", true, false, 2.5, least, least, 0},
		{"a foreign one", false, false, least, 0, 0, 0},
	} {
		d := &run{ours: c.ours}
		d.setup.Machine.ClearanceMM.Value = 5
		if c.planned {
			d.want = &Wanted{}
		}
		assert.Equal(t, []float64{c.rapid, c.slow, c.rapidDown, c.slowDown}, []float64{d.overMM(m(true, true)), d.overMM(m(false, true)), d.overMM(m(true, false)), d.overMM(m(false, false))}, c.what)
		d.setup.Machine.ClearanceMM.Value = 0.5
		if c.rapid > 0 {
			assert.Equal(t, least, d.overMM(m(true, true)), c.what)
		}
	}
}
