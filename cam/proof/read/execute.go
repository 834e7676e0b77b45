package read

import (
	"math"

	"traywright/geometry/units"
)

// reader is the machine that a program drives: modes, offsets and place. Places
// are mm in the frame of the first work offset that the program moves in.
type reader struct {
	opt   Options
	trace Trace

	begun, demarcated, closed, stopped bool
	seen                               map[int]bool // codes, see noteCode
	unsaid                             Modes
	errors                             int
	warned                             map[string]bool
	texts                              map[string]string // comments, see kept

	motion      int // in tenths; noMotion
	plane       int // 17, 18 or 19
	incremental bool
	inverse     bool    // G93
	unit        float64 // mm in one unit of length
	feed        float64 // as written
	feedUnit    float64 // the unit in force when it was written
	oldFeed     bool    // written before the last G93 or G94
	absolute    bool    // G90.1: arc centres are places
	retract     int     // G98 or G99, in tenths; 0 while neither has been said
	cycle       cycle
	length      length
	system      int   // work offset, 1 is G54
	frame       int   // the work offset whose coordinates places are in; 0 until something moved
	shift       Place // of G92: frame = program + shift
	savedShift  Place // for G92.3

	at      Place
	known   Axes
	highest float64 // Z that the program has been at
	lifted  bool    // see Step.Lifted
	cutting bool    // something has been cut

	spin     Spin
	s        float64
	selected int // T
	loaded   int // by M6
	hasTool  bool
	usesM6   bool
	air      Air

	turn     float64 // of the A axis, degrees
	turnSaid bool    // see Step.Turned
}

const noMotion = -1

const allAxes = AxisX | AxisY | AxisZ

func newReader(opt Options) *reader {
	unsaid := allModes
	if opt.Dialect == Printer { // the others have no words there, or are built in
		unsaid = Distance
	}
	return &reader{opt: opt, warned: map[string]bool{}, texts: map[string]string{}, seen: map[int]bool{}, unsaid: unsaid, motion: noMotion, plane: 17, unit: 1, feedUnit: 1, system: 1}
}

// execute does a line's words in the order of NISTIR 6556 Table 8.
func (r *reader) execute(b *block) *problem {
	if p := r.checkWords(b); p != nil {
		return p
	}
	r.note(b)
	r.feedModes(b)
	if p := r.spindleAndTool(b); p != nil {
		return p
	}
	r.blow(b)
	if p := r.dwell(b); p != nil {
		return p
	}
	r.modes(b)
	if p := r.lengthOffset(b); p != nil {
		return p
	}
	if p := r.chooseSystem(b); p != nil {
		return p
	}
	if p := r.offsets(b); p != nil {
		return p
	}
	if p := r.turnAndMove(b); p != nil {
		return p
	}
	r.stop(b)
	return nil
}

// checkWords refuses words that nothing on the line uses and values that no
// code takes.
func (r *reader) checkWords(b *block) *problem {
	if b.hasAny("BC") || b.has('A') && !r.turns(b) {
		return unfollowed("A, B and C turn an axis").do("have the program written for three axes")
	}
	for _, letter := range []byte("FST") {
		if b.has(letter) && b.word(letter) < 0 {
			return problemf("out-of-range", "%c may not be negative", letter).do("remove the minus")
		}
	}
	if _, ok := whole(b.word('T')); b.has('T') && !ok {
		return problemf("out-of-range", "T%v is not a tool number", b.word('T')).do("write a whole number")
	}
	return r.checkUse(b)
}

// checkUse refuses words that belong to codes which are not on the line.
func (r *reader) checkUse(b *block) *problem {
	motion, written := b.motion()
	if !written {
		motion = r.motion
	}
	goes := (b.hasAny("XYZ") || written) && !b.hasG(280) && !b.hasG(300) && !b.hasG(920)
	arc := (motion == 20 || motion == 30) && (goes || b.hasAny("IJK"))
	drills := isCycle(motion) && goes
	switch {
	case b.hasAny("IJK") && !arc || b.has('R') && !arc && !drills:
		return problemf("unused-word", "I, J, K and R belong to an arc or a drilling cycle, and none is in force here").do("remove them, or write G2 or G3 on the line")
	case b.has('P') && !b.hasG(40) && !b.hasG(640) && !drills && !b.overrides():
		return problemf("unused-word", "P belongs to G4 or G64, and neither is on this line").do("remove P")
	case b.has('H') && !b.hasG(430):
		return problemf("unused-word", "H belongs to G43, which is not on this line").do("remove H, or write G43 before it")
	case b.has('D') || b.has('L') && !drills || b.has('Q') && !b.hasG(640) && !drills:
		return problemf("unused-word", "D, L and Q belong to codes that are not on this line").do("remove them")
	}
	return nil
}

// overrides reports M50 to M53, whose P says whether a knob on the machine counts.
func (b *block) overrides() bool { return b.hasM(50) || b.hasM(51) || b.hasM(52) || b.hasM(53) }

