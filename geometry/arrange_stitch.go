package geometry

import (
	"fmt"
	"math"
)

// rule tells from winding numbers what is inside.
type rule func(winds) bool

// half is a kept edge, directed with the inside on its left.
type half struct {
	Segment
	from, to int32
	curve    int32
	t0, t1   float64 // the part of the curve, t1 < t0 when travelled backwards
	pinned   bool    // another contour touches at its start
}

// halves keeps the edges whose sides differ under the rule.
func (a *arrangement) halves(inside rule) []half {
	var kept []half
	sides := a.sides()
	for i := range a.edges {
		e := &a.edges[i]
		left, right := inside(sides[i].left), inside(sides[i].right)
		if left == right {
			continue
		}
		h := half{a.segment(e), e.from, e.to, e.curve, e.t0, e.t1, false}
		if right {
			h = half{h.Segment.reverse(), e.to, e.from, e.curve, e.t1, e.t0, false}
		}
		kept = append(kept, h)
	}
	return kept
}

// region is what lies inside, or an error at a place where the kept edges do not
// close.
func (a *arrangement) region(inside rule) (Region, error) {
	halves := a.halves(inside)
	loops, err := a.stitch(halves)
	if err != nil {
		return Region{}, err
	}
	return a.tidy(loops), nil
}

// leaving lists the kept edges by the vertex they leave.
type leaving struct {
	first []int32
	edges []int32
}

// leaving fails at a vertex that as many edges do not leave as reach it.
func (a *arrangement) leaving(halves []half) (leaving, error) {
	out := leaving{make([]int32, len(a.points)+1), make([]int32, len(halves))}
	balance := make([]int32, len(a.points))
	for i := range halves {
		out.first[halves[i].from+1]++
		balance[halves[i].from]++
		balance[halves[i].to]--
	}
	for v := range a.points {
		if balance[v] != 0 {
			return out, &Fault{ruleNotClosed, a.points[v], fmt.Sprintf("edges nearer than the tolerance %g mm cannot be told apart", a.tol)}
		}
		out.first[v+1] += out.first[v]
		balance[v] = out.first[v] // from here on: where the next edge goes
	}
	for i := range halves {
		v := halves[i].from
		out.edges[balance[v]] = int32(i)
		balance[v]++
	}
	return out, nil
}

// stitch follows the kept edges to closed loops that pass no vertex twice.
func (a *arrangement) stitch(halves []half) ([][]half, error) {
	out, err := a.leaving(halves)
	if err != nil {
		return nil, err
	}
	used := make([]bool, len(halves))
	place := make([]int32, len(a.points)) // vertex -> 1 + its place on the trail
	var loops [][]half
	var trail []half
	for i := range halves {
		for e := int32(i); e >= 0 && !used[e]; {
			used[e] = true
			h := halves[e]
			h.pinned = out.first[h.from+1]-out.first[h.from] > 1
			place[h.from] = int32(len(trail)) + 1
			trail = append(trail, h)
			if start := place[h.to]; start > 0 {
				// Back at a vertex of the trail: what came since is a loop.
				loop := append([]half(nil), trail[start-1:]...)
				for _, l := range loop {
					place[l.from] = 0
				}
				loops, trail = append(loops, loop), trail[:start-1]
			}
			e = next(h, halves, &out, used)
		}
	}
	return loops, nil
}

// next is the unused edge that leaves the end of h and is met first when turning
// clockwise from the way back along h: the other side of the same inside corner.
func next(h half, halves []half, out *leaving, used []bool) int32 {
	candidates := out.edges[out.first[h.to]:out.first[h.to+1]]
	if len(candidates) == 1 {
		return unused(candidates[0], used)
	}
	reach := h.Chord()
	for _, c := range candidates {
		reach = min(reach, halves[c].Chord())
	}
	back := h.Segment.reverse().heading(reach / 2)
	best, least := int32(-1), math.Inf(1)
	for _, c := range candidates {
		if used[c] {
			continue
		}
		if turn := clockwise(back, halves[c].heading(reach/2)); turn < least {
			best, least = c, turn
		}
	}
	return best
}

func unused(e int32, used []bool) int32 {
	if used[e] {
		return -1
	}
	return e
}

// heading is the direction from A to the point of s at the distance reach.
// Edges that leave a vertex along one tangent differ in it.
func (s Segment) heading(reach float64) Point {
	sine := s.curvature() * reach / 2
	return s.startTangent().turn(sine, math.Sqrt(max(1-sine*sine, 0)))
}

// clockwise is the angle in (0, 2π] by which p turns clockwise to q.
func clockwise(p, q Point) float64 {
	angle := math.Atan2(q.Cross(p), q.Dot(p))
	if angle <= 0 {
		angle += 2 * math.Pi
	}
	return angle
}
