package lettering

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/geometry"
)

// How bridges are found:
//
//  1. The sheet around and inside the region falls into parts: the outside and, in each
//     hole, an island. Every contour borders one of them. An outer contour counts as bordering the
//     outside even where it lies in a hole, since the island of that hole will be held too.
//  2. Lines are laid across each hole, upright, level and at 45°, through its middle and beside
//     it. Where such a line passes through the region from one part of the sheet to
//     another, a bridge could be: the strip of the bridge's width about the line, as long as
//     the region lies in its way. The nearest points of two contours are a possible place
//     as well, so that there is always one.
//  3. The cheapest places that join all parts are taken (Kruskal, "On the shortest spanning
//     subtree of a graph", Proceedings of the AMS 7, 1956). Short is cheap; off the middle
//     and slanting cost more, and so does an end that does not lie in the sheet with its whole
//     width, as in a notch.
//  4. An island that is wide enough gets one more, on another side, so that it
//     cannot flap.
//  5. The strips are taken from the region. Then no hole may be left: a part of the sheet
//     that hangs on to nothing would be one.

// StencilOptions says what the bridges of a stencil are like.
type StencilOptions struct {
	BridgeMM  float64 // width of a bridge, above 0
	PerIsland int     // bridges that hold an island: 1, or 2 where it is wider than two bridges; 0 means 2
}

// Bridge is a strip of the sheet that is left standing, of WidthMM, with From and To in
// the middle of its ends.
type Bridge struct {
	From, To geometry.Point
	WidthMM  float64
}

// strip is the bridge as a contour.
func (b Bridge) strip() geometry.Contour {
	along := b.To.Sub(b.From)
	if along.Norm() == 0 {
		return geometry.Contour{}
	}
	side := along.Left().Scale(b.WidthMM / 2 / along.Norm())
	return geometry.Polygon(b.From.Sub(side), b.To.Sub(side), b.To.Add(side), b.From.Add(side))
}

// Stencil takes bridges from a region that is to be cut through, so that the islands
// in its holes stay with the sheet: the result has no holes. A region without holes comes
// back as it is.
//
// The region must be valid to tol mm, the distance under which two points are one. Bridges stand
// upright or level where that does not make them much longer; turn the region first to
// have them otherwise. The error is a *Fault, or a *geometry.Fault where the region could
// not be combined with the bridges.
func Stencil(region geometry.Region, o StencilOptions, tol float64) (geometry.Region, []Bridge, error) {
	if !(o.BridgeMM > 0) || math.IsInf(o.BridgeMM, 1) || o.PerIsland < 0 || o.PerIsland > 2 {
		return geometry.Region{}, nil, &Fault{ruleSetting,
			fmt.Sprintf("bridges %g mm wide, %d to an island, cannot be made", o.BridgeMM, o.PerIsland), "give a width above 0 and 1 or 2 to an island"}
	}
	if err := region.Validate(tol); err != nil {
		return geometry.Region{}, nil, &Fault{ruleShape, fmt.Sprintf("the region to bridge is not valid: %v", err), "unite its contours first"}
	}
	if len(holes(region)) == 0 {
		return region, nil, nil
	}
	s := newStencil(region, o)
	s.scan()
	s.span()
	if o.PerIsland != 1 {
		s.double()
	}
	return s.cut(tol)
}

// holes lists the clockwise contours.
func holes(r geometry.Region) []geometry.Contour {
	return slices.DeleteFunc(r.Contours(), func(c geometry.Contour) bool { return c.Area() > 0 })
}

// stencil is the work on one region.
type stencil struct {
	region   geometry.Region
	contours []geometry.Contour
	part     []int // what each contour borders: 0 is the outside, i+1 the island in hole i
	pieces   []edge
	fans     []fan // of the pieces, one for each direction
	width    float64
	places   []place // where a bridge could be, cheapest first
	taken    []place
}

// place is where a bridge could be: it joins two parts of the sheet.
type place struct {
	bridge Bridge
	parts  [2]int
	cost   float64
}

