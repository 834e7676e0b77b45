package geometry

import (
	"cmp"
	"math"
	"slices"
)

// Moves of one shape about another, by convex parts:
//
//  1. chords for arcs, outside of what they stand for, so that no shape becomes smaller;
//  2. both shapes into convex parts: ears cut off, and put together again as long as they stay
//     convex (Hertel & Mehlhorn 1983);
//  3. the sum of each part of one and each mirrored part of the other, edges sorted by
//     direction (de Berg et al., Computational Geometry, 13.2); their union grown by the distance.
//
// Islands are taken for what is around them. Outlines of more than mostForParts vertices are
// taken for their convex hull. Both forbid more moves than they had to, never fewer.

const (
	arcStep      = math.Pi / 24 // of a chord: 0.2 % of the radius outside
	mostForParts = 300
)

// TooNear is the moves of a shape that bring it onto another that stands, or nearer to it than
// a distance, as a region of lines alone. Tol and the error are Union's.
func TooNear(stands, moves Region, distance, tol float64) (Region, error) {
	var sums []Region
	for _, a := range stands.Contours() {
		for _, b := range moves.Contours() {
			if a.Area() <= 0 || b.Area() <= 0 {
				continue
			}
			for _, p := range convexParts(a.chords()) {
				for _, q := range convexParts(b.chords()) {
					sums = append(sums, NewRegion(Polygon(convexSum(p, mirrored(q))...)))
				}
			}
		}
	}
	whole, err := Union(tol, sums...)
	if err == nil && distance > 0 {
		whole, err = Offset(whole, distance, tol)
	}
	if err != nil {
		return Region{}, err
	}
	var lines []Contour
	for _, c := range whole.Contours() {
		lines = append(lines, Polygon(c.chords()...))
	}
	return NewRegion(lines...), nil
}

// Within is the moves of shapes that keep all of them inside a convex polygon, given
// counter-clockwise; none where they do not fit, or there is no polygon.
func Within(polygon []Point, shapes []Region) []Point {
	if len(polygon) == 0 {
		return nil
	}
	var points []Point
	for _, s := range shapes {
		for _, c := range s.Contours() {
			points = append(points, c.chords()...)
		}
	}
	far := 2 * (farthest(points) + farthest(polygon) + 1)
	room := []Point{{-far, -far}, {far, -far}, {far, far}, {-far, far}}
	for i, a := range polygon {
		way := polygon[(i+1)%len(polygon)].Sub(a)
		least := math.Inf(1) // how far the shapes' nearest point is to the left of the edge
		for _, p := range points {
			least = math.Min(least, way.Cross(p.Sub(a)))
		}
		room = cutOff(room, way, -least)
	}
	return room
}

// farthest is the largest coordinate of points.
func farthest(points []Point) float64 {
	most := 0.0
	for _, p := range points {
		most = max(most, math.Abs(p.X), math.Abs(p.Y))
	}
	return most
}

// cutOff keeps of a convex polygon what lies to the left of a way by least or more.
func cutOff(polygon []Point, way Point, least float64) []Point {
	var kept []Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		a, b := way.Cross(p)-least, way.Cross(q)-least
		if a >= 0 {
			kept = append(kept, p)
		}
		if (a < 0) != (b < 0) {
			kept = append(kept, p.Add(q.Sub(p).Scale(a/(a-b))))
		}
	}
	return kept
}

// chords are the contour's corners, each arc replaced by lines outside of the foam to its left:
// tangents where it bulges out, its chord where it bulges in.
func (c Contour) chords() []Point {
	var points []Point
	for s := range c.Segments() {
		points = append(points, s.A)
		if s.Bulge <= 0 {
			continue
		}
		n := max(2, 2*int(math.Ceil(math.Abs(s.Sweep())/arcStep/2)))
		for i := range n {
			from, to := s.At(float64(i)/float64(n)), s.At(float64(i+1)/float64(n))
			middle := from.Add(to).Scale(0.5)
			out := middle.Sub(s.Center())
			if h := out.Norm(); h > 0 {
				r := s.Radius()
				points = append(points, s.Center().Add(out.Scale(r*r/(h*h))))
			}
		}
	}
	return points
}

func mirrored(polygon []Point) []Point {
	list := make([]Point, len(polygon))
	for i, p := range polygon {
		list[i] = p.Scale(-1)
	}
	return list
}

