package trace

import (
	"math"

	"traywright/geometry"
)

// A pixel is as wide as it is, so a traced corner is round by about half a pixel. Here
// it becomes sharp again:
//
//  1. Lay points along the ring at even steps.
//  2. A corner is where the direction turns most, where no single circle follows the
//     points on both sides, and where most of the turn happens within two pixels.
//  3. Fit a line or a circle to each side, leaving out the points next to the corner,
//     and take their intersection, if it is as near as a pixel's width explains.
//
// What lies between two corners is smoothed where it is smooth already.
//
// Limits: a rounding of one or two pixels' radius cannot be told from a pixel's own and
// comes back sharp or nearly so, up to 0.7 pixels off; under strong noise one of five to
// eight pixels may get a corner, a third of a pixel off; edges between two corners have
// to be some five pixels long.

const (
	stepPixels  = 0.5 // between the points laid along a ring
	armSteps    = 6   // length of a side on which the direction is measured
	skipSteps   = 2   // next to a corner, left out of its sides
	longestSide = 24  // steps of a side that a line or circle is fitted to
	bendSteps   = 12  // to either side, across which no circle must follow a corner
	leastTurn   = 18 * math.Pi / 180
	mostOfTurn  = 0.65 // of the turn around a corner that must happen next to it
	leastBend   = 0.12 // pixels that the best circle across a corner must miss by
	sideNoise   = 0.15 // pixels that the points of a side may stray from its line or circle
)

// resample lays n points evenly along a ring.
func (r ring) resample(n int) ring {
	length := 0.0
	for i, p := range r {
		length += p.DistanceTo(r[(i+1)%len(r)])
	}
	step := length / float64(n)
	out := make(ring, 0, n)
	want, done := 0.0, 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		d := p.DistanceTo(q)
		for ; want < done+d && len(out) < n; want += step {
			out = append(out, p.Add(q.Sub(p).Scale((want-done)/d)))
		}
		done += d
	}
	for len(out) < n {
		out = append(out, r[0])
	}
	return out
}

func (r ring) length() float64 {
	sum := 0.0
	for i, p := range r {
		sum += p.DistanceTo(r[(i+1)%len(r)])
	}
	return sum
}

// at is the point i steps along the ring, which goes round and round.
func (r ring) at(i int) geometry.Point {
	n := len(r)
	return r[((i%n)+n)%n]
}

// arc is the points from i to j, both included, i <= j.
func (r ring) arc(i, j int) []geometry.Point {
	out := make([]geometry.Point, 0, j-i+1)
	for k := i; k <= j; k++ {
		out = append(out, r.at(k))
	}
	return out
}

// shortestRing is how many steps a ring must have to have its corners looked for.
const shortestRing = 32

// runs cuts a ring of even points at its corners, from the one to the next; without a
// corner it is one run that ends where it begins.
func (even ring) runs() []ring {
	n := len(even)
	corners := even.corners()
	if len(corners) == 0 {
		round := smooth(even.arc(-smoothSteps, n+smoothSteps))
		return []ring{round[smoothSteps : n+smoothSteps+1]}
	}
	runs := make([]ring, len(corners))
	for k, c := range corners {
		next := corners[(k+1)%len(corners)]
		end := next.index
		if k == len(corners)-1 {
			end += n
		}
		run := ring{c.apex}
		if from, to := c.index+skipSteps, end-skipSteps; from <= to {
			run = append(run, smooth(even.arc(from, to))...)
		}
		runs[k] = append(run, next.apex)
	}
	return runs
}

// corner is a sharp place of a ring.
type corner struct {
	index int            // of the point nearest to it
	apex  geometry.Point // where its two sides meet
}

// corners finds the corners of a ring of even points.
func (r ring) corners() []corner {
	turns := make([]float64, len(r))
	for i := range r {
		turns[i] = math.Abs(r.turn(i, 1, armSteps))
	}
	var at []int
	for i, t := range turns {
		if t > leastTurn && r.peak(turns, i) && r.bends(i) {
			at = append(at, i)
		}
	}
	var found []corner
	for k, i := range at {
		before, after := len(r), len(r)
		if len(at) > 1 {
			before = (i - at[(k+len(at)-1)%len(at)] + len(r)) % len(r)
			after = (at[(k+1)%len(at)] - i + len(r)) % len(r)
		}
		if apex, ok := r.apex(i, before, after); ok {
			found = append(found, corner{i, apex})
		}
	}
	return found
}

// turn is the angle between the directions before and after a point, of the stretches
// between two numbers of steps away from it.
func (r ring) turn(i, from, to int) float64 {
	a := direction(r.arc(i-to, i-from))
	b := direction(r.arc(i+from, i+to))
	return math.Atan2(a.Cross(b), a.Dot(b))
}

// direction is along the line that fits the points best, the way they run.
func direction(points []geometry.Point) geometry.Point {
	_, d := fitLine(points)
	return d
}

// peak reports whether a value is the largest within an arm's half; of equal ones
// the first.
func (r ring) peak(values []float64, i int) bool {
	n := len(values)
	for d := 1; d <= armSteps/2+1; d++ {
		if values[(i+d)%n] > values[i] || values[(i-d+n)%n] >= values[i] {
			return false
		}
	}
	return true
}

