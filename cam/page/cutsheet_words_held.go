package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// laid says how the foam is laid and held for its process: common practice, no source.
func (c CutSheet) laid(s Sheet) []string {
	foam := fmt.Sprintf("%s, %s thick, at least %s", s.Foams, c.thick(s.Sheet.ThicknessMM()), c.size(s.BlankMM[0], s.BlankMM[1]))
	if s.Laid != nil {
		foam = c.sheetOf(s)
	}
	if c.wired() {
		return c.wireLaid(s, foam)
	}
	if c.Plan.Machine.Process.Traits().Beam {
		return []string{
			"Lay the foam on the bed: " + foam + ". " + faceUp(s) + ", raised on pins or a comb, so that the bed leaves no marks on it.",
			"Hold it with pins or weights " + c.pinned(s) + ", lower than the nozzle." + c.ownClamps(s) + c.lowered(s),
		}
	}
	lay := "Lay the foam on the bed: "
	if slices.ContainsFunc(s.Sheet.All(), func(c plan.Cut) bool { return c.BelowMM > 0 }) { // in whichever of its programs
		lay = "Lay the foam on a flat board that may be cut into, held to the bed: "
	}
	hold := c.heldBy(s)
	return []string{lay + foam + ". " + faceUp(s) + ".", hold + c.clamped(s)}
}

// pinned is where pins and weights keep off what a beam cuts, as a clamp would.
func (c CutSheet) pinned(s Sheet) string {
	var sides []string
	least, most := math.Inf(1), 0.0
	for i, name := range []string{"on the left", "on the right", "in front", "at the back"} {
		mm := max(0, math.Floor((s.UncutMM[i]-profiles.ClampBesideMM)*10+1e-6)/10)
		least, most = min(least, mm), max(most, mm)
		sides = append(sides, c.length(mm)+" "+name)
	}
	if most-least < 0.2 {
		return fmt.Sprintf("on the outer %s of the foam and no more", c.length(least))
	}
	return "on the outer rim of the foam and no more (" + Listed(sides) + ")"
}

// faceUp is the face of the foam that lies up: in a block's program layer 1 is the top.
func faceUp(s Sheet) string {
	if s.Sheet.Number == 0 && len(s.Sheet.Layers) > 1 {
		return "Layer 1 up"
	}
	return "Good face up"
}

// lowered is how near to the foam a program's focus brings the nozzle; "" where it stays.
func (c CutSheet) lowered(s Sheet) string {
	off := c.Plan.Machine.StandoffMM.Value
	if passes := s.Sheet.Edge.Passes; c.Plan.Machine.DrawingsOnly() && off > 0 && len(passes) > 1 && passes[len(passes)-1].FocusMM > 0 {
		return fmt.Sprintf(" Its last pass is to bring the nozzle to %s above the foam.", c.length(off-passes[len(passes)-1].FocusMM))
	}
	down := -s.Stats.Min.Z
	if down <= 0 || !c.Plan.Machine.MovesZ() || c.Plan.Machine.DrawingsOnly() {
		return ""
	}
	text := fmt.Sprintf(" The program brings the nozzle %s down", c.length(down))
	if off > 0 {
		text += fmt.Sprintf(", to %s above the foam", c.length(off-down))
	}
	if c.Plan.Machine.ZCounts == profiles.ZDown {
		text += ", and Z counts down: a greater Z brings them together"
	}
	return text + ": look on the empty bed, with the beam off, that your machine's Z counts so."
}

// leastClampMM is how high the flattest clamp stands above the foam that it holds: a strip of sheet metal and the heads of its
// screws (judged, no source).
const leastClampMM = 3

// clampRoom is how high above the foam clamps may stand, and why no higher.
func (c CutSheet) clampRoom(s Sheet) (highMM float64, why string) {
	over := s.Program.ClearZ
	why = "the tool comes and goes over them"
	if nut := lowestNut(*s.Sheet); nut < over {
		short, _ := c.holder()
		over, why = nut, "the "+short+" comes down to "+c.length(max(0, nut))+" above the foam beside them"
	}
	return over - c.keptOff(), why
}