// convexSum is the sum of two convex polygons, counter-clockwise.
func convexSum(a, b []Point) []Point {
	a, b = fromLowest(a), fromLowest(b)
	sum := make([]Point, 0, len(a)+len(b))
	for i, j := 0, 0; i < len(a) || j < len(b); {
		sum = append(sum, a[i%len(a)].Add(b[j%len(b)]))
		turn := a[(i+1)%len(a)].Sub(a[i%len(a)]).Cross(b[(j+1)%len(b)].Sub(b[j%len(b)]))
		switch {
		case j == len(b) || i < len(a) && turn > 0:
			i++
		case i == len(a) || turn < 0:
			j++
		default:
			i, j = i+1, j+1
		}
	}
	return sum
}

// fromLowest begins a polygon at its lowest point, the leftmost of several.
func fromLowest(polygon []Point) []Point {
	least := 0
	for i, p := range polygon {
		if q := polygon[least]; p.Y < q.Y || p.Y == q.Y && p.X < q.X {
			least = i
		}
	}
	return slices.Concat(polygon[least:], polygon[:least])
}

// convexParts takes a polygon apart, counter-clockwise.
func convexParts(polygon []Point) [][]Point {
	if convex(polygon) {
		return [][]Point{polygon}
	}
	if len(polygon) > mostForParts {
		return [][]Point{hull(polygon)}
	}
	var parts [][]Point
	for rest := slices.Clone(polygon); len(rest) >= 3; {
		at := ear(rest)
		if at < 0 {
			return [][]Point{hull(polygon)}
		}
		n := len(rest)
		parts = joined(parts, []Point{rest[(at+n-1)%n], rest[at], rest[(at+1)%n]})
		rest = slices.Delete(rest, at, at+1)
	}
	for i := 0; i < len(parts); i++ { // parts that met only later
		if rest := joined(slices.Delete(slices.Clone(parts), i, i+1), parts[i]); len(rest) < len(parts) {
			parts, i = rest, -1
		}
	}
	return parts
}

// ear is a corner that can be cut off: it turns left, and no other corner lies in it; -1 for none.
func ear(polygon []Point) int {
	n := len(polygon)
	for i, p := range polygon {
		a, b := polygon[(i+n-1)%n], polygon[(i+1)%n]
		if p.Sub(a).Cross(b.Sub(p)) <= 0 && n > 3 {
			continue
		}
		if !slices.ContainsFunc(polygon, func(q Point) bool { return q != a && q != p && q != b && inTriangle(q, a, p, b) }) {
			return i
		}
	}
	return -1
}

func inTriangle(q, a, b, c Point) bool {
	return b.Sub(a).Cross(q.Sub(a)) >= 0 && c.Sub(b).Cross(q.Sub(b)) >= 0 && a.Sub(c).Cross(q.Sub(c)) >= 0
}

// joined adds a part, as one with another where that stays convex.
func joined(parts [][]Point, part []Point) [][]Point {
	for i, p := range parts {
		for k := range p {
			for m := range part {
				if p[k] != part[(m+1)%len(part)] || p[(k+1)%len(p)] != part[m] {
					continue
				}
				// p comes to p[k], goes round the other part, and goes on at p[k+1].
				around := slices.Concat(part[(m+1)%len(part):], part[:(m+1)%len(part)])
				whole := slices.Concat(p[:k], around, p[min(k+2, len(p)):])
				if k+1 == len(p) {
					whole = slices.Concat(p[1:k], around)
				}
				if convex(whole) {
					parts[i] = whole
					return parts
				}
			}
		}
	}
	return append(parts, part)
}

// convex reports whether a polygon turns left at every corner, or goes straight on.
func convex(polygon []Point) bool {
	turned := 0.0
	for i, p := range polygon {
		a, b := p.Sub(polygon[(i+len(polygon)-1)%len(polygon)]), polygon[(i+1)%len(polygon)].Sub(p)
		if straight := 1e-9 * a.Norm() * b.Norm(); a.Cross(b) < -straight || a.Dot(b) < 0 && a.Cross(b) <= straight {
			return false
		}
		turned += math.Atan2(a.Cross(b), a.Dot(b))
	}
	return turned < 3*math.Pi // once around
}

// hull is the convex hull (Andrew's monotone chain, 1979).
func hull(points []Point) []Point {
	sorted := slices.SortedFunc(slices.Values(points), func(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	half := func(list []Point) []Point {
		var chain []Point
		for _, p := range list {
			for len(chain) > 1 && chain[len(chain)-1].Sub(chain[len(chain)-2]).Cross(p.Sub(chain[len(chain)-1])) <= 0 {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, p)
		}
		return chain[:len(chain)-1]
	}
	lower := half(sorted)
	slices.Reverse(sorted)
	return slices.Concat(lower, half(sorted))
}
