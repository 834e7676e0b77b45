package lettering

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// How thin places are found:
//
//  1. Two places on the boundary face each other squarely if the chord between them is
//     perpendicular to the boundary at both, to within the slant below; at a corner, if
//     it lies between the perpendiculars of both sides. The width of a
//     stroke or gap is the length of such a chord: between parallel sides any of
//     them, elsewhere where the width is least.
//  2. Every such chord between two segments begins at a vertex, at the common normal of
//     two curves through their centres, or across an arc; these are tried.
//  3. A chord counts if it stays inside the region all the way (a stroke) or outside (a
//     gap).
//  4. Of chords near each other, or between the same walls, the shortest is kept.
//
// The notch between two sides that meet at an angle narrows to nothing at any size. It
// has no square chord, and is no thin place.

// maxSlant is how far the two sides of a thin place may be from facing each other
// squarely, in radians: 12 degrees.
const maxSlant = 12 * math.Pi / 180

// Kind tells what is thin.
type Kind int

const (
	Stroke Kind = iota // the region itself: a slot too narrow to cut
	Gap                // what is between its parts: a bridge or wall too thin to hold
)

func (k Kind) String() string {
	switch k {
	case Stroke:
		return "stroke"
	case Gap:
		return "gap"
	default:
		return "unknown"
	}
}

// Thin is a place where a region, or a gap in it or beside it, is thinner than it should
// be. At is the middle of it.
type Thin struct {
	Kind    Kind
	At      geometry.Point
	WidthMM float64
}

// Thinnest lists the places where strokes of the region are thinner than strokeMM or gaps
// thinner than gapMM, the thinnest first. Places of one kind nearer to each other than three
// times that, or between the same two lines or arcs, are one. A limit of 0 leaves the kind out.
//
// A place is where two sides face each other squarely, to within 12 degrees. So sharp corners
// and notches do not count, however thin they end, and tapers count if they are slender.
// The region must be valid (geometry.Region.Validate). For n segments spread out over an
// area it takes about n√n time.
func Thinnest(region geometry.Region, strokeMM, gapMM float64) []Thin {
	w := newWalls(region, max(strokeMM, gapMM))
	var found []chord
	for _, c := range w.chords() {
		limit := strokeMM
		if c.kind == Gap {
			limit = gapMM
		}
		if c.width < limit*(1-1e-9) && w.clear(&c) {
			found = append(found, c)
		}
	}
	return spread(found, 3*strokeMM, 3*gapMM)
}

