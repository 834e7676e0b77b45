package geometry

import (
	"errors"
	"fmt"
	"math"
)

// check returns nil if no point of the boundary of result is nearer than
// |d| - slack mm to the boundary of x, and each of its contours lies on the
// right side of it; else a *Fault that names the place. It measures the true
// distance between lines and arcs, pair by pair where they are near, whichever way
// the result was found. What it does not see is a part of the result that is missing.
// Nothing is nearer than a |d| of slack or less, so then the answer is nil.
func (x *segmentIndex) check(d float64, result Region, slack float64) error {
	reach := math.Abs(d) - slack
	if !(reach > 0) {
		return nil
	}
	for _, c := range result.contours {
		for s := range c.Segments() {
			if err := x.keepsAway(s, d, reach); err != nil {
				return err
			}
		}
		if p := c.vertices[0].Point; x.contains(p, slack) != (d < 0) {
			return &Fault{ruleTooNear, p, fmt.Sprintf("the offset by %g mm lies on the wrong side of its source", d)}
		}
	}
	return nil
}

func (x *segmentIndex) keepsAway(s Segment, d, reach float64) error {
	if math.Abs(s.Bulge) > 1 {
		first, second := s.halves()
		return errors.Join(x.keepsAway(first, d, reach), x.keepsAway(second, d, reach))
	}
	c := newCurve(s)
	var fault error
	p := c.probe(0)
	x.near(&p, &reach, func(i int) bool {
		e := &x.curves[i]
		if c.clearOf(e, reach) {
			return true
		}
		if near, p, _ := c.distance(e); near < reach {
			fault = &Fault{ruleTooNear, p, fmt.Sprintf("the offset by %g mm is only %.9g mm from its source", d, near)}
		}
		return fault == nil
	})
	return fault
}

// clearOf proves by a bound of the distance, where one is at hand, that the curves
// are reach or more apart; false means that it is to be measured. The parallel of a
// curve is proved so, being at one distance from the whole line or circle.
func (c *curve) clearOf(e *curve, reach float64) bool {
	if c.radius > flatRadius || e.radius > flatRadius {
		return false
	}
	switch {
	case c.k == 0:
		return e.besideLine(c, reach)
	case e.k == 0:
		return c.besideLine(e, reach)
	}
	apart := c.center.DistanceTo(e.center)
	return apart-c.radius-e.radius >= reach || math.Abs(c.radius-e.radius)-apart >= reach
}

// besideLine reports whether all of c, or of its circle, is reach or more to one side
// of the whole line, or around the line's ends by as much.
func (c *curve) besideLine(line *curve, reach float64) bool {
	if c.k != 0 {
		off := math.Abs(c.center.Sub(line.A).Dot(line.normal()))
		if off-c.radius >= reach {
			return true
		}
		inside := c.radius - reach
		return inside > 0 && c.center.DistanceTo(line.A) <= inside && c.center.DistanceTo(line.B) <= inside
	}
	a, b := c.A.Sub(line.A).Dot(line.normal()), c.B.Sub(line.A).Dot(line.normal())
	return min(a, b) >= reach || max(a, b) <= -reach
}
