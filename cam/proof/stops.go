package proof

import (
	"slices"
	"strconv"
	"strings"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

// Where the machine stops, and a hand may reach in: the tool is out of the foam and
// stands still, and another tool is not cut with before somebody, or the machine,
// has put it in.

// longestWaitS is the longest wait that a spindle may run up in (judged, no source).
const longestWaitS = 60

// checkStops looks at spindle speeds, stops and changes of the tool.
func (d *run) checkStops() {
	if d.beam {
		return
	}
	limit := d.setup.Machine.MaxRPM.Value
	cut, turned := false, false
	for _, s := range d.trace.Steps {
		was := turned // M6 stops what turns, and not on every controller
		turned = s.Spin != read.Off && s.S > 0
		cut = cut || s.Action.Moves() && s.Action != read.Traverse
		below := s.Unknown&read.AxisZ == 0 && d.above(s.From.Z) < -slackMM
		close := s.Unknown&read.AxisZ == 0 && d.above(s.From.Z) < leastAboveMM-slackMM
		stops := s.Action == read.Pause || s.Action == read.ToolChange
		switch {
		case s.Action == read.ToolChange && d.setup.Machine.Controller.ToolChange == profiles.ByHand:
			d.strictly(s.Line, "change-by-itself", "M6 asks the machine to change the tool by itself, and on this one a hand does").hint("write M5 and M0 in its place")
		case s.Action == read.ToolChange && below:
			d.wrong(s.Line, "change-in-foam", "the tool is changed while it is below the foam's top").hint("lift it first")
		case s.Action == read.ToolChange && cut && d.setup.Machine.Controller.ToolChange == profiles.OwnFiles:
			d.strictly(s.Line, "change-midway", "M6 changes the tool in the middle, and on this machine each tool has a program and a zero of its own: behind it Z is another's").hint("split the program here, and set the zero with the next tool")
		case s.Action == read.Pause && below:
			d.strictly(s.Line, "stop-in-foam", "the program stops with the tool below the foam's top").hint("lift it first")
		case stops && close:
			d.strictly(s.Line, "stop-low", "the program stops for a hand with the tool at %v", d.height(d.above(s.From.Z))).hint("lift it first")
		case stops && (turned || was && (d.ours || d.want != nil)):
			d.strictly(s.Line, "stop-turning", "the program stops for a hand, and the spindle turns").hint("write M5 before it")
		case s.Action == read.Wait && s.Spin != read.Off && s.Seconds > longestWaitS:
			d.strictly(s.Line, "waits-long", "waits %v s with the spindle turning, as where thousandths were meant", number(s.Seconds)).hint("write P in the unit that this controller counts in")
		case s.Action == read.Switch && limit > 0 && s.Spin != read.Off && s.S > limit*(1+1e-6):
			d.wrong(s.Line, "spindle-too-fast", "asks for %v rpm and the spindle can do %v", number(s.S), number(limit)).hint("lower S")
		}
	}
	d.checkSpinUp()
	d.checkChanges()
}

// checkChanges finds a tool that cuts before anybody can have put it in, one that
// goes sideways before it has been lifted, since a hand has set its height on the foam,
// and, in a program of ours, one that its opening comments do not name.
func (d *run) checkChanges() {
	way := d.setup.Machine.Controller.ToolChange
	named := d.toolsNamed()
	last, before, stopped, low := 0, 0, false, false
	for i, step := range d.trace.Steps {
		stops := step.Action == read.ToolChange || step.Action == read.Pause && way == profiles.ByHand
		stopped, low = stopped || stops, low || stops
		if stops && (way == profiles.ByHand || way == profiles.ByItself) {
			d.checkChangePlace(step)
		}
		if low && way == profiles.ByHand && step.Action == read.Switch && step.Spin != read.Off {
			d.strictly(step.Line, "spin-up-unlifted", "the spindle is started before the tool has been lifted, and where its tip is after the change only a hand knows").hint("write a G0 Z to the clearance behind the stop")
		}
		motion, moves := slices.BinarySearch(d.stepOf, i)
		if !moves {
			continue
		}
		m := d.result.Motions[motion]
		if low && before != 0 && m.Tool != before && way == profiles.ByHand && m.flatLength() > 0 {
			d.strictly(m.Line, "change-no-lift", "T%d goes sideways before it has been lifted, and where its tip is after the change only a hand knows", m.Tool).hint("write a G0 Z to the clearance behind the stop")
		}
		before, low = m.Tool, false
		if m.Rapid {
			continue
		}
		if last != 0 && m.Tool != last && !stopped && way != "" {
			d.strictly(m.Line, "tool-not-changed", "cuts with T%d, and nothing has stopped for it to be put in the place of T%d", m.Tool, last).hint("%s", d.changeHint(way, m.Tool))
		}
		if len(named) > 0 && !named[m.Tool] {
			d.wrong(m.Line, "other-tool", "cuts with %v, which the opening comments do not name", toolName(m.Tool)).hint("write the T word of a tool that they name")
			named[m.Tool] = true // told
		}
		last, stopped = m.Tool, false
	}
}

// changeHint is how a machine gets another tool.
func (d *run) changeHint(way string, tool int) string {
	switch way {
	case profiles.ByHand:
		return d.say("write M5, a lift and M0 behind T%d", tool)
	case profiles.ByItself:
		return d.say("write M6 behind T%d", tool)
	}
	return "split the program here: on this machine each tool has a program of its own"
}

// changeAboveMM is how high above the foam a tool is changed at least: a hand reaches in
// there (judged, no source).
const changeAboveMM = 10

// checkChangePlace finds a change that leaves a hand no room.
func (d *run) checkChangePlace(s read.Step) {
	above := d.above(s.From.Z)
	if s.Unknown&read.AxisZ == 0 && above >= leastAboveMM-slackMM && above < changeAboveMM {
		d.strictly(s.Line, "change-low", "the tool is changed %v", d.height(above)).hint("lift it to %v or more first", d.height(changeAboveMM))
	} else if at := d.setup.Machine.Controller.ChangeAt; d.want != nil && len(at) == 3 && s.Unknown&read.AxisZ == 0 && above >= changeAboveMM && above < at[2]-d.top-lowMM {
		d.warn(s.Line, "change-lower", "the tool is changed %v, and the machine's change_at lifts it to %v", d.height(above), d.height(at[2]-d.top)).hint("lift it to Z%v first", d.word(d.sign*at[2]))
	}
	if s.Unknown == 0 && d.want != nil && d.want.Outline.Contains(geometry.Point{X: s.From.X, Y: s.From.Y}) {
		d.strictly(s.Line, "change-over-foam", "the tool is changed over the foam").hint("go beside it first")
	}
}

// toolsNamed are the tools that the opening comments of a program of ours name.
func (d *run) toolsNamed() map[int]bool {
	named := map[int]bool{}
	if !d.ours {
		return named
	}
	for line := range strings.SplitSeq(d.result.Header["tool"], "\n") {
		word, _, _ := strings.Cut(strings.TrimPrefix(line, "T"), " ")
		if number, err := strconv.Atoi(word); err == nil {
			named[number] = true
		}
	}
	return named
}
