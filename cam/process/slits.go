package process

import (
	"math"

	"traywright/geometry"
)

// slit is the straight way of a wire into a contour, from the rim or from another one.
type slit struct {
	from, to geometry.Point
	parent   int // the contour that it leads from
	contour  int // and that it leads to
}

// thinWalls is how many times the least wall of its foam a wall is to be thick for a slit through it
// to be glued and hold (judged, no source).
const thinWalls = 2

// leastSlits join all contours to one of them, the root, by a tree of straight ways between
// nearest points (Prim), so that what they lie in stays in one piece: a second way out would part
// it. In the order in which a wire comes to them from the root.
//
// They are the shortest in sum, where every mm that a wall lacks of thin(a, b), mm, counts against
// it as if it had that much too many: a slit leaves a wall with no more than a glue line. Of the
// shortest none crosses a third contour or another slit, by the cycle property: over that contour
// there would be a shorter way. Thin walls break the proof, so that the ways around them are held
// against all contours and each other, and are not taken where they cross.
func leastSlits(contours []geometry.Contour, root int, thin func(a, b int) float64) []slit {
	t := tree{contours, thin}
	list := t.grow(root)
	if t.cross(list) {
		t.thin = plainly
		list = t.grow(root)
	}
	return list
}

// plainly counts every wall as thick.
func plainly(_, _ int) float64 { return 0 }

type tree struct {
	contours []geometry.Contour
	thin     func(a, b int) float64
}

// branch is a slit and what it counts.
type branch struct {
	slit
	cost float64
}

func (t tree) grow(root int) []slit {
	near := make([]branch, len(t.contours))
	for i := range near {
		near[i].cost = math.Inf(1)
	}
	var list []slit
	for at := root; at >= 0; {
		near[at].cost = -1 // in the tree
		next := -1
		for i := range t.contours {
			if near[i].cost < 0 {
				continue
			}
			if b, ok := t.between(at, i, near[i].cost); ok {
				near[i] = b
			}
			if next < 0 || near[i].cost < near[next].cost-tieMM {
				next = i
			}
		}
		if next >= 0 {
			list = append(list, near[next].slit)
		}
		at = next
	}
	return list
}

// between is the slit between two contours; false where it counts no less than another, or is a
// way around a thin wall that crosses a third contour.
func (t tree) between(a, b int, less float64) (branch, bool) {
	if boxGap(t.contours[a].Bounds(), t.contours[b].Bounds()) >= less-tieMM {
		return branch{}, false // and it counts no less than it is long
	}
	d, from, to := geometry.Distance(t.contours[a], t.contours[b])
	cost, thin := d, t.thin(a, b)
	if d < thin {
		cost = 2*thin - d
	}
	if cost >= less-tieMM {
		return branch{}, false
	}
	from, to = middleOfFacing(t.contours[a], t.contours[b], from, to)
	s := slit{from, to, a, b}
	if thin > 0 && d >= thin && t.blocked(s) {
		return branch{}, false
	}
	return branch{s, cost}, true
}

// boxGap is the distance of two boxes; 0 where they meet.
func boxGap(a, b geometry.Box) float64 {
	return math.Hypot(math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X)), math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)))
}

// asContour is a straight way there and back.
func (s slit) asContour() geometry.Contour {
	return geometry.NewContour(geometry.Vertex{Point: s.from}, geometry.Vertex{Point: s.to})
}

// blocked reports whether a slit crosses a third contour or touches it.
func (t tree) blocked(s slit) bool {
	way := s.asContour()
	for i, c := range t.contours {
		if i == s.parent || i == s.contour || boxGap(way.Bounds(), c.Bounds()) > 0 {
			continue
		}
		if d, _, _ := geometry.Distance(way, c); d <= tieMM {
			return true
		}
	}
	return false
}

// cross reports whether two of the slits do that have no contour in common.
func (t tree) cross(list []slit) bool {
	for i, s := range list {
		way := s.asContour()
		for _, o := range list[:i] {
			other := o.asContour()
			if boxGap(way.Bounds(), other.Bounds()) > 0 {
				continue
			}
			if d, on, _ := geometry.Distance(way, other); d <= tieMM && !s.endsAt(on) {
				return true
			}
		}
	}
	return false
}

func (s slit) endsAt(p geometry.Point) bool {
	return s.from.DistanceTo(p) <= tieMM || s.to.DistanceTo(p) <= tieMM
}

// middleOfFacing moves a way between nearest points to the middle of the straight parts that face
// each other there, where there are such: a slit near the end of a wall leaves a thin corner.
func middleOfFacing(a, b geometry.Contour, from, to geometry.Point) (geometry.Point, geometry.Point) {
	across := to.Sub(from)
	if across.Norm() <= tieMM {
		return from, to
	}
	along := across.Scale(1 / across.Norm()).Left()
	low, high := facing(a, from, along)
	lowB, highB := facing(b, to, along)
	low, high = math.Max(low, lowB), math.Min(high, highB)
	if !(high-low > tieMM) {
		return from, to
	}
	by := along.Scale((low + high) / 2)
	return from.Add(by), to.Add(by)
}

// facing is how far the straight part of a contour that holds a place reaches along a direction,
// from that place; NaN where none lies along it.
func facing(c geometry.Contour, at, along geometry.Point) (low, high float64) {
	low, high = math.NaN(), math.NaN()
	for s := range c.Segments() {
		if s.IsArc() || math.Abs(s.B.Sub(s.A).Cross(along)) > tieMM {
			continue
		}
		if on, _ := s.Nearest(at); on.DistanceTo(at) > tieMM {
			continue
		}
		x, y := s.A.Sub(at).Dot(along), s.B.Sub(at).Dot(along)
		if l, h := math.Min(x, y), math.Max(x, y); !(h-l <= high-low) {
			low, high = l, h
		}
	}
	return low, high
}