// tooFlat is whether no clamp passes under so much room: of the room as it is, for rounded to the job's unit it may be less.
func tooFlat(highMM float64) bool { return highMM < leastClampMM-1e-6 }

// keptOff is how far what passes over a clamp stays above it.
func (c CutSheet) keptOff() float64 { return c.Plan.Machine.ZeroMM.Value + profiles.ClampRoomMM }

// holdsRim is what holds the foam's rim: clamps, or, where none is flat enough to pass under the tool, pins.
func (c CutSheet) holdsRim(s Sheet) string {
	if high, _ := c.clampRoom(s); tooFlat(high) {
		return "pins"
	}
	return "clamps"
}

// clamped is where clamps may stand, and how high; or what to do where none can.
func (c CutSheet) clamped(s Sheet) string {
	text, room := c.ownClamps(s), c.most(s.ClampMM-profiles.ClampBesideMM)
	high, why := c.clampRoom(s)
	if tooFlat(high) {
		return text + fmt.Sprintf(" Push the pins into the outer %s of the foam and no more, until their heads are level with its top: no cut comes so far out", room) + c.atZero(s) +
			". Use no clamp that stands on the foam, for none is so flat: " + why + ". " + c.taller("A clamp all the same") + c.higher(s)
	}
	if text == "" {
		text = " Clamps"
	} else {
		text += " Others, which nothing was tried with,"
	}
	_, long := c.holder()
	text += fmt.Sprintf(" take the outer %s of the foam and no more, because the %s passes by the rest", room, long)
	if slices.ContainsFunc(s.Sheet.All(), func(c plan.Cut) bool { return c.Tool.ColletMM.Value == 0 }) {
		text += fmt.Sprintf(": nobody has said how wide yours is, and room is kept for one of %s; measure it, and use no clamps where it is wider", c.length(profiles.UnknownNutMM))
	}
	return text + c.atZero(s) + fmt.Sprintf(". They stand less than %s above it, because %s. %s", Length(units.AtMost(high, 0.1, c.Unit), c.Unit), why, c.taller("A taller one"))
}

// atZero is where nothing holds the foam, for the tip goes there.
func (c CutSheet) atZero(s Sheet) string {
	switch x, y := s.InsetMM[0], s.InsetMM[1]; {
	case x < s.ClampMM && y < s.ClampMM:
		return ". None takes the foam's front left corner: the tip goes there to find its zero"
	case x < s.ClampMM || y < s.ClampMM:
		return fmt.Sprintf(". None takes the foam's edge %s to the right and %s to the back of its front left corner: the tip goes there to find its zero", c.length(x), c.length(y))
	}
	return ""
}

// higher is the travel height that lets the flattest clamps pass, where it is no nut that is in the way.
func (c CutSheet) higher(s Sheet) string {
	least := leastClampMM + c.keptOff()
	if lowestNut(*s.Sheet) < least {
		return ""
	}
	return fmt.Sprintf(" Or, for clamps that stand less than %s above the foam, set clearance_mm of the machine's profile to %g, and %s.", c.length(leastClampMM), least, c.again())
}

// taller is what to do with a clamp that stands higher than all was tried with; a larger clearance_mm
// alone does not help where it is the nut that comes down beside it.
func (c CutSheet) taller(which string) string {
	return which + ": write its place and height under clamps in the machine's profile and " + c.again() + ", so that the paths go round it."
}

// again is how new programs are had.
func (c CutSheet) again() string {
	if c.Coupon {
		return "make the coupon again"
	}
	return "cut the job again"
}

// whole is what the dry run says has come free, where it is all of what is cut.
func (c CutSheet) whole(name string) string {
	if c.Coupon && name == "the tray" {
		return "the coupon"
	}
	return name
}