// bends reports whether the points turn at a place and not around it: no one circle follows
// them across it, and most of the turn from 1.5 to 4 pixels away happens within the
// innermost two.
func (r ring) bends(i int) bool {
	near, far := math.Abs(r.turn(i, 1, 4)), math.Abs(r.turn(i, 3, 8))
	return near > mostOfTurn*far && r.missed(i, bendSteps) > leastBend
}

// missed is how far the circle that fits best misses the points to both sides.
func (r ring) missed(i, reach int) float64 {
	points := r.arc(i-reach, i+reach)
	return fitCircle(points).worst(points)
}

// apex is where the sides of a corner meet. before and after are the steps to
// the corners on either side, where its sides end.
func (r ring) apex(i, before, after int) (geometry.Point, bool) {
	left, right := r.side(i, -1, before), r.side(i, 1, after)
	p, ok := meet(left, right, r.at(i))
	if !ok {
		return p, false
	}
	a, b := left.tangent(p), right.tangent(p)
	turn := math.Pi - math.Acos(min(max(a.Dot(b), -1), 1))
	if turn < leastTurn {
		return p, false // the sides go on into each other
	}
	// A pixel's width rounds a corner by 0.62 tan(turn/2) pixels at the most (as rendered
	// and measured); one that is rounder is round.
	limit := 0.14 + 0.62*math.Tan(min(turn, 2.6)/2)
	return p, r.nearest(p, i) <= limit && p.DistanceTo(r.at(i)) < limit+2*stepPixels
}

// nearest is the distance of p from the ring near step i.
func (r ring) nearest(p geometry.Point, i int) float64 {
	best := math.Inf(1)
	for k := i - armSteps; k < i+armSteps; k++ {
		q, _ := geometry.Segment{A: r.at(k), B: r.at(k + 1)}.Nearest(p)
		best = min(best, q.DistanceTo(p))
	}
	return best
}

// side fits a line or a circle to the points on one side of a corner, as many as follow
// one.
func (r ring) side(i, way, room int) side {
	most := min(longestSide, room-skipSteps)
	take := func(n int) []geometry.Point {
		points := make([]geometry.Point, 0, n)
		for k := skipSteps; k <= max(n, skipSteps+2); k++ {
			points = append(points, r.at(i+way*k))
		}
		return points
	}
	straight := func(points []geometry.Point) side {
		p, d := fitLine(points)
		return side{p: p, d: d}
	}
	best := straight(take(min(armSteps+skipSteps, most)))
	for n := min(armSteps+skipSteps, most) + 1; n <= most; n++ {
		points := take(n)
		s := straight(points)
		if s.worst(points) > sideNoise {
			if s = fitCircle(points); s.worst(points) > sideNoise {
				break
			}
		}
		best = s
	}
	return best
}

// smoothSteps is how far to either side the points reach that smooth one.
const smoothSteps = 8

// smooth moves each point of a run onto the parabola, in steps along the run, with
// the least squares of distances from its neighbours (A. Savitzky, M. Golay, Analytical
// Chemistry 36, 1964): the farthest neighbours that one parabola follows within the
// noise of a side. Where none does, a point stays as it is.
func smooth(points []geometry.Point) ring {
	out := append(ring(nil), points...)
	for i := range points {
		for reach := smoothSteps; reach >= 2; reach /= 2 {
			from, to := max(i-reach, 0), min(i+reach, len(points)-1)
			if p, ok := parabola(points[from:to+1], i-from); ok {
				out[i] = p
				break
			}
		}
	}
	return out
}

// parabola is the value at point i of the parabola that fits the points, if it
// follows them all.
func parabola(points []geometry.Point, i int) (geometry.Point, bool) {
	if len(points) < 4 {
		return geometry.Point{}, false
	}
	var s [5]float64
	var x, y [3]float64
	for k, p := range points {
		power := 1.0
		for j := range s {
			s[j] += power
			if j < 3 {
				x[j] += power * p.X
				y[j] += power * p.Y
			}
			power *= float64(k - i)
		}
	}
	m := [3][3]float64{{s[0], s[1], s[2]}, {s[1], s[2], s[3]}, {s[2], s[3], s[4]}}
	ax, ay := solve3(m, x), solve3(m, y)
	for k, p := range points {
		t := float64(k - i)
		q := geometry.Point{X: ax[0] + t*(ax[1]+t*ax[2]), Y: ay[0] + t*(ay[1]+t*ay[2])}
		if !(q.DistanceTo(p) <= sideNoise) {
			return geometry.Point{}, false
		}
	}
	return geometry.Point{X: ax[0], Y: ay[0]}, true
}

// solve3 solves three linear equations by Cramer's rule; not finite for none.
func solve3(m [3][3]float64, v [3]float64) (x [3]float64) {
	d := det3(m)
	for c := range 3 {
		n := m
		for r := range 3 {
			n[r][c] = v[r]
		}
		x[c] = det3(n) / d
	}
	return x
}

func det3(m [3][3]float64) float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
		m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}
