package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// A drag knife's program moves the axis that the blade swivels about; what cuts is its tip, which
// trails behind and always moves the way that the blade points. So the tip is followed, by the
// equation of a trailing wheel: with p the axis, u the way that it moves, h where the blade
// points and n the normal to its left
//
//	h' = n (u·n)/e,   tip = p - e h,   by the mm of the axis' way
//
// which has a closed form on a line, tan(d/2) = tan(d0/2) exp(-s/e) with d the angle from the way
// to the blade, and is integrated on arcs. In the air, and straight down, it stays as it was.
// All that follows in the dry run is of the tip.

const (
	// straightMM is how far off its line a tip may be to be taken as on it.
	straightMM = 0.0005
	// mostTips is how many pieces of a tip's way are followed: with what is cut by them, a third of a GB.
	mostTips = 1_200_000
	// followTrails is the longest piece in which a tip that is not on its line is followed, in trails.
	followTrails = 1.0 / 16
	// mostUnsettled is in how many such pieces at most: what is not on its line by then is pushed
	// right against where it points, and that is told.
	mostUnsettled = 2000
	// manyTrails is the way after which nothing is left of what a blade was off.
	manyTrails = 1000
)

// trailing is the blade on its way.
type trailing struct {
	e       float64
	heading float64 // angle of h
	list    []Motion
	pushed  float64 // mm that its axis has pushed it back without a stop
	astray  float64 // and the most of a way, as a part of it, that was back
	round   float64 // radians that it has turned, and that have not faded as its tip went on
}

// trails is by how much the blade trails, mm; 0 of what is no drag knife.
func (d *run) trails() float64 {
	tool, ok := d.toolByNumber(d.spindle)
	if !ok || d.turning || d.beam {
		return 0
	}
	return tool.TrailMM.Value
}

// followTip puts the tip's motions into the place of the axis'.
func (d *run) followTip() {
	e := d.trails()
	if e <= 0 {
		return
	}
	took := d.took
	d.took = make([]span, 0, roomForTips(len(took)))
	q := newTipQueue(d.result.Motions)
	t := trailing{e: e, list: q.list[:0]}
	backwards, round := false, false
	for i := range took {
		before, heading := len(t.list), t.heading
		m := q.next()
		if !q.hasRoom(&t) {
			d.trace.Unfollowed, d.result.Unfollowed = m.Line, m.Line
			d.wrong(m.Line, "tip-not-followed", "the tip's way up to here and the lines that follow are more than %v pieces, the most that are followed: from this line on nothing is judged", number(mostTips)).hint("cut it with more than one program")
			break
		}
		if t.follow(m) > mostPushedMM+d.tolerance-toleranceMM && !backwards {
			backwards = true
			d.wrong(m.Line, "blade-backwards", "moves the blade sideways or backwards in the foam, %v degrees off where it points: it tears, and may turn right round", number(math.Round(180/math.Pi*math.Acos(math.Max(-1, -t.astray))))).
				hint("turn it first, on an arc about its tip of the radius that it trails by")
		}
		if t.goesRound(m, before, heading) > mostRoundRad && !round {
			round = true
			d.wrong(m.Line, "turned-in-foam", "has turned the blade by %v degrees about its tip in one place, and no corner needs more than 180: at the foam's top it cuts all round", degrees(t.round)).
				hint("turn it the short way: G2 is clockwise, G3 counter-clockwise")
		}
		n := len(t.list) - before
		for k := range n {
			d.took = append(d.took, took[i].part(k, n))
		}
	}
	d.result.Motions = slices.Clip(t.list)
}

// tipQueue holds the axis' motions that are not yet followed at the end of the list that the tip's
// fill from its front, for a million of each would take too much memory.
type tipQueue struct {
	list []Motion
	read int
}

// roomForTips is how long the list is at first for so many motions.
func roomForTips(motions int) int {
	return max(motions, min(2*motions+2*mostUnsettled, mostTips))
}

