package geometry

import "math"

// quarterBulge is tan(π/8), the bulge of a quarter circle.
const quarterBulge = math.Sqrt2 - 1

// Rectangle is the box as a counter-clockwise contour from its lower left
// corner, each corner rounded by cornerRadius mm; 0 leaves it sharp. A radius
// over half the shorter side counts as that half (the ends become half
// circles), a negative one as 0. An empty box gives the empty contour.
func Rectangle(b Box, cornerRadius float64) Contour {
	if b.Empty() {
		return Contour{}
	}
	r := min(cornerRadius, min(b.Width(), b.Height())/2)
	if !(r > 0) {
		return Polygon(b.Min, Point{b.Max.X, b.Min.Y}, b.Max, Point{b.Min.X, b.Max.Y})
	}
	return withoutRepeats([]Vertex{
		{Point{b.Min.X + r, b.Min.Y}, 0},
		{Point{b.Max.X - r, b.Min.Y}, quarterBulge},
		{Point{b.Max.X, b.Min.Y + r}, 0},
		{Point{b.Max.X, b.Max.Y - r}, quarterBulge},
		{Point{b.Max.X - r, b.Max.Y}, 0},
		{Point{b.Min.X + r, b.Max.Y}, quarterBulge},
		{Point{b.Min.X, b.Max.Y - r}, 0},
		{Point{b.Min.X, b.Min.Y + r}, quarterBulge},
	})
}

// withoutRepeats drops segments of no length, as a rectangle has them whose
// corners meet.
func withoutRepeats(vertices []Vertex) Contour {
	kept := make([]Vertex, 0, len(vertices))
	for i, v := range vertices {
		if v.Point != vertices[(i+1)%len(vertices)].Point {
			kept = append(kept, v)
		}
	}
	return Contour{kept}
}

// Circle is two half circles, counter-clockwise, from the leftmost point. A
// radius that is not above 0 gives the empty contour.
func Circle(center Point, radius float64) Contour {
	if !(radius > 0) {
		return Contour{}
	}
	return NewContour(
		Vertex{Point{center.X - radius, center.Y}, 1},
		Vertex{Point{center.X + radius, center.Y}, 1},
	)
}

// Slot is the area within width/2 mm of the line from a to b, the centres of
// its two round ends, counter-clockwise; a circle when they coincide (or are so near,
// 1e-150 mm, that no direction can be told). A width
// that is not above 0 gives the empty contour.
func Slot(a, b Point, width float64) Contour {
	if (Segment{A: a, B: b}).isPoint() {
		return Circle(a, width/2)
	}
	if !(width > 0) {
		return Contour{}
	}
	side := b.Sub(a).Left().Scale(width / 2 / a.DistanceTo(b))
	return NewContour(
		Vertex{a.Sub(side), 0}, Vertex{b.Sub(side), 1},
		Vertex{b.Add(side), 0}, Vertex{a.Add(side), 1},
	)
}

// Polygon joins the points by straight lines, the last to the first, in the
// direction given.
func Polygon(points ...Point) Contour {
	vertices := make([]Vertex, len(points))
	for i, p := range points {
		vertices[i].Point = p
	}
	return Contour{vertices}
}
