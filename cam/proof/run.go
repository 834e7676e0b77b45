package proof

import (
	"fmt"
	"runtime"
	"slices"
	"sync"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
	"traywright/profiles"
)

// run is one dry run under way.
//
//	text -> trace (package read) -> motions -> states: what a line alone shows
//	     -> time
//	     -> settings: feed, speed, power and focus against the plan's, place by place
//	     -> foam: what the motions do to it, in their order
//	     -> walls and floors: held against what is wanted
type run struct {
	setup     Setup
	want      *Wanted
	trace     read.Trace
	beam      bool            // a laser or an upright wire, which cut all the height wherever they are
	wire      bool            // the second of them, which is never dark: see wire.go
	turning   bool            // a cutter, which throws what comes loose; neither beam nor cutter is a blade, which cuts without being switched on
	ours      bool            // its header claims that it was written here
	top       float64         // Z of the foam's top in the program
	sign      float64         // 1 where its Z grows away from the foam, -1 where it grows into it
	spindle   int             // tool of a program without T words
	listed    map[int]float64 // widths that the program's own tool list gives
	stepOf    []int           // the step of each motion
	tolerance float64         // of walls, mm
	sweeps    []sweep         // that cut, in order
	rapids    []sweep         // of rapids below the top, in order, and of what else may come too close above foam
	sunkOver  map[int]bool    // rapids straight down that end above the top where foam stands
	planned   []Limits        // of all cuts of the plan
	limits    [][]Limits      // of each motion in foam, see limits.go
	laid      []laid          // of each motion of a beam, see passes.go
	took      []span          // when each motion begins and ends, s from the start
	moods     []mood          // of each motion of a laser, once its steps are gone
	usual     func() float64  // energy of a beam, where no limits say: found once
	backwards bool            // it has been told that the spindle turns so
	unfocused bool            // it has been told that nobody knows the beam's height
	rubbed    map[int]bool    // tools of which it has been told that their shank is in the foam
	result    Result
	counts    map[string]int // findings by rule
	edges     map[int]edge   // by tool, made once
	cutEdges  map[*CutKerf]edge
	past      []passed     // of the programs before this one: see earlier.go
	hanging   hanging      // what does not fall out, as planned
	edgeOff   float64      // how far the outline is off at worst, mm
	outside   bool         // it grows beyond the machine's travel
	fallen    []*hole      // whose plugs fall out
	heldIn    map[int]bool // layers that were told of: see slabs.go
}

// Run reads a program, cuts virtual foam with it and says what is wrong. Path
// only names the program in the result. With want the foam is compared with
// the plan; without, the program is judged by itself. It never fails: whatever
// the text is, the result says.
//
// OK means that no finding is an error, and with want that no wall is cut more
// than toleranceMM too far or left more than that short.
func Run(path string, text []byte, s Setup, want *Wanted) Result {
	d := newRun(path, text, s, want)
	d.motions()
	d.checkWhole()
	d.checkStates()
	d.checkExtents()
	d.measureTime()
	d.checkIdle()
	d.takeScale()
	d.checkWaits()
	d.followBlade()
	d.letStepsGo()
	d.followTip()
	d.limits = d.rulings()
	if d.beam {
		d.laid = d.layPasses(d.passMM)
	}
	d.checkSettings()
	d.trace.Steps, d.trace.Comments, d.stepOf = nil, nil, nil // a hundred MB of a long program, and told all
	if len(d.result.Motions) > longProgram {
		runtime.GC() // or the sweeps, as large, are made beside what has been let go
	}
	d.progress(0.2)
	d.cutFoam()
	d.progress(0.5)
	switch {
	case d.trace.Unfollowed > 0:
	case want != nil:
		d.compare()
	case d.beam:
		d.checkThrough()
	}
	d.close()
	d.progress(1)
	return d.result
}

// longProgram is how many motions make lists of more than ten MB.
const longProgram = 100_000

// mood is what a step says of its machine beside where it goes.
type mood struct {
	air   read.Air
	spin  read.Spin
	relit bool // a beam that is on, and has been dark since the lit motion before: put out by a word, or for a rapid, however short
}

// moodsOf is the mood of each motion of a laser.
func (d *run) moodsOf() []mood {
	moods, next, dark := make([]mood, len(d.stepOf)), 0, true
	for i, step := range d.stepOf {
		for ; next <= step; next++ {
			s := d.trace.Steps[next]
			dark = dark || s.Spin == read.Off || s.S == 0 || s.Action == read.Traverse
		}
		moods[i] = mood{air: d.trace.Steps[step].Air, spin: d.trace.Steps[step].Spin}
		if d.litAt(i) {
			moods[i].relit, dark = dark, false
		}
	}
	return moods
}