func newTipQueue(motions []Motion) tipQueue {
	n, room := len(motions), roomForTips(len(motions))
	list := slices.Grow(motions, room-n)[:room]
	copy(list[room-n:], motions)
	return tipQueue{list, room - n}
}

func (q *tipQueue) next() Motion {
	q.read++
	return q.list[q.read-1]
}

// hasRoom reports whether another motion can be followed, and makes room as long as it may.
func (q *tipQueue) hasRoom(t *trailing) bool {
	if len(t.list)+mostUnsettled < q.read {
		return true
	}
	room, rest := min(2*len(q.list)+2*mostUnsettled, mostTips), q.list[q.read:]
	if room <= len(q.list) {
		return false
	}
	list := make([]Motion, room)
	copy(list, t.list)
	copy(list[room-len(rest):], rest)
	q.list, q.read, t.list = list, room-len(rest), list[:len(t.list)]
	return len(t.list)+mostUnsettled < q.read
}

// mostPushedMM is how far an axis may push its blade back in one go, of turns about the tip that are
// rounded, or chords 0.005 mm true: on one that begins an angle a past its square the blade goes
// back by e ln(1/cos a), which is the chord's own error. What a controller of chords errs by is
// added (judged, no source).
const mostPushedMM = 0.01

// follow adds the tip's motions of one of the axis'; most is how far it pushes the blade back in one go.
func (t *trailing) follow(m Motion) (most float64) {
	axis := axisOf(m)
	m.From.Point = t.tip(m.From.Point, t.heading)
	if m.Rapid || m.lowest() > -slackMM || axis.length <= 0 {
		m.Arc = false
		m.To.Point = t.tip(m.To.Point, t.heading)
		t.list = append(t.list, m)
		t.pushed = 0
		return 0
	}
	last, first := m.From, len(t.list)
	for share := 0.0; share < 1; {
		left, next := (1-share)*axis.length, 1.0
		settled := math.Abs(t.off(axis, share))*t.e <= straightMM
		if n := math.Ceil(left / (followTrails * t.e)); !settled && n > 1 && len(t.list)-first < mostUnsettled {
			next = share + (1-share)/n
		}
		most = math.Max(most, t.pushes(axis.angle(share), (next-share)*axis.length))
		t.swing(axis, share, next)
		piece := m
		piece.From = last
		piece.To = Point{t.tip(axis.at(next), t.heading), m.From.Z + next*(m.To.Z-m.From.Z)}
		radius := piece.From.DistanceTo(m.Center)
		piece.Arc = m.Arc && settled && radius > t.e/100 && math.Abs(radius-piece.To.DistanceTo(m.Center)) < 2*straightMM+axis.uneven()
		last, share = piece.To, next
		t.list = append(t.list, piece)
	}
	return most
}

// mostRoundRad is how far a blade may turn in one place (judged, no source): about in its line, and
// what a sharp way in adds.
const mostRoundRad = 200 * math.Pi / 180

// goesRound adds what a motion, whose pieces begin at an index, has turned the blade, which fades by
// a radian for each trail that the tip goes on; in the air it is nothing.
func (t *trailing) goesRound(m Motion, first int, before float64) float64 {
	if m.Rapid || m.lowest() > -slackMM {
		t.round = 0
		return 0
	}
	by := math.Abs(t.heading - before)
	if !m.Arc {
		by = math.Abs(angleBetween(before, t.heading))
	}
	way := 0.0
	for _, piece := range t.list[first:] {
		way += piece.flatLength()
	}
	t.round = math.Max(0, t.round+by-way/t.e)
	return t.round
}

// pushes adds so many mm of a way in a direction, and is how far the blade has gone back by then
// without going forward.
func (t *trailing) pushes(way, mm float64) float64 {
	back := -math.Cos(angleBetween(t.heading, way))
	if back <= 0 {
		t.pushed, t.astray = 0, 0
		return 0
	}
	t.pushed, t.astray = t.pushed+back*mm, math.Max(t.astray, back)
	return t.pushed
}