func newStencil(region geometry.Region, o StencilOptions) *stencil {
	s := &stencil{region: region, contours: region.Contours(), width: o.BridgeMM}
	s.part = make([]int, len(s.contours))
	for i, c := range s.contours {
		if c.Area() < 0 {
			s.part[i] = i + 1
		}
		for segment := range c.Segments() {
			s.pieces = appendEdge(s.pieces, segment, i)
		}
	}
	along, _ := directions()
	for _, u := range along {
		s.fans = append(s.fans, newFan(s.pieces, u))
	}
	return s
}

// scan gathers the places, cheapest first.
func (s *stencil) scan() {
	for i, c := range s.contours {
		if s.part[i] != i+1 {
			continue
		}
		s.scanHole(c)
		s.nearest(i)
	}
	slices.SortStableFunc(s.places, func(a, b place) int { return cmp.Compare(a.cost, b.cost) })
}

// directions are those of the lines laid across a hole, and how much dearer a bridge
// along them is.
func directions() ([]geometry.Point, []float64) {
	return []geometry.Point{{Y: 1}, {X: 1}, {X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2}, {X: -math.Sqrt2 / 2, Y: math.Sqrt2 / 2}},
		[]float64{1, 1.1, 1.4, 1.4}
}

// scanHole lays lines across a hole.
func (s *stencil) scanHole(hole geometry.Contour) {
	_, dearer := directions()
	for i, f := range s.fans {
		u := f.along
		low, high := extent(hole, u.Left())
		for _, share := range []float64{0, -0.15, 0.15, -0.3, 0.3, -0.42, 0.42} {
			at := u.Left().Scale((low+high)/2 + share*(high-low))
			s.scanLine(f, at, dearer[i]*(1+math.Abs(share)))
		}
	}
}

// extent is how far a contour reaches in a direction.
func extent(c geometry.Contour, direction geometry.Point) (low, high float64) {
	angle := math.Atan2(direction.Y, direction.X)
	b := c.Transform(geometry.Rotate(-angle, geometry.Point{})).Bounds()
	return b.Min.X, b.Max.X
}

// scanLine adds a place for each stretch of the line that leads through the region from one
// part of the sheet to another.
func (s *stencil) scanLine(f fan, at geometry.Point, dearer float64) {
	along := f.along
	var lines [][]stretch // the line in the middle first
	for _, share := range []float64{0, -0.5, -0.25, 0.25, 0.5} {
		lines = append(lines, f.stretches(at.Add(along.Left().Scale(share*s.width))))
	}
	for _, m := range lines[0] {
		parts := [2]int{s.part[m.in], s.part[m.out]}
		if parts[0] == parts[1] {
			continue
		}
		from, to, price := s.strip(m, lines)
		s.add(at.Add(along.Scale(from)), at.Add(along.Scale(to)), parts, dearer*price)
	}
}

// spoilt is the price of a strip that does not end in the sheet with its whole width.
const spoilt = 4

// strip is from where to where the strip about a stretch m must reach, and how much
// dearer it is for its ends.
func (s *stencil) strip(m stretch, lines [][]stretch) (from, to, price float64) {
	from, to = m.from, m.to
	for _, line := range lines {
		for _, n := range line {
			if n.from < m.to && n.to > m.from {
				from, to = min(from, n.from), max(to, n.to)
			}
		}
	}
	// A little more on both ends, lest a sliver of the region stays between the lines.
	from, to = from-s.width/8, to+s.width/8
	price = 1
	if m.from-from > m.before || inRegion(lines, from) {
		from, price = max(from, m.from-m.before/2), price*spoilt
	}
	if to-m.to > m.behind || inRegion(lines, to) {
		to, price = min(to, m.to+m.behind/2), price*spoilt
	}
	return from, to, price
}

