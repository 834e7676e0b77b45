package read

import "math"

// Drilling cycles in the XY plane, NISTIR 6556 3.5.16: G81 drills, G82 waits at the
// bottom, G83 goes down peck by peck. R, Z, P and Q stay in force while the same cycle
// does. What that paper leaves open is done as PC controllers do it: under G98 the tool
// travels and returns at the height where the row of holes began, under G99 at R; with
// G91 R counts from that height and Z from R.

// cycle is what a row of holes keeps from line to line, in mm.
type cycle struct {
	code       int     // in tenths; 0 for none
	from       float64 // height where the row began, in the frame
	r, z, q, p float64 // as written; p in seconds
	said       uint32  // which of them, as block.present
}

const (
	// mostRepeats and mostPecks bound what one line may stand for.
	mostRepeats = 1000
	mostPecks   = 1000
	// peckBackMM is how far above the last peck G83 comes back to at a rapid (PC
	// controllers: 0.010 inch).
	peckBackMM = 0.254
)

func isCycle(code int) bool { return code == 810 || code == 820 || code == 830 }

// stick takes a line's R, Z, P and Q. Another cycle begins without any.
func (c *cycle) stick(b *block, code int, unit, height float64) {
	if c.code != code {
		if c.code == 0 {
			c.from = height
		}
		c.code, c.said = code, 0
	}
	for _, w := range []struct {
		letter byte
		to     *float64
		unit   float64
	}{{'R', &c.r, unit}, {'Z', &c.z, unit}, {'Q', &c.q, unit}, {'P', &c.p, 1}} {
		if b.has(w.letter) {
			*w.to = b.word(w.letter) * w.unit
			c.said |= 1 << (w.letter - 'A')
		}
	}
}

func (c *cycle) has(letter byte) bool { return c.said&(1<<(letter-'A')) != 0 }

// check refuses a cycle that lacks a number, or has one that cannot be.
func (c *cycle) check() *problem {
	name := gName(c.code)
	for _, letter := range []byte{'Z', 'R', 'P', 'Q'} {
		if letter == 'P' && c.code != 820 || letter == 'Q' && c.code != 830 || c.has(letter) {
			continue
		}
		return problemf("cycle-incomplete", "%s has no %c", name, letter).do("write %c on its first line", letter)
	}
	if c.p < 0 || c.q < 0 || c.code == 830 && c.q == 0 {
		return problemf("out-of-range", "%s takes a P of 0 or more and a Q above 0", name).do("look for a minus, or a lost digit")
	}
	return nil
}

// hole is a cycle's heights in the frame.
type hole struct {
	level, bottom float64 // R and Z
	travel, clear float64 // between holes: to the first, and after each
}

// drill is a line of a drilling cycle.
func (r *reader) drill(b *block) *problem {
	c := &r.cycle
	switch {
	case r.plane != 17:
		return unfollowed("%s in the plane of G%d drills sideways", gName(r.motion), r.plane).do("write G17")
	case r.inverse:
		return problemf("no-feed", "%s does not go with G93", gName(r.motion)).do("write G94 and F before it")
	case r.feed == 0:
		return problemf("no-feed", "the cycle has no feed").do("add F")
	case r.known&AxisZ == 0:
		return problemf("start-unknown", "a cycle begins at a height that the program has not said").do("go there with G0 Z first")
	case !b.hasAny("XYZ"):
		return problemf("no-axis", "%s goes nowhere: the line has no X, Y or Z", gName(r.motion)).do("add one")
	}
	c.stick(b, r.motion, r.unit, r.at.Z)
	if p := c.check(); p != nil {
		return p
	}
	repeats, whole := 1, true
	if b.has('L') {
		repeats, whole = wholeWord(b, 'L')
	}
	if !whole || repeats < 1 || repeats > mostRepeats {
		return problemf("out-of-range", "L%v is not a number of holes from 1 to %d", b.word('L'), mostRepeats).do("write the holes line by line")
	}
	h, p := r.heights()
	if p != nil {
		return p
	}
	return r.drillAll(b, h, repeats)
}

func wholeWord(b *block, letter byte) (int, bool) { return whole(b.word(letter)) }

// heights are those of the next hole.
func (r *reader) heights() (hole, *problem) {
	c, origin := &r.cycle, r.origin().Z
	h := hole{level: c.r + origin, bottom: c.z + origin, travel: r.at.Z}
	if r.incremental {
		h.level = c.from + c.r
		h.bottom = h.level + c.z
	}
	if h.level < h.bottom {
		return h, problemf("cycle-upside-down", "%s would end above where it begins: R is below Z", gName(c.code)).do("write an R above Z")
	}
	if c.code == 830 && h.level-h.bottom > mostPecks*c.q {
		return h, problemf("out-of-range", "G83 would peck more than %d times", mostPecks).do("look for a lost digit in Q")
	}
	if r.retract == 0 && c.from > h.level {
		r.warn(r.trace.Lines, problemf("return-unstated", "neither G98 nor G99 says how high the tool is between holes, and machines differ; read as G99, at R").do("write G98 or G99 at the start"))
	}
	if r.retract == 980 {
		h.travel = c.from
	}
	h.travel = math.Max(h.travel, h.level)
	h.clear = h.level
	if r.retract == 980 {
		h.clear = h.travel
	}
	return h, nil
}

// drillAll drills a line's holes: one, or L of them in a row.
func (r *reader) drillAll(b *block, h hole, repeats int) *problem {
	if r.at.Z < h.level {
		r.rapid(b.line, Place{r.at.X, r.at.Y, h.level}, AxisZ)
	}
	travel := h.travel
	for range repeats {
		flat := *b
		flat.take('Z')
		to, p := r.target(&flat)
		if p != nil {
			return p
		}
		named := flat.axes()
		if to.Z = travel; to.Z != r.at.Z {
			named |= AxisZ
		}
		r.rapid(b.line, to, named)
		if to.Z = h.level; travel != h.level {
			r.rapid(b.line, to, AxisZ)
		}
		r.drillOne(b.line, h)
		to.Z, travel = h.clear, h.clear
		r.rapid(b.line, to, AxisZ)
	}
	return nil
}

// drillOne goes down from R to Z.
func (r *reader) drillOne(line int, h hole) {
	if r.cycle.code == 830 {
		for depth := h.level - r.cycle.q; depth > h.bottom; depth -= r.cycle.q {
			r.sink(line, depth)
			r.rapid(line, Place{r.at.X, r.at.Y, h.level}, AxisZ)
			r.rapid(line, Place{r.at.X, r.at.Y, math.Min(depth+peckBackMM, h.level)}, AxisZ)
		}
	}
	r.sink(line, h.bottom)
	if r.cycle.code == 820 {
		r.add(Step{Line: line, Action: Wait, Seconds: r.cycle.p})
	}
}

// sink goes straight down at the feed.
func (r *reader) sink(line int, z float64) {
	s := Step{Line: line, Action: Straight, From: r.at, To: Place{r.at.X, r.at.Y, z}, Unknown: allAxes &^ r.known, Named: AxisZ}
	s.FeedMMPerMin = r.feed * r.unit
	r.arrive(s)
}

// rapid goes to a place, unless the machine is there.
func (r *reader) rapid(line int, to Place, named Axes) {
	if to == r.at && named&^r.known == 0 {
		return
	}
	r.arrive(Step{Line: line, Action: Traverse, From: r.at, To: to, Unknown: allAxes &^ r.known, Named: named})
}
