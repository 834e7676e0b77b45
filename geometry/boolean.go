package geometry

import (
	"fmt"
	"math"
)

// Union is what lies inside at least one of the regions. tol, in mm, is the
// distance under which two points are one (1e-6 or so): parts that come nearer
// are joined, slivers narrower than it are dropped. A region whose contours
// overlap is accepted and made valid: inside is what is wound around once or more
// often, counter-clockwise. The error is a *Fault: numbers that are not finite,
// or a place that did not close.
func Union(tol float64, regions ...Region) (Region, error) {
	in := roomFor(regions...)
	for _, r := range regions {
		in.addRegion(r, winds{1, 0})
	}
	return combine(in, tol, regions, func(w winds) bool { return w[0] >= 1 })
}

// Difference is what lies inside a and not inside b; tol and error as in Union.
func Difference(a, b Region, tol float64) (Region, error) {
	return combinePair(a, b, tol, func(w winds) bool { return w[0] >= 1 && w[1] < 1 })
}

func combinePair(a, b Region, tol float64, inside rule) (Region, error) {
	in := roomFor(a, b)
	in.addRegion(a, winds{1, 0})
	in.addRegion(b, winds{0, 1})
	return combine(in, tol, []Region{a, b}, inside)
}

func combine(in weighted, tol float64, regions []Region, inside rule) (Region, error) {
	if err := checkNumbers(tol, 0, regions...); err != nil {
		return Region{}, err
	}
	return solve(in, tol, inside)
}

// solve arranges and reads off the region, with ten times the tolerance when the
// first does not close, and ten times that.
func solve(in weighted, tol float64, inside rule) (Region, error) {
	var firstError error
	for range 3 {
		r, err := arrange(in, tol).region(inside)
		if err == nil {
			return r, nil
		}
		if firstError == nil {
			firstError = err
		}
		tol *= 10
	}
	return Region{}, firstError
}

// checkNumbers refuses what the arithmetic cannot hold: numbers that are not
// finite, a tolerance that is not above 0, or coordinates so large that a double
// cannot tell tol from nothing.
func checkNumbers(tol, d float64, regions ...Region) error {
	if !(tol > 0) || math.IsInf(tol, 1) {
		return &Fault{ruleFinite, Point{}, fmt.Sprintf("the tolerance is %g mm, it must be above 0", tol)}
	}
	size, at := math.Abs(d), Point{}
	for _, r := range regions {
		if far, p := r.farthest(); !(far <= size) && !math.IsNaN(size) {
			size, at = far, p
		}
	}
	// A double has 2^52 steps below size: leave 64 of them to tol.
	if !(size < tol*(1<<46)) {
		return &Fault{ruleFinite, at, fmt.Sprintf("numbers as large as %g cannot be held to the tolerance %g mm", size, tol)}
	}
	return nil
}

// farthest is a bound of how far from the origin the region goes, and the segment
// that goes there; NaN if there is one in it.
func (r Region) farthest() (far float64, at Point) {
	for _, c := range r.contours {
		for s := range c.Segments() {
			switch reach := s.reach(); {
			case math.IsNaN(reach):
				return reach, s.A
			case reach > far:
				far, at = reach, s.A
			}
		}
	}
	return far, at
}

// reach bounds how far from the origin the segment goes.
func (s Segment) reach() float64 {
	return math.Abs(s.A.X) + math.Abs(s.A.Y) + math.Abs(s.Bulge)*(math.Abs(s.B.X-s.A.X)+math.Abs(s.B.Y-s.A.Y))
}
