package read

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// The arc check value of NISTIR 6556 3.5.3.2: from X7 Y7, "G17 G2 x10 y16 i3
// j4 z9" has its centre at 10, 11 and a radius of 5.
func TestReaderArcOfTheStandard(t *testing.T) {
	trace := Program([]byte("G21 G90 F100\nG0 x7 y7 z0\nG17 G2 x10 y16 i3 j4 z9\nM2"), Options{})
	require.Empty(t, trace.Findings)
	arc := trace.Steps[1]
	assert.Equal(t, ArcCW, arc.Action)
	assert.Equal(t, geometry.Point{X: 10, Y: 11}, arc.Center)
	assert.Equal(t, 5.0, arc.From.XY().DistanceTo(arc.Center))
	assert.Equal(t, Place{X: 10, Y: 16, Z: 9}, arc.To)
	// Clockwise from (-3, -4) to (0, 5): 4 in 5 below the left, then up to the top.
	assert.InDelta(t, -(math.Pi/2 + math.Atan2(4, 3)), arc.sweep(), 1e-12)
	// Helical length, NISTIR 6556 2.1.2.6.
	assert.InDelta(t, math.Hypot(5*arc.sweep(), 9), arc.length(), 1e-12)
}

// NISTIR 6556 3.5.3.1: the four arcs with R, and their centres by hand.
func TestReaderRadiusArcs(t *testing.T) {
	for _, c := range []struct {
		line   string
		center geometry.Point
		turn   float64
	}{
		{"G3 X6 R5 F1", geometry.Point{X: 3, Y: 4}, 2 * math.Asin(0.6)},
		{"G2 X6 R5 F1", geometry.Point{X: 3, Y: -4}, -2 * math.Asin(0.6)},
		{"G3 X6 R-5 F1", geometry.Point{X: 3, Y: -4}, 2*math.Pi - 2*math.Asin(0.6)},
		{"G2 X6 R-5 F1", geometry.Point{X: 3, Y: 4}, 2*math.Asin(0.6) - 2*math.Pi},
	} {
		trace := Program([]byte("G21 G90 G17\nG0 X0 Y0 Z0\n"+c.line+"\nM2"), Options{})
		require.Empty(t, trace.Findings)
		s := trace.Steps[1]
		assert.InDelta(t, c.center.X, s.Center.X, 1e-12, c.line)
		assert.InDelta(t, c.center.Y, s.Center.Y, 1e-12, c.line)
		assert.InDelta(t, c.turn, s.sweep(), 1e-12, c.line)
	}
}

func TestStepThatDoesNotMove(t *testing.T) {
	assert.Zero(t, Step{}.length())
	assert.Zero(t, Step{}.sweep())
}

// Arcs about 3, 4 with a radius of 5, both ways, from any angle to any other: the angle turned is
// what was meant, by hand, in (0, a whole turn].
func TestArcsTurnAsFarAsMeant(t *testing.T) {
	for from := 0.0; from < 6.2; from += 0.7 {
		for _, turn := range []float64{0.01, 0.5, 0.99, 1.5, math.Pi - 0.01, math.Pi + 0.01, 4, 5.5, 6.2, 2 * math.Pi} {
			for action, way := range map[Action]float64{ArcCCW: 1, ArcCW: -1} {
				place := func(angle float64) Place { return Place{X: 3 + 5*math.Cos(angle), Y: 4 + 5*math.Sin(angle)} }
				s := Step{Action: action, Center: geometry.Point{X: 3, Y: 4}, From: place(from), To: place(from + way*turn)}
				assert.InDelta(t, way*turn, s.sweep(), 1e-9, "from %v", from)
				assert.InDelta(t, 5*turn, s.length(), 1e-8)
			}
		}
	}
}
