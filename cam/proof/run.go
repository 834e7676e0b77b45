package proof

import (
	"fmt"
	"slices"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// run is one dry run under way.
//
//	text -> trace (package read) -> motions -> states: what a line alone shows
//	     -> foam: what the motions do to it, in their order
//	     -> walls and floors: held against what is wanted
//	     -> time
type run struct {
	setup     Setup
	want      *Wanted
	trace     read.Trace
	beam      bool    // a laser, else a cutter
	top       float64 // Z of the foam's top in the program
	spindle   int     // tool of a program without T words
	stepOf    []int   // the step of each motion
	tolerance float64 // of walls, mm
	sweeps    []sweep // that cut, in order
	rapids    []sweep // of rapids below the top, in order
	result    Result
	counts    map[string]int // findings by rule
	edges     map[int]edge   // by tool, made once
	edgeOff   float64        // how far the outline is off at worst, mm
	heldIn    map[int]bool   // layers that were told of: see slabs.go
}

// Run reads a program, cuts virtual foam with it and says what is wrong. Path
// only names the program in the result. With want the foam is compared with
// the plan; without, the program is judged by itself. It never fails: whatever
// the text is, the result says.
//
// OK means that no finding is an error, and with want that no wall is cut more
// than ToleranceMM too far or left more than that short.
func Run(path string, text []byte, s Setup, want *Wanted) Result {
	d := newRun(path, text, s, want)
	d.motions()
	d.checkStates()
	d.checkExtents()
	d.takeScale()
	d.progress(0.2)
	d.cutFoam()
	d.progress(0.5)
	if want != nil {
		d.compare()
	}
	d.measureTime()
	d.close()
	d.progress(1)
	return d.result
}

// progress tells how much of the run is done, roughly.
func (d *run) progress(share float64) {
	if d.setup.Progress != nil {
		d.setup.Progress(share)
	}
}

func newRun(path string, text []byte, s Setup, want *Wanted) *run {
	d := &run{setup: s, want: want, tolerance: tolerance(s.Machine), counts: map[string]int{}, edges: map[int]edge{}, heldIn: map[int]bool{}}
	d.trace = read.Program(text, read.Options{})
	d.result.Path = path
	d.result.Header = readHeader(d.trace, firstCommand(d.trace))
	d.beam = guessBeam(s.Machine, d.trace)
	if s.Machine.ZZero == profiles.ZBed {
		d.top = s.ThicknessMM
	}
	d.spindle = d.toolInSpindle()
	for _, f := range d.trace.Findings {
		d.add(Finding{f.Line, f.Rule, f.Message, f.Warning})
	}
	return d
}

// perRule is how many findings of one rule are listed; the rest are counted.
const perRule = 20

// add files a finding, unless its rule has said enough.
func (d *run) add(f Finding) {
	d.counts[f.Rule]++
	if d.counts[f.Rule] <= perRule {
		d.result.Findings = append(d.result.Findings, f)
	}
}

// wrong files an error at a line.
func (d *run) wrong(line int, rule, format string, values ...any) {
	d.add(Finding{Line: line, Rule: rule, Message: d.say(format, values...)})
}

// warn files a warning at a line.
func (d *run) warn(line int, rule, format string, values ...any) {
	d.add(Finding{Line: line, Rule: rule, Message: d.say(format, values...), Warning: true})
}

// close puts the findings in the order of the lines and decides.
func (d *run) close() {
	d.result.KerfMM = map[int]float64{}
	for tool, e := range d.edges {
		d.result.KerfMM[tool] = 2 * e.radius
	}
	d.result.RemovedMM3 = d.result.Field.volume(d.setup.ThicknessMM)
	found := d.result.Findings
	slices.SortStableFunc(found, func(a, b Finding) int { return a.Line - b.Line })
	for i, f := range found {
		if more := d.counts[f.Rule] - perRule; more > 0 && lastOfRule(found, i) {
			found[i].Message = fmt.Sprintf("%s (and %d more like it)", f.Message, more)
		}
	}
	d.result.OK = d.result.WorstOvercutMM <= d.tolerance && d.result.WorstUndercutMM <= d.tolerance
	for _, f := range found {
		d.result.OK = d.result.OK && f.Warning
	}
}

func lastOfRule(found []Finding, i int) bool {
	for _, f := range found[i+1:] {
		if f.Rule == found[i].Rule {
			return false
		}
	}
	return true
}

// ToleranceMM is how far a wall or a floor may be from where it is wanted. A
// controller without arcs may miss a wall by its chord error more.
const ToleranceMM = 0.02

func tolerance(m profiles.Machine) float64 {
	if m.ID != "" && !m.Controller.Arcs {
		return ToleranceMM + m.Controller.ChordMM
	}
	return ToleranceMM
}
