package plan

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// leastRoomMM is how much wider than a tool a shape is at least: in one exactly as wide there is no
// path, and rounding decides which it is (judged, no source).
const leastRoomMM = 1e-3

// reached is what a round tool leaves of a shape.
type reached struct {
	shape   geometry.Region // what the tool can cover
	corners bool            // some convex corner stays round
	narrow  bool            // some part is too narrow for the tool: see at
	at      geometry.Point
	over    float64 // mm by which a leftover is deeper than its corner allows
}

// reach finds the part of a design that a tool of radius r can cover without
// leaving it: the design shrunk by r and grown again. What is left over may only
// be the rounding of convex corners, r(1/sin(t/2) - 1) deep in a corner of angle t;
// where it is more, or the design falls apart, the tool does not fit. It takes room beside the
// tool everywhere.
func reach(design geometry.Region, r, room, tol float64) (reached, error) {
	inner, err := geometry.Offset(design, -r, tol)
	if err != nil {
		return reached{}, err
	}
	shape, err := geometry.Offset(inner, r, tol)
	if err != nil {
		return reached{}, err
	}
	roomy := inner
	if room > 0 && !geometry.ShrinksWhole(inner, room/2) {
		if roomy, err = geometry.Offset(inner, -room/2, tol); err != nil { // of fewer parts than the design
			return reached{}, err
		}
	}
	result := reached{shape: shape}
	if len(shape.Pieces()) != len(design.Pieces()) || len(roomy.Pieces()) != len(inner.Pieces()) || shape.Empty() {
		result.narrow = true
		result.at = middle(design.Bounds())
	}
	left, err := geometry.Difference(design, shape, tol)
	if err != nil {
		return reached{}, err
	}
	l := leftovers{r: r, slack: 1000 * tol, corners: sharperThanRight(design, r)}
	l.measure(left, shape)
	result.corners, result.over = l.found, l.worst
	if l.worst > 0 {
		result.narrow, result.at = true, l.at
	}
	return result, nil
}

func middle(b geometry.Box) geometry.Point { return b.Min.Add(b.Max).Scale(0.5) }

// leftovers measures what a tool leaves of a design.
type leftovers struct {
	r, slack float64
	corners  []sharper // of the design, from left to right
	found    bool      // something is left
	worst    float64   // the most by which a leftover is deeper than its corner allows
	at       geometry.Point
}

func (l *leftovers) measure(left, shape geometry.Region) {
	walls := geometry.NewWalls(shape)
	for _, piece := range left.Pieces() {
		depth, at := deepest(piece, walls)
		if depth > leastReliefMM {
			l.found = true
		}
		if over := depth - l.allowed(piece, depth-l.worst) - l.slack; over > l.worst {
			l.worst, l.at = over, at
		}
	}
}

// allowed is how deep the leftover may be: as in a right angle, or as in the
// sharper corner that it lies in. What is enough or more need not be the most, and mostly
// the piece's own corner is; only where it is not, all that are in its box are asked.
func (l *leftovers) allowed(piece geometry.Region, enough float64) float64 {
	most := rightCornerLeft(l.r)
	for _, c := range piece.Contours() {
		for s := range c.Segments() {
			if most < enough {
				most = l.deeper(most, geometry.Box{Min: s.A, Max: s.A}.Grow(l.slack), enough)
			}
		}
	}
	return l.deeper(most, piece.Bounds().Grow(l.slack), enough)
}

// deeper is most, or what a sharper corner in the box allows, as far as it is less than enough.
func (l *leftovers) deeper(most float64, box geometry.Box, enough float64) float64 {
	first, _ := slices.BinarySearchFunc(l.corners, box.Min.X, func(c sharper, x float64) int { return cmp.Compare(c.at.X, x) })
	for _, c := range l.corners[first:] {
		if c.at.X > box.Max.X || most >= enough {
			break
		}
		if c.left > most && c.at.Y >= box.Min.Y && c.at.Y <= box.Max.Y {
			most = c.left
		}
	}
	return most
}

// rightCornerLeft is how deep a tool of radius r leaves a right angle uncut.
func rightCornerLeft(r float64) float64 { return r * (math.Sqrt2 - 1) }

// sharper is a corner of less than a right angle, and how deep a tool leaves it uncut.
type sharper struct {
	at   geometry.Point
	left float64
}

// sharperThanRight lists such corners from left to right.
func sharperThanRight(design geometry.Region, r float64) []sharper {
	var list []sharper
	for _, c := range sharpCorners(design, r) {
		if left := c.left(r); left > rightCornerLeft(r) {
			list = append(list, sharper{c.at, left})
		}
	}
	slices.SortFunc(list, func(a, b sharper) int { return cmp.Compare(a.at.X, b.at.X) })
	return list
}

// deepest is the point of the piece's boundary, among ends and middles of its
// segments, that is farthest from the walls.
func deepest(piece geometry.Region, walls geometry.Walls) (depth float64, at geometry.Point) {
	for _, c := range piece.Contours() {
		for s := range c.Segments() {
			for _, p := range [...]geometry.Point{s.A, s.At(0.5)} {
				if d := walls.DistanceTo(p, depth); d > depth {
					depth, at = d, p
				}
			}
		}
	}
	return depth, at
}
