package profiles

import (
	"cmp"
	"math"
)

// ClampRoomMM is kept between a clamp and the tool that passes over it, beside what a zero
// set by hand may be off (judged, no source).
const ClampRoomMM = 1

// ClampBesideMM is the least that a tool, its nut or a beam keeps to the side of a clamp, which
// a hand sets as it sets X0 Y0 (judged, no source).
const ClampBesideMM = 2

// LeastAboveMM is how high a cutter or a blade stays above the foam wherever it is not at work in
// it: a sheet is never flat to a millimetre (common practice, no source).
const LeastAboveMM = 1

// UnknownNutMM is the nut that room is kept for where nobody has said how wide it is: the
// widest that ships.
const UnknownNutMM = 19.0

// NutMM is how wide what holds a tool is.
func (t Tool) NutMM() float64 { return cmp.Or(t.ColletMM.Value, UnknownNutMM) }

// ClearMM is how high above a sheet of that thickness, mm, rapids go: the machine's
// clearance, or more where a clamp stands higher than that lets a tool pass. A program
// comes from and goes to wherever the machine stands, so every clamp counts.
func (m Machine) ClearMM(thickness float64) float64 {
	clear := m.ClearanceMM.Value
	for _, c := range m.Clamps {
		clear = math.Max(clear, c.HeightMM+m.ZeroMM.Value+ClampRoomMM-thickness)
	}
	return clear
}

// Reach is how deep below the foam's top the tool may go, mm, before something other
// than its edges presses into the foam; 0 is no limit. It ends at what the row says,
// at the collet, or, where the shank is wider than the cutter, at the end of the flute.
func (t Tool) Reach() float64 {
	reach := 0.0
	least := func(n Number) {
		if n.Value > 0 && (reach == 0 || n.Value < reach) {
			reach = n.Value
		}
	}
	least(t.ReachMM)
	least(t.StickoutMM)
	if t.ShankMM.Value > t.DiameterMM.Value {
		least(t.FluteMM)
	}
	return reach
}

// BeyondFlute reports whether a cut so many mm deep is deeper than the tool's edges
// are long, as far as anybody has said how long they are.
func (t Tool) BeyondFlute(depthMM float64) bool {
	const rounding = 1e-3
	return t.FluteMM.Value > 0 && depthMM > t.FluteMM.Value+rounding
}

// NotKnown are the keys of a cutter's row that nobody has given and that the person who
// holds the foam down has to know: what is not said is never counted on.
func (t Tool) NotKnown() []string {
	var list []string
	for _, k := range []struct {
		key   string
		known bool
	}{{"flute_mm", t.FluteMM.Value > 0}, {"shank_mm", t.ShankMM.Value > 0}, {"collet_mm", t.ColletMM.Value > 0}, {"helix", t.Helix != ""}} {
		if !k.known {
			list = append(list, k.key)
		}
	}
	return list
}

// MovesZ reports whether a program can move its tool or head up and down: there is travel, and
// the controller drives that axis.
func (m Machine) MovesZ() bool { return m.TravelMM[2].Value > 0 && m.Controller.Moves("Z") }

// LowestFocusMM is how far below the foam's top a beam's focus may go, mm, before the
// nozzle is nearer to the foam than it may be; false where nobody has said how far it
// stands off.
func (m Machine) LowestFocusMM() (float64, bool) {
	return max(0, m.StandoffMM.Value-nozzleGapMM), m.StandoffMM.Value > 0
}

// nozzleGapMM is kept between nozzle and foam, which swells and lifts at a hot cut
// (judged, no source).
const nozzleGapMM = 2

// ZSign is 1 where the machine's Z grows away from the foam, and -1 where it grows into it: a
// height above its zero is that many times its Z word.
func (m Machine) ZSign() float64 {
	if m.ZCounts == ZDown {
		return -1
	}
	return 1
}

// mostStopMM is how much farther a beam may have gone at its feed in the time that a stop takes beside its way: by the formula of
// uniform acceleration speed squared over acceleration. Of a cut that goes through a window of 1.5 mm that is about three
// times the heat (derived); beyond it a corner burns (judged, no source).
const mostStopMM = 4

// MostBeamFeed is the feed, mm/min, at which a beam of constant power stays within that; any where the machine's acceleration is
// not known, and where the controller lowers its power with its speed.
func (m Machine) MostBeamFeed() float64 {
	a := m.AccelerationMMPerS2.Value
	if !(a > 0) || m.Controller.LaserOn == "M4" {
		return math.Inf(1)
	}
	return 60 * math.Sqrt(a*mostStopMM)
}

// RunOnMM is how far a beam goes at a feed, mm/min, until it has its power.
func (m Machine) RunOnMM(feedMMPerMin float64) float64 { return m.RiseS.Value * feedMMPerMin / 60 }
