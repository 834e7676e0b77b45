package profiles

import (
	"slices"

	"traywright/profiles/strict"
)

var machineKeys = handless(strict.Group{Name: "machine", At: "an entry of `machines:`", Bare: true, Rows: []strict.Row{
	idRow, nameRow,
	{Key: "process", Form: strict.OneOf(processNames()...), Default: strict.Needed, Means: "how it cuts"},
	sourceRow,
	{Key: "travel_mm", Form: strict.ATuple("[X, Y, Z]", sourced(strict.ANumber(0, longestMM).In("mm"))), Default: strict.Needed, Means: "how far it goes; X and Y 1 or more, Z is 0 where the program does not move it"},
	{Key: "z_zero", Form: strict.OneOf(string(ZTop), string(ZBed)), Default: strict.Needed, Means: "where a program's Z is zero: the top of the foam, or the bed under it; a laser's is `top`, where its beam is in focus there"},
	{Key: "z_counts", Form: strict.OneOf(string(ZUp), string(ZDown)), Default: "up", Means: "`up`: a greater Z takes the head away from the foam; `down`, of some whose bed rises: a greater Z brings them together, programs are written so and say it, and `z_zero` is top"},
	{Key: "a_counts", Form: strict.OneOf(string(ACounterclockwise), string(AClockwise)), Default: "ccw", Means: "which way the A axis turns a blade as it counts up, seen from above. At A0 its edge points along X, to the right"},
	{Key: "controller", Form: strict.Either(strict.OneOf(classWords...), strict.Keyed(&controllerKeys)), Default: strict.Needed, Means: "what reads its programs: a class that ships, or keys of its own"},
	{Key: "tools", Form: strict.ListOf(strict.Keyed(&toolKeys), 0), Default: strict.Needed, Means: "its cutters, its beam or its wire, in the order in which they are tried"},
	{Key: "clamps", Form: strict.ListOf(strict.Keyed(&clampKeys), 0), Means: "places on its bed that nothing may go through"},
	{Key: "dxf_colours", Form: strict.Keyed(&coloursKeys), Means: "numbers of colours in drawings for it"},
	notesRow,
}}.With(rowsOf(machineNumbers)...))

// handless is the group with what a hand has nothing of left to the reader, which needs it of
// every machine: see readByHand.
func handless(g strict.Group) strict.Group {
	for i, r := range g.Rows {
		if r.Default == strict.Needed && !slices.Contains([]string{"id", "name", "process", "tools"}, r.Key) {
			g.Rows[i].Default = "needed, but of process hand"
		}
	}
	return g
}

var classWords = []string{string(PC), string(Small), string(Printer), string(Drawing)}

var toolKeys = strict.Group{Name: "tool", At: "an entry of `tools:` of a machine", Bare: true, Rows: []strict.Row{
	idRow, nameRow,
	{Key: "number", Form: strict.AWhole(0, 9999), Default: "0", Means: "its T word; a cutter needs one of 1 or more"},
	{Key: "flutes", Form: strict.AWhole(1, 20), Means: "how many edges; a cutter needs it"},
	{Key: "helix", Form: strict.OneOf(string(HelixUp), string(HelixDown), string(HelixStraight)), Default: "not known", Means: "`up` lifts the foam, `down` packs the chips into the cut, `straight` does neither"},
	{Key: "process", Form: strict.OneOf(string(HotWire)), Default: "the machine's", Means: "of a tool of `by-hand`: it cuts by this, is judged as this, and only where a job names it"},
	{Key: "source", Form: strict.AnyText, Default: "the machine's", Means: sourceRow.Means},
}}.With(rowsOf(toolNumbers)...)

var clampKeys = strict.Group{Name: "clamp", At: "an entry of `clamps:` of a machine", Bare: true, Rows: []strict.Row{
	{Key: "name", Form: strict.AnyText, Default: strict.Needed, Means: "what messages call it"},
	{Key: "x_mm", Form: strict.ANumber(-longestMM, longestMM).In("mm"), Default: strict.Needed, Means: "its left side, from X0"},
	{Key: "y_mm", Form: strict.ANumber(-longestMM, longestMM).In("mm"), Default: strict.Needed, Means: "its front, from Y0"},
	{Key: "length_mm", Form: strict.ANumber(0.1, longestMM).In("mm"), Default: strict.Needed, Means: "along X"},
	{Key: "width_mm", Form: strict.ANumber(0.1, longestMM).In("mm"), Default: strict.Needed, Means: "along Y"},
	{Key: "height_mm", Form: strict.ANumber(0.1, longestMM).In("mm"), Default: strict.Needed, Means: "above the bed"},
}}

var coloursKeys = strict.Group{Name: "dxf_colours", At: "`dxf_colours:` of a machine", Bare: true, Rows: []strict.Row{
	{Key: "mark", Form: strict.AWhole(1, 255), Default: strict.Needed, Means: "of what is engraved"},
	{Key: "pocket", Form: strict.AWhole(1, 255), Default: strict.Needed, Means: "of pockets that are cut through; those of other depths have others"},
	{Key: "depths", Form: strict.ListOf(strict.AWhole(1, 255), 0), Default: "those that ship", Means: "of pockets that stop in the foam, from shallow to deep"},
	{Key: "bridged", Form: strict.AWhole(1, 255), Default: "the usual one", Means: "of what bridges hold, or where a blade stops short of what is left to a hand"},
	{Key: "outline", Form: strict.AWhole(1, 255), Default: strict.Needed, Means: "of outlines"},
	{Key: "finished", Form: strict.AWhole(1, 255), Default: "the usual one", Means: "in drawings of the finished foam"},
}}

var controllerKeys = func() strict.Group {
	g := strict.Group{Name: "controller", At: "`controller:` of a machine", Bare: true, Rows: []strict.Row{
		{Key: "like", Form: strict.OneOf(classWords...), Default: "pc", Means: "the class whose keys hold where none is given"},
	}}
	for _, k := range controllerKeyList {
		k.Default = "the class's"
		g.Rows = append(g.Rows, k.Row)
	}
	return g.With(strict.Row{Key: "air_assist", Form: strict.OneOf("M7", "M8"), Default: "the class's", Means: "short for `air`, with M9"})
}()

// shippedControllerKeys are those of a class that ships.
var shippedControllerKeys = strict.Group{Name: "class", Rows: []strict.Row{idRow, nameRow, sourceRow}}.With(controllerKeys.Rows...)
