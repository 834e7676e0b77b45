package proof

import (
	"math"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
	"traywright/profiles"
)

// What a cutter does close above the foam. A sheet is never flat to a millimetre: foam
// bulges between clamps and stands up beside a cut, and what turns there grabs it.

const leastAboveMM = profiles.LeastAboveMM

// height says how high a place is.
func (d *run) height(z float64) string {
	switch {
	case z < -slackMM:
		return d.say("%v below the foam's top", length(-z))
	case z <= slackMM:
		return "the foam's top"
	}
	return d.say("%v above the foam", length(z))
}

// checkSpinUp finds a spindle that is started with its tool on the foam or in it.
func (d *run) checkSpinUp() {
	spun := read.Off
	for _, s := range d.trace.Steps {
		starts := s.Action == read.Switch && spun == read.Off && s.Spin != read.Off
		if starts && s.Unknown&read.AxisZ == 0 && d.above(s.From.Z) < leastAboveMM-slackMM {
			d.strictly(s.Line, "spin-up-low", "the spindle is started with the tool at %v", d.height(d.above(s.From.Z))).hint("lift it to %v or more before M3", d.height(leastAboveMM))
		}
		spun = s.Spin
	}
}

// highMM is how far above the height of its rapids a program may lift without a word
// (judged, no source).
const highMM = 10

// checkLifts finds a cutter that is lifted above all the way that the machine has over its
// bed, and with a plan one that is lifted for nothing.
func (d *run) checkLifts() {
	thick, travel := d.setup.ThicknessMM, d.setup.Machine.TravelMM[2].Value
	if d.beam || thick <= 0 || travel <= 0 {
		return
	}
	told := false
	for i, m := range d.result.Motions {
		switch above := m.To.Z; {
		case above+thick > travel+slackMM && above > m.From.Z+slackMM:
			most, fault := math.Floor(travel-max(thick, d.goesBelow())+d.top), d.strictly(m.Line, "outside-travel", "lifts the tool %v above the bed, and the machine travels %v", length(above+thick), length(travel))
			if key := d.towards(i); key != "" {
				fault.hint("write %v or less as the third number of %s in the machine's controller, which counts mm from the program's zero", number(most), key)
			} else {
				fault.hint("write Z%v or less", d.word(most))
			}
			return
		case told || d.want == nil || above <= d.setup.Machine.ClearMM(thick)+highMM || d.towards(i) != "":
		default:
			told = true
			d.warn(m.Line, "lifts-high", "lifts the tool %v above the foam, far higher than any way of it needs", length(above)).
				hint("look that the machine reaches so high, or write Z%v", d.word(d.top+d.setup.Machine.ClearMM(thick)))
		}
	}
}

// lowMM is how far below its clearance rounding may bring a rapid.
const lowMM = 0.01

// checkClearance holds how high a cutter is wherever a rapid goes aside, and in the end, against
// the plan: over foam that is gone and beside the sheet as well, where a clamp or a chip may stand.
func (d *run) checkClearance() {
	if d.beam || d.want == nil {
		return
	}
	clear := math.Max(leastAboveMM, d.setup.Machine.ClearMM(d.setup.ThicknessMM))
	for i, m := range d.result.Motions {
		s := d.trace.Steps[d.stepOf[i]]
		low := m.lowest()
		aside := m.Rapid && (m.flatLength() > slackMM || d.fromAnywhere(s) && s.Named&(read.AxisX|read.AxisY) != 0)
		switch known := (s.Unknown&^s.Named|s.Machine)&read.AxisZ == 0; {
		case !known:
		case aside && low < clear-lowMM:
			d.wrong(m.Line, "rapid-too-low", "a rapid goes aside at %v, and the plan lifts the tool to %v", d.height(low), d.height(clear)).hint("lift it to Z%v first", d.word(d.zWord(clear)))
		case i == len(d.result.Motions)-1 && m.To.Z >= -slackMM && m.To.Z < clear-lowMM:
			d.wrong(m.Line, "rapid-too-low", "the program ends with the tool at %v, and the plan lifts it to %v", d.height(m.To.Z), d.height(clear)).hint("lift it to Z%v before the end", d.word(d.zWord(clear)))
		}
	}
}

// goesBelow is how far below the foam's top the program goes, mm.
func (d *run) goesBelow() float64 {
	deep := 0.0
	for _, m := range d.result.Motions {
		deep = max(deep, -m.lowest())
	}
	return deep
}

// idleS is how long one way at a feed that cuts nothing may take without a word: two minutes go
// over the longest bed at any usual feed (judged, no source).
const idleS = 120

// checkIdle notes a way in the air, or in the dark, that somebody will wait for.
func (d *run) checkIdle() {
	for i, m := range d.result.Motions {
		took := d.took[i].to - d.took[i].from
		if m.Rapid || took <= idleS || d.beam && m.On || !d.beam && m.lowest() < -slackMM {
			continue
		}
		d.add(finding.Finding{Severity: finding.Note, Line: m.Line, Rule: "slow-in-air", Message: d.say("goes %v at %v and cuts nothing there: it takes %v s", length(m.length()), feed(m.Feed), number(math.Round(took)))}).
			hint("raise F there, or write G0")
		return
	}
}