// spread keeps the thinnest of the chords that are near each other or between the same
// two walls.
func spread(found []chord, strokes, gaps float64) []Thin {
	slices.SortStableFunc(found, func(a, b chord) int {
		p, q := a.middle(), b.middle()
		return cmp.Or(cmp.Compare(math.Round(a.width*1e6), math.Round(b.width*1e6)), cmp.Compare(a.rank, b.rank),
			cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	var kept []chord
	for _, c := range found {
		apart := strokes
		if c.kind == Gap {
			apart = gaps
		}
		same := func(k chord) bool {
			return k.kind == c.kind && (k.middle().DistanceTo(c.middle()) < apart || k.between(c))
		}
		if !slices.ContainsFunc(kept, same) {
			kept = append(kept, c)
		}
	}
	var list []Thin
	for _, c := range kept {
		list = append(list, Thin{c.kind, c.middle(), c.width})
	}
	return list
}

// wall is a segment of the boundary with its neighbours: the inside is on its left.
type wall struct {
	geometry.Segment
	box            geometry.Box
	before, behind geometry.Segment
	id             int // of the wall; those before and behind it are neighbours[0] and [1]
	neighbours     [2]int
}

// walls is the boundary, sorted by the left edges of the boxes.
type walls struct {
	list  []wall
	limit float64
	reach float64 // width of the widest box
}

// chord joins two places that face each other squarely.
type chord struct {
	kind  Kind
	a, b  geometry.Point
	width float64
	walls [2][2]int // at each end the wall, twice, or at a corner both walls
	rank  int       // of chords equally long the one with the least is kept
}

// Ranks of chords: in the middle of two sides, somewhere else, along the end of a stroke.
const (
	midway = iota
	elsewhere
	alongRim
)

// between reports whether both chords lie between the same two walls.
func (c chord) between(d chord) bool {
	meet := func(i, j int) bool {
		return slices.ContainsFunc(c.walls[i][:], func(id int) bool { return slices.Contains(d.walls[j][:], id) })
	}
	return meet(0, 0) && meet(1, 1) || meet(0, 1) && meet(1, 0)
}

func (c chord) middle() geometry.Point { return c.a.Add(c.b).Scale(0.5) }

func newWalls(region geometry.Region, limit float64) *walls {
	w := &walls{limit: limit}
	for _, c := range region.Contours() {
		segments := slices.Collect(c.Segments())
		first := len(w.list)
		for i, s := range segments {
			n := len(segments)
			before, behind := (i+n-1)%n, (i+1)%n
			w.list = append(w.list, wall{s, s.Bounds(), segments[before], segments[behind], first + i, [2]int{first + before, first + behind}})
		}
	}
	slices.SortStableFunc(w.list, func(a, b wall) int { return cmp.Compare(a.box.Min.X, b.box.Min.X) })
	for _, s := range w.list {
		w.reach = max(w.reach, s.box.Width())
	}
	return w
}

// near calls visit for every wall whose box comes nearer to b than d mm.
func (w *walls) near(b geometry.Box, d float64, visit func(wall)) {
	b = b.Grow(d)
	first, _ := slices.BinarySearchFunc(w.list, b.Min.X-w.reach, func(s wall, x float64) int { return cmp.Compare(s.box.Min.X, x) })
	for _, s := range w.list[first:] {
		if s.box.Min.X > b.Max.X {
			return
		}
		if s.box.Max.X >= b.Min.X && s.box.Max.Y >= b.Min.Y && s.box.Min.Y <= b.Max.Y {
			visit(s)
		}
	}
}

// chords lists the square chords shorter than the limit.
func (w *walls) chords() []chord {
	var list []chord
	try := func(a wall, ta float64, b wall, tb float64, rank int) {
		if c, ok := square(a, ta, b, tb); ok && c.width < w.limit {
			c.rank = rank
			list = append(list, c)
		}
	}
	for _, a := range w.list {
		w.near(a.box, w.limit, func(b wall) {
			_, foot := b.Nearest(a.A)
			try(a, 0, b, foot, elsewhere)
			s, t, rank := overlap(a.Segment, b.Segment)
			try(a, s, b, t, rank)
			if common, ok := commonNormal(a.Segment, b.Segment); ok {
				try(a, common[0], b, common[1], elsewhere)
			}
			for _, t := range across(a.Segment, b.Segment) {
				try(a, t[0], b, t[1], elsewhere)
			}
		})
	}
	return list
}

// square is the chord from a to b, at shares of their lengths, if both face each other.
func square(a wall, ta float64, b wall, tb float64) (chord, bool) {
	p, q := a.At(ta), b.At(tb)
	width := p.DistanceTo(q)
	if width < 1e-9 {
		return chord{}, false
	}
	u := q.Sub(p).Scale(1 / width)
	inside := a.faces(ta, u, 1) && b.faces(tb, u.Scale(-1), 1)
	outside := a.faces(ta, u, -1) && b.faces(tb, u.Scale(-1), -1)
	switch {
	case inside:
		return chord{kind: Stroke, a: p, b: q, width: width, walls: [2][2]int{a.ids(ta), b.ids(tb)}}, true
	case outside:
		return chord{kind: Gap, a: p, b: q, width: width, walls: [2][2]int{a.ids(ta), b.ids(tb)}}, true
	}
	return chord{}, false
}

// ids is the walls at the share t of the wall's length.
func (w wall) ids(t float64) [2]int {
	switch {
	case t <= 0:
		return [2]int{w.neighbours[0], w.id}
	case t >= 1:
		return [2]int{w.id, w.neighbours[1]}
	default:
		return [2]int{w.id, w.id}
	}
}

// faces reports whether a direction leaves the wall at t squarely, to its left (side 1) or
// right (-1): along the normal, or between the two normals of a corner that points that
// way.
func (w wall) faces(t float64, u geometry.Point, side float64) bool {
	n := w.Tangent(t).Left().Scale(side)
	m := n
	switch {
	case t <= 0:
		m = w.before.Tangent(1).Left().Scale(side)
	case t >= 1:
		m = w.behind.Tangent(0).Left().Scale(side)
	}
	if math.Acos(max(-1, min(1, n.Dot(u)))) <= maxSlant || math.Acos(max(-1, min(1, m.Dot(u)))) <= maxSlant {
		return true
	}
	first, second := m, n // in order of travel
	if t >= 1 {
		first, second = n, m
	}
	// The normals of a corner spread if it points to their side: seen from the left, if
	// the boundary turns right there.
	turn := first.Cross(second) * side
	return turn < 0 && first.Cross(u)*side <= 0 && u.Cross(second)*side <= 0
}

// overlap is the middle of what of a lies beside b, and what lies nearest to it on b:
// shares of their lengths.
func overlap(a, b geometry.Segment) (s, t float64, rank int) {
	_, from := a.Nearest(b.A)
	_, to := a.Nearest(b.B)
	s = (from + to) / 2
	_, t = b.Nearest(a.At(s))
	if math.Abs(from-to) < 1e-9 {
		return s, t, elsewhere
	}
	return s, t, midway
}

// commonNormal is where the line through the centres of two arcs, or from the centre of an
// arc square to a line, meets both: shares of their lengths.
func commonNormal(a, b geometry.Segment) ([2]float64, bool) {
	switch {
	case !a.IsArc():
		return [2]float64{}, false
	case !b.IsArc():
		q, t := b.Nearest(a.Center())
		_, s := a.Nearest(q)
		return [2]float64{s, t}, true
	}
	// A few steps to and fro find the nearest places on both sides of the centres' line.
	_, s := a.Nearest(b.Center())
	p := a.At(s)
	t := 0.0
	for range 20 {
		var q geometry.Point
		q, t = b.Nearest(p)
		p, s = a.Nearest(q)
	}
	return [2]float64{s, t}, true
}

// across lists the diameters of a circle that end on two of its arcs: shares of
// their lengths.
func across(a, b geometry.Segment) [][2]float64 {
	if !a.IsArc() || !b.IsArc() {
		return nil
	}
	center, r := a.Center(), a.Radius()
	if math.Abs(b.Radius()-r) > 1e-6*r || center.DistanceTo(b.Center()) > 1e-6*r {
		return nil
	}
	var list [][2]float64
	for _, s := range []float64{0, 0.5, 1} {
		far := center.Scale(2).Sub(a.At(s))
		if q, t := b.Nearest(far); q.DistanceTo(far) < 1e-6*r {
			list = append(list, [2]float64{s, t})
		}
	}
	return list
}

// clear reports whether no other part of the boundary lies across the chord, and ranks it
// last if one runs along.
func (w *walls) clear(c *chord) bool {
	const inset = 1e-6 // from the boundary at the chord's own ends
	if c.width <= 4*inset {
		return true
	}
	u := c.b.Sub(c.a).Scale(inset / c.width)
	line := geometry.Segment{A: c.a.Add(u), B: c.b.Sub(u)}
	free := true
	w.near(line.Bounds(), inset, func(s wall) {
		if !free {
			return
		}
		switch m, _ := geometry.Intersect(line, s.Segment, inset/1000); m {
		case geometry.RunAlong:
			c.rank = alongRim
		case geometry.Touch, geometry.Cross:
			free = false
		}
	})
	return free
}

// ThinLetter is a thin place of a line of text.
type ThinLetter struct {
	Thin
	Letter   int     // its number in Line.Letters: the nearest
	Bridge   bool    // it is a bridge, which does not grow with the letters
	HeightMM float64 // of a capital letter at which the place would be thick enough; 0 for a bridge
}

// Thinnest is the function of that name for all letters together, so that the gaps between
// letters count. The error is that of geometry.Union. Single strokes have no width, and nothing is
// said of them.
func (l Line) Thinnest(strokeMM, gapMM float64) ([]ThinLetter, error) {
	region, err := l.Region(joinMM)
	if err != nil {
		return nil, err
	}
	var list []ThinLetter
	for _, t := range Thinnest(region, strokeMM, gapMM) {
		thin := ThinLetter{Thin: t, Letter: l.nearest(t.At)}
		limit := strokeMM
		if t.Kind == Gap {
			limit = gapMM
			thin.Bridge = l.onBridge(t.At)
		}
		if !thin.Bridge {
			thin.HeightMM = l.HeightMM * limit / t.WidthMM
		}
		list = append(list, thin)
	}
	return list, nil
}

// nearest is the letter whose box is nearest to a place.
func (l Line) nearest(p geometry.Point) int {
	best, least := 0, math.Inf(1)
	for i, letter := range l.Letters {
		b := letter.Box
		d := math.Hypot(max(b.Min.X-p.X, 0, p.X-b.Max.X), max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y))
		if !b.Empty() && d < least {
			best, least = i, d
		}
	}
	return best
}

func (l Line) onBridge(p geometry.Point) bool {
	for _, letter := range l.Letters {
		for _, b := range letter.Bridges {
			if b.Strip().Winding(p) != 0 {
				return true
			}
		}
	}
	return false
}