// ownClamps says where those of the machine's profile stand, with which the paths were tried;
// "" for none.
func (c CutSheet) ownClamps(s Sheet) string {
	var list []string
	for _, k := range c.Plan.Machine.Clamps {
		high := "of whatever height"
		if k.HeightMM > 0 {
			high = c.length(k.HeightMM) + " above the bed at most"
		}
		list = append(list, fmt.Sprintf("%s from X %s to %s and Y %s to %s, %s", k.Name, c.length(k.XMM), c.length(k.XMM+k.LengthMM), c.length(k.YMM), c.length(k.YMM+k.WidthMM), high))
	}
	if len(list) == 0 {
		return ""
	}
	return fmt.Sprintf(" Set the clamps of the machine's profile where it says, from X0 Y0: %s. With them there all was tried, %s beside each; where one stands elsewhere, write that into the profile first.",
		strings.Join(list, "; "), c.length(profiles.ClampBesideMM)) + c.bites(s)
}

// Bite is how much a clamp takes of foam of that size, where X0 Y0 lies so far in, mm; 0 or less
// where it does not reach it.
func Bite(k profiles.ClampZone, blankMM, insetMM [2]float64) float64 {
	foam := geometry.Box{Min: geometry.Point{X: -insetMM[0], Y: -insetMM[1]}}
	foam.Max = foam.Min.Add(geometry.Point{X: blankMM[0], Y: blankMM[1]})
	on := shared(foam, geometry.Box{Min: geometry.Point{X: k.XMM, Y: k.YMM}, Max: geometry.Point{X: k.XMM + k.LengthMM, Y: k.YMM + k.WidthMM}})
	return min(on.Width(), on.Height())
}

// Sunk reports whether a clamp is by its profile no higher than the foam that it lies on.
func Sunk(k profiles.ClampZone, blankMM, insetMM [2]float64, thicknessMM float64) bool {
	return k.HeightMM > 0 && k.HeightMM <= thicknessMM && Bite(k, blankMM, insetMM) > 0
}

// bites says which of the profile's clamps hardly hold the foam that is laid, or not at all.
func (c CutSheet) bites(s Sheet) (text string) {
	for _, k := range c.Plan.Machine.Clamps {
		switch bite := Bite(k, s.BlankMM, s.InsetMM); {
		case bite <= 0:
			text += fmt.Sprintf(" %s does not reach foam of that size: lay larger foam, or hold that side otherwise.", k.Name)
		case bite < stock.LeastBiteMM:
			text += fmt.Sprintf(" %s takes only %s of foam of that size, which does not hold it: lay foam that reaches farther under it.", k.Name, c.length(bite))
		}
		if Sunk(k, s.BlankMM, s.InsetMM, s.Sheet.ThicknessMM()) {
			text += fmt.Sprintf(" **%s stands higher than that on foam of %s**: write how high into the profile, and %s, before it is set there.", k.Name, c.thick(s.Sheet.ThicknessMM()), c.again())
		}
	}
	return text
}

// lowestNut is how low above the foam's top the nut comes in any of a sheet's programs, mm;
// +Inf where nobody has said how far the cutters stand out of it.
func lowestNut(s plan.Sheet) float64 {
	lowest := math.Inf(1)
	for _, c := range s.All() {
		deep := c.DepthMM
		for _, pass := range c.Passes {
			deep = pass.ToMM
		}
		if out := cmp.Or(c.Tool.StickoutMM.Value, c.Tool.Reach()); out > 0 {
			lowest = math.Min(lowest, out-deep)
		}
	}
	return lowest
}

