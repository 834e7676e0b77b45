package proof

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// compare holds the cut foam against the plan: walls exactly, floors and what
// should be untouched on the field.
func (d *run) compare() {
	x, ends := newIndex(d.sweeps), looseEnds(d.sweeps)
	cuts := newHoles(*d.want, d.throughMM())
	for i := range cuts {
		d.judgeWalls(x, ends, cuts, i)
		d.progress(0.5 + 0.4*float64(i)/float64(len(cuts)))
	}
	d.judgeOutline(x, ends, cuts)
	d.judgeTaper(cuts)
	d.judgeLoose(x, cuts)
	d.judgeFloors(x, cuts)
	d.judgeMarks(x, cuts)
	d.judgeWire(x, cuts)
	d.judgeFar()
	d.judgeOffcuts()
	d.tryCorners(x, cuts)
}

// hole is a wanted cut with what its walls need.
type hole struct {
	WantedCut
	depth   float64 // of its floor below the top, never more than the foam
	box     geometry.Box
	walls   *geometry.Walls // of a shape of many parts, for asking what lies inside; else nil
	others  []int           // holes whose boxes meet its own
	stuck   bool            // some of its wall is not cut through
	off     float64         // how far its walls are off at worst, mm
	shallow lowHigh         // depths of what is cut between the walls of one that goes through
}

// newHoles finds each hole's neighbours by walking the holes from left to right.
func newHoles(w Wanted, thickness float64) []hole {
	holes := make([]hole, len(w.Cuts))
	order := make([]int, len(w.Cuts))
	for i, c := range w.Cuts {
		holes[i] = hole{WantedCut: c, depth: math.Min(c.DepthMM, thickness), box: c.Shape.Bounds()}
		if c.Through {
			holes[i].depth = thickness
		}
		if manyParts(c.Shape) {
			walls := geometry.NewWalls(c.Shape)
			holes[i].walls = &walls
		}
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(holes[a].box.Min.X, holes[b].box.Min.X) })
	for k, i := range order {
		for _, j := range order[k+1:] {
			if holes[j].box.Min.X > holes[i].box.Max.X+besideMM {
				break
			}
			if holes[j].box.Min.Y <= holes[i].box.Max.Y+besideMM && holes[i].box.Min.Y <= holes[j].box.Max.Y+besideMM {
				holes[i].others = append(holes[i].others, j)
				holes[j].others = append(holes[j].others, i)
			}
		}
	}
	return holes
}

// besideMM is how far beyond a wall one looks to see what is there.
const besideMM = 1e-3

// depthBehind is how deep other holes are cut just behind a probe of hole i's wall.
func depthBehind(cuts []hole, i int, p probe) float64 {
	behind := p.at.Add(p.out.Scale(besideMM))
	deepest := 0.0
	for _, j := range cuts[i].others {
		if o := cuts[j]; o.depth > deepest && inside(o, behind) {
			deepest = o.depth
		}
	}
	return deepest
}

// manyParts reports whether a shape has so many parts that walking all of them for each
// question takes too long.
func manyParts(r geometry.Region) bool {
	n := 0
	for _, c := range r.Contours() {
		n += len(c.Vertices())
	}
	return n > 100
}

func inside(h hole, p geometry.Point) bool {
	if !inBox(p, h.box, 0) {
		return false
	}
	if h.walls != nil {
		return h.walls.Contains(p)
	}
	return h.Shape.Contains(p)
}

// judgeWalls probes one hole's walls. A wall that borders on another hole
// stands only below that hole's floor.
func (d *run) judgeWalls(x, ends *index, cuts []hole, i int) {
	var over, under miss
	var thin shallow
	for _, c := range cuts[i].Shape.Contours() {
		for _, p := range probesOf(c, ends.nearAny) {
			behind := depthBehind(cuts, i, p)
			if behind >= cuts[i].depth || d.onBridge(x, cuts[i].Bridged, p.at) {
				continue
			}
			for _, s := range d.slabs(behind, cuts[i].depth) {
				if f, motion := x.clearance(p.at, s.top+toleranceMM, 0); f < 0 && !d.atSlit(p.at) {
					over.worse(-f, p.at, motion)
				}
				f, motion := x.clearance(p.at, s.bottom-toleranceMM, farMM)
				under.worse(f-d.held(motion, s, s.bottom), p.at, motion)
				d.notThrough(&thin, x, p.at, f)
			}
		}
	}
	d.judgeBridges(x, cuts[i].Bridged, cuts[i].Name)
	d.tellOvercut(over, wallAt(cuts[i], over.at), d.wallLeft(over, cuts, i))
	d.tellUndercut(under, thin, wallAt(cuts[i], under.at))
	cuts[i].stuck, cuts[i].off = under.by > d.tolerance, max(over.by, under.by)
}

// wallAt is what stands at a place of a hole's edge, in words.
func wallAt(h hole, at geometry.Point) string {
	for _, c := range h.Shape.Contours() {
		switch {
		case c.Area() > 0 || distanceTo(at, geometry.NewRegion(c.Reverse())) > besideMM:
		case h.Plug:
			return "the plug of " + h.Name
		default:
			return "the island in " + h.Name
		}
	}
	return "the wall of " + h.Name
}

