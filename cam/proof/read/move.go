package read

import (
	"fmt"
	"math"
	"strconv"

	"traywright/geometry"
	"traywright/geometry/units"
)

// move executes the axis words of a line under the motion code in force.
func (r *reader) move(b *block) *problem {
	code, written := b.motion()
	axes := b.hasAny("XYZ")
	if written {
		r.setMotion(code)
	}
	circle := (r.motion == 20 || r.motion == 30) && b.hasAny("IJK")
	switch {
	case b.hasG(530):
		return r.machineMove(b)
	case b.hasG(280) || b.hasG(300):
		return r.home(b)
	case !axes && !written && !circle:
		return nil
	case code == 800 && written && axes:
		return problemf("no-motion", "G80 ends motion and has axis words").do("remove them, or write G0 or G1 in its place")
	case r.motion == noMotion && axes:
		return problemf("no-motion", "the line has X, Y or Z and no G0, G1, G2 or G3 is in force").do("write one on the line")
	case r.motion == noMotion:
		return nil
	case isCycle(r.motion):
		return r.drill(b)
	case b.has('Z') && r.length.lost:
		return r.withoutLength(b)
	case circle:
	case !axes && b.hasAny("IJKR"):
		return problemf("no-axis", "%s goes nowhere: the line has no X, Y or Z", gName(r.motion)).do("add one")
	case !axes:
		r.warn(b.line, problemf("motion-alone", "%s stands alone, which only sets the mode; not every controller takes it", gName(r.motion)).do("put it on the line of the first move that it is for"))
		return nil
	}
	r.place()
	to, p := r.target(b)
	if p != nil {
		return p
	}
	if r.plane != 17 && (r.motion == 20 || r.motion == 30) {
		return r.uprightArc(b, to)
	}
	s := Step{Line: b.line, From: r.at, To: to, Unknown: allAxes &^ r.known, Named: b.axes()}
	if p := r.shape(&s, b); p != nil {
		return p
	}
	if p := r.setFeed(&s, b); p != nil {
		return p
	}
	r.arrive(s)
	return nil
}

// setMotion puts a code of the motion group in force.
func (r *reader) setMotion(code int) {
	r.motion = code
	if code == 800 {
		r.motion = noMotion
	}
	if !isCycle(code) {
		r.cycle = cycle{}
	}
}

// axes is the set of axes that the line names.
func (b *block) axes() Axes {
	var axes Axes
	for _, w := range axisWords {
		if b.has(w.letter) {
			axes |= w.axis
		}
	}
	return axes
}

// target is where the axis words lead, in the frame.
func (r *reader) target(b *block) (Place, *problem) {
	to, origin := r.at, r.origin()
	for _, w := range axisWords {
		if !b.has(w.letter) {
			continue
		}
		v := b.word(w.letter) * r.unit
		if !r.incremental {
			*w.of(&to) = v + *w.of(&origin)
			continue
		}
		if r.known&w.axis == 0 {
			r.warn(b.line, problemf("start-unknown", "the program moves by an increment before it has said where it is; its start is taken as 0").do("go to a place with G90 G0 first"))
		}
		*w.of(&to) += v
	}
	if !to.finite() {
		return to, problemf("out-of-range", "the move leads farther than any machine goes").do("look for a lost decimal point, or for G91 where G90 is meant")
	}
	return to, nil
}

// shape sets what kind of move it is and an arc's centre.
func (r *reader) shape(s *Step, b *block) *problem {
	switch r.motion {
	case 0:
		s.Action = Traverse
		return nil
	case 10:
		s.Action = Straight
		return nil
	case 20:
		s.Action = ArcCW
	case 30:
		s.Action = ArcCCW
	}
	if s.Unknown&(AxisX|AxisY) != 0 {
		return problemf("start-unknown", "an arc starts at a place that the program has not said").do("go there with G0 X Y first")
	}
	if !b.hasAny("XY") {
		if b.has('R') || !b.hasAny("IJ") {
			return problemf("no-axis", "an arc needs X or Y").do("add them")
		}
		if r.trace.Alone == 0 {
			r.trace.Alone = b.line
		}
	}
	return r.arc(s, b)
}

// hairlineMM is how far apart the ends of an arc are at least that are not the same place:
// a sixth of the least that our own programs print, and more than a controller's step.
const hairlineMM = 0.01

