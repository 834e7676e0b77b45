package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// What a step shows by itself: spindle, beam, feed, power, depth.

// slackMM is what rounding of printed numbers may add to a limit.
const slackMM = 0.001

// checkStates walks the steps in order.
func (d *run) checkStates() {
	d.checkProcess()
	if d.beam && !d.wire {
		d.checkStanding()
	}
	for i, step := range d.stepOf {
		s, m := d.trace.Steps[step], d.result.Motions[i]
		d.checkPlace(s, m)
		d.checkClamps(s, m)
		switch {
		case d.wire:
		case d.beam:
			d.checkBeam(s, m)
		default:
			d.checkCutter(m)
			d.checkStopped(i)
		}
		if !m.Rapid {
			d.checkFeed(m)
		}
	}
	d.checkStops()
	d.checkClearance()
	d.checkWire()
}

// checkProcess warns of machines whose ways are not followed: a wire cuts all
// the height at once.
func (d *run) checkProcess() {
	if d.setup.Machine.Process.Traits().Followed {
		return
	}
	if len(d.result.Motions) > 0 {
		d.warn(d.result.Motions[0].Line, "process-not-followed", "%v is a %v: the dry run follows cutters and beams, and takes its tool for a round cutter", d.setup.Machine.ID, d.setup.Machine.Process).
			hint("look at path and extents, and trust nothing else")
	}
}

// checkPlace warns of moves whose place nobody knows.
func (d *run) checkPlace(s read.Step, m Motion) {
	d.checkMachinePlace(s, m)
	if d.beam {
		d.checkFocusSaid(s, m)
		return
	}
	if s.Unknown&read.AxisZ == 0 || (s.Named|s.Machine)&read.AxisZ != 0 || s.Lifted && m.Rapid {
		return
	}
	if m.Rapid {
		d.warn(s.Line, "height-unknown", "a rapid before the program has said how high the tool is").hint("begin with G0 Z at a safe height")
		return
	}
	d.wrong(s.Line, "height-unknown", "a cut at a depth that the program has not said").hint("write Z first")
}

// checkFocusSaid finds a beam that is lit before the program has said how high its head
// is, on a machine that moves it.
func (d *run) checkFocusSaid(s read.Step, m Motion) {
	if d.wire || d.unfocused || !m.On || (s.Unknown&^s.Named)&read.AxisZ == 0 || !d.setup.Machine.MovesZ() {
		return
	}
	d.unfocused = true
	d.strictly(s.Line, "focus-unsaid", "the beam is lit before the program has said how high its head is, so what ran before decides").hint("write G0 Z at the focus before it")
}

// checkStopped finds a spindle that is switched off while its cutter is in the foam, before a
// rapid takes it out.
func (d *run) checkStopped(i int) {
	m := d.result.Motions[i]
	if in := -m.From.Z; i > 0 && m.Rapid && !m.On && d.result.Motions[i-1].On && in > slackMM {
		d.strictly(m.Line, "stopped-in-foam", "comes up from %v deep with the spindle off: a cutter that runs down there takes hold of the foam, and lifts it", length(in)).
			hint("lift it clear of the foam first, and write M5 after that")
	}
}

// checkCutter is for a spindle.
func (d *run) checkCutter(m Motion) {
	if lowest := -m.lowest(); !m.Rapid && !m.On && lowest > slackMM {
		d.wrong(m.Line, "spindle-off", "cuts %v deep with the spindle off", length(lowest)).hint("turn it on with S and M3 first")
	}
	depth := -m.To.Z // where a move begins was the last one's matter
	if depth <= slackMM {
		return
	}
	if limit := d.setup.ThicknessMM + d.setup.BreakthroughMM; d.setup.ThicknessMM > 0 && depth > limit+slackMM {
		d.wrong(m.Line, "too-deep", "goes %v below the foam's top; the foam with its breakthrough ends at %v", length(depth), length(limit)).hint("check thickness and Z zero")
	}
	if limit := d.setup.MaxDepthMM; limit > 0 && d.inFoam(depth) > limit+slackMM {
		d.wrong(m.Line, "depth-over-limit", "cuts %v deep and the shop rules allow %v", length(d.inFoam(depth)), length(limit)).hint("cut less deep, or thinner foam")
	}
	d.checkReach(m, depth)
}

// checkReach holds a depth against the tool's length. What goes deeper than its edges
// the plan has told of, where there is one.
func (d *run) checkReach(m Motion, depth float64) {
	tool, known := d.toolByNumber(m.Tool)
	if !known {
		return
	}
	if reach := tool.Reach(); reach > 0 && depth > reach+slackMM {
		d.wrong(m.Line, "beyond-reach", "goes %v deep and T%d reaches %v: its shank or holder would press into the foam", length(depth), m.Tool, length(reach)).hint("take a longer tool")
		return
	}
	if tool.BeyondFlute(depth) && d.want == nil && !d.rubbed[m.Tool] {
		d.rubbed[m.Tool] = true
		d.warn(m.Line, "beyond-flute", "goes %v deep and the edges of T%d are %v long: above them its shank rubs, the chips stay in the cut, and the foam gets hot", length(depth), m.Tool, length(tool.FluteMM.Value)).
			hint("take a cutter with longer edges, or cut less deep")
	}
}