// heldBy is what holds this foam under these edges.
func (c CutSheet) heldBy(s Sheet) string {
	open := slices.ContainsFunc(s.Sheet.Layers, func(l plan.Layer) bool { return l.Foam.Cells.Value == profiles.OpenCells })
	turns := func(h profiles.Helix) bool {
		return slices.ContainsFunc(toolsInOrder(s.Program), func(t profiles.Tool) bool { return cmp.Or(t.Helix, profiles.HelixUp) == h })
	}
	rim := c.holdsRim(s)
	by := "double-sided tape or vacuum under its whole area, outline too, and " + rim + " on the rim, on all four sides"
	if open {
		if rim == "clamps" {
			rim = "clamps or pins"
		}
		by = rim + " on the rim, on all four sides, and a plate of pins under its whole area, outline too: open cells leak under vacuum and tear off tape"
	}
	switch {
	case c.blade():
		return heldForBlade(by)
	case turns(profiles.HelixUp) && !open:
		return "Hold it down: " + by + ". An up-cut edge lifts the foam, and " + rim + " alone let its middle rise."
	case turns(profiles.HelixUp):
		return "Hold it down: " + by + ". An up-cut edge lifts the foam."
	case turns(profiles.HelixDown):
		return "Hold it down: " + by + ". A down-cut edge packs its chips into the cut: blow them out, and stop where they get hot."
	}
	return "Hold it down: " + by + "."
}

// watched is what to look out for while a beam cuts: what may tip because the job wants no bridges, or there is no room
// for them.
func (c CutSheet) watched(s Sheet) string {
	text := "Watch for loose pieces while it runs: where one tips up, stop the machine before the head meets it, and never reach in."
	var free, fewer []string
	for _, cut := range s.Sheet.HolesAndEdge() {
		switch {
		case cut.Hold.Tips > 0:
			free = append(free, cut.Name)
		case cut.Hold.Lacking > 0:
			fewer = append(fewer, fmt.Sprintf("%s (%d of %d)", cut.Name, len(cut.Hold.Bridges), len(cut.Hold.Bridges)+cut.Hold.Lacking))
		}
	}
	if len(free) > 0 {
		text += " Most likely to tip, because the piece is narrower than the foam is thick and no bridge holds it: " + Listed(slices.Compact(free)) + "."
	}
	if len(fewer) > 0 {
		text += " Watch these too, which have room for fewer bridges than they should: " + Listed(slices.Compact(fewer)) + "."
	}
	return text
}

// loosened is what to do with what a beam or a blade has cut free, when it has stopped, and with what bridges hold.
func (c CutSheet) loosened(s Sheet) []string {
	if c.blade() {
		return c.bladeDone(s)
	}
	if !c.Plan.Machine.Process.Traits().Beam {
		return nil
	}
	steps := append([]string{"When it has stopped, leave the extraction on, and the lid shut where it has one, until the smoke has cleared."}, nameParts(s)...)
	const out = "Take all loose pieces out before the next sheet."
	var held []string
	bridges, widest := 0, 0.0
	for _, cut := range s.Sheet.HolesAndEdge() {
		if n := len(cut.Hold.Bridges); n > 0 {
			held, bridges, widest = append(held, cut.Name), bridges+n, max(widest, cut.Hold.BridgeMM)
		}
	}
	if bridges == 0 {
		return append(steps, out)
	}
	snap := fmt.Sprintf("Snap out %s of %s, when the machine has stopped: pieces narrower than the foam is thick are held by them, so that none tips up (%s). Trim what stands proud with a knife.",
		finding.Counted(bridges, "bridge"), c.length(widest), Listed(slices.Compact(held)))
	if slices.ContainsFunc(s.Sheet.Cuts, func(c plan.Cut) bool { return !isPocket(c) }) {
		snap += " The bridges inside letters and emblems stay: they hold islands."
	}
	return append(steps, snap, out)
}

// Listed is names in a sentence; many are cut short.
func Listed(names []string) string {
	const most = 8
	if more := len(names) - most; more > 0 {
		names = append(slices.Clone(names[:most]), fmt.Sprintf("and %d more", more))
	}
	return strings.Join(names, ", ")
}