// arc finds an arc's centre, of R or of I, J and K. One whose ends all but meet is refused:
// a controller that rounds them to its steps, or asks whether they are near, turns a whole
// circle (from memory).
func (r *reader) arc(s *Step, b *block) *problem {
	if apart := s.From.XY().DistanceTo(s.To.XY()); apart > samePlaceMM && apart < hairlineMM {
		return problemf("arc-ends-meet", "the arc ends %s mm from its start: some controllers turn a whole circle there", strconv.FormatFloat(apart, 'g', 2, 64)).
			do("write a straight move with G1; for a whole circle end it where it starts")
	}
	if b.has('R') {
		return r.radiusArc(s, b)
	}
	return r.centerArc(s, b)
}

// samePlaceMM is how far sums of increments may come back from where they began.
const samePlaceMM = 1e-9

// centerArc is NISTIR 6556 3.5.3.2: I and J from the arc's start, whatever
// G90 and G91 say.
func (r *reader) centerArc(s *Step, b *block) *problem {
	if b.has('K') {
		return problemf("unused-word", "K is no centre of an arc in the XY plane").do("use I and J")
	}
	if !b.hasAny("IJ") {
		return problemf("arc-without-centre", "the arc has neither I, J nor R").do("add I and J from its start to its centre")
	}
	offset := geometry.Point{X: b.word('I') * r.unit, Y: b.word('J') * r.unit}
	if r.absolute {
		if !b.has('I') || !b.has('J') {
			return problemf("arc-without-centre", "with G90.1 an arc's centre is a place, and needs both I and J").do("add the one that is missing, or write G91.1")
		}
		origin := r.origin()
		offset = offset.Add(origin.XY()).Sub(s.From.XY())
	}
	s.Center = s.From.XY().Add(offset)
	before, after := offset.Norm(), s.To.XY().DistanceTo(s.Center)
	if before == 0 {
		return problemf("zero-radius", "the arc has no radius: I and J are both 0").do("write I and J from its start to its centre, or G1 for a line")
	}
	if math.Abs(before-after) > r.arcTolerance() {
		return problemf("arc-off-circle", "the arc starts %s and ends %s from its centre; they may differ by %s", r.written(before), r.written(after), r.written(r.arcTolerance())).do("look for a wrong digit, or write it with more decimals")
	}
	return nil
}

// arcTolerance is 0.002 mm, or 0.0002 inch (NISTIR 6556 3.5.3.2). The last
// digits are for the subtraction of decimals that binary numbers cannot hold.
func (r *reader) arcTolerance() float64 {
	if r.unit == 1 {
		return 0.002 + 1e-9
	}
	return 0.0002*units.InchMM + 1e-9
}

// written is mm in the unit that the program is written in.
func (r *reader) written(mm float64) string {
	if r.unit == 1 {
		return fmt.Sprintf("%.4f mm", mm)
	}
	return fmt.Sprintf("%.5f in", mm/r.unit)
}

// An arc with R is well conditioned up to 165 degrees and from 195 to 345
// (NISTIR 6556 3.5.3.1): its chord over its diameter is the sine of half of that.
var (
	nearHalfTurn  = math.Sin(165.0 / 2 * math.Pi / 180)
	nearWholeTurn = math.Sin(345.0 / 2 * math.Pi / 180)
)

// radiusArc is NISTIR 6556 3.5.3.1: R above 0 turns by at most half a turn, R
// below 0 by more.
func (r *reader) radiusArc(s *Step, b *block) *problem {
	if b.hasAny("IJK") {
		return problemf("arc-two-ways", "the arc has R and also I, J or K").do("keep one way")
	}
	radius := b.word('R') * r.unit
	if radius == 0 {
		return problemf("zero-radius", "the arc has no radius: R is 0").do("write its radius, or G1 for a line")
	}
	from, to := s.From.XY(), s.To.XY()
	chord := from.DistanceTo(to)
	if chord == 0 {
		return problemf("arc-without-centre", "an arc with R ends where it starts, so it could be any circle").do("use I and J")
	}
	half := chord / 2
	if half > math.Abs(radius)+r.radiusSlack(chord) {
		return problemf("arc-off-circle", "R %s is too short for ends %s apart", r.written(math.Abs(radius)), r.written(chord)).do("write I and J in its place")
	}
	rise := math.Sqrt(math.Max(0, radius*radius-half*half))
	if share := half / math.Abs(radius); share > nearHalfTurn || radius < 0 && share < nearWholeTurn {
		r.warn(b.line, problemf("arc-ill-conditioned", "an arc with R of nearly half or nearly a whole turn has no exact centre").do("use I and J"))
	}
	if (s.Action == ArcCCW) != (radius > 0) {
		rise = -rise
	}
	middle := from.Add(to).Scale(0.5)
	s.Center = middle.Add(to.Sub(from).Left().Scale(rise / chord))
	return nil
}