// tip is where the tip is while the axis is at a place.
func (t *trailing) tip(axis geometry.Point, heading float64) geometry.Point {
	sin, cos := math.Sincos(heading)
	return axis.Sub(geometry.Point{X: t.e * cos, Y: t.e * sin})
}

// axisWay is the way of the axis in one motion.
type axisWay struct {
	from, to, center     geometry.Point
	start, turn, r       float64 // of an arc
	length, straightAway float64 // and the angle of a line
	arc                  bool
}

func axisOf(m Motion) axisWay {
	w := axisWay{from: m.From.Point, to: m.To.Point, center: m.Center, arc: m.Arc, length: m.flatLength()}
	way := m.To.Sub(m.From.Point)
	w.straightAway = math.Atan2(way.Y, way.X)
	if w.arc {
		out := m.From.Sub(m.Center)
		w.start, w.turn, w.r = math.Atan2(out.Y, out.X), m.sweep(), out.Norm()
	}
	return w
}

// at is the axis a share of its way along.
func (w *axisWay) at(share float64) geometry.Point {
	if share == 1 {
		return w.to
	}
	if !w.arc {
		return w.from.Add(w.to.Sub(w.from).Scale(share))
	}
	sin, cos := math.Sincos(w.start + share*w.turn)
	return w.center.Add(geometry.Point{X: w.r * cos, Y: w.r * sin})
}

// uneven is by how much an arc's radius is another at its end, as it is where a program has few
// decimals; the tip's is so by no more.
func (w *axisWay) uneven() float64 {
	if !w.arc {
		return 0
	}
	return math.Abs(w.r - w.to.DistanceTo(w.center))
}

// angle is that of the way which the axis goes there.
func (w *axisWay) angle(share float64) float64 {
	if !w.arc {
		return w.straightAway
	}
	return w.start + share*w.turn + math.Copysign(math.Pi/2, w.turn)
}

// off is how far, radians, the blade points from where it would stay: on its line, or along the
// tangent of the circle that its tip goes on, which is asin(e/r) behind the axis' own; on a
// circle as small as e or smaller, across it.
func (t *trailing) off(w axisWay, share float64) float64 {
	return angleBetween(t.stays(w, share), t.heading)
}

// stays is where the blade would stay.
func (t *trailing) stays(w axisWay, share float64) float64 {
	if !w.arc {
		return w.straightAway
	}
	return w.angle(share) - math.Copysign(math.Asin(math.Min(1, t.e/w.r)), w.turn)
}

// swing turns the blade as the axis goes from one share of its way to another.
func (t *trailing) swing(w axisWay, from, to float64) {
	s := (to - from) * w.length
	if !w.arc {
		d := angleBetween(w.straightAway, t.heading)
		t.heading = w.straightAway + 2*math.Atan(math.Tan(d/2)*math.Exp(-s/t.e))
		return
	}
	if s > manyTrails*t.e && math.Abs(t.off(w, from))*t.e <= straightMM {
		t.heading = t.stays(w, to)
		return
	}
	n := math.Max(1, math.Ceil(8*s/t.e))
	step := (to - from) / n
	rate := func(share, heading float64) float64 { return math.Sin(w.angle(share)-heading) / t.e * w.length }
	for k := range int(n) { // Runge and Kutta's, of fourth order
		at := from + float64(k)*step
		a := rate(at, t.heading)
		b := rate(at+step/2, t.heading+a*step/2)
		c := rate(at+step/2, t.heading+b*step/2)
		t.heading += step / 6 * (a + 2*b + 2*c + rate(at+step, t.heading+c*step))
	}
}

// angleBetween is from one angle to another, the short way, in radians.
func angleBetween(from, to float64) float64 { return math.Remainder(to-from, 2*math.Pi) }