func (d *run) tellOvercut(m miss, what, wall string) {
	r := &d.result
	if m.by > r.WorstOvercutMM {
		r.WorstOvercutMM, r.WorstOvercutAt = m.by, m.at
	}
	if m.by > d.tolerance {
		d.wrong(d.lineOf(m.motion), "overcut", "cuts %v into %v at %v%v", length(m.by), what, m.at, wall).
			hint("keep the path that much farther from it, or make the program again with `traywright cut`")
	}
}

// wallLeft says what an overcut leaves of the foam between the wall of a hole, or
// the outline for -1, and what is planned behind it; "" where that is far away.
func (d *run) wallLeft(m miss, cuts []hole, hole int) string {
	const farMM = 25
	if m.by <= d.tolerance {
		return ""
	}
	wall := float64(farMM)
	for i := range cuts {
		if i != hole {
			wall = min(wall, distanceTo(m.at, cuts[i].Shape))
		}
	}
	if hole >= 0 {
		wall = min(wall, distanceTo(m.at, d.want.Outline))
	}
	switch left := wall - m.by; {
	case wall >= farMM || wall <= besideMM:
		return ""
	case left <= 0:
		return d.say(", through the wall of %v", length(wall))
	default:
		return d.say(", and leaves %v of the wall of %v", length(left), length(wall))
	}
}

// distanceTo is how far a place is from a region's boundary; +Inf where there is none.
func distanceTo(p geometry.Point, r geometry.Region) float64 {
	least := math.Inf(1)
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			on, _ := s.Nearest(p)
			least = min(least, p.DistanceTo(on))
		}
	}
	return least
}

func (d *run) tellUndercut(m miss, thin shallow, what string) {
	r := &d.result
	if m.by > r.WorstUndercutMM {
		r.WorstUndercutMM, r.WorstUndercutAt = m.by, m.at
	}
	switch {
	case thin.found:
		d.tellNotThrough(thin, what)
	case m.by > d.tolerance:
		or := ""
		if m.by >= farMM {
			or = " or more" // nothing farther is looked for
		}
		d.wrong(d.lineOf(m.motion), "undercut", "leaves %v%v of foam at %v at %v", length(m.by), or, what, m.at).
			hint("bring the path that much nearer to it, or make the program again with `traywright cut`")
	}
}

// lineOf is a motion's line; the program's end for none.
func (d *run) lineOf(motion int) int {
	if motion < 0 {
		return d.lastLine()
	}
	return d.result.Motions[motion].Line
}

// lastLine is where the program ends.
func (d *run) lastLine() int {
	if d.trace.End.Line > 0 {
		return d.trace.End.Line
	}
	return max(d.trace.Lines, 1)
}

// judgeOutline probes the sheet's own edge. The foam is inside it and the cut
// outside, so a cut is too far where a pocket's would be short. A cutter that
// goes through leaves tabs: then the outline must
// be whole to half its depth, and reach all of it along most of its way.
func (d *run) judgeOutline(x, ends *index, cuts []hole) {
	depth := d.want.OutlineDepthMM
	if !d.turning {
		depth = d.throughMM()
	}
	tabs := d.turning && depth >= d.setup.ThicknessMM
	whole := depth
	if tabs {
		whole = depth / 2
	}
	var over, under miss
	var thin shallow
	reached, all := 0, 0
	for _, c := range d.want.Outline.Contours() {
		for _, p := range probesOf(c, ends.nearAny) {
			for _, s := range d.slabs(d.anywhereMM(), max(depth, d.anywhereMM())) {
				if f, motion := x.clearance(p.at, s.top+toleranceMM, 0); f < 0 && !d.atSlit(p.at) {
					over.worse(-f, p.at, motion)
				}
			}
			if depth <= 0 || d.onBridge(x, d.want.OutlineBridged, p.at) {
				continue
			}
			for _, s := range d.slabs(0, whole) {
				f, motion := x.clearance(p.at, s.bottom-toleranceMM, farMM)
				under.worse(f-d.held(motion, s, depth), p.at, motion)
				d.notThrough(&thin, x, p.at, f)
			}
			all++
			f, motion := x.clearance(p.at, depth-toleranceMM, 2*d.tolerance+d.blockSpreadMM())
			if s := d.slabs(0, depth); f-d.held(motion, s[len(s)-1], depth) <= d.tolerance {
				reached++
			}
		}
	}
	d.judgeBridges(x, d.want.OutlineBridged, "the outline")
	d.judgeTabs(x)
	d.tellOvercut(over, "the wall of the outline", d.wallLeft(over, cuts, -1))
	d.tellUndercut(under, thin, "the wall of the outline")
	d.edgeOff = max(over.by, under.by)
	if tabs && float64(reached) < leastOutline*float64(all) {
		d.wrong(d.lastLine(), "outline-not-cut", "the outline is cut to its depth of %v along %v %% of its length only", length(depth), number(100*float64(reached)/float64(all))).
			hint("cut it to that depth along %v %% or more; only tabs may stand", number(100*leastOutline))
	}
}

// leastOutline is the part of an outline that must be cut through; the rest may
// be tabs.
const leastOutline = 0.6
