package proof

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// The index finds what looking at every sweep finds.
func TestIndexFindsWhatLookingAtAllFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sweeps []sweep
		for i := range rapid.IntRange(0, 150).Draw(t, "count") {
			s := drawSweep(t)
			if i > 0 && rapid.IntRange(0, 3).Draw(t, "again") == 0 { // another pass over an earlier way
				s = sweeps[rapid.IntRange(0, i-1).Draw(t, "of")]
			}
			s.motion = i
			sweeps = append(sweeps, s)
		}
		x := newIndex(sweeps)
		for range 5 {
			p, depth := drawPoint(t, "p"), rapid.Float64Range(-1, 31).Draw(t, "depth")
			all := lookAtAll(sweeps, p, depth)
			f, motion := x.clearance(p, depth, farMM)
			require.Equal(t, [2]any{all.clear, all.by}, [2]any{f, motion})
			middle, _ := x.nearestMiddle(p, depth)
			require.Equal(t, all.middle, middle)
			first, reached := x.firstReach(p, depth, 0.5)
			require.Equal(t, [2]any{all.first, all.reached}, [2]any{first, reached})
			deep, _ := x.depthAt(p, 0.5)
			require.Equal(t, all.deep, deep)
			near := false
			x.near(p, 0.5, func(s *sweep) bool {
				near = s.distance(p, math.Inf(-1)) <= s.radius+0.5
				return !near
			})
			require.Equal(t, all.near, near)
			require.Equal(t, all.before, x.cutBefore(p, len(sweeps)/2))
		}
	})
}

// found is what looking at every sweep finds around a place.
type found struct {
	clear, middle, deep float64
	by, first           int
	reached, near       bool
	before              bool // in the first half of the sweeps
}

func lookAtAll(sweeps []sweep, p geometry.Point, depth float64) found {
	all := found{clear: farMM, middle: farMarkMM, by: -1}
	for i := range sweeps {
		s := &sweeps[i]
		d := s.distance(p, depth)
		if d-s.radius < all.clear {
			all.clear, all.by = d-s.radius, i
		}
		all.middle = math.Min(all.middle, d)
		if !all.reached && d-s.radius <= 0.5 {
			all.first, all.reached = i, true
		}
		wider := *s
		wider.radius += 0.5
		if deep, ok := wider.depthOver(p); ok {
			all.deep = math.Max(all.deep, deep)
		}
		all.near = all.near || s.distance(p, math.Inf(-1)) <= s.radius+0.5
		all.before = all.before || i <= len(sweeps)/2 && s.distance(p, 0) <= 3*s.radius
	}
	return all
}

// What lies in a box is met, each sweep once; and of what comes after a motion the first is
// found.
func TestIndexMeetsABox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sweeps []sweep
		for i := range rapid.IntRange(0, 100).Draw(t, "count") {
			sweeps = append(sweeps, drawSweep(t))
			sweeps[i].motion = i
		}
		x := newIndex(sweeps)
		a, b := drawPoint(t, "a"), drawPoint(t, "b")
		box := geometry.Box{Min: a, Max: a}.Union(geometry.Box{Min: b, Max: b})
		after := rapid.IntRange(-1, 100).Draw(t, "after")
		right := func(p geometry.Point) bool { return p.X > p.Y }
		var later *sweep
		met := slices.Sorted(slices.Values(x.meeting(box)))
		require.IsIncreasing(t, append([]int32{-1}, met...))
		for i := range sweeps {
			s := &sweeps[i]
			if p := s.at(0.5); i > after && later == nil && p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y && right(p) {
				later = s
			}
			for k := range 101 {
				if p := s.at(float64(k) / 100); p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y {
					require.Contains(t, met, int32(i))
					break
				}
			}
		}
		require.Same(t, later, x.laterCut(after, box, right))
	})
}

// A wall that is drawn with 16 times as many points has 16 times as many moves within a
// cutter's radius of each of its places. How many of them are measured for one place, counted:
// as many as lie where the groups' boxes do not tell them from the nearest, which are as the
// square root, four times as many.
func TestIndexMeasuresFewOfManyMoves(t *testing.T) {
	measured := func(n int) float64 {
		var sweeps []sweep
		for ring := range 3 {
			for pass := range 3 {
				at := func(i int) Point {
					sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
					return Point{Point: geometry.Point{X: cos, Y: sin}.Scale(37 - float64(ring))}
				}
				for i := range n {
					depth := 4 * float64(pass+1)
					sweeps = appendSweeps(sweeps, len(sweeps), Motion{From: at(i), To: at(i + 1)}, 3, depth, depth)
				}
			}
		}
		x, count := newIndex(sweeps), 0
		const places = 500
		for i := range places {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / places)
			x.nearest(geometry.Point{X: 40 * cos, Y: 40 * sin}, 11, farMM, func(s *sweep) float64 {
				count++
				return s.radius
			}, func(g *group) float64 { return g.widest })
		}
		return float64(count) / places
	}
	few, many := measured(1000), measured(16000)
	t.Logf("%.0f and %.0f moves measured for a place", few, many)
	require.Less(t, many, 4.5*few)
	require.Less(t, many, 16000*3*3/100.0)
}
