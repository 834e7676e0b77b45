package process

import (
	"math"

	"traywright/geometry"
)

// Clearing a pocket, seen from above.
//
//  1. The wall path is the shape less half the widest kerf so far: where the
//     tool's centre may be. The finish pass runs along it.
//  2. Clearing laps run along the wall path's inward offsets, the first one the
//     finish allowance away from it, the next ones a step each, until nothing
//     is left. An offset may fall into pieces; pieces form a tree.
//  3. A lap is cut when the laps inside it are done, so the first ones are the
//     innermost; among those that may come, the nearest that can be reached
//     straight through the pocket, else the nearest, after lifting the tool. From one lap to the next
//     it glides (glide.go) where there is room ahead.
//  4. A first lap shorter than a circle of the tool's radius about its middle is that circle
//     where it takes as much: the way down winds along it and runs out into it.
//
// Nothing stays standing. Let depth be the distance from the wall path. A point
// of depth d is exactly d-c from the offset at c <= d, corners or not, because
// shrinking by c and then by d-c is shrinking by d. So an offset at c clears
// everything of depth c to c+r, r half the level's own kerf, by itself, and a step of at most
// r leaves nothing. With a longer step the corners of the next offset may be
// too far away; whether they are is computed (see next), and there the step is r.
// For all of that r counts only as far as it is sure: a kerf is rarely what it is
// taken for, and what a narrower one leaves would stand in the pocket.

// visit is a lap in its turn.
type visit struct {
	lap
	lift  bool  // the straight way from the last lap leads outside
	wall  bool  // the finish pass
	glide glide // from the last lap, instead of a straight way and a lead-in
}

// clearing is the plan of one level of a pocket.
type clearing struct {
	room   room    // of the tool's centre; its edge is the wall path
	first  float64 // from it to the outermost laps: what is deeper in the room is cleared before the wall
	visits []visit
	gone   *room // of the tool's centre where an earlier tool has been; nil where none has
}

// clearer gathers the laps of a pocket. after[i] are the laps that come before lap i.
type clearer struct {
	radius, sure, step, tol float64
	contours                []geometry.Contour
	rings                   []int // how many offsets in from the first
	after                   [][]int
}

// clearingWidths are what a level's path is laid out by, in mm.
type clearingWidths struct {
	wall   float64 // kerf that keeps the path from the wall: the widest down to the level
	kerf   float64 // that the level's own foam loses, at most as wide
	sure   float64 // of it, what is lost at least
	step   float64 // between laps
	finish float64 // left on the wall for the finish pass
}

// planClearing plans a level of a pocket of the given shape, of which a larger tool has taken a
// part before, or none. There are no visits when the tool does not fit.
func planClearing(shape, roughed geometry.Region, w clearingWidths, tol float64) (clearing, error) {
	wall, err := geometry.Offset(shape, -w.wall/2, tol)
	if err != nil || wall.Empty() {
		return clearing{}, err
	}
	c := clearer{radius: w.kerf / 2, sure: w.sure / 2, step: w.step, tol: tol}
	first := math.Min(w.finish, c.sure)
	if first <= 0 {
		first = math.Min(w.step, c.sure)
	}
	plan := clearing{room: newRoom(wall, false), first: first}
	inner, err := geometry.Offset(wall, -first, tol)
	if err != nil {
		return clearing{}, err
	}
	for _, piece := range inner.Pieces() {
		if _, err := c.add(piece, 0); err != nil {
			return clearing{}, err
		}
	}
	if !roughed.Empty() {
		if plan.gone, err = c.keepRest(wall, roughed); err != nil {
			return clearing{}, err
		}
	}
	if plan.gone == nil {
		for i, lap := range c.contours {
			if circle, ok := plan.round(lap, c.sure); ok && len(c.after[i]) == 0 {
				c.contours[i] = circle
			}
		}
	}
	straight := plan
	plan.order(c, wall, true)
	if straight.order(c, wall, false); straight.quicker(plan) {
		return straight, nil
	}
	return plan, nil
}