// letStepsGo forgets the steps, where only a cutter is asked for them again: they are a hundred MB
// of a long program, and its passes or its tip are as much.
func (d *run) letStepsGo() {
	if d.turning {
		return
	}
	if d.beam && !d.wire {
		d.moods = d.moodsOf()
	}
	d.trace.Steps, d.trace.Turns, d.stepOf = nil, nil, nil
}

// progress tells how much of the run is done, roughly.
func (d *run) progress(share float64) {
	if d.setup.Progress != nil {
		d.setup.Progress(share)
	}
}

func newRun(path string, text []byte, s Setup, want *Wanted) *run {
	d := &run{setup: s, want: want, tolerance: tolerance(s.Machine), counts: map[string]int{}, edges: map[int]edge{}, cutEdges: map[*CutKerf]edge{}, heldIn: map[int]bool{}, rubbed: map[int]bool{}}
	d.usual = sync.OnceValue(d.usualEnergy)
	as := readAs(s.Machine.Controller)
	_, as.Turns = s.Machine.TurnedTool()
	d.trace = read.Program(text, as)
	d.result.Path, d.result.Unfollowed = path, d.trace.Unfollowed
	d.result.Header = readHeader(d.trace, firstCommand(d.trace))
	d.wire = s.Machine.Process.Traits().Wire
	d.beam, d.ours = guessBeam(s.Machine, d.trace), isOurs(d.result.Header)
	is := s.Machine.Process.Traits()
	d.turning = !d.beam && !is.Blade && !is.Wire
	d.sign = s.Machine.ZSign()
	if s.Machine.ZZero == profiles.ZBed {
		d.top = s.ThicknessMM
	}
	d.result.Alike = alikeOf(d.trace.Steps, d.top)
	d.result.Seal = d.seal(text)
	d.spindle, d.listed = d.toolInSpindle(), listedTools(d.trace)
	for _, f := range d.trace.Findings {
		d.add(f)
	}
	return d
}

// perRule is how many findings of one rule are listed; the rest are counted.
const perRule = 20

// told is a finding that has been filed. Whoever files it says what to do.
type told struct {
	run *run
	at  int // of the run's findings; -1 for one that is counted only
}

// hint says what to do about it, in the setup's unit.
func (t told) hint(format string, values ...any) {
	if t.at >= 0 {
		t.run.result.Findings[t.at].Hint = t.run.say(format, values...)
	}
}

// add files a finding, unless its rule has said enough.
func (d *run) add(f finding.Finding) told {
	d.counts[f.Rule]++
	if d.counts[f.Rule] > perRule {
		return told{d, -1}
	}
	f.Where = fmt.Sprintf("line %d", f.Line)
	if d.result.Path != "" {
		f.Where = fmt.Sprintf("%s:%d", d.result.Path, f.Line)
	}
	d.result.Findings = append(d.result.Findings, f)
	return told{d, len(d.result.Findings) - 1}
}

// wrong files an error at a line.
func (d *run) wrong(line int, rule, format string, values ...any) told {
	return d.add(finding.Finding{Line: line, Rule: rule, Message: d.say(format, values...)})
}

// warn files a warning at a line.
func (d *run) warn(line int, rule, format string, values ...any) told {
	return d.add(finding.Finding{Severity: finding.Warning, Line: line, Rule: rule, Message: d.say(format, values...)})
}

// close puts the findings in the order of the lines and decides.
func (d *run) close() {
	d.result.KerfMM = map[int]float64{}
	for tool, e := range d.edges {
		d.result.KerfMM[tool] = 2 * e.radius
	}
	d.result.RemovedMM3 = d.removedMM3()
	found := d.result.Findings
	slices.SortStableFunc(found, func(a, b finding.Finding) int { return a.Line - b.Line })
	for i := len(found) - 1; i >= 0; i-- { // the last of a rule speaks for those that are not listed
		found[i].More = max(0, d.counts[found[i].Rule]-perRule)
		d.counts[found[i].Rule] = 0
	}
	d.result.OK = d.result.WorstOvercutMM <= d.tolerance && d.result.WorstUndercutMM <= d.tolerance && !found.Failed()
}

// toleranceMM is how far a wall or a floor may be from where it is wanted. A
// controller that gets chords may miss a wall by its chord error more.
const toleranceMM = 0.02

// faceMM is how deep a cut may be where the plan has none. A wall that is off by toleranceMM is a wall all
// the same, but no path of a plan lies below the face of foam that stays: rounding of printed numbers
// puts none there, so no more is let through than that makes of one.
const faceMM = slackMM

func tolerance(m profiles.Machine) float64 {
	if m.Controller.Arcs == profiles.Chords {
		return toleranceMM + m.Controller.StrayMM()
	}
	return toleranceMM
}
