package proof

import (
	"slices"
	"strconv"
	"strings"

	"traywright/cam/proof/read"
)

// Where the machine stops, and a hand may reach in: the tool is out of the foam and
// stands still, and another tool is not cut with before somebody, or the machine,
// has put it in.

// checkStops looks at spindle speeds, stops and changes of the tool.
func (d *run) checkStops() {
	if d.beam {
		return
	}
	limit := d.setup.Machine.MaxRPM.Value
	for _, s := range d.trace.Steps {
		below := s.Unknown&read.AxisZ == 0 && s.From.Z-d.top < -slackMM
		stops := s.Action == read.Pause || s.Action == read.ToolChange
		switch {
		case s.Action == read.ToolChange && below:
			d.wrong(s.Line, "change-in-foam", "the tool is changed while it is below the foam's top").hint("lift it first")
		case s.Action == read.Pause && below:
			d.strictly(s.Line, "stop-in-foam", "the program stops with the tool below the foam's top").hint("lift it first")
		case stops && s.Spin != read.Off && s.S > 0:
			d.strictly(s.Line, "stop-turning", "the program stops for a hand, and the spindle turns").hint("write M5 before it")
		case s.Action == read.Switch && limit > 0 && s.Spin != read.Off && s.S > limit*(1+1e-6):
			d.wrong(s.Line, "spindle-too-fast", "asks for %v rpm and the spindle can do %v", number(s.S), number(limit)).hint("lower S")
		}
	}
	d.checkChanges()
}

// checkChanges finds a tool that cuts before anybody can have put it in, and, in a
// program of ours, one that its opening comments do not name.
func (d *run) checkChanges() {
	way := d.setup.Machine.Controller.ToolChange
	named := d.toolsNamed()
	last, stopped := 0, false
	for i, step := range d.trace.Steps {
		stopped = stopped || step.Action == read.ToolChange || step.Action == read.Pause && way == "manual"
		motion, moves := slices.BinarySearch(d.stepOf, i)
		if !moves || d.result.Motions[motion].Rapid {
			continue
		}
		m := d.result.Motions[motion]
		if last != 0 && m.Tool != last && !stopped && way != "" {
			d.strictly(m.Line, "tool-not-changed", "cuts with T%d, and nothing has stopped for it to be put in the place of T%d", m.Tool, last).hint("write M0 behind T%d, or M6 where the machine changes tools by itself", m.Tool)
		}
		if len(named) > 0 && !named[m.Tool] {
			d.wrong(m.Line, "other-tool", "cuts with %v, which the opening comments do not name", toolName(m.Tool)).hint("write the T word of a tool that they name")
			named[m.Tool] = true // told
		}
		last, stopped = m.Tool, false
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
