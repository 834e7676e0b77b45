package trace

import (
	"math"

	"traywright/geometry"
)

// How far along an edge its level is evened out: far enough for a corner to take its
// sides' level, near enough to follow a piece of several colours.
const evenMM = 3

// settleEdges moves the points of rings, traced at one level for the whole piece, to where
// the picture is half way between what lies inside and outside there: a dark part's edge
// would else be found too far out, a pale part's too far in, and that of a part in its own
// shadow too far out. Points lie at even steps afterwards.
func (s *scene) settleEdges(rings []ring) []ring {
	reach := min(max(s.card.blur, 2), 8)
	window := max(int(evenMM*s.card.fit.PixelsPerMM/stepPixels), armSteps)
	out := make([]ring, len(rings))
	for i, r := range rings {
		n := max(int(r.length()/stepPixels), 8)
		even := r.resample(n)
		levels := make([]float64, n)
		for k := range even {
			outward := even.outward(k)
			levels[k] = (s.diff.near(even[k].Add(outward.Scale(reach))) + s.diff.near(even[k].Sub(outward.Scale(reach)))) / 2
		}
		levels = evened(levels, min(window, n/4))
		moved := make(ring, n)
		for k := range even {
			moved[k] = s.diff.crossing(even[k], even.outward(k), levels[k], reach)
		}
		out[i] = moved
	}
	return out
}

// outward is the direction away from what a ring goes around, at a point of it.
func (r ring) outward(k int) geometry.Point {
	d := r.at(k + 3).Sub(r.at(k - 3))
	if n := d.Norm(); n > 0 {
		d = d.Scale(1 / n)
	}
	return d.Left().Scale(-1)
}

// evened is each value's middle among its neighbours to both sides, around the ring.
func evened(v []float64, window int) []float64 {
	out := make([]float64, len(v))
	near := make([]float64, 0, 2*window+1)
	for i := range v {
		near = near[:0]
		for d := -window; d <= window; d++ {
			near = append(near, v[((i+d)%len(v)+len(v))%len(v)])
		}
		out[i] = middleOf(near)
	}
	return out
}

// crossing is the place nearest to p, along a direction and within reach pixels, where
// the picture falls through a level; p itself where there is none.
func (g grid) crossing(p, outward geometry.Point, level, reach float64) geometry.Point {
	const step = 0.25
	best, found := math.Inf(1), p
	last := g.near(p.Sub(outward.Scale(reach)))
	for d := -reach + step; d <= reach; d += step {
		v := g.near(p.Add(outward.Scale(d)))
		if last >= level && v < level {
			at := d - step*(level-v)/(last-v)
			if math.Abs(at) < best {
				best, found = math.Abs(at), p.Add(outward.Scale(at))
			}
		}
		last = v
	}
	return found
}
