package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Away from a whole line by the height over it, from a whole circle by the difference of the
// radii; and along it as far as the angle goes: by their definitions.
func TestCurveByDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(what string) Point {
			return Point{rapid.Float64Range(-50, 50).Draw(t, what+" x"), rapid.Float64Range(-50, 50).Draw(t, what+" y")}
		}
		s := Segment{at("a"), at("b"), rapid.SampledFrom([]float64{0, 0.2, -0.2, 0.9, -0.9, 0.01}).Draw(t, "bulge")}
		if s.Chord() < 1 {
			t.Skip("too short")
		}
		c, p := newCurve(s), at("p")
		share := rapid.Float64Range(-0.3, 1.3).Draw(t, "share")
		if s.Bulge == 0 {
			d := s.B.Sub(s.A).Scale(1 / s.Chord())
			assert.InDelta(t, math.Abs(p.Sub(s.A).Cross(d)), c.off(p), 1e-9)
			assert.InDelta(t, p.Sub(s.A).Dot(d)/s.Chord(), c.along(p), 1e-9)
			return
		}
		center, radius := s.Center(), s.Radius()
		assert.InDelta(t, math.Abs(p.DistanceTo(center)-radius), c.off(p), 1e-7*(1+radius))
		assert.InDelta(t, radius, c.radius, 1e-9*radius)
		assert.InDelta(t, s.Length(), c.length, 1e-9*radius)
		if math.Abs(s.Sweep())*1.3 < math.Pi {
			on := center.Add(s.A.Sub(center).turn(math.Sincos(share * s.Sweep())))
			assert.InDelta(t, share, c.along(on), 1e-7)
			within, ok := c.touches(on, 1e-6)
			if share > 1e-6 && share < 1-1e-6 {
				assert.True(t, ok)
				assert.InDelta(t, share, within, 1e-7)
			}
			if share < -1e-2 || share > 1+1e-2 {
				assert.False(t, ok)
			}
		}
		box := EmptyBox()
		for i := range 201 {
			q := s.At(float64(i) / 200)
			box = box.Union(Box{q, q})
		}
		assert.LessOrEqual(t, math.Abs(c.box.Width()-box.Width())+math.Abs(c.box.Height()-box.Height()), 1e-4*(1+radius))
	})
}

// spread interleaves with zeros, bit by bit.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Uint32Range(0, 1<<16-1).Draw(t, "v")
		want := uint32(0)
		for bit := range 16 {
			want |= v >> bit & 1 << (2 * bit)
		}
		assert.Equal(t, want, spread(v))
	})
}

// On a square grid the order is that of Morton (1966): quarter by quarter, each of them so.
func TestMortonOrderGoesQuarterByQuarter(t *testing.T) {
	const side = 8
	var boxes []Box
	for i := range side * side {
		p := Point{float64(i % side), float64(i / side)}
		boxes = append(boxes, Box{p, p})
	}
	var quarter func(x, y, size int) []int
	quarter = func(x, y, size int) []int {
		if size == 1 {
			return []int{y*side + x}
		}
		half := size / 2
		return append(append(quarter(x, y, half), quarter(x+half, y, half)...), append(quarter(x, y+half, half), quarter(x+half, y+half, half)...)...)
	}
	var got []int
	for _, key := range mortonOrder(len(boxes), func(i int) Box { return boxes[i] }) {
		got = append(got, int(key&0xffffffff))
	}
	assert.Equal(t, quarter(0, 0, side), got)
}

// A place on an arc is as far along as its angle goes, also on arcs of more than half a turn, and as
// far beyond an end as there is room for before the other is nearer.
func TestAlongLongArcs(t *testing.T) {
	for _, bulge := range []float64{0.3, -0.9, 1, -1.5, 2, 5, -20} {
		s := Segment{Point{3, 4}, Point{-7, 20}, bulge}
		c := newCurve(s)
		for share := -0.2; share < 1.2; share += 0.05 {
			if math.Abs((share-0.5)*s.Sweep()) < 0.99*math.Pi {
				on := s.Center().Add(s.A.Sub(s.Center()).turn(math.Sincos(share * s.Sweep())))
				assert.InDelta(t, share, c.along(on), 1e-9, "bulge %v", bulge)
			}
		}
	}
}
