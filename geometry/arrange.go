package geometry

import (
	"cmp"
	"math"
	"slices"
)

// Offsets and booleans are both read off an arrangement: the plane cut up by
// directed lines and arcs, each of which carries a weight. The winding number at
// a place is the sum of the weights of the edges that a ray from it meets,
// counted by their direction, and the result is bounded by the edges that have
// a place inside on one side and a place outside on the other. The plan:
//
//  1. Gather closed chains of directed segments with weights; no arc over a half
//     circle (weighted.add).
//  2. Find every place where two of them cross, touch or run together, with a
//     box index (split).
//  3. Call points nearer than tol one vertex, so that what meets there meets
//     bit by bit; what shrinks to a point drops out (snapper, arrange_snap.go).
//  4. Merge edges between the same two vertices and within tol of each other,
//     adding weights; an edge of weight 0 drops out (merge).
//  5. Gather chains of edges between branchings. Along a chain the windings on
//     both sides are constant, so one ray per chain finds them
//     (arrange_winding.go).
//  6. Keep the edges whose sides differ under the wanted rule, directed with the
//     inside on the left.
//  7. Follow them to contours. Where several leave a vertex, take the one that
//     closes the same inside corner: contours touch, but never cross
//     (arrange_stitch.go).
//  8. Join neighbours on one line or circle, drop slivers narrower than tol, put
//     everything in an order that depends only on the shape (arrange_tidy.go).
//
// Since the weights at every vertex balance by construction, a mistake of
// rounding in 5 can only show as a vertex at which the kept edges do not
// balance. Then everything is done again with ten times the tolerance, at most
// twice; after that the answer is an error that names the place.

// winds are two winding numbers, or two weights, held apart: those of the first
// and of the second region of a boolean.
type winds [2]int32

func (w winds) plus(v winds) winds { return winds{w[0] + v[0], w[1] + v[1]} }
func (w winds) negative() winds    { return winds{-w[0], -w[1]} }

// weighted is the input of an arrangement.
type weighted struct {
	curves  []curve
	weights []winds
}

// roomFor is an empty input with room for the regions.
func roomFor(regions ...Region) weighted {
	n := 0
	for _, r := range regions {
		n += r.size()
	}
	return weighted{curves: make([]curve, 0, n), weights: make([]winds, 0, n)}
}

func (in *weighted) add(s Segment, w winds) {
	in.curves = s.appendTo(in.curves)
	in.weigh(w)
}

func (in *weighted) addRegion(r Region, w winds) {
	for _, c := range r.contours {
		in.curves = c.appendTo(in.curves)
	}
	in.weigh(w)
}

// weigh gives the weight w to the curves that have none yet.
func (in *weighted) weigh(w winds) {
	for len(in.weights) < len(in.curves) {
		in.weights = append(in.weights, w)
	}
}

// appendTo adds the segment's curves: none of a point, two of more than a half circle.
func (s Segment) appendTo(curves []curve) []curve {
	switch {
	case s.isPoint():
		return curves
	case s.straight():
		s.Bulge = 0
	case math.Abs(s.Bulge) > 1:
		first, second := s.halves()
		return second.appendTo(first.appendTo(curves))
	}
	return append(curves, newCurve(s))
}

// appendTo adds the curves of all segments.
func (c Contour) appendTo(curves []curve) []curve {
	for s := range c.Segments() {
		curves = s.appendTo(curves)
	}
	return curves
}

// edge is a part of a curve between two neighbouring vertices.
type edge struct {
	from, to int32
	bulge    float64
	curve    int32   // the curve it is a part of
	t0, t1   float64 // and which part
	weight   winds
}

type arrangement struct {
	tol    float64
	curves []curve
	points []Point // the vertices
	edges  []edge
	given  int     // how many of them are ends of curves, not found by cutting
	shared []Point // the middles of edges between given vertices that ran along another
}

// cut is a vertex at which a curve is to be split, and its share of the length.
type cut struct {
	curve, vertex int32
	t             float64
}

func arrange(in weighted, tol float64) *arrangement {
	a := &arrangement{tol: tol, curves: in.curves}
	snap := newSnapper(tol, 4*len(in.curves))
	// The ends come first: a vertex near several points takes the place of the
	// first, and an end that is given should stay where it is.
	ends := make([]int32, 0, 2*len(in.curves))
	for i := range in.curves {
		ends = append(ends, snap.vertex(in.curves[i].A), snap.vertex(in.curves[i].B))
	}
	cuts := a.findCuts(snap)
	a.points = snap.points
	a.edges = make([]edge, 0, len(in.curves)+len(cuts))
	for i := range in.curves {
		n := 0
		for n < len(cuts) && cuts[n].curve == int32(i) {
			n++
		}
		a.split(int32(i), ends[2*i], ends[2*i+1], cuts[:n], in.weights[i])
		cuts = cuts[n:]
	}
	a.merge()
	return a
}