// inFoam is how much of a depth is foam.
func (d *run) inFoam(depth float64) float64 {
	if d.setup.ThicknessMM > 0 {
		return math.Min(depth, d.setup.ThicknessMM)
	}
	return depth
}

// checkBeam is for a laser.
func (d *run) checkBeam(s read.Step, m Motion) {
	if thick := d.setup.ThicknessMM; thick > 0 && -m.lowest() > thick+slackMM {
		d.wrong(m.Line, "head-too-low", "takes the head %v below the foam's top, and the foam is %v thick", length(-m.lowest()), length(thick)).hint("raise Z")
	}
	if limit := d.setup.MaxDepthMM; m.On && limit > 0 && d.setup.ThicknessMM > limit+slackMM {
		d.wrong(m.Line, "depth-over-limit", "the beam cuts through %v of foam and the shop rules allow %v", length(d.setup.ThicknessMM), length(limit)).hint("cut thinner foam")
	}
	if m.Rapid && m.On {
		d.wrong(m.Line, "beam-on-in-rapid", "the beam is on during a rapid").hint("write M5 before it")
	}
	if !m.Rapid && !m.On {
		d.checkDark(s, m)
	}
	if m.On && !m.Rapid && m.flatLength() == 0 && m.From != m.To {
		d.wrong(m.Line, "beam-standing", "the beam is on while only the height changes, and burns in one place").hint("write M5 before and M3 after")
	}
	if m.On && m.Power > 100*(1+1e-6) {
		d.wrong(m.Line, "power-too-high", "asks for %v %% of full power", number(m.Power)).hint("lower S")
	} else if limit := d.setup.MaxPowerPercent; m.On && limit > 0 && m.Power > limit*(1+1e-6) {
		d.wrong(m.Line, "power-too-high", "asks for %v %% of full power and recipe and shop rules allow %v %%", number(m.Power), number(limit)).hint("lower S")
	}
}

// checkDark judges a cutting move with the beam off. S0 is a usual way to go dark between cuts,
// and M5 is one of other writers: where they light the beam at all, that is told once, and
// beside a plan what is not cut is told anyway.
func (d *run) checkDark(s read.Step, m Motion) {
	switch {
	case d.result.Alike.MostS > 0 && (d.want != nil || s.Spin != read.Off):
	case d.ours || d.result.Alike.MostS == 0:
		d.wrong(m.Line, "beam-off-in-cut", "the beam is off during a cutting move").hint("write M3 and S before it, or make it a rapid")
	case d.counts["beam-off-in-cut"] == 0:
		d.warn(m.Line, "beam-off-in-cut", "the beam is off during a cutting move: taken for a way from cut to cut, here and wherever it is so").hint("write M3 and S before it, if it is to cut")
	}
}

// checkFeed holds a cutting move against the machine and the shop rules.
func (d *run) checkFeed(m Motion) {
	if limit := d.setup.Machine.MaxFeedMMPerMin.Value; limit > 0 && m.Feed > limit*(1+1e-6) {
		d.wrong(m.Line, "feed-too-high", "cuts at %v and the machine can do %v", feed(m.Feed), feed(limit)).hint("lower F")
	} else if limit := d.setup.MaxFeedMMPerMin; limit > 0 && m.Feed > limit*(1+1e-6) {
		d.wrong(m.Line, "feed-too-high", "cuts at %v and recipe and shop rules allow %v", feed(m.Feed), feed(limit)).hint("lower F")
	}
}

// checkClamps finds moves through what holds the foam down. The program's zero
// lies on the bed where the setup says; heights are above the bed.
func (d *run) checkClamps(s read.Step, m Motion) {
	low := m.lowest() + d.setup.ThicknessMM
	for _, c := range d.setup.Machine.Clamps {
		burns := d.beam && m.On // a beam goes on down to the bed
		switch {
		case burns && d.crosses(m, d.halfAt(m.Tool, 0), c):
			d.wrong(m.Line, "clamp", "the %v crosses the clamp %v", d.light(), c.Name).hint("move the clamp or the foam")
		case burns && d.crosses(m, d.halfAt(m.Tool, 0)+profiles.ClampBesideMM, c):
			d.wrong(m.Line, "clamp-near", "the %v passes less than %v beside the clamp %v", d.light(), length(profiles.ClampBesideMM), c.Name).hint("move the clamp that far away, or the foam")
		case burns || d.clears(low, c):
		case d.fromAnywhere(s) && c.HeightMM > 0:
			d.wrong(m.Line, "clamp-approach", "comes from wherever the machine stands to %v above the bed, and the clamp %v is %v high", length(low), c.Name, length(c.HeightMM)).
				hint("begin higher than every clamp: with Z %v or more", length(d.over(c)))
		case c.HeightMM > 0 && low > c.HeightMM:
			if d.crosses(m, d.halfAt(m.Tool, 0), c) {
				d.wrong(m.Line, "clamp-near", "passes less than %v above the clamp %v", length(profiles.ClampRoomMM), c.Name).hint("go over it at Z %v or more", length(d.over(c)))
			}
		case d.crosses(m, d.halfAt(m.Tool, c.HeightMM-low), c):
			d.wrong(m.Line, "clamp", "passes through the clamp %v at %v above the bed", c.Name, length(low)).hint("move the clamp or the foam, or go over it at Z %v or more", length(d.over(c)))
		case d.crosses(m, d.halfAt(m.Tool, c.HeightMM-low)+profiles.ClampBesideMM, c):
			d.wrong(m.Line, "clamp-near", "passes less than %v beside the clamp %v", length(profiles.ClampBesideMM), c.Name).hint("move the clamp that far away, or the foam")
		}
	}
}