// inRegion reports whether one of the lines is in the region at a distance along it.
func inRegion(lines [][]stretch, at float64) bool {
	return slices.ContainsFunc(lines, func(line []stretch) bool {
		return slices.ContainsFunc(line, func(n stretch) bool { return n.from < at && at < n.to })
	})
}

// add notes a place.
func (s *stencil) add(from, to geometry.Point, parts [2]int, dearer float64) {
	s.places = append(s.places, place{Bridge{from, to, s.width}, parts, from.DistanceTo(to) * dearer})
}

// nearest adds the shortest way from a hole to any other contour: nothing lies between them
// but the region.
func (s *stencil) nearest(hole int) {
	best, from, to, other := math.Inf(1), geometry.Point{}, geometry.Point{}, -1
	for j, c := range s.contours {
		if s.part[j] == s.part[hole] {
			continue
		}
		if d, p, q := geometry.Distance(s.contours[hole], c); d < best {
			best, from, to, other = d, p, q, j
		}
	}
	if other < 0 || best == 0 {
		return
	}
	along := to.Sub(from).Scale(1 / best)
	before := len(s.places)
	s.scanLine(newFan(s.pieces, along), from.Sub(along.Scale(from.Dot(along))), 1.5)
	if len(s.places) == before {
		reach := along.Scale(s.width / 8)
		s.add(from.Sub(reach), to.Add(reach), [2]int{s.part[hole], s.part[other]}, 3)
	}
}

// span takes the cheapest places that join all parts.
func (s *stencil) span() {
	group := make([]int, len(s.contours)+1)
	for i := range group {
		group[i] = i
	}
	for _, p := range s.places {
		a, b := group[p.parts[0]], group[p.parts[1]]
		if a == b {
			continue
		}
		for i, g := range group {
			if g == b {
				group[i] = a
			}
		}
		s.taken = append(s.taken, p)
	}
}

// double gives an island that hangs on one bridge, and is wide enough for two, another on
// another side, if one is to be had that is not much dearer.
func (s *stencil) double() {
	for i, c := range s.contours {
		part := i + 1
		held := s.holding(part)
		if s.part[i] != part || len(held) != 1 || min(c.Bounds().Width(), c.Bounds().Height()) < 2*s.width {
			continue
		}
		first := held[0].outward(part)
		for _, p := range s.places {
			touches := p.parts[0] == part || p.parts[1] == part
			if touches && p.cost <= 4*held[0].cost && p.outward(part).Dot(first) < -0.3 {
				s.taken = append(s.taken, p)
				break
			}
		}
	}
}

// holding lists the bridges taken that end on a part.
func (s *stencil) holding(part int) []place {
	var list []place
	for _, p := range s.taken {
		if p.parts[0] == part || p.parts[1] == part {
			list = append(list, p)
		}
	}
	return list
}

// outward is the direction in which the bridge leaves the part.
func (p place) outward(part int) geometry.Point {
	d := p.bridge.To.Sub(p.bridge.From)
	if p.parts[1] == part {
		d = d.Scale(-1)
	}
	return d.Scale(1 / d.Norm())
}

// cut takes the strips from the region.
func (s *stencil) cut(tol float64) (geometry.Region, []Bridge, error) {
	var strips []geometry.Region
	var bridges []Bridge
	for _, p := range s.taken {
		bridges = append(bridges, p.bridge)
		strips = append(strips, geometry.NewRegion(p.bridge.strip()))
	}
	all, err := geometry.Union(tol, strips...)
	if err != nil {
		return geometry.Region{}, nil, err
	}
	result, err := geometry.Difference(s.region, all, tol)
	if err != nil {
		return geometry.Region{}, nil, err
	}
	if left := holes(result); len(left) > 0 {
		at := left[0].Bounds().Min
		return geometry.Region{}, nil, &Fault{ruleBridge,
			fmt.Sprintf("no bridge %g mm wide holds the island at (%.2f, %.2f)", s.width, at.X, at.Y), "use narrower bridges or a larger size"}
	}
	return result, bridges, nil
}