// add adds the laps around a piece and, first, those inside it. It returns the
// numbers of the piece's own laps, its outer contour first.
func (c *clearer) add(piece geometry.Region, ring int) ([]int, error) {
	inner, err := c.next(piece)
	if err != nil {
		return nil, err
	}
	var inside [][]int
	for _, p := range inner {
		laps, err := c.add(p, ring+1)
		if err != nil {
			return nil, err
		}
		inside = append(inside, laps)
	}
	var own []int
	for _, contour := range piece.Contours() {
		own = append(own, len(c.contours))
		c.after = append(c.after, c.before(contour, len(piece.Contours()), inside))
		c.contours = append(c.contours, contour)
		c.rings = append(c.rings, ring)
	}
	return own, nil
}

// before are the laps that come before a contour of a piece with that many
// contours. Where the piece inside is of the same form, each contour has one
// that it was offset to; where the form changes, all come first.
func (c *clearer) before(contour geometry.Contour, contours int, inside [][]int) []int {
	var all []int
	for _, laps := range inside {
		all = append(all, laps...)
	}
	if len(inside) != 1 || len(all) != contours {
		return all
	}
	if contour.Area() > 0 {
		return all[:1]
	}
	p := contour.Vertices()[0].Point
	for _, i := range all[1:] {
		if c.contours[i].Winding(p) != 0 {
			return []int{i}
		}
	}
	return all
}

// next are the pieces of the next offset inward that have something left to clear.
func (c *clearer) next(piece geometry.Region) ([]geometry.Region, error) {
	if c.step <= c.sure {
		return c.nextShort(piece)
	}
	rest, err := geometry.Offset(piece, -c.sure, c.tol)
	if err != nil || rest.Empty() {
		return nil, err
	}
	inner, err := geometry.Offset(piece, -c.step, c.tol)
	if err != nil {
		return nil, err
	}
	cleared, err := geometry.Offset(inner, c.sure, c.tol)
	if err != nil {
		return nil, err
	}
	left, err := geometry.Difference(rest, cleared, c.tol)
	if err != nil {
		return nil, err
	}
	if left.Empty() {
		return inner.Pieces(), nil
	}
	return rest.Pieces(), nil
}

// nextShort leaves out pieces that the lap around them clears already: those
// nowhere deeper than the part of r that the step leaves.
func (c *clearer) nextShort(piece geometry.Region) ([]geometry.Region, error) {
	inner, err := geometry.Offset(piece, -c.step, c.tol)
	if err != nil {
		return nil, err
	}
	var kept []geometry.Region
	for _, p := range inner.Pieces() {
		deeper, err := c.deeper(p, c.sure-c.step)
		if err != nil {
			return nil, err
		}
		if deeper {
			kept = append(kept, p)
		}
	}
	return kept, nil
}

// deeper reports whether the piece has a point deeper than d. The cheap answers
// first. Half its width bounds the depth from above: no. A piece that is
// nowhere deeper than d has little more area than d times its length; with
// twice that, yes, and a wrong yes costs no more than a lap.
func (c *clearer) deeper(piece geometry.Region, d float64) (bool, error) {
	box := piece.Bounds()
	if math.Min(box.Width(), box.Height())/2 <= d {
		return false, nil
	}
	if piece.Area() > 2*d*piece.Length() {
		return true, nil
	}
	rest, err := geometry.Offset(piece, -d, c.tol)
	return !rest.Empty(), err
}

const (
	liftSeconds  = 2.0 // that the tool takes up, aside and down again to where no straight way leads
	glideSeconds = 0.2 // that a glide saves; both of a machine of 300 mm/s2, judged, no source
)

// quicker reports whether a plan is so that lifts less often, though it glides less: each glide moves on along its laps,
// and from where they end another may be out of reach.
func (p *clearing) quicker(than clearing) bool { return p.stops() < than.stops() }

func (p *clearing) stops() (seconds float64) {
	for _, v := range p.visits {
		switch {
		case v.lift:
			seconds += liftSeconds
		case v.glide.no():
			seconds += glideSeconds
		}
	}
	return seconds
}

// order puts the laps in their turn and adds the finish pass, with glides between clearing laps or without.
func (p *clearing) order(c clearer, wall geometry.Region, glides bool) {
	q := queue{clearer: c, room: p.room, glides: glides, waiting: make([]int, len(c.contours)), frees: make([][]int, len(c.contours))}
	for i, before := range c.after {
		q.waiting[i] = len(before)
		for _, j := range before {
			q.frees[j] = append(q.frees[j], i)
		}
		if len(before) == 0 {
			q.ready = append(q.ready, i)
		}
	}
	for len(q.ready) > 0 {
		p.visits = append(p.visits, q.take())
	}
	p.finishPass(c, wall)
}

