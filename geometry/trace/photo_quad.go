package trace

import (
	"math"
	"slices"

	"traywright/geometry"
)

// hull is the convex hull, counter-clockwise (A. Andrew's monotone chain).
func hull(points []geometry.Point) []geometry.Point {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(p, q geometry.Point) int {
		switch {
		case p.X < q.X || p.X == q.X && p.Y < q.Y:
			return -1
		case p == q:
			return 0
		}
		return 1
	})
	half := func(way int) []geometry.Point {
		var chain []geometry.Point
		for i := range sorted {
			p := sorted[i]
			if way < 0 {
				p = sorted[len(sorted)-1-i]
			}
			for len(chain) >= 2 && chain[len(chain)-1].Sub(chain[len(chain)-2]).Cross(p.Sub(chain[len(chain)-1])) <= 0 {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, p)
		}
		return chain[:max(len(chain)-1, 0)]
	}
	return append(half(1), half(-1)...)
}

// largestQuad is the largest quadrilateral with its corners among the points of a
// convex hull, of which it looks at a hundred or so.
func largestQuad(h []geometry.Point) (quad [4]geometry.Point, ok bool) {
	stride := len(h)/100 + 1
	var p []geometry.Point
	for i := 0; i < len(h); i += stride {
		p = append(p, h[i])
	}
	best := 0.0
	for i := range p {
		for k := i + 2; k < len(p); k++ {
			diagonal := p[k].Sub(p[i])
			right, left, low, high := 0.0, 0.0, -1, -1
			for j := range p {
				switch off := diagonal.Cross(p[j].Sub(p[i])); {
				case off < right:
					right, low = off, j
				case off > left:
					left, high = off, j
				}
			}
			if low >= 0 && high >= 0 && left-right > best {
				best, quad, ok = left-right, [4]geometry.Point{p[i], p[low], p[k], p[high]}, true
			}
		}
	}
	return quad, ok
}

func quadArea(q [4]geometry.Point) float64 { return ring(q[:]).area() }

func convex(q [4]geometry.Point) bool {
	for k := range 4 {
		a, b := q[(k+1)%4].Sub(q[k]), q[(k+2)%4].Sub(q[(k+1)%4])
		if !(a.Cross(b) > 0.5*a.Norm()*b.Norm()) { // 30° and more
			return false
		}
	}
	return true
}

func shortest(q [4]geometry.Point) float64 {
	s := math.Inf(1)
	for k := range 4 {
		s = min(s, q[k].DistanceTo(q[(k+1)%4]))
	}
	return s
}

// cornerShare is the part at each end of a side that is left out: the round corner, 6 %
// of the shorter side, and its blur.
const cornerShare = 0.1

// settle moves the corners of a quadrilateral to where the lines along a ring meet.
func (r ring) settle(q [4]geometry.Point) ([4]geometry.Point, bool) {
	for range 3 {
		var lines [4]side
		for k := range 4 {
			a, b := q[k], q[(k+1)%4]
			length := a.DistanceTo(b)
			if length == 0 {
				return q, false
			}
			along := b.Sub(a).Scale(1 / length)
			var points []geometry.Point
			for _, p := range r {
				u := along.Dot(p.Sub(a)) / length
				if u > cornerShare && u < 1-cornerShare && math.Abs(along.Cross(p.Sub(a))) < 0.05*length+2 {
					points = append(points, p)
				}
			}
			var ok bool
			if lines[k], _, ok = steadyLine(points); !ok {
				return q, false
			}
		}
		var ok bool
		if q, ok = meetAll(lines); !ok {
			return q, false
		}
	}
	return q, true
}

// meetAll is where each line meets the one before it.
func meetAll(lines [4]side) (q [4]geometry.Point, ok bool) {
	for k := range 4 {
		if q[k], ok = meet(lines[(k+3)%4], lines[k], geometry.Point{}); !ok {
			return q, false
		}
	}
	return q, true
}

// steadyLine fits a line and leaves out what strays by more than 2.5 times the mean
// square, thrice over.
func steadyLine(points []geometry.Point) (line side, kept []geometry.Point, ok bool) {
	kept = points
	for range 4 {
		if len(kept) < 8 {
			return line, kept, false
		}
		p, d := fitLine(kept)
		line = side{p: p, d: d}
		sum := 0.0
		for _, q := range kept {
			sum += line.distance(q) * line.distance(q)
		}
		limit := max(2.5*math.Sqrt(sum/float64(len(kept))), 0.02)
		var next []geometry.Point
		for _, q := range kept {
			if line.distance(q) <= limit {
				next = append(next, q)
			}
		}
		if len(next) == len(kept) {
			break
		}
		kept = next
	}
	return line, kept, true
}
