package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Every point of the pieces is on the scaled circle, and their heights run
// through.
func TestScaledArcsAreOnTheOval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(0.9, 1.1).Draw(t, "x"), rapid.Float64Range(0.9, 1.1).Draw(t, "y")
		r := rapid.Float64Range(0.2, 300).Draw(t, "r")
		start, turn := rapid.Float64Range(-3, 3).Draw(t, "start"), rapid.Float64Range(0.01, 2*math.Pi-0.01).Draw(t, "turn")
		m := Motion{Arc: true, CCW: rapid.Bool().Draw(t, "ccw"), Center: geometry.Point{X: 40, Y: -7}}
		place := func(a, z float64) Point {
			sin, cos := math.Sincos(a)
			return Point{m.Center.Add(geometry.Point{X: r * cos, Y: r * sin}), z}
		}
		m.From, m.To = place(start, -1), place(start+turn, -3)
		if !m.CCW {
			m.From, m.To = m.To, m.From
		}
		z := m.From.Z
		for _, p := range scaled(m, x, y) {
			assert.Equal(t, z, p.From.Z)
			z = p.To.Z
			assert.Equal(t, m.CCW, p.CCW)
			assert.True(t, p.Arc)
			from := p.From.Sub(p.Center)
			for share := 0.0; share <= 1; share += 0.1 {
				at := p.Center.Add(turned(from, share*p.sweep()))
				back := geometry.Point{X: at.X / x, Y: at.Y / y}
				// A hundredth of what a wall may be off.
				assert.InDelta(t, r, back.DistanceTo(m.Center), toleranceMM/80)
			}
		}
		assert.Equal(t, m.To.Z, z)
	})
}

func turned(p geometry.Point, angle float64) geometry.Point {
	sin, cos := math.Sincos(angle)
	return geometry.Point{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
}

// One scale leaves an arc an arc; a pass back is the pass there, oval or not.
func TestScaledPasses(t *testing.T) {
	m := Motion{Arc: true, CCW: true, From: Point{geometry.Point{X: 10}, 0}, To: Point{geometry.Point{Y: 10}, 0}}
	assert.Equal(t, Point{geometry.Point{X: 9.97}, 0}, scaled(m, 0.997, 0.997)[0].From)
	assert.Len(t, scaled(m, 0.997, 0.997), 1)
	back := m
	back.From, back.To, back.CCW = m.To, m.From, false
	d := run{}
	d.result.Motions = append(scaled(m, 0.997, 1.002), scaled(back, 0.997, 1.002)...)
	n := len(d.result.Motions) / 2
	for i, l := range d.layPasses(func(int) float64 { return 4 }) {
		assert.Equal(t, 1+i/n, l.pass, "motion %d", i)
		assert.Equal(t, float64(4+4*(i/n)), l.mm, "motion %d", i)
		assert.Equal(t, 8.0, l.inAll, "motion %d", i)
	}
}
