package geometry

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// fineComb has teeth so near to each other that, seen at the rays' angle, the boxes of
// hundreds overlap.
func fineComb(teeth int) Contour {
	pitch := 100 / float64(teeth)
	var vertices []Vertex
	for i := range teeth {
		x := pitch * float64(i)
		vertices = append(vertices, Vertex{Point{x, 80}, 0}, Vertex{Point{x + pitch/2, 80}, 0}, Vertex{Point{x + pitch/2, 10}, 0}, Vertex{Point{x + pitch, 10}, 0})
	}
	return Contour{append(vertices, Vertex{Point{100, 0}, 0}, Vertex{Point{0, 0}, 0})}.Reverse()
}

// What a ray meets next is what sorting all that it meets puts first.
func TestNextRight(t *testing.T) {
	in := weighted{}
	in.addRegion(Region{[]Contour{fineComb(50), Circle(Point{30, 5}, 3)}}, winds{1, 0})
	r := arrange(in, 1e-6).newRays()
	rapid.Check(t, func(t *rapid.T) {
		q := Point{rapid.Float64Range(-50, 100).Draw(t, "x"), rapid.Float64Range(-40, 100).Draw(t, "y")}
		n := rapid.IntRange(1, 70).Draw(t, "n")
		tol := rapid.SampledFrom([]float64{1e-6, 0.5, 1.2}).Draw(t, "tol")
		var all []rayHit
		for i, p := range r.pieces {
			if x := p.piece.xAt(q.Y); q.Y >= p.low && q.Y < p.high && x > q.X {
				all = append(all, rayHit{int32(i), x})
			}
		}
		slices.SortFunc(all, func(a, b rayHit) int { return cmp.Compare(a.at, b.at) })
		got := r.nextRight(q, -1, n, tol)
		require.Len(t, got, n+1)
		for i := range n {
			if i >= len(all) {
				assert.Equal(t, rayHit{-1, math.Inf(1)}, got[i])
				continue
			}
			assert.Equal(t, all[i].at, got[i].at)
		}
		behind := len(all) > n && all[n].at-all[n-1].at <= tol
		assert.Equal(t, behind, got[n].piece >= 0, "the one behind the last, if it is that near")
	})
}

// A ray through n teeth looks for what comes next log n times, not n times: each look
// goes down the whole tree, past all boxes that hold the place where it stands.
func TestARayThroughACombLooksSeldom(t *testing.T) {
	for _, teeth := range []int{100, 1000, 10_000} {
		in := weighted{}
		in.addRegion(Region{[]Contour{fineComb(teeth)}}, winds{1, 0})
		a := arrange(in, 1e-6)
		w := winder{a: a, in: a.incidence(), rays: a.newRays(), sides: make([]side, len(a.edges)), state: make([]int8, len(a.edges))}
		w.push(0)
		c := &w.chains[0]
		_, waits := w.beyond(c)
		assert.Negative(t, waits)
		assert.LessOrEqual(t, float64(c.looks), 4+math.Log2(float64(2*teeth)), "%d teeth", teeth)
	}
}

func TestAFineCombIsValid(t *testing.T) {
	island := Circle(Point{30, 5}, 3)
	assert.NoError(t, Region{[]Contour{fineComb(2000), island.Reverse()}}.Validate(1e-6))
	assert.Error(t, Region{[]Contour{fineComb(2000), island}}.Validate(1e-6))
	assert.Error(t, Region{[]Contour{fineComb(2000).Reverse()}}.Validate(1e-6))
}
