package geometry

import "fmt"

// Rule names what a Fault breaks.
type Rule string

const (
	ruleFinite    Rule = "finite"     // a coordinate, bulge, distance or tolerance is NaN, infinite or out of range
	ruleVertices  Rule = "vertices"   // a contour has fewer than two vertices
	ruleLength    Rule = "length"     // a segment is not longer than the tolerance
	ruleSimple    Rule = "simple"     // contours cross, overlap, or wind the wrong way around each other
	ruleNotClosed Rule = "not-closed" // the boundary could not be closed within the tolerance
	ruleTooNear   Rule = "too-near"   // an offset is nearer to its source than it should be
)

// Fault is the error of this package: the rule, the place in mm, and what is the
// matter there.
type Fault struct {
	Rule Rule
	At   Point
	Text string
}

// Error is rule, place and what is the matter, in one line.
func (f *Fault) Error() string {
	return fmt.Sprintf("%s at (%.6g, %.6g) mm: %s", f.Rule, f.At.X, f.At.Y, f.Text)
}

// Validate returns nil if the region keeps these rules, else the first *Fault:
//
//  1. every coordinate and bulge is a number (ruleFinite);
//  2. every contour has two vertices or more (ruleVertices);
//  3. every segment is longer than tol mm (ruleLength);
//  4. contours neither cross nor overlap, each other or themselves, and are
//     nested so that on the left of each lies the inside and on its right the
//     outside (ruleSimple). They may touch at single points.
//
// The empty region is valid.
func (r Region) Validate(tol float64) error {
	if err := checkNumbers(tol, 0, r); err != nil {
		return err
	}
	for _, c := range r.contours {
		if err := c.checkSegments(tol); err != nil {
			return err
		}
	}
	return r.checkSides(tol)
}

func (c Contour) checkSegments(tol float64) error {
	if len(c.vertices) < 2 {
		at := Point{}
		if len(c.vertices) == 1 {
			at = c.vertices[0].Point
		}
		return &Fault{ruleVertices, at, fmt.Sprintf("a contour has %d vertices, it needs two or more", len(c.vertices))}
	}
	for s := range c.Segments() {
		if l := s.Length(); !(l > tol) {
			return &Fault{ruleLength, s.A, fmt.Sprintf("a segment is %.3g mm long, not more than the tolerance %g mm", l, tol)}
		}
	}
	return nil
}

// checkSides is rule 4: around every edge the winding is 1 on the left and 0 on
// the right.
func (r Region) checkSides(tol float64) error {
	in := roomFor(r)
	in.addRegion(r, winds{1, 0})
	a := arrange(in, tol)
	// In a sharp tip two sides are nearer than tol for a while, which is no fault; so
	// only what runs together from end to end counts.
	if len(a.shared) > 0 {
		return &Fault{ruleSimple, a.shared[0], "the boundary runs along itself"}
	}
	for i, s := range a.sides() {
		if s.left[0] == 1 && s.right[0] == 0 {
			continue
		}
		return &Fault{ruleSimple, a.segment(&a.edges[i]).At(0.5), fmt.Sprintf(
			"the boundary winds %d times on its left and %d times on its right, it should be 1 and 0: contours cross, overlap or run the wrong way",
			s.left[0], s.right[0])}
	}
	return nil
}
