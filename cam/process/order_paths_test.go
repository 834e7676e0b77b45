package process

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// waysCost is what the ways between strokes cost.
func waysCost(home geometry.Point, list []geometry.Path, cost wayCost) float64 {
	sum, last := 0.0, geometry.NewPath(geometry.Vertex{Point: home})
	for _, p := range list {
		sum, last = sum+cost(last, p), p
	}
	return sum
}

// best is the least that any order of the strokes in any directions costs.
func best(last geometry.Path, left []geometry.Path, cost wayCost) float64 {
	if len(left) == 0 {
		return 0
	}
	least := math.Inf(1)
	for i := range left {
		rest := append(append([]geometry.Path(nil), left[:i]...), left[i+1:]...)
		for _, p := range [2]geometry.Path{left[i], left[i].Reverse()} {
			least = math.Min(least, cost(last, p)+best(p, rest, cost))
		}
	}
	return least
}

// Five strokes in all orders and directions there are: what is chosen costs little more in all, and each stroke is
// there once, by distance and by the time that a cutter takes.
func TestStrokesAgainstAllOrders(t *testing.T) {
	r, err := newRouter(markSheet(), benchRouter(), tol)
	require.NoError(t, err)
	for what, cost := range map[string]wayCost{"distance": apart, "time": r.between} {
		found, least, worst := 0.0, 0.0, 0.0
		for seed := range 60 {
			random := rand.New(rand.NewPCG(uint64(seed), 16))
			place := func() float64 { return math.Round(8*random.Float64()) * 5 } // so that some meet
			var list []geometry.Path
			for len(list) < 5 {
				if p := lineOf(place(), place(), place(), place()); p.Length() > 0 {
					list = append(list, p)
				}
			}
			got := orderPaths(geometry.Point{}, list, cost)
			require.Len(t, got, 5)
			for _, p := range list {
				n := 0
				for _, q := range got {
					if beginOf(p) == beginOf(q) && endOf(p) == endOf(q) || beginOf(p) == endOf(q) && endOf(p) == beginOf(q) {
						n++
					}
				}
				assert.Positive(t, n)
			}
			one, all := waysCost(geometry.Point{}, got, cost), best(lineOf(0, 0), list, cost)
			assert.GreaterOrEqual(t, one, all-1e-9)
			found, least, worst = found+one, least+all, max(worst, one/all)
		}
		t.Logf("%s: %.3f of the best in all, at worst %.3f", what, found/least, worst)
		assert.Less(t, found, 1.06*least, what)
	}
}

func markSheet(paths ...geometry.Path) plan.Sheet {
	s, recipe := routerSheet(20), routerRecipe("pad")
	recipe.MarkDepthMM = number(1.5)
	s.Marks, s.Marking = paths, plan.Cut{Name: "marks", Tool: cutter3, DepthMM: 1.5, KerfMM: []float64{3.175}, Recipes: []profiles.Recipe{recipe}}
	return s
}

// By hand, of letters of 14 mm: an arm that begins on a stem, a leg that ends on a bar, strokes that end where the
// next one begins, are all cut without lifting; what does not meet is lifted for. Nothing but the strokes is gone along.
func TestStrokesThatMeetAreCutInOne(t *testing.T) {
	for _, c := range []struct {
		what  string
		paths []geometry.Path
		again float64 // mm gone over twice
		down  int     // ways into the foam
	}{
		{"an arm on a stem", []geometry.Path{lineOf(20, 34, 20, 20), lineOf(20, 27, 28, 27)}, 7, 1},
		{"a leg that ends on a bar", []geometry.Path{lineOf(20, 20, 20, 34, 28, 34, 28, 27, 20, 27), lineOf(29, 20, 24, 27)}, 4, 1},
		{"ends that meet", []geometry.Path{lineOf(20, 20, 30, 20), lineOf(40, 20, 30, 20)}, 0, 1},
		{"strokes apart", []geometry.Path{lineOf(20, 20, 20, 34), lineOf(24, 20, 24, 34)}, 0, 2},
		{"too long a way back", []geometry.Path{lineOf(20, 20, 320, 20), lineOf(170, 20, 170, 30)}, 0, 2},
	} {
		p, err := made(markSheet(c.paths...), benchRouter(), tol)
		require.NoError(t, err)
		cut, down, want := 0.0, 0, 0.0
		for _, s := range c.paths {
			want += s.Length()
		}
		each(p.Ops[0], func(from Point, m Move) {
			switch {
			case m.Kind != Rapid && from.Z == -1.5 && m.To.Z == -1.5:
				cut += wayOf(from, m)
				_, on := alongPath(c.paths[0], m.To.Point)
				_, other := alongPath(c.paths[1], m.To.Point)
				assert.LessOrEqual(t, math.Min(on, other), 1e-9, c.what)
			case m.To.Z == -1.5:
				down++
			}
		})
		assert.InDelta(t, want+c.again, cut, 1e-9, c.what)
		assert.Equal(t, c.down, down, c.what)
	}
}

// A cutter that goes back all the time rubs: a wheel of spokes is not gone along half again.
func TestLittleIsGoneOverAgain(t *testing.T) {
	var spokes []geometry.Path
	whole := 0.0
	for i := range 12 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		spokes = append(spokes, lineOf(60, 60, 60+10*cos, 60+10*sin))
		whole += 10
	}
	p, err := made(markSheet(spokes...), benchRouter(), tol)
	require.NoError(t, err)
	cut := 0.0
	each(p.Ops[0], func(from Point, m Move) {
		if m.Kind != Rapid && from.Z == m.To.Z {
			cut += wayOf(from, m)
		}
	})
	assert.Greater(t, cut, whole)
	assert.LessOrEqual(t, cut, (1+mostRetraced)*whole+1e-9)
}

// Closed strokes begin where the way to them and on from them is short, and are the same curve.
func TestClosedStrokesBeginNear(t *testing.T) {
	ring := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 60, Y: 10}, Bulge: 1}, geometry.Vertex{Point: geometry.Point{X: 40, Y: 10}, Bulge: 1}, geometry.Vertex{Point: geometry.Point{X: 60, Y: 10}})
	got := orderPaths(geometry.Point{}, []geometry.Path{lineOf(0, 10, 30, 10), ring}, apart)
	require.Len(t, got, 2)
	assert.Equal(t, geometry.Point{X: 40, Y: 10}, beginOf(got[1]))
	assert.Equal(t, beginOf(got[1]), endOf(got[1]))
	assert.InDelta(t, ring.Length(), got[1].Length(), 1e-12)
	assert.Equal(t, ring.Bounds(), got[1].Bounds())
}