// findCuts lists where every curve meets another, in the order of travel.
func (a *arrangement) findCuts(snap *snapper) []cut {
	tree := treeOf(a.curves)
	a.given = len(snap.points)
	var cuts []cut
	for i := range a.curves {
		along := a.curves[i].probe(a.tol)
		tree.visit(&along, func(j int) bool {
			if j <= i {
				return true
			}
			meetings(&a.curves[i], &a.curves[j], a.tol, func(first bool, t float64, p Point) {
				which := i
				if !first {
					which = j
				}
				cuts = append(cuts, a.cutAt(which, t, p, snap))
			})
			return true
		})
	}
	// A vertex found between two curves splits every other one that passes through
	// it as well: of three that run nearly together, any two may cross anywhere.
	for v := a.given; v < len(snap.points); v++ {
		p := snap.points[v]
		place := probe{Box{p, p}.Grow(a.tol), rod{p, p, probeInNear * a.tol}}
		tree.visit(&place, func(i int) bool {
			if t, ok := a.curves[i].touches(p, a.tol); ok {
				cuts = append(cuts, cut{int32(i), int32(v), t})
			}
			return true
		})
	}
	slices.SortFunc(cuts, func(a, b cut) int {
		return cmp.Or(cmp.Compare(a.curve, b.curve), cmp.Compare(a.t, b.t), cmp.Compare(a.vertex, b.vertex))
	})
	return cuts
}

// cutAt gives the place p of a curve its vertex.
func (a *arrangement) cutAt(i int, t float64, p Point, snap *snapper) cut {
	v := snap.vertex(p)
	if snapped := snap.points[v]; snapped != p {
		t, _ = a.curves[i].share(snapped)
	}
	return cut{int32(i), v, t}
}

// split makes the edges of one curve.
func (a *arrangement) split(i, from, to int32, cuts []cut, w winds) {
	at, t := from, 0.0
	for _, cut := range cuts {
		if cut.vertex != at {
			a.addEdge(edge{at, cut.vertex, 0, i, t, cut.t, w})
			at, t = cut.vertex, cut.t
		}
	}
	if at != to {
		a.addEdge(edge{at, to, 0, i, t, 1, w})
	}
}

func (a *arrangement) addEdge(e edge) {
	e.bulge = a.bulgeOf(e, a.points[e.from], a.points[e.to])
	a.edges = append(a.edges, e)
}

// bulgeOf fits a part of a curve to its ends, which snapping may have moved a
// little.
func (a *arrangement) bulgeOf(e edge, from, to Point) float64 {
	c := &a.curves[e.curve]
	if c.k == 0 || e.t0 == 0 && e.t1 == 1 {
		return c.Bulge
	}
	return c.bulgeBetween(e.t0, e.t1, from.DistanceTo(to))
}

// bulgeBetween is that of the part of c between two shares, whose ends are chord mm
// apart. A short part keeps the curvature, a long one the angle: each is the better
// known of the two.
func (c *curve) bulgeBetween(t0, t1, chord float64) float64 {
	return bulgeOver(c.sweep*(t1-t0), c.k, chord)
}

// bulgeOver is that of an arc of an angle, a curvature and a chord that agree but for rounding.
func bulgeOver(sweep, k, chord float64) float64 {
	if math.Abs(sweep) > 1 {
		return math.Tan(sweep / 4)
	}
	sine := k * chord / 2
	return sine / (1 + math.Sqrt(max(1-sine*sine, 0)))
}

func (a *arrangement) segment(e *edge) Segment {
	return Segment{a.points[e.from], a.points[e.to], e.bulge}
}

// merge makes one edge of those that run together.
func (a *arrangement) merge() {
	type keyed struct {
		key  uint64
		edge int32
	}
	keys := make([]keyed, len(a.edges))
	for i, e := range a.edges {
		keys[i] = keyed{uint64(min(e.from, e.to))<<32 | uint64(max(e.from, e.to)), int32(i)}
	}
	slices.SortFunc(keys, func(a, b keyed) int { return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.edge, b.edge)) })
	for len(keys) > 0 {
		n := 1
		for n < len(keys) && keys[n].key == keys[0].key {
			n++
		}
		for i := range n {
			for j := i + 1; j < n; j++ {
				a.absorb(&a.edges[keys[i].edge], &a.edges[keys[j].edge])
			}
		}
		keys = keys[n:]
	}
	a.edges = slices.DeleteFunc(a.edges, func(e edge) bool { return e.weight == winds{} })
}

// tipInTol is how many tolerances two sides of a sharp tip may run together.
const tipInTol = 32

// absorb moves the weight of f, which has the same two ends as e, to e if the two
// are nowhere farther apart than tol.
func (a *arrangement) absorb(e, f *edge) {
	bulge, weight := f.bulge, f.weight
	if f.from != e.from {
		bulge, weight = -bulge, weight.negative()
	}
	if math.Abs(bulge-e.bulge)/2*a.points[e.from].DistanceTo(a.points[e.to]) > a.tol {
		return
	}
	if e.weight == (winds{}) {
		return // already cancelled: it is not there
	}
	e.weight = e.weight.plus(weight)
	f.weight = winds{}
	if s := a.segment(e); max(e.from, e.to) < int32(a.given) && s.Chord() > tipInTol*a.tol {
		a.shared = append(a.shared, s.At(0.5))
	}
}
