package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// The settings of every motion that touches foam, against its limits, and what
// goes with them: that the spindle turns the right way and has run up, that it
// does not stand in the foam, that the air blows.

const (
	// exactly is what rounding of printed numbers may add to a setting.
	exactly = 1 + 1e-3
	// rounded is how far a program's own number may be from the plan's: far more than rounding
	// makes of it, in mm or in inches. Whoever wants another changes the recipe.
	rounded = 0.01
	// printedMM is what printing with four decimals does to a way, which of a very short one is much.
	printedMM = 0.0001
	// nearly is how far energy may be off that goes as deep (judged, no source).
	nearly = 0.1
	// focusMM is how far a beam's height may be off: far less than any spot's depth
	// of focus. Judged, no source.
	focusMM = 0.1
)

// complaint is a setting that is off.
type complaint struct{ rule, message, hint string }

// checkSettings holds every motion in foam against its limits.
func (d *run) checkSettings() {
	told := map[string]int{} // the last line of each rule: an oval arc is several motions
	for i, m := range d.result.Motions {
		if len(d.limitsOf(i)) == 0 {
			continue
		}
		against := d.cutterAgainst
		if d.beam {
			against = d.beamAgainst
		}
		if c := d.allowedBy(d.limitsOf(i), m, func(l Limits) *complaint { return against(l, i) }); c != nil && told[c.rule] != m.Line {
			told[c.rule] = m.Line
			d.wrong(m.Line, c.rule, "%v", c.message).hint("%v", c.hint)
		}
	}
	if d.wire {
		return
	}
	d.checkAir()
	d.checkBeamMode()
	d.checkHead()
	d.checkPauses()
	d.checkLighting()
	if len(told) == 0 { // else it is told what is too much
		d.checkGathering()
	}
	d.lingersUnplanned()
	d.checkBurning()
	d.checkSpindle()
	d.judgeApproach()
}

// allowedBy is nil where one of the limits allows the motion, else what the first
// has against it.
func (d *run) allowedBy(list []Limits, m Motion, against func(Limits) *complaint) *complaint {
	var first *complaint
	for _, l := range list {
		if l.Tool != 0 && l.Tool != m.Tool {
			continue
		}
		c := against(l)
		if c == nil {
			return nil
		}
		if first == nil {
			first = c
		}
	}
	if first == nil {
		width, _ := d.width(m.Tool)
		if middle := m.middle(); !d.want.Outline.Contains(middle) && distanceTo(middle, d.want.Outline) > beyondMM+width/2 {
			return &complaint{"other-tool", d.say("cuts with %v in the waste, where the plan has no cut of it", toolName(m.Tool)), "take the cut out, or make the program again with `traywright cut`"}
		}
		return &complaint{"other-tool", d.say("cuts with %v, and the plan has T%d for it", toolName(m.Tool), list[0].Tool), d.say("write T%d, and put it in", list[0].Tool)}
	}
	return first
}

// within is a limit lowered to the machine's own.
func within(limit, machine float64) float64 {
	if machine > 0 {
		return math.Min(limit, machine)
	}
	return limit
}

// cutterAgainst is what a cutter's limits have against a motion.
func (d *run) cutterAgainst(l Limits, motion int) *complaint {
	m := d.result.Motions[motion]
	sinks := m.From.Z - m.To.Z - slackMM
	rate := m.Feed * math.Max(0, sinks) / math.Max(m.length(), slackMM)
	most := within(l.FeedMMPerMin, d.setup.Machine.MaxFeedMMPerMin.Value)
	least := most
	if down := m.From.Z - m.To.Z; down > 0 && l.PlungeMMPerMin > 0 { // as fast as it may sink on a ramp so steep
		least = math.Min(most, l.PlungeMMPerMin*(m.length()-printedMM)/(down+printedMM))
	}
	speed := 0.0
	if d.turning {
		speed = d.trace.Steps[d.stepOf[motion]].S
	}
	lifts := m.flatLength() == 0 && m.To.Z > m.From.Z // which a rapid may do as well
	switch {
	case l.FeedMMPerMin > 0 && m.Feed > most*exactly && !lifts:
		return &complaint{"feed-too-high", d.say("cuts at %v and its recipe has %v", feed(m.Feed), feed(most)), "lower F"}
	case l.PlungeMMPerMin > 0 && rate > l.PlungeMMPerMin*exactly:
		return &complaint{"plunge-too-fast", d.say("sinks into the foam at %v; its recipe allows %v", feed(rate), feed(l.PlungeMMPerMin)), "lower F, or go down on a flatter ramp"}
	case l.FeedMMPerMin > 0 && m.Feed < least*(1-rounded) && !lifts:
		rubs := ""
		if d.turning {
			rubs = ": so slow a cutter rubs, and the foam gets hot"
		}
		return &complaint{"feed-too-low", d.say("cuts at %v where its recipe has %v", feed(m.Feed), feed(least)) + rubs, "raise F"}
	case l.RPM > 0 && m.On && speed < l.RPM*(1-rounded):
		return &complaint{"spindle-too-slow", d.say("turns at %v rpm where its recipe has %v", number(speed), number(l.RPM)), "raise S"}
	case l.RPM > 0 && m.On && speed > l.RPM*(1+rounded):
		return &complaint{"spindle-too-fast", d.say("turns at %v rpm where its recipe has %v", number(speed), number(l.RPM)), "lower S"}
	}
	return nil
}