// over is the least Z of a program at which a tool goes over a clamp, wherever within its tolerance Z0 was set.
func (d *run) over(c profiles.ClampZone) float64 {
	z := c.HeightMM + profiles.ClampRoomMM - d.setup.ThicknessMM + d.top
	if t := d.setup.Tolerances; t != nil {
		z -= t.ZeroMM.Low
	}
	return z
}

// clears reports whether a move stays above a clamp whose height is known, a cutter with the room
// that is planned there.
func (d *run) clears(low float64, c profiles.ClampZone) bool {
	if d.beam {
		return c.HeightMM > 0 && low > c.HeightMM
	}
	return c.HeightMM > 0 && low >= c.HeightMM+profiles.ClampRoomMM-slackMM
}

// fromAnywhere reports whether a cutter comes over the bed from a place that the program has
// not said, at a height that it has.
func (d *run) fromAnywhere(s read.Step) bool {
	return !d.beam && s.Unknown&(read.AxisX|read.AxisY) != 0 && s.Machine&read.AxisZ == 0 && (s.Unknown&read.AxisZ == 0 || s.Named&read.AxisZ != 0)
}

// halfAt is half of how wide a tool is up to a height above its tip: from where its collet
// is, the nut's half.
func (d *run) halfAt(tool int, above float64) float64 {
	width, _ := d.width(tool)
	if t, ok := d.toolByNumber(tool); ok && !d.beam && t.StickoutMM.Value > 0 && above > t.StickoutMM.Value {
		width = math.Max(width, t.ColletMM.Value)
	}
	return width / 2
}

// crosses reports whether a disc of that radius on the move meets a clamp, seen from above.
func (d *run) crosses(m Motion, radius float64, c profiles.ClampZone) bool {
	scaleX, scaleY := d.setup.Machine.Scale()
	for _, piece := range scaled(m, scaleX, scaleY) {
		for _, s := range sweepsOf(0, piece, radius, 0, 0) {
			if s.meetsRectangle(c.XMM-d.setup.ZeroMM.X, c.YMM-d.setup.ZeroMM.Y, c.LengthMM, c.WidthMM) {
				return true
			}
		}
	}
	return false
}

// checkExtents finds where the program grows wider than the machine. Where the
// foam lies on the bed is not known, so only widths count.
func (d *run) checkExtents() {
	r := &d.result
	travel := d.setup.Machine.TravelMM
	low := Point{Z: math.Inf(1)}
	low.X, low.Y = math.Inf(1), math.Inf(1)
	high := Point{Z: math.Inf(-1)}
	high.X, high.Y = math.Inf(-1), math.Inf(-1)
	over := [3]bool{}
	aside := "" // the place of the machine's that a motion went to as high as any
	for i, m := range r.Motions {
		box := m.box()
		if key := d.towards(i); key != "" && m.To.Z > high.Z {
			aside = key
		}
		low.X, high.X = math.Min(low.X, box.Min.X), math.Max(high.X, box.Max.X)
		low.Y, high.Y = math.Min(low.Y, box.Min.Y), math.Max(high.Y, box.Max.Y)
		low.Z, high.Z = math.Min(low.Z, m.lowest()), math.Max(high.Z, math.Max(m.From.Z, m.To.Z))
		for axis, size := range [3]float64{high.X - low.X, high.Y - low.Y, high.Z - low.Z} {
			if limit := travel[axis].Value; limit > 0 && size > limit+slackMM && !over[axis] {
				over[axis], d.outside = true, true
				why, hint := "", "take a machine that travels as far, or cut it in parts"
				key := d.towards(i)
				if axis == 2 && key == "" {
					key = aside
				}
				if key != "" {
					why, hint = ", because it goes to "+key, key+" of the machine's controller is X, Y, Z in mm from the program's own zero, the tray's lower-left corner: write a place that the machine reaches from there"
				}
				d.wrong(m.Line, "outside-travel", "by this line the program is %v long in %c, and the machine travels %v%s", length(size), 'X'+rune(axis), length(limit), why).
					hint("%s", hint)
			}
		}
	}
	if len(r.Motions) > 0 {
		r.Min, r.Max = low, high
	}
	d.checkLifts()
}
