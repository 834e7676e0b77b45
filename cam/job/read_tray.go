package job

import (
	"fmt"

	"traywright/geometry/units"
)

// habits is what the tray gives for pockets that nobody has placed yet.
func (d pocketDefaults) habits() Habits {
	return Habits{
		Relief: d.relief, Ends: d.notch.ends, Sides: d.notch.sides, Notch: d.notch.listed,
		NotchWidth: d.notchWidth, NotchReach: d.notchReach,
	}
}

// trayDraft is a tray as it stands in the file, over the job's defaults.
type trayDraft struct {
	Tray
	idAt, labelAt  Position
	sizeAt         Position // zero without `size`
	cornerGiven    bool
	easeGiven      bool
	holdsPositions []Position
	pocketDefaults
	pockets []pocketDraft
	labels  []labelDraft
	emblems []emblemDraft
}

// pocketDefaults are keys of a pocket that a tray may give for all of its own.
type pocketDefaults struct {
	relief      Relief
	notch       notchWish
	notchWidth  units.Length
	notchReach  units.Length
	reliefGiven bool
}

func (d *pocketDefaults) keys(r *reader) []key {
	return []key{
		{"relief", func(v *value) {
			d.relief, d.reliefGiven = Relief(r.word(v, "`relief`", "none", "dogbone", "tbone")), true
		}},
		{"notch", func(v *value) { d.notch = r.notch(v) }},
		{"notch_width", func(v *value) { d.notchWidth = r.above(v, "`notch_width`") }},
		{"notch_reach", func(v *value) { d.notchReach = r.above(v, "`notch_reach`") }},
	}
}

// or fills in what is not given from the tray.
func (d pocketDefaults) or(tray pocketDefaults) pocketDefaults {
	if !d.reliefGiven {
		d.relief = tray.relief
	}
	if !d.notch.given {
		d.notch = tray.notch
	}
	if d.notchWidth == 0 {
		d.notchWidth = tray.notchWidth
	}
	if d.notchReach == 0 {
		d.notchReach = tray.notchReach
	}
	return d
}

func (r *reader) trays(v *value, base trayDraft) []trayDraft {
	var list []trayDraft
	for _, item := range r.list(v, "`trays`", mostTrays) {
		t := base
		t.Position = item.at
		r.tray(item, &t, "a tray")
		list = append(list, t)
	}
	return list
}

// tray reads the keys of a tray, or of `tray_defaults`, over what is in t.
func (r *reader) tray(v *value, t *trayDraft, what string) {
	r.group(v, what, append([]key{
		{"id", func(v *value) { t.ID, t.idAt = r.text(v, "`id`"), v.at }},
		{"label", func(v *value) { t.Label, t.labelAt = r.text(v, "`label`"), v.at }},
		{"size", func(v *value) { t.Length, t.Width = r.pairOf(v, "size"); t.sizeAt = v.at }},
		{"corner", func(v *value) { t.Corner, t.cornerGiven = r.notBelow(v, "`corner`"), true }},
		{"ease", func(v *value) { t.Ease, t.easeGiven = r.notBelow(v, "`ease`"), true }},
		{"layers", func(v *value) { t.Layers = r.layers(v) }},
		{"wall", func(v *value) { t.Wall = r.notBelow(v, "`wall`") }},
		{"edge", func(v *value) { t.Edge = r.notBelow(v, "`edge`") }},
		{"fit", func(v *value) { t.Fit = r.text(v, "`fit`") }},
		{"halves", func(v *value) { t.Halves = r.halves(v) }},
		{"cut", func(v *value) { t.Cut = CutMode(r.word(v, "`cut`", "sheets", "block")) }},
		{"tool", func(v *value) { t.Tool = r.text(v, "`tool`") }},
		{"holds", func(v *value) { t.Holds, t.holdsPositions = r.holds(v) }},
		{"pockets", func(v *value) { t.pockets = r.pockets(v) }},
		{"labels", func(v *value) { t.labels = r.labels(v) }},
		{"emblems", func(v *value) { t.emblems = r.emblems(v) }},
	}, t.pocketDefaults.keys(r)...)...)
}

// checkDefaults finds the one key of a tray that no two trays may share.
func (r *reader) checkDefaults(base *trayDraft) {
	if base.ID != "" {
		r.Fail(base.idAt, "id-as-default", "`tray_defaults` has an `id`, and every tray needs one of its own", "take it out here, and give each tray its `id`")
		base.ID, base.idAt = "", Position{}
	}
}

// pairOf reads a length and a width.
func (r *reader) pairOf(v *value, what string) (length, width units.Length) {
	t := r.tuple(v, what, "[length, width]", 2)
	if t == nil {
		return 0, 0
	}
	return r.above(t[0], "the length of `"+what+"`"), r.above(t[1], "the width of `"+what+"`")
}

func (r *reader) halves(v *value) int {
	n := r.whole(v, "`halves`")
	if n > 2 {
		r.Fail(v.at, "bad-halves", fmt.Sprintf("`halves` is %d", n), "write 1 or 2; a tray can be cut as two, side by side")
	}
	return n
}

func (r *reader) layers(v *value) []Layer {
	var layers []Layer
	for _, item := range r.list(v, "`layers`", mostLayers) {
		l := Layer{Position: item.at}
		thick := false
		r.group(item, "a layer",
			key{"foam", func(v *value) { l.Foam = r.text(v, "`foam`") }},
			key{"thickness", func(v *value) { l.Thickness, thick = r.above(v, "`thickness`"), true }},
		)
		if l.Foam == "" || !thick {
			r.Fail(item.at, "layer-without", "this layer has no foam or no thickness", "write {foam: pe-30, thickness: 1 in}")
		}
		layers = append(layers, l)
	}
	return layers
}

// mostHeld is the most entries of `holds`.
const mostHeld = 1000

// holds reads names of pieces and groups.
func (r *reader) holds(v *value) (names []string, at []Position) {
	for _, item := range r.list(v, "`holds`", mostHeld) {
		names, at = append(names, r.text(item, "an entry of `holds`")), append(at, item.at)
	}
	return names, at
}
