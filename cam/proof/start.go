package proof

import (
	"math"
	"slices"
	"strings"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// A program as a whole: that it says itself where it starts from, never moves its
// zero, comes and goes above the foam, and ends with everything off and nothing
// behind. A program of ours, and one that is held against a plan, has to; of
// anybody else's a warning says what depends on the machine.

// strictly files what is an error in a program of ours or of a job, and a
// warning in a foreign one.
func (d *run) strictly(line int, rule, format string, values ...any) told {
	if d.ours || d.want != nil {
		return d.wrong(line, rule, format, values...)
	}
	return d.warn(line, rule, format, values...)
}

// isOurs reports whether a header claims that the program was written here: it
// has all that every program of ours says.
func isOurs(header map[string]string) bool {
	for _, key := range []string{"machine", "thickness", "z zero", "passes", "time"} {
		if header[key] == "" {
			return false
		}
	}
	return true
}

// checkWhole looks at the program's start, zero and end.
func (d *run) checkWhole() {
	d.checkStart()
	d.checkZero()
	d.checkFirst()
	d.checkCodes()
	d.checkSwitches()
	if d.trace.Unfollowed == 0 { // else nobody knows how it ends
		d.checkLast()
		d.checkEnd()
	}
}

// mode is a mode with its name and the word that our programs say it with.
var modeNames = []struct {
	mode       read.Modes
	name, word string
}{
	{read.Units, "unit of length", "G21"}, {read.Distance, "way of counting", "G90"}, {read.Plane, "plane", "G17"},
	{read.FeedMode, "kind of feed", "G94"}, {read.Offset, "work offset", "G54"},
}

// checkStart finds the first move that counts on what ran before. Of foreign
// programs only what their moves depend on is asked: unit and way of counting
// always, the plane from the first arc on.
func (d *run) checkStart() {
	d.checkOffs()
	for _, s := range d.trace.Steps {
		counts := s.Unsaid
		if !d.ours && d.want == nil {
			counts &= read.Units | read.Distance | read.Plane
			if s.Action != read.ArcCW && s.Action != read.ArcCCW {
				counts &^= read.Plane
			}
		}
		if !s.Action.Moves() || counts == 0 {
			continue
		}
		var names, words []string
		for _, m := range modeNames {
			if counts&m.mode != 0 {
				names, words = append(names, m.name), append(words, m.word)
			}
		}
		d.strictly(s.Line, "start-unstated", "moves before the program has said its %v, so what ran before decides; read as %v here", strings.Join(names, ", "), strings.Join(words, " ")).
			hint("write %v at its start, if that is what is meant", strings.Join(words, " "))
		return
	}
}

// checkOffs finds a program that moves before it has put out what ran before may have left on,
// a tool's length or a cycle, by the words that this machine's programs begin with.
func (d *run) checkOffs() {
	if len(d.stepOf) == 0 || !d.ours && d.want == nil {
		return
	}
	first := d.trace.Steps[d.stepOf[0]].Line
	for _, word := range d.setup.Machine.Controller.Start {
		if !slices.Contains([]string{"G40", "G49", "G80"}, word) {
			continue
		}
		if c, ok := d.trace.First(func(name string) bool { return name == word }); !ok || c.Line > first {
			d.wrong(first, "start-unstated", "moves before the program has said %v, so what ran before decides", word).hint("write %v at its start", word)
		}
	}
}

// checkZero finds what moves the program's zero or leaves it.
func (d *run) checkZero() {
	shifts := []string{"G92", "G92.1", "G92.2", "G92.3"}
	if c, ok := d.trace.First(func(name string) bool { return slices.Contains(shifts, name) }); ok {
		d.strictly(c.Line, "zero-moved", "%v moves the zero, and some machines keep that for the next program", c.Name).
			hint("set the zero by hand before the program, and take %v out", c.Name)
	}
	others := []string{"G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"}
	if c, ok := d.trace.First(func(name string) bool { return slices.Contains(others, name) }); ok && (d.ours || d.want != nil) {
		d.wrong(c.Line, "other-offset", "%v is another zero than the one that the cut sheet says to set", c.Name).hint("write G54")
	}
	if c, ok := d.trace.First(func(name string) bool { return name == "G43" }); ok && (d.ours || d.want != nil) {
		d.wrong(c.Line, "table-length", "G43 adds a length out of the machine's tool table, and programs of ours count on a tip that is set by hand").hint("take G43 out, and set the zero with this tool")
	}
	if line := d.trace.Alone; line > 0 {
		d.strictly(line, "circle-alone", "a whole circle that names neither X nor Y, which small controllers refuse").hint("write the X where it ends as well")
	}
	d.checkBlend()
	d.checkArcs()
}

// checkBlend: where the plan says how far a corner may be rounded, the program says so before it
// moves at feed: what ran before decides else, and that may be any distance.
func (d *run) checkBlend() {
	planned := d.setup.Machine.Controller.PathToleranceMM
	if !d.ours && d.want == nil {
		planned = 0
	}
	d.checkBlendMM(planned)
	first := slices.IndexFunc(d.result.Motions, func(m Motion) bool { return !m.Rapid })
	if planned == 0 || first < 0 {
		return
	}
	line := d.result.Motions[first].Line
	if c, ok := d.trace.First(func(name string) bool { return name == "G61" || name == "G64" }); !ok || c.Line > line {
		d.wrong(line, "corners-unsaid", "moves before the program has said how far a corner may be rounded, so what ran before decides").
			hint("write G64 P%v at its start", d.word(planned))
	}
}

// checkBlendMM holds how far a program says that corners may be rounded against the plan; 0 for
// one that does not say.
func (d *run) checkBlendMM(planned float64) {
	write, most := mostBlendMM, mostBlendMM
	if planned > 0 && planned < most {
		write, most = planned, math.Min(most, planned+blendStepMM)
	}
	b := d.trace.Blend
	if b.Line == 0 || b.MM <= most {
		return
	}
	how := d.say("corners may be rounded by %v", length(b.MM))
	if math.IsInf(b.MM, 1) {
		how = "nothing says how far corners may be rounded"
	} else if planned > 0 {
		how += d.say(", and the plan has %v", length(planned))
	}
	d.strictly(b.Line, "corners-rounded", "G64: %v", how).hint("write G61, or G64 P%v", d.word(write))
}

// checkArcs: a controller that is sent chords takes no arcs, or takes them for something else.
func (d *run) checkArcs() {
	if d.setup.Machine.Controller.Arcs != profiles.Chords {
		return
	}
	if i := slices.IndexFunc(d.result.Motions, func(m Motion) bool { return m.Arc }); i >= 0 {
		d.strictly(d.result.Motions[i].Line, "arc-unknown", "an arc, and this machine's controller is described as one that takes none").hint("write it as chords, or describe the controller with arcs: centre")
	}
}

// mostBlendMM is the loosest path control under which a pocket is still the
// pocket that was planned: as much as a person may measure.
const mostBlendMM = 0.05

// blendStepMM is how far rounding in inches may bring it beyond the plan's: a ten thousandth.
const blendStepMM = 0.003

// checkMachinePlace judges a move to a place of the machine's own. Only a lift above
// the foam can be one of a program that somebody else wrote well; G28 and G30 are
// lifts where they go up before they go aside.
func (d *run) checkMachinePlace(s read.Step, m Motion) {
	if s.Machine == 0 {
		return
	}
	inside := s.Unknown&read.AxisZ == 0 && m.From.Z < -slackMM && s.Machine&(read.AxisX|read.AxisY) != 0
	if !m.Rapid || inside {
		d.wrong(s.Line, "machine-coordinates", "goes through foam to a place of the machine's own (G53, G28, G30), and where that is this file does not say").
			hint("write the place in the program's own coordinates")
		return
	}
	if s.Home && s.Lifted && !d.wire { // a wire has no height to lift to
		d.warn(s.Line, "machine-coordinates", "goes up to a place of the machine's own (G28, G30 or Z without a tool's length); taken as higher than all else, and how high this file does not say").
			hint("look where it is before you start")
		return
	}
	d.strictly(s.Line, "machine-coordinates", "G53, G28 or G30 goes to a place of the machine's own; where that is over the foam this file does not say").
		hint("look where it is before you start")
}

// checkFirst: a cutter goes straight up before anything else.
func (d *run) checkFirst() {
	motions := d.result.Motions
	if d.beam || len(motions) == 0 {
		return
	}
	first := d.trace.Steps[d.stepOf[0]]
	lifts := first.Named == read.AxisZ && motions[0].To.Z > -slackMM || motions[0].Rapid && first.Home && first.Machine == read.AxisZ
	if !lifts && (d.ours || d.want != nil) {
		d.wrong(first.Line, "no-first-lift", "the first move is not straight up, and where the tool stands before it nobody knows").
			hint("begin with G0 Z at a safe height, alone on its line")
	}
}

// checkLast: it is out of the foam when all is done.
func (d *run) checkLast() {
	motions := d.result.Motions
	if d.beam || len(motions) == 0 {
		return
	}
	end := len(motions) - 1
	s := d.trace.Steps[d.stepOf[end]]
	known := (s.Unknown&^s.Named|s.Machine)&read.AxisZ == 0
	if last := motions[end]; known && last.To.Z < -slackMM {
		d.wrong(d.lastLine(), "left-in-foam", "the program ends with the tool %v below the foam's top", length(-last.To.Z)).
			hint("lift it with G0 Z before the end")
	}
}

// checkEnd: everything off by a word of its own, then the end word, then nothing.
func (d *run) checkEnd() {
	end := d.trace.End
	if end.Line == 0 {
		return // told by the reader
	}
	if end.Spin != read.Off {
		switch {
		case d.beam:
			d.wrong(end.Line, "left-on", "the beam is lit when the program ends").hint("write M5 before it")
		case !end.Word:
			d.wrong(end.Line, "left-on", "the spindle turns when the program ends, and nothing stops it").hint("write M5 before it")
		default:
			d.strictly(end.Line, "left-on", "the spindle turns when the program ends, and not every controller stops it then").hint("write M5 before it")
		}
	}
	if !end.Word {
		d.strictly(end.Line, "no-end", "the program ends with %% and has no M2 or M30, so what it has switched on may stay on").hint("add M2 as its last command")
	}
	if end.Behind > 0 {
		d.strictly(end.Behind, "behind-end", "stands behind the program's end, and a controller that is sent the lines one by one obeys it").hint("remove all that stands behind M2 or M30")
	}
	if d.trace.Skipped > 0 {
		d.strictly(d.trace.Skipped, "block-delete", "a switch on the machine skips the lines that begin with /; this dry run has it off").hint("remove the / in front")
	}
}

// checkSwitches: of what cuts without being switched on a program switches nothing, but what its
// profile names: behind any such word may be the supply of a wire, or a spindle.
func (d *run) checkSwitches() {
	m := d.setup.Machine
	if d.turning || d.beam && !d.wire {
		return
	}
	named := slices.Concat(m.Controller.Air, m.Controller.Dust)
	if c, ok := d.trace.First(func(name string) bool {
		return slices.Contains([]string{"M3", "M4", "M7", "M8"}, name) && !slices.Contains(named, name)
	}); ok {
		d.strictly(c.Line, "switched-on", "%v switches something on, and a program for a %v switches nothing", c.Name, m.Process).hint("take %v out", c.Name)
	}
}

// ourCodes are the codes that our programs are written with, and those that say
// the same in other words.
var ourCodes = []string{
	"G0", "G1", "G2", "G3", "G4", "G17", "G20", "G21", "G40", "G49", "G54", "G61", "G64", "G80", "G90", "G94",
	"M0", "M2", "M3", "M5", "M6", "M7", "M8", "M9", "M30",
}

// checkCodes finds what no program of ours holds in one that says it is.
func (d *run) checkCodes() {
	if !d.ours {
		return
	}
	m := d.setup.Machine
	blows := func(name string) bool { return name == "M7" || name == "M8" }
	has := func(name string) bool {
		return slices.Contains(m.Controller.Air, name) || slices.Contains(m.Controller.Dust, name)
	}
	if c, ok := d.trace.First(func(name string) bool {
		if blows(name) {
			return !d.beam && m.ID != "" && !has(name) // wet foam, or what nobody knows; more air does a beam no harm
		}
		return !slices.Contains(ourCodes, name) && (name != "M4" || !d.beam)
	}); ok {
		d.wrong(c.Line, "not-ours", "the opening comments say that the program is one of `traywright cut`, which never writes %v for this machine", c.Name).
			hint("make it again with `traywright cut`")
	}
}