// finishPass goes along every wall, nearest first. The first lap of a pocket
// too narrow to be cleared is entered on a ramp, so it has no lead-in.
func (p *clearing) finishPass(c clearer, wall geometry.Region) {
	left := wall.Contours()
	for len(left) > 0 {
		var next visit
		switch {
		case len(p.visits) == 0 && p.gone == nil:
			next = visit{lap: lap{contour: left[0]}, wall: true}
			left = left[1:]
		case len(p.visits) == 0:
			next = visit{lap: p.room.wallLap(left[0], longestMiddle(left[0]).Point, c.radius, c.tol), wall: true, lift: true}
			left = left[1:]
		default:
			last := p.visits[len(p.visits)-1]
			i := nearestContour(left, last.end())
			next = p.finishLap(c, left[i], last)
			left = append(left[:i:i], left[i+1:]...)
		}
		p.visits = append(p.visits, next)
	}
}

// finishLap goes along a wall: behind a lap around it, it glides there.
func (p *clearing) finishLap(c clearer, wall geometry.Contour, last visit) visit {
	at, heading := last.end(), last.leaving()
	begun := func(near geometry.Point) lap { return p.room.wallLap(wall, near, c.radius, c.tol) }
	if l, g := p.room.glides(wall, at, heading, c.radius, begun); !g.no() {
		return visit{lap: l, wall: true, glide: g}
	}
	l := begun(at)
	return visit{lap: l, wall: true, lift: !p.room.holds(at, l.from())}
}

// end is where the tool is after the lap.
func (v visit) end() geometry.Point { return v.out().B }

func nearestContour(list []geometry.Contour, p geometry.Point) int {
	best, least := 0, math.Inf(1)
	for i, c := range list {
		if d := nearestOn(c, p).distance; d < least-tieMM {
			best, least = i, d
		}
	}
	return best
}

// queue hands out laps whose inner laps are done.
type queue struct {
	clearer
	room    room
	waiting []int   // laps that each one waits for
	frees   [][]int // laps that wait for each one
	ready   []int
	last    visit
	begun   bool
	glides  bool
}

// take is the next lap.
func (q *queue) take() visit {
	k, start, lift := q.choose()
	i := q.ready[k]
	q.ready = append(q.ready[:k], q.ready[k+1:]...)
	for _, j := range q.frees[i] {
		if q.waiting[j]--; q.waiting[j] == 0 {
			q.ready = append(q.ready, j)
		}
	}
	next := visit{lap: lap{contour: beginAt(q.contours[i], start, q.tol)}, lift: lift}
	if q.glides && !lift {
		at, heading := q.last.end(), q.last.leaving()
		begun := func(near geometry.Point) lap {
			return lap{contour: beginAt(q.contours[i], nearestOn(q.contours[i], near), q.tol)}
		}
		if l, g := q.room.glides(q.contours[i], at, heading, q.radius, begun); !g.no() {
			next = visit{lap: l, glide: g}
		}
	}
	q.last, q.begun = next, true
	return next
}

// choose picks among the ready laps: at first the innermost, from the middle of
// its longest segment.
func (q *queue) choose() (k int, start place, lift bool) {
	if !q.begun {
		for i, ready := range q.ready {
			if q.rings[ready] > q.rings[q.ready[k]] {
				k = i
			}
		}
		return k, longestMiddle(q.contours[q.ready[k]]), true
	}
	best, reached := place{distance: math.Inf(1)}, false
	for i, ready := range q.ready {
		p := nearestOn(q.contours[ready], q.last.end())
		if reached && p.distance >= best.distance-tieMM {
			continue
		}
		straight := q.room.holds(q.last.end(), p.Point)
		if straight && !reached || p.distance < best.distance-tieMM && straight == reached {
			k, best, reached = i, p, straight
		}
	}
	return k, best, !reached
}

func longestMiddle(c geometry.Contour) place {
	best, longest, i := place{}, 0.0, 0
	for s := range c.Segments() {
		if length := s.Length(); length > longest+tieMM {
			best, longest = place{Point: s.At(0.5), segment: i, share: 0.5}, length
		}
		i++
	}
	return best
}
