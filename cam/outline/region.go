package outline

import (
	"errors"
	"fmt"
	"math"

	"traywright/geometry"
)

// Tolerance says how far an outline may stray from the drawing.
type Tolerance struct {
	FitMM float64 // of lines and arcs from the curves that they stand for
	GapMM float64 // between two ends that are one
}

// Region makes the pieces of a drawing into a region. Pieces whose ends lie
// within GapMM of each other are chained, either way round; a contour inside
// another is a hole, one inside the hole an island, and so on, whichever way
// they were drawn.
//
// It is an error when an end meets no other or more than one, when contours
// cross, touch along a line or are drawn twice, and when there is none.
func Region(pieces []Piece, tol Tolerance) (geometry.Region, error) {
	var chains []chain
	for _, p := range pieces {
		c, err := newChain(p, tol)
		if err != nil {
			return geometry.Region{}, err
		}
		if len(c.vertices) > 1 {
			chains = append(chains, c)
		}
	}
	loops, err := join(chains, tol.GapMM)
	if err != nil {
		return geometry.Region{}, err
	}
	if len(loops) == 0 {
		return geometry.Region{}, &Error{Message: "the drawing has no outline", Hint: "draw closed contours at true size, and as geometry, not as text or pictures"}
	}
	if len(loops) > mostContours {
		return geometry.Region{}, &Error{Message: fmt.Sprintf("the drawing has %d contours, more than %d", len(loops), mostContours), Hint: "keep the outline alone in the file"}
	}
	return nest(loops)
}

// samePointMM is the distance below which two points of a finished contour are
// one: far below what any foam shows, far above rounding.
const samePointMM = 1e-6

// mostContours is far more than a pocket has.
const mostContours = 5000

// nest turns each loop by how many others it lies in: even counter-clockwise, odd clockwise.
func nest(loops []chain) (geometry.Region, error) {
	contours := make([]geometry.Contour, len(loops))
	boxes := make([]geometry.Box, len(loops))
	for i, l := range loops {
		contours[i] = geometry.NewContour(l.vertices...)
		boxes[i] = contours[i].Bounds()
		if math.Abs(contours[i].Area()) < samePointMM {
			return geometry.Region{}, &Error{Line: l.line, Message: "the contour" + place(l.vertices[0].Point) + " encloses nothing", Hint: "delete it, or draw it as a closed shape"}
		}
	}
	turned := make([]geometry.Contour, len(contours))
	for i, c := range contours {
		depth := 0
		p := inner(c)
		for j, other := range contours {
			if j != i && boxes[j].Union(boxes[i]) == boxes[j] && other.Winding(p) != 0 {
				depth++
			}
		}
		turned[i] = c
		if (c.Area() > 0) != (depth%2 == 0) {
			turned[i] = c.Reverse()
		}
	}
	region := geometry.NewRegion(turned...)
	if err := region.Validate(samePointMM); err != nil {
		return geometry.Region{}, explain(err)
	}
	return region, nil
}

// inner is a point of the contour away from its corners, where it may touch another.
func inner(c geometry.Contour) geometry.Point {
	for s := range c.Segments() {
		return s.At(0.5)
	}
	return geometry.Point{}
}

// explain says what a fault of the geometry means for the drawing.
func explain(err error) error {
	var f *geometry.Fault
	if !errors.As(err, &f) {
		return err
	}
	return &Error{Message: "the contours cross, touch or are drawn twice" + place(f.At) + ": " + f.Text,
		Hint: "draw each contour once, free of the others; join overlapping shapes into one"}
}

func place(p geometry.Point) string { return fmt.Sprintf(" at X %.3f Y %.3f mm", p.X, p.Y) }
