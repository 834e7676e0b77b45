package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Every exact formula of a sweep against many small steps along its path.

func drawPoint(t *rapid.T, name string) geometry.Point {
	c := rapid.Float64Range(-20, 20)
	return geometry.Point{X: c.Draw(t, name+" x"), Y: c.Draw(t, name+" y")}
}

// drawSweep is a random line, arc of up to half a turn, or plunge.
func drawSweep(t *rapid.T) sweep {
	depth := rapid.Float64Range(0, 30)
	m := Motion{From: Point{Point: drawPoint(t, "from")}, Arc: rapid.Bool().Draw(t, "arc"), CCW: rapid.Bool().Draw(t, "ccw")}
	switch {
	case m.Arc:
		m.Center = drawPoint(t, "center")
		turn := rapid.Float64Range(0.01, math.Pi).Draw(t, "turn")
		if !m.CCW {
			turn = -turn
		}
		sin, cos := math.Sincos(turn)
		q := m.From.Sub(m.Center)
		m.To.Point = m.Center.Add(geometry.Point{X: cos*q.X - sin*q.Y, Y: sin*q.X + cos*q.Y})
	case rapid.Bool().Draw(t, "plunge"):
		m.To.Point = m.From.Point
	default:
		m.To.Point = drawPoint(t, "to")
	}
	radius := rapid.Float64Range(0.1, 8).Draw(t, "radius")
	a, b := depth.Draw(t, "depth a"), depth.Draw(t, "depth b")
	if rapid.Bool().Draw(t, "level") {
		b = a
	}
	return sweepsOf(0, m, radius, a, b)[0]
}

const pathSteps = 4000

func TestSweepDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := drawSweep(t), drawPoint(t, "p")
		depth := rapid.Float64Range(-1, 31).Draw(t, "depth")
		want := math.Inf(1)
		for i := range pathSteps + 1 {
			part := float64(i) / pathSteps
			if s.depthAt(part) >= depth {
				want = math.Min(want, p.DistanceTo(s.at(part)))
			}
		}
		got := s.distance(p, depth)
		if math.IsInf(want, 1) {
			return // only a sliver, if anything, is that deep
		}
		require.LessOrEqual(t, got, want+1e-9)
		require.InDelta(t, want, got, 150.0/pathSteps)
	})
}

func TestSweepDepthOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := drawSweep(t), drawPoint(t, "p")
		want, covered := 0.0, false
		for i := range pathSteps + 1 {
			part := float64(i) / pathSteps
			if p.DistanceTo(s.at(part)) <= s.radius {
				want, covered = math.Max(want, s.depthAt(part)), true
			}
		}
		got, ok := s.depthOver(p)
		if covered {
			require.True(t, ok)
			require.GreaterOrEqual(t, got, want-1e-9)
		}
		if near := s.distance(p, math.Inf(-1)); ok {
			require.LessOrEqual(t, near, s.radius+1e-6)
		} else {
			require.GreaterOrEqual(t, near, s.radius-1e-6)
		}
	})
}

// A point of a row is covered exactly when its distance says so.
func TestSweepSpans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSweep(t)
		p := drawPoint(t, "p")
		if rapid.Bool().Draw(t, "near an end") {
			p = s.at(rapid.SampledFrom([]float64{0, 1}).Draw(t, "end")).Add(p.Scale(s.radius / 15))
		}
		list, n := s.spans(p.Y, s.radius)
		covered := false
		for _, i := range list[:n] {
			covered = covered || i.low <= p.X && p.X <= i.high
		}
		switch d := s.distance(p, math.Inf(-1)); {
		case d < s.radius-1e-6:
			require.True(t, covered)
		case d > s.radius+1e-6:
			require.False(t, covered)
		}
	})
}

func TestSweepBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSweep(t)
		box, seen := s.bounds(), geometry.EmptyBox()
		for i := range pathSteps + 1 {
			p := s.at(float64(i) / pathSteps)
			seen = seen.Union(geometry.Box{Min: p, Max: p})
		}
		for _, pair := range [4][2]float64{{box.Min.X, seen.Min.X}, {box.Min.Y, seen.Min.Y}, {box.Max.X, seen.Max.X}, {box.Max.Y, seen.Max.Y}} {
			require.InDelta(t, pair[0], pair[1], 1e-4)
		}
	})
}

// A row beyond the end of a line that is nearly square to it meets the end disc
// only, and none of the band.
func TestSweepSpansBeyondAnEnd(t *testing.T) {
	for _, tilt := range []float64{0, 1e-12, 0.02, -0.02, 1} {
		s := sweep{a: geometry.Point{X: 20 + tilt, Y: 107}, b: geometry.Point{X: 20, Y: 22}, edge: edge{1.5, upright}}
		list, n := s.spans(22-1.4, s.radius)
		require.Equal(t, 1, n)
		half := math.Sqrt(1.5*1.5 - 1.4*1.4)
		require.InDelta(t, 20-half, list[0].low, 1e-9, "tilt %v", tilt)
		require.InDelta(t, 20+half, list[0].high, 1e-9, "tilt %v", tilt)
	}
}
