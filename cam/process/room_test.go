package process

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// A straight way is in the room when every point of it is; dense sampling says
// so too, save for what is nearer to the wall than the samples can tell.
func TestRoomHoldsAgreesWithSampling(t *testing.T) {
	list := shapes(t)
	rapid.Check(t, func(t *rapid.T) {
		shape := list[rapid.SampledFrom([]string{"L with notch", "ring with island", "star", "dumbbell", "two rounds"}).Draw(t, "shape")]
		w := newRoom(shape, false)
		coordinate := rapid.Float64Range(15, 125)
		a := geometry.Point{X: coordinate.Draw(t, "ax"), Y: coordinate.Draw(t, "ay")}
		b := geometry.Point{X: coordinate.Draw(t, "bx"), Y: coordinate.Draw(t, "by")}
		const steps = 2000
		worst := 1e9 // the least depth of the samples, negative outside
		for i := 0; i <= steps; i++ {
			p := a.Add(b.Sub(a).Scale(float64(i) / steps))
			d := edgeDistance(shape, p)
			if !shape.Contains(p) {
				d = -d
			}
			worst = min(worst, d)
		}
		switch between := a.DistanceTo(b) / steps; {
		case worst > between:
			assert.True(t, w.holds(a, b))
		case worst < -between:
			assert.False(t, w.holds(a, b))
		}
	})
}

func TestRoomHoldsByAHair(t *testing.T) {
	corner := geometry.NewRegion(geometry.Polygon(
		geometry.Point{}, geometry.Point{X: 40}, geometry.Point{X: 40, Y: 20}, geometry.Point{X: 20, Y: 20},
		geometry.Point{X: 20, Y: 40}, geometry.Point{Y: 40}))
	for _, c := range []struct {
		name string
		past float64 // mm by which the way misses the corner at 20, 20
		want bool
	}{
		{"free of the corner", -1e-3, true},
		{"through the corner's point", 0, true},
		{"cutting the corner", 1e-3, false},
		{"cutting it by less than a hair", 1e-5, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := geometry.Point{X: 10 + c.past, Y: 30 + c.past}
			b := geometry.Point{X: 30 + c.past, Y: 10 + c.past}
			assert.Equal(t, c.want, newRoom(corner, false).holds(a, b))
			outside := newRoom(corner, true)
			assert.False(t, outside.holds(a, b))
			assert.True(t, outside.holds(geometry.Point{X: 45}, geometry.Point{X: 45, Y: 45}))
		})
	}
}

func TestTrackParts(t *testing.T) {
	for name, shape := range shapes(t) {
		c := shape.Contours()[0]
		tr := newTrack(c)
		require.InDelta(t, c.Length(), tr.length(), 1e-9)
		for _, span := range [][2]float64{{0, tr.length()}, {-7, 0}, {3, 3 + 2.5*tr.length()}, {-2 * tr.length(), 0}, {1, 1.5}} {
			sum, at := 0.0, tr.at(span[0])
			for _, s := range tr.part(span[0], span[1]) {
				require.InDelta(t, 0, at.DistanceTo(s.A), 1e-9, name)
				sum += s.Length()
				at = s.B
			}
			require.InDelta(t, span[1]-span[0], sum, 1e-8, "%s %v", name, span)
			require.InDelta(t, 0, at.DistanceTo(tr.at(span[1])), 1e-8, name)
		}
	}
}

func TestBeginAtKeepsTheCurve(t *testing.T) {
	list := shapes(t)
	rapid.Check(t, func(t *rapid.T) {
		c := list[rapid.SampledFrom([]string{"round", "L with notch", "slot"}).Draw(t, "shape")].Contours()[0]
		p := place{segment: rapid.IntRange(0, c.Len()-1).Draw(t, "segment"), share: rapid.Float64Range(0, 1).Draw(t, "share")}
		turned := beginAt(c, p, tol)
		assert.InDelta(t, c.Length(), turned.Length(), 1e-9)
		assert.InDelta(t, c.Area(), turned.Area(), 1e-9)
		i := 0
		for s := range c.Segments() {
			if i == p.segment {
				assert.InDelta(t, 0, s.At(p.share).DistanceTo(turned.Vertices()[0].Point), tol)
			}
			i++
		}
	})
}

func TestTabsGoToStraightParts(t *testing.T) {
	rounded := newTrack(rectangle(0, 0, 200, 20, 8).Contours()[0]) // starts at 8, 0
	middle := func(b tab) float64 { return (b.from + b.to) / 2 }
	for _, count := range []int{1, 2, 3, 4, 6} {
		tabs := placeTabs(rounded, count, 8, 0)
		require.Len(t, tabs, count)
		for _, b := range tabs {
			q := rounded.at(middle(b))
			assert.True(t, q.X >= 8+12-1e-9 && q.X <= 192-12+1e-9, "%d tabs: %v", count, q)
			assert.InDelta(t, 8, b.to-b.from, 1e-12)
		}
	}
	disc := newTrack(round(0, 0, 60).Contours()[0])
	tabs := placeTabs(disc, 3, 8, 0)
	require.Len(t, tabs, 3)
	assert.InDelta(t, disc.length()/3, middle(tabs[1])-middle(tabs[0]), 1e-9)
	assert.Len(t, placeTabs(newTrack(round(0, 0, 8).Contours()[0]), 9, 8, 0), 3, "where nine have no room")
}