// radiusSlack is how much longer than R half of a chord may be, for what binary numbers
// cannot hold. A small controller counts in seven digits and refuses what comes out longer,
// then goes on with the next line: for it R has to be longer by as much.
func (r *reader) radiusSlack(chord float64) float64 {
	if r.opt.Dialect == Small {
		return -1e-5 - 1e-6*chord
	}
	return 1e-9
}

// setFeed sets the feed of a cutting move. In G93 the F word is one over the
// minutes that the move takes, and every move needs its own (NISTIR 6556 3.5.19).
func (r *reader) setFeed(s *Step, b *block) *problem {
	if s.Action == Traverse {
		return nil
	}
	if r.inverse && !b.has('F') {
		return problemf("no-feed", "in G93 every G1, G2 and G3 line needs its own F").do("add it, or write G94")
	}
	if r.feed == 0 {
		return problemf("no-feed", "the move has no feed").do("add F")
	}
	if r.oldFeed {
		r.warn(b.line, problemf("feed-before-mode", "G93 or G94 stands between F and this move, and PC controllers forget F there; it is taken as it was").do("write F again behind it"))
	}
	if r.inverse {
		s.FeedMMPerMin = r.feed * s.length()
		return nil
	}
	if r.feedUnit != r.unit {
		r.warn(b.line, problemf("feed-in-old-unit", "F was written before the unit of length changed, and stays the same number").do("write F again"))
	}
	s.FeedMMPerMin = r.feed * r.unit
	return nil
}

// sweep is the angle that an arc turns through, counter-clockwise positive; a
// whole turn when it ends where it starts. 0 for a straight step.
func (s Step) sweep() float64 {
	if s.Action != ArcCW && s.Action != ArcCCW {
		return 0
	}
	a, b := s.From.XY().Sub(s.Center), s.To.XY().Sub(s.Center)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	if s.From.XY().DistanceTo(s.To.XY()) <= samePlaceMM {
		angle = 0
	}
	if s.Action == ArcCCW && angle <= 0 {
		angle += 2 * math.Pi
	}
	if s.Action == ArcCW && angle >= 0 {
		angle -= 2 * math.Pi
	}
	return angle
}

// length is the way's length in mm, along the helix for an arc that climbs
// (NISTIR 6556 2.1.2.6). 0 for a step that does not move.
func (s Step) length() float64 {
	if !s.Action.Moves() {
		return 0
	}
	flat := s.From.XY().DistanceTo(s.To.XY())
	if s.Action == ArcCW || s.Action == ArcCCW {
		flat = math.Abs(s.sweep()) * s.From.XY().DistanceTo(s.Center)
	}
	return math.Hypot(flat, s.To.Z-s.From.Z)
}

// machineMove is G53: a place in machine coordinates, for this line only
// (NISTIR 6556 3.5.12). Where that is in the program's coordinates is known
// only if the work offset is.
func (r *reader) machineMove(b *block) *problem {
	if r.incremental {
		return problemf("g53-incremental", "G53 is a place, and G91 makes it a distance").do("write G90")
	}
	if r.motion != 0 && r.motion != 10 {
		return problemf("g53-motion", "G53 goes with G0 or G1").do("write one of them")
	}
	if !b.hasAny("XYZ") {
		return problemf("no-axis", "G53 has no X, Y or Z").do("add one")
	}
	r.place()
	r.lifted = r.lifted && !b.has('Z')
	offset, exact := r.opt.Offsets[r.frame]
	s := Step{Line: b.line, Action: Traverse, From: r.at, To: r.at, Unknown: allAxes &^ r.known}
	if r.motion == 10 {
		s.Action = Straight
	}
	for _, w := range axisWords {
		if !b.has(w.letter) {
			continue
		}
		if exact {
			*w.of(&s.To) = b.word(w.letter)*r.unit - *w.of(&offset)
			r.known |= w.axis
			s.Named |= w.axis
			continue
		}
		s.Machine |= w.axis
		r.known &^= w.axis
	}
	if p := r.setFeed(&s, b); p != nil {
		return p
	}
	r.at = s.To
	r.add(s)
	return nil
}