// feedModes is G93, G94 and F.
func (r *reader) feedModes(b *block) {
	if b.hasG(930) || b.hasG(940) {
		r.inverse, r.oldFeed = b.hasG(930), true
	}
	if b.has('F') {
		r.feed, r.feedUnit, r.oldFeed = b.word('F'), r.unit, false
	}
}

// blow is M7 to M9.
func (r *reader) blow(b *block) {
	was := r.air
	switch {
	case b.hasM(7):
		r.air |= Mist
	case b.hasM(8):
		r.air |= Flood
	case b.hasM(9):
		r.air = 0
	}
	if r.air != was {
		r.add(Step{Line: b.line, Action: Blow})
	}
}

// spindleAndTool is S, T, M6 and M3 to M5.
func (r *reader) spindleAndTool(b *block) *problem {
	spin, s := r.spin, r.s
	if b.has('S') {
		s = b.word('S')
	}
	if b.has('T') {
		r.selected, _ = whole(b.word('T'))
		r.hasTool = true
	}
	if b.hasM(6) {
		if !r.hasTool {
			return problemf("no-tool", "M6 changes to a tool that no T word has named").do("add T and the tool's number before M6")
		}
		spin, r.loaded, r.usesM6 = Off, r.selected, true
	}
	switch {
	case b.hasM(3):
		spin = Clockwise
	case b.hasM(4):
		spin = Counterclockwise
	case b.hasM(5):
		spin = Off
	}
	changed := spin != r.spin || s != r.s
	r.spin, r.s = spin, s
	if b.hasM(6) {
		r.add(Step{Line: b.line, Action: ToolChange})
		r.changeLength()
	} else if changed {
		r.add(Step{Line: b.line, Action: Switch})
	}
	return nil
}

func (r *reader) dwell(b *block) *problem {
	if !b.hasG(40) {
		return nil
	}
	if !b.has('P') {
		return problemf("no-dwell-time", "G4 waits for P seconds and has no P").do("add P and the seconds")
	}
	if b.word('P') < 0 {
		return problemf("out-of-range", "G4 cannot wait %v seconds", b.word('P')).do("remove the minus")
	}
	seconds := b.word('P')
	if r.opt.Milliseconds && !b.seconds {
		seconds /= 1000
	}
	r.add(Step{Line: b.line, Action: Wait, Seconds: seconds})
	return nil
}

// modes is planes, units and distance.
func (r *reader) modes(b *block) {
	for _, code := range b.g {
		switch code {
		case 170, 180, 190:
			r.plane = code / 10
		case 200:
			r.setUnit(b.line, units.InchMM)
		case 210:
			r.setUnit(b.line, 1)
		case 900:
			r.incremental = false
		case 910:
			r.incremental = true
		case 901, 911:
			r.absolute = code == 901
		case 980, 990:
			r.retract = code
		}
	}
}

// setUnit changes the unit of length. The place stays where it is; a stored F
// stays the same number (NISTIR 6556 4.3.3.3).
func (r *reader) setUnit(line int, mm float64) {
	if mm == r.unit {
		return
	}
	if r.frame != 0 {
		r.warn(line, problemf("units-changed", "the unit of length changes after something moved").do("set it once, at the start"))
	}
	r.unit = mm
}

// stop is M0, M1, M2 and M30.
func (r *reader) stop(b *block) {
	switch {
	case b.hasM(2) || b.hasM(30):
		r.end(b.line)
	case b.hasM(0) || b.hasM(1) || b.hasM(60):
		r.add(Step{Line: b.line, Action: Pause})
	}
}

// end puts the machine back as NISTIR 6556 3.6.1 says; the spindle stops.
func (r *reader) end(line int) {
	r.trace.End = End{Line: line, Word: true, Spin: r.spin}
	if r.spin != Off {
		r.spin = Off
		r.add(Step{Line: line, Action: Switch})
	}
}

// add files a step at the machine's present state. From and To are set where
// the step does not move.
func (r *reader) add(s Step) {
	if !s.Action.Moves() {
		s.From, s.To, s.Unknown = r.at, r.at, allAxes&^r.known
	}
	s.Spin, s.S, s.HasTool, s.Turned, s.Air, s.Unsaid = r.spin, r.s, r.hasTool, r.turnSaid, r.air, r.unsaid
	s.Tool = r.loaded
	if !r.usesM6 {
		s.Tool = r.selected
	}
	r.trace.Steps = append(r.trace.Steps, s)
	if r.trace.Turns != nil {
		r.trace.Turns = append(r.trace.Turns, r.turn)
	}
}

// settleTools takes back the tools of steps before the first M6: in a program
// with M6 a T word alone does not change the tool.
func (r *reader) settleTools() {
	if !r.usesM6 {
		return
	}
	for i := range r.trace.Steps {
		if r.trace.Steps[i].Action == ToolChange {
			return
		}
		r.trace.Steps[i].Tool, r.trace.Steps[i].HasTool = 0, false
	}
}

// finite reports whether every coordinate is a number of a sane size.
func (p Place) finite() bool {
	const far = 1e8 // 100 km in mm: sums of increments may exceed one word's limit, but not forever
	return math.Abs(p.X) < far && math.Abs(p.Y) < far && math.Abs(p.Z) < far
}
