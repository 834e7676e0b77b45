package job

import (
	"cmp"
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// habits is what the tray gives for pockets that nobody has placed yet.
func (d pocketDefaults) habits() Habits {
	if d.access != AnyAccess && d.access != NotchAccess {
		d.notch = notchWish{}
	}
	return Habits{
		Relief: d.relief, Ends: d.notch.ends, Sides: d.notch.sides, Notch: d.notch.listed,
		NotchWidth: d.notchWidth, NotchReach: d.notchReach, Waste: d.waste, Access: d.way(), Proud: d.proud,
		Turns: d.turns,
	}
}

// way is how fingers are to get in. Who asks for a notch, or for none, need not say so; a notch shows itself.
func (d pocketDefaults) way() Access {
	if n := d.notch; d.access == AnyAccess && n.given && !n.ends && !n.sides && n.listed == 0 {
		return NoAccess
	}
	return d.access
}

// trayDraft is a tray as it stands in the file, over the job's defaults.
type trayDraft struct {
	Tray
	idAt, labelAt  finding.Position
	sizeAt         finding.Position // zero without `size`
	eachAt         finding.Position // of `each: case`; zero without it
	halvesAt       finding.Position
	again          bool // another of the same template has been finished
	cornerGiven    bool
	easeGiven      bool
	holdsPositions []finding.Position
	pocketDefaults
	dowelWish
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
	waste       Waste
	access      Access
	proud       units.Length
	turns       Turns
}

func (d *pocketDefaults) keys(r *reader) []strict.Key {
	asks := false // itself, in whatever order, and not only the defaults
	return []strict.Key{
		key("relief", func(v strict.Value) { d.relief, d.reliefGiven = Relief(v.Word(reliefs...)), true }),
		key("notch", func(v strict.Value) {
			if d.notch = r.notch(v); !asks {
				d.access = AnyAccess // over what the defaults ask for
			}
		}),
		key("notch_width", func(v strict.Value) { d.notchWidth = r.above(v) }),
		key("notch_reach", func(v strict.Value) { d.notchReach = r.above(v) }),
		key("access", func(v strict.Value) { d.access, asks = Access(1+v.Word(accesses...)), true }),
		key("proud", func(v strict.Value) { d.proud = r.above(v) }),
	}
}

// or fills in what is not given from the tray.
func (d pocketDefaults) or(tray pocketDefaults) pocketDefaults {
	if !d.reliefGiven {
		d.relief = tray.relief
	}
	if d.waste == 0 {
		d.waste = tray.waste
	}
	if !d.notch.given {
		d.access = cmp.Or(d.access, tray.access)
		if d.access == AnyAccess || d.access == NotchAccess {
			d.notch = tray.notch
		}
	}
	if d.proud == 0 {
		d.proud = tray.proud
	}
	if d.notchWidth == 0 {
		d.notchWidth = tray.notchWidth
	}
	if d.notchReach == 0 {
		d.notchReach = tray.notchReach
	}
	return d
}

func (r *reader) trays(v strict.Value, base trayDraft) []trayDraft {
	var list []trayDraft
	for _, item := range v.ListUpTo(mostTrays, "make it two jobs") {
		t := base
		t.Position = item.At()
		r.tray(item.As("a tray"), &t)
		list = append(list, t)
	}
	return list
}

// tray reads the keys of a tray, or of `tray_defaults`, over what is in t.
func (r *reader) tray(v strict.Value, t *trayDraft) {
	v.Keys(&trayKeys, slices.Concat([]strict.Key{
		key("id", func(v strict.Value) { t.ID, t.idAt = v.Text(), v.At() }),
		key("label", func(v strict.Value) { t.Label, t.labelAt = v.Text(), v.At() }),
		key("size", func(v strict.Value) { t.Length, t.Width = r.pairOf(v); t.sizeAt = v.At() }),
		key("corner", func(v strict.Value) { t.Corner, t.cornerGiven = r.notBelow(v), true }),
		key("ease", func(v strict.Value) { t.Ease, t.easeGiven = r.notBelow(v), true }),
		key("each", func(v strict.Value) { v.OneOf("case"); t.eachAt = v.At() }),
		key("layers", func(v strict.Value) { t.Layers = r.layers(v) }),
		key("wall", func(v strict.Value) { t.Wall = r.notBelow(v) }),
		key("edge", func(v strict.Value) { t.Edge = r.notBelow(v) }),
		key("headroom", func(v strict.Value) { t.Headroom = r.notBelow(v) }),
		key("fit", func(v strict.Value) { t.Fit = v.Text() }),
		key("halves", func(v strict.Value) { t.Halves, t.halvesAt = r.halves(v), v.At() }),
		key("cut", func(v strict.Value) { t.Cut = CutMode(v.Word("sheets", "block")) }),
		key("bridges", func(v strict.Value) { t.NoBridges = v.Word("auto", "none") == 1 }),
		key("tight_corners", func(v strict.Value) { t.LeaveTight = v.Word("refused", "left") == 1 }),
		key("tool", func(v strict.Value) { t.Tool = v.Text() }),
		key("turn", func(v strict.Value) { t.turns = Turns(1 + v.Word(turns...)) }),
		key("waste", func(v strict.Value) { t.waste = r.trayWaste(v) }),
		key("holds", func(v strict.Value) { t.Holds, t.holdsPositions = r.holds(v) }),
		key("pockets", func(v strict.Value) { t.pockets = r.pockets(v) }),
		key("labels", func(v strict.Value) { t.labels = r.labels(v) }),
		key("emblems", func(v strict.Value) { t.emblems = r.emblems(v) }),
	}, t.pocketDefaults.keys(r), t.dowelWish.keys(r))...)
}

// checkDefaults finds the one key of a tray that no two trays may share.
func (r *reader) checkDefaults(base *trayDraft) {
	if base.ID != "" {
		r.Fail(base.idAt, "id-as-default", "`tray_defaults` has an `id`, and every tray needs one of its own", "take it out here, and give each tray its `id`")
		base.ID, base.idAt = "", finding.Position{}
	}
}

// pairOf reads a length and a width.
func (r *reader) pairOf(v strict.Value) (length, width units.Length) {
	t := v.Tuple("[length, width]")
	if t == nil {
		return 0, 0
	}
	return r.above(t[0].As("the length of " + v.Called())), r.above(t[1].As("the width of " + v.Called()))
}

// trayWaste reads what becomes of the foam in all of a tray's pockets: whether a plug stands is each pocket's own matter.
func (r *reader) trayWaste(v strict.Value) Waste {
	if text, ok := v.Scalar(); ok && text == "plug" {
		r.Fail(v.At(), "unknown-word", "`waste` of a tray is \"plug\"", "take it out here, and write `waste: plug` at each pocket that is to have one")
		return QuickerWaste
	}
	return Waste(1 + v.Word("clear"))
}

func (r *reader) halves(v strict.Value) int {
	n := v.Whole(1, mostCount)
	if n > 2 {
		r.Fail(v.At(), "bad-halves", fmt.Sprintf("`halves` is %d", n), "write 1 or 2; a tray can be cut as two, side by side")
	}
	return n
}

func (r *reader) layers(v strict.Value) []Layer {
	var layers []Layer
	for _, item := range v.ListUpTo(mostLayers, "make it two jobs") {
		l := Layer{Position: item.At()}
		thick := false
		item.As("a layer").Keys(&layerKeys,
			key("foam", func(v strict.Value) { l.Foam = v.Text() }),
			key("thickness", func(v strict.Value) { l.Thickness, thick = r.above(v), true }),
			key("measured", func(v strict.Value) { l.Measured = r.above(v) }),
			key("z_zero", func(v strict.Value) { l.ZZero = v.OneOf("top", "bed") }),
		)
		if l.Foam == "" || !thick {
			r.Fail(item.At(), "layer-without", "this layer has no foam or no thickness", "write {foam: pe-30, thickness: 1 in}")
		}
		layers = append(layers, l)
	}
	return layers
}

// mostHeld is the most entries of `holds`.
const mostHeld = 1000

// holds reads names of pieces and groups.
func (r *reader) holds(v strict.Value) (names []string, at []finding.Position) {
	for _, item := range v.ListUpTo(mostHeld, "make it two jobs") {
		if item.IsMap() {
			d := r.drawn(item)
			names, at, r.outlined = append(names, d.piece), append(at, d.at), append(r.outlined, d)
			continue
		}
		names, at = append(names, item.Text()), append(at, item.At())
	}
	return names, at
}

// drawn is a piece with the drawing of its pocket, or with the turns that it may have.
type drawn struct {
	piece, file string
	turns       Turns
	at, turnAt  finding.Position // of the drawing, or of the entry
}

func (r *reader) drawn(v strict.Value) drawn {
	d := drawn{at: v.At()}
	v.Keys(&heldKeys,
		key("piece", func(v strict.Value) { d.piece = v.Text() }),
		key("outline", func(v strict.Value) { d.file, d.at = r.path(v), v.At() }),
		key("turn", func(v strict.Value) { d.turns, d.turnAt = Turns(1+v.Word(turns...)), v.At() }),
	)
	if d.piece == "" || d.file == "" && d.turns == UsualTurns {
		r.Fail(v.At(), "held-without", "this entry of `holds` has no piece, or neither outline nor turn", "write {piece: ID, outline: FILE}, {piece: ID, turn: any}, or the name of a piece alone")
	}
	return d
}
