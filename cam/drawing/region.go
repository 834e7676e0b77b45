package drawing

import (
	"context"
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

const (
	// samePointMM is the distance below which two points of a finished contour
	// are one: far below what any foam shows, far above rounding.
	samePointMM = 1e-6
	// farthestMM is more than any sheet of foam.
	farthestMM = 1e5
	// mostContours and mostSegments are far more than a pocket has.
	mostContours = 5000
	mostSegments = 200_000
)

// Region makes the pieces of a drawing into a region. Pieces whose ends lie
// within GapMM of each other are chained, either way round; a contour inside
// another is a hole, one inside the hole an island, and so on, whichever way
// they were drawn.
//
// It is an error when an end meets no other, when contours cross, touch along
// a line or are drawn twice, and when there is none. Errors
// are a finding.List of one, without the file's name, or the context's.
func Region(ctx context.Context, pieces []Piece, tol Tolerance) (geometry.Region, error) {
	var contours []geometry.Contour
	var paths []geometry.Path
	count := 0
	pulse := pulse{ctx: ctx}
	for _, p := range pieces {
		path, err := p.path(&pulse, tol.FitMM)
		vertices := path.Vertices()
		count += len(vertices)
		switch {
		case err != nil:
			return geometry.Region{}, err
		case count > mostSegments:
			return geometry.Region{}, fault(p.Line, fmt.Sprintf("the drawing comes to more than %d lines and arcs", mostSegments), alone)
		case len(vertices) == 0:
		case p.Closed:
			contours = append(contours, closed(vertices, tol.GapMM))
		default:
			paths = append(paths, path)
		}
	}
	chained, open := geometry.Chain(tol.GapMM, paths...)
	if len(open) > 0 {
		return geometry.Region{}, loose(pieces, open)
	}
	if err := ctx.Err(); err != nil {
		return geometry.Region{}, err
	}
	return nest(append(contours, chained...))
}

// path is a piece in lines and arcs. What is shorter than a point is left out.
func (p Piece) path(pulse *pulse, fit float64) (geometry.Path, error) {
	var vertices []geometry.Vertex
	var end geometry.Point
	for _, curve := range p.Curves {
		if err := pulse.stopped(); err != nil {
			return geometry.Path{}, err
		}
		if !(reach(curve) <= farthestMM) {
			return geometry.Path{}, fault(p.Line, fmt.Sprintf("a coordinate is beyond %g mm", farthestMM), "check the drawing's units and scale")
		}
		segments, err := segmentsOf(curve, fit)
		if err != nil {
			return geometry.Path{}, fault(p.Line, "the curve cannot be followed: "+err.Error(), "simplify the curve, or draw it with lines and arcs")
		}
		for _, s := range segments {
			if s.Length() > samePointMM {
				vertices = append(vertices, geometry.Vertex{Point: s.A, Bulge: s.Bulge})
				end = s.B
			}
		}
	}
	if len(vertices) == 0 {
		return geometry.Path{}, nil
	}
	return geometry.NewPath(append(vertices, geometry.Vertex{Point: end})...), nil
}

// reach is how far from the origin a curve goes at most; NaN where it is not a number.
func reach(c Curve) float64 {
	far := 0.0
	switch c := c.(type) {
	case segment:
		b := geometry.Segment(c).Bounds()
		far = max(b.Min.Norm(), b.Max.Norm())
	case arc:
		far = c.Center.Norm() + c.U.Norm() + c.V.Norm()
	case bezier:
		far = max(c[0].Norm(), c[1].Norm(), c[2].Norm(), c[3].Norm())
	case spline:
		for _, p := range c.Control {
			far = max(far, p.Norm())
		}
	}
	return far
}

// closed drops the last vertex where it is the first again.
func closed(vertices []geometry.Vertex, gap float64) geometry.Contour {
	if last := len(vertices) - 1; last > 1 && vertices[last].DistanceTo(vertices[0].Point) <= gap {
		vertices = vertices[:last]
	}
	return geometry.NewContour(vertices...)
}

// loose says where an outline does not close: at the end of the first open
// path, with the nearest end of any.
func loose(pieces []Piece, open []geometry.Path) error {
	v := open[0].Vertices()
	at := v[len(v)-1].Point
	nearest := at.DistanceTo(v[0].Point)
	for _, p := range open[1:] {
		v := p.Vertices()
		nearest = min(nearest, at.DistanceTo(v[0].Point), at.DistanceTo(v[len(v)-1].Point))
	}
	return fault(lineOf(pieces, at), fmt.Sprintf("the outline does not close%s, the nearest other end is %.3g mm away", place(at), nearest),
		"join the ends in the drawing, or delete what is not an outline")
}

// lineOf is the line of the piece with an end at a place.
func lineOf(pieces []Piece, at geometry.Point) int {
	for _, p := range pieces {
		if len(p.Curves) == 0 || p.Closed {
			continue
		}
		begin, _ := p.Curves[0].ends()
		_, end := p.Curves[len(p.Curves)-1].ends()
		if min(begin.DistanceTo(at), end.DistanceTo(at)) <= samePointMM {
			return p.Line
		}
	}
	return 0
}

// nest turns each contour by how many others it lies in: even counter-clockwise,
// odd clockwise.
func nest(contours []geometry.Contour) (geometry.Region, error) {
	switch n := len(contours); {
	case n == 0:
		return geometry.Region{}, fault(0, "the drawing has no outline", "draw closed contours at true size, and as geometry, not as text or pictures")
	case n > mostContours:
		return geometry.Region{}, fault(0, fmt.Sprintf("the drawing has %d contours, more than %d", n, mostContours), alone)
	}
	boxes := make([]geometry.Box, len(contours))
	for i, c := range contours {
		boxes[i] = c.Bounds()
		if math.Abs(c.Area()) < samePointMM {
			return geometry.Region{}, fault(0, "the contour"+place(inner(c))+" encloses nothing", "delete it, or draw it as a closed shape")
		}
	}
	turned := make([]geometry.Contour, len(contours))
	for i, c := range contours {
		depth := 0
		for j, other := range contours {
			if j != i && boxes[j].Union(boxes[i]) == boxes[j] && other.Winding(inner(c)) != 0 {
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
	return fault(0, "the contours cross, touch or are drawn twice"+place(f.At)+": "+f.Text,
		"draw each contour once, free of the others; join overlapping shapes into one")
}

func place(p geometry.Point) string { return fmt.Sprintf(" at X %.3f Y %.3f mm", p.X, p.Y) }