// beamAgainst is what a beam's limits have against a motion.
func (d *run) beamAgainst(l Limits, motion int) *complaint {
	m := d.result.Motions[motion]
	most := within(l.FeedMMPerMin, d.setup.Machine.MaxFeedMMPerMin.Value)
	share := d.share(m, l)
	switch {
	case l.FeedMMPerMin > 0 && m.Feed > most*exactly:
		return &complaint{"feed-too-high", d.say("cuts at %v and its recipe has %v", feed(m.Feed), feed(most)), "lower F"}
	case l.PowerPercent > 0 && m.Power > l.PowerPercent*exactly:
		return &complaint{"power-too-high", d.say("asks for %v %% of full power and its recipe has %v %%", number(m.Power), number(l.PowerPercent)), "lower S"}
	case share < 1-rounded:
		return &complaint{"beam-too-weak", d.say("gives the foam %v %% of the energy of its recipe, and may not go through", number(100*share)), "raise S to what the recipe has"}
	case share > 1+rounded:
		return &complaint{"beam-too-strong", d.say("gives the foam %v %% of the energy of its recipe, and can set it on fire", number(100*share)), "raise F to what the recipe has"}
	case l.FeedMMPerMin > 0 && m.Feed < most*(1-rounded):
		words := "F and S" // of which a wire has no S
		if d.wire {
			words = "F"
		}
		return &complaint{"feed-too-low", d.say("cuts at %v and its recipe has %v", feed(m.Feed), feed(most)), "raise " + words + " to what the recipe has"}
	}
	laid := d.laid[motion]
	if d.wire {
		return d.againBy(motion)
	}
	if l.Passes > 0 && (laid.most > l.Passes || laid.pass > l.Passes && !d.runsOn(motion, l.Passes)) {
		times := number(float64(max(laid.pass, laid.most)))
		return &complaint{"too-many-passes", d.say("goes over this place %v times, and the plan has %v passes: the heat adds up, and can set it on fire", times, number(float64(l.Passes))), "take the pass out"}
	}
	return d.offFocus(l, motion)
}

// runsOn is whether a motion may be where a lap runs on past its own start: behind
// it, shorter than two kerfs and what a slow power supply takes with all that is more than planned before it, and there
// no more than three times for each planned pass: with its way in, round, and on.
func (d *run) runsOn(motion, passes int) bool {
	width, _ := d.width(d.result.Motions[motion].Tool)
	most := 2*width + d.runOnMM(motion)
	length := 0.0
	for i := motion; i >= 0 && (d.laid[i].pass == 0 || d.laid[i].pass > passes); i-- {
		if d.laid[i].pass == 0 {
			continue // dark: going dark makes a pass no shorter
		}
		own := d.result.Motions[i].flatLength() // a piece that is hardly one may lie on its neighbours
		if length += own; length >= most || own > unseenMM && d.laid[i].pass > 3*passes {
			return false
		}
	}
	return length < most
}

// runOnMM is how far a lap may run on for a slow power supply, beside two kerfs.
func (d *run) runOnMM(motion int) float64 {
	return d.setup.Machine.RunOnMM(d.result.Motions[motion].Feed)
}

// offFocus holds a beam's height against the pass that it is on. A short piece
// may be where a pass runs on past its own start, and where a beam goes more often
// than planned it crosses another's way.
func (d *run) offFocus(l Limits, motion int) *complaint {
	m := d.result.Motions[motion]
	if l.FocusMM == nil {
		return nil
	}
	pass := max(0, min(d.laid[motion].pass, len(l.FocusMM))-1)
	planned := l.FocusMM[pass : pass+1]
	if width, _ := d.width(m.Tool); m.flatLength() < 2*width+d.runOnMM(motion) || d.laid[motion].pass > len(l.FocusMM) {
		planned = l.FocusMM
	}
	for _, z := range planned {
		if math.Abs(-m.From.Z-z) <= focusMM && math.Abs(-m.To.Z-z) <= focusMM {
			return nil
		}
	}
	return &complaint{"off-focus", d.say("pass %d goes %v from the foam's top, and its recipe has %v", pass+1, length(math.Abs(m.To.Z)), length(l.FocusMM[pass])),
		d.say("write Z%v", d.word(d.zWord(-l.FocusMM[pass])))}
}

// checkAir: a machine with air of its own has it on wherever its beam is lit. In a
// foreign program it is a warning: some air is switched by hand.
func (d *run) checkAir() {
	word := profiles.On(d.setup.Machine.Controller.Air)
	on, known := map[string]read.Air{"M7": read.Mist, "M8": read.Flood}[word]
	if !d.beam || !known {
		return
	}
	for i, m := range d.result.Motions {
		if m.On && !m.Rapid && d.moods[i].air&on == 0 {
			d.strictly(m.Line, "air-off", "the beam is lit and the air is off, and foam catches fire the easier").hint("write %v before it", word)
			return
		}
	}
}

// checkBeamMode: small controllers take M4 for another power mode of a beam, whose
// corners stay uncut, and M3 is what was planned, where the profile does not say M4.
func (d *run) checkBeamMode() {
	planned, other, wrong := "M3", "M4", read.Counterclockwise
	if d.setup.Machine.Controller.LaserOn == "M4" {
		planned, other, wrong = "M4", "M3", read.Clockwise
	}
	if !d.beam || !d.ours && d.want == nil {
		return
	}
	for i, m := range d.result.Motions {
		if m.On && !m.Rapid && d.moods[i].spin == wrong {
			d.wrong(m.Line, "beam-mode", "the beam is lit with %v, which small controllers take for another way to hold its power, and %v is planned", other, planned).hint("write %v for %v", planned, other)
			return
		}
	}
}
