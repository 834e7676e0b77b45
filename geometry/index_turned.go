package geometry

import "math"

// Of long lines that lie aslant beside each other, as the walls of spikes and of fine
// teeth do, each box overlaps those of hundreds. So in a tree of curves each node has,
// besides its box, another that is turned along its longest curve: where the boxes
// overlap these still tell neighbours apart, and a search meets only what it would meet
// if the lines ran along an axis. And as spikes spread like a fan, narrow where they begin
// and wide where they end, a slanted side above and below cuts off what is wide.

// turnedBox holds the places p with Min.X <= p·along <= Max.X and the same in Y across,
// that lie between its sides.
type turnedBox struct {
	along Point // unit
	Box
	below, above slant
}

// slant is the line y = slope x + at in the frame of a turnedBox; steep is the length of (slope, 1).
type slant struct{ slope, at, steep float64 }

// over is how far above the line a place of the frame lies, times steep.
func (s *slant) over(x, y float64) float64 { return y - s.slope*x - s.at }

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

// treeOf packs the curves.
func treeOf(curves []curve) boxTree {
	return packCloser(len(curves), func(i int) Box { return curves[i].box }, func(i int) rod { return curves[i].rod(0) })
}

// packCloser packs boxes and the rods in them by their middles, or as they follow each other if
// that is closer: the middles of spikes of all lengths tell little of which lie side by side.
func packCloser(n int, box func(i int) Box, rod func(i int) rod) boxTree {
	order := Neighbours(n, box)
	if n >= manyCurves {
		own := make([]int32, n)
		for i := range own {
			own[i] = int32(i)
		}
		if spreadOf(own, rod) < spreadOf(order, rod) {
			order = own
		}
	}
	t := packInOrder(order, box)
	t.turn(rod)
	return t
}

// spreadOf is the area of some turned boxes of a tree in that order, each sampledBox-th above the
// leaves: a tree of less is searched sooner.
func spreadOf(order []int32, of func(i int) rod) float64 {
	sum := 0.0
	var rods []rod
	for held := treeWidth; held <= manyCurves/treeWidth; held *= treeWidth {
		for i := 0; i+held <= len(order); i += sampledBox * held {
			rods = rods[:0]
			for _, item := range order[i : i+held] {
				rods = append(rods, of(int(item)))
			}
			b, _, _ := frameAlong(rods)
			sum += b.Width() * b.Height()
		}
	}
	return sum
}

// sampledBox is a prime, because drawings repeat themselves.
const sampledBox = 11

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
	b, least, most := frameAlong(rods)
	b.Box = b.Box.Grow(play)
	b.below, b.above = b.slants(rods, least, play)
	if least == most {
		return b
	}
	below, above := b.slants(rods, most, play)
	// Of two slopes the one that leaves less in the middle of the box.
	middle := (b.Min.X + b.Max.X) / 2
	if below.over(middle, 0) < b.below.over(middle, 0) {
		b.below = below
	}
	if above.over(middle, 0) > b.above.over(middle, 0) {
		b.above = above
	}
	return b
}

// frameAlong is such a box without sides, and the least and the most slope of the rods in it.
func frameAlong(rods []rod) (b turnedBox, least, most float64) {
	longest, along := 0.0, Point{X: 1}
	for i := range rods {
		way := rods[i].B.Sub(rods[i].A)
		if length := way.Dot(way); length > longest {
			longest, along = length, way
		}
	}
	b = turnedBox{along: along.unit(), Box: EmptyBox()}
	for i := range rods {
		b.Box = b.Union(b.of(&rods[i]))
		way := rods[i].B.Sub(rods[i].A)
		if x := way.Dot(b.along); x != 0 {
			slope := min(max(b.along.Cross(way)/x, -steepest), steepest)
			least, most = min(least, slope), max(most, slope)
		}
	}
	return b, least, most
}

// steepest is as much slope as a slant has.
const steepest = 1

// slants are the lines of a slope between which the rods lie, and play more.
func (b *turnedBox) slants(rods []rod, slope, play float64) (below, above slant) {
	steep := math.Sqrt(1 + slope*slope)
	below, above = slant{slope, math.Inf(1), steep}, slant{slope, math.Inf(-1), steep}
	for i := range rods {
		r := &rods[i]
		thick := steep * r.thick
		for _, p := range [2]Point{r.A, r.B} {
			at := b.along.Cross(p) - slope*p.Dot(b.along)
			if low := at - thick; low < below.at { // min and max care for numbers that are none, which takes longer
				below.at = low
			}
			if high := at + thick; high > above.at {
				above.at = high
			}
		}
	}
	below.at -= 4 * play
	above.at += 4 * play
	return below, above
}

// of is the rod's box in the frame of b.
func (b *turnedBox) of(r *rod) Box {
	return frame(r.A.Dot(b.along), b.along.Cross(r.A), r.B.Dot(b.along), b.along.Cross(r.B), r.thick)
}

// frame is the box of two places and what is within thick of them.
func frame(x, y, u, v, thick float64) Box {
	if x > u {
		x, u = u, x
	}
	if y > v {
		y, v = v, y
	}
	return Box{Point{x - thick, y - thick}, Point{u + thick, v + thick}}
}

// apart is the square of a distance that all in b has from the rod at least: along b, across
// it, from its slants or across the rod.
func (b *turnedBox) apart(r *rod) float64 {
	x, y := r.A.Dot(b.along), b.along.Cross(r.A)
	u, v := r.B.Dot(b.along), b.along.Cross(r.B)
	of := frame(x, y, u, v, r.thick)
	if d := squaredDistance(&b.Box, &of); d > 0 {
		return d
	}
	d := min(b.above.over(x, y), b.above.over(u, v))/b.above.steep - r.thick
	if under := -max(b.below.over(x, y), b.below.over(u, v))/b.below.steep - r.thick; under > d {
		d = under
	}
	if d <= 0 {
		d = b.aside(x, y, u, v) - r.thick
	}
	if d > 0 {
		return d * d
	}
	return 0
}

// aside is how far from a line through two places of the frame, to one side of it, the box is;
// 0 or less where the line goes through the box.
func (b *turnedBox) aside(x, y, u, v float64) float64 {
	u, v = u-x, v-y
	length := math.Sqrt(u*u + v*v)
	if length == 0 {
		return 0
	}
	middle := u*((b.Min.Y+b.Max.Y)/2-y) - v*((b.Min.X+b.Max.X)/2-x)
	half := math.Abs(u)*(b.Max.Y-b.Min.Y)/2 + math.Abs(v)*(b.Max.X-b.Min.X)/2
	return (math.Abs(middle) - half) / length
}

// crossed is where a line along X through q enters b and leaves it, but for b's ends.
func (b *turnedBox) crossed(q Point) (begin, end float64) {
	x, y := q.Dot(b.along), b.along.Cross(q)
	begin, end = math.Inf(-1), math.Inf(1)
	// A step to the right goes along.X along, and -along.Y across.
	clip := func(room, each float64) { // room + each t >= 0
		switch {
		case each > 0:
			begin = max(begin, q.X-room/each)
		case each < 0:
			end = min(end, q.X-room/each)
		case room < 0:
			end = math.Inf(-1)
		}
	}
	clip(y-b.Min.Y, -b.along.Y)
	clip(b.Max.Y-y, b.along.Y)
	clip(b.below.over(x, y), -b.along.Y-b.below.slope*b.along.X)
	clip(-b.above.over(x, y), b.along.Y+b.above.slope*b.along.X)
	return begin, end
}
