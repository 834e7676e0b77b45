package geometry

import "math"

// Of long lines that lie aslant beside each other, as the walls of spikes and of fine
// teeth do, each box overlaps those of hundreds. So in a tree of curves each node has,
// besides its box, another that is turned along its longest curve: where the boxes
// overlap these still tell neighbours apart, and a search meets only what it would meet
// if the lines ran along an axis.

// turnedBox holds the places p with Min.X <= p·along <= Max.X and the same in Y across.
type turnedBox struct {
	along Point // unit
	Box
}

// rod is a line from A to B and all that is within thick mm of it.
type rod struct {
	A, B  Point
	thick float64
}

// probe is what is looked for in a tree: what is in the box, and in the rod too.
type probe struct {
	box Box
	rod rod
}

func (p Point) probe() probe { return probe{Box{p, p}, rod{p, p, 0}} }

// probe is the curve, and in its box all that is near mm from it.
func (c *curve) probe(near float64) probe {
	return probe{c.box.Grow(near), c.rod(probeInNear * near)}
}

// probeInNear is how much farther than its box a probe's rod reaches: two curves may be
// taken to meet at a place that is near to both.
const probeInNear = 4

// rod holds the segment, at most a little over a half circle, and what is within play mm
// of it.
func (s *Segment) rod(play float64) rod {
	if s.Bulge != 0 {
		play += math.Abs(s.Bulge) * s.Chord() * bowShare
	}
	return rod{s.A, s.B, play}
}

// bowShare times bulge and chord is how far an arc bows out, a half, with room for rounding.
const bowShare = 0.5 + 1e-9

// turnedPlay is what rounding may be off, as a share of the coordinates.
const turnedPlay = 1e-14

// turn gives a tree its turned boxes; what its boxes are of lies in the rods.
func (t *boxTree) turn(of func(i int) rod) {
	rods, far := make([]rod, len(t.items)), 1.0
	for i, item := range t.items {
		rods[i] = of(int(item))
		b := &t.levels[0][i]
		far = max(far, math.Abs(b.Min.X), math.Abs(b.Max.X), math.Abs(b.Min.Y), math.Abs(b.Max.Y))
	}
	t.turned = make([][]turnedBox, len(t.levels))
	held := 1
	for level, boxes := range t.levels {
		t.turned[level] = make([]turnedBox, len(boxes))
		for i := range boxes {
			t.turned[level][i] = boxAlong(rods[i*held:min((i+1)*held, len(rods))], turnedPlay*far)
		}
		held *= treeWidth
	}
}

// boxAlong is the box along the longest of the rods that holds them all and play mm more.
func boxAlong(rods []rod, play float64) turnedBox {
	longest, along := 0.0, Point{X: 1}
	for i := range rods {
		way := rods[i].B.Sub(rods[i].A)
		if length := way.Dot(way); length > longest {
			longest, along = length, way
		}
	}
	b := turnedBox{along.unit(), EmptyBox()}
	for i := range rods {
		b.Box = b.Union(b.of(&rods[i]))
	}
	b.Box = b.Grow(play)
	return b
}

// of is the rod's box in the frame of b.
func (b *turnedBox) of(r *rod) Box {
	x, y := r.A.Dot(b.along), b.along.Cross(r.A)
	u, v := r.B.Dot(b.along), b.along.Cross(r.B)
	if x > u {
		x, u = u, x
	}
	if y > v {
		y, v = v, y
	}
	return Box{Point{x - r.thick, y - r.thick}, Point{u + r.thick, v + r.thick}}
}

// apart is the square of a distance that all in b has from the rod at least.
func (b *turnedBox) apart(r *rod) float64 {
	of := b.of(r)
	return squaredDistance(&b.Box, &of)
}

// crossed is where a line along X through q enters and leaves the strip across which b lies.
func (b *turnedBox) crossed(q Point) (begin, end float64) {
	at := b.along.Cross(q)
	if b.along.Y == 0 {
		if at < b.Min.Y || at > b.Max.Y {
			return math.Inf(1), math.Inf(-1)
		}
		return math.Inf(-1), math.Inf(1)
	}
	begin, end = q.X+(at-b.Min.Y)/b.along.Y, q.X+(at-b.Max.Y)/b.along.Y
	if begin > end {
		return end, begin
	}
	return begin, end
}
