package job

import (
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// rawJob is the job as written, before what depends on other parts of it is
// filled in.
type rawJob struct {
	Job
	roster   strict.Value
	rules    strict.Value
	inside   Inside
	hasCase  bool
	trays    []rawTray
	cases    []rawCase
	casesAt  strict.Value
	values   values
	machine  strict.Value
	defaults rawTray
}

type rawTray struct {
	Tray
	sized     bool // has a size of its own
	cornered  bool // has a corner of its own
	labelAt   strict.Value
	pocket    Pocket // what its pockets have unless they say otherwise
	notchWord string
	pockets   []rawPocket
}

type rawPocket struct {
	Pocket
	value     strict.Value
	notchWord string // ends or sides, until the shape is known
	shapes    []string
	hasAt     bool
}

type rawCase struct {
	Case
	hasStack bool
}

// job reads the outermost mapping.
func (r *reader) job(v strict.Value) rawJob {
	m := v.Map("game", "units", "roster", "machine", "shop_rules", "case", "tray_defaults", "trays", "cases")
	raw := rawJob{roster: m.Get("roster"), rules: m.Get("shop_rules"), casesAt: m.Get("cases"), machine: m.Get("machine")}
	raw.File = r.file
	if m.Get("units").OneOf("mm", "in") == "in" {
		raw.Units = units.Inch
	}
	raw.values = values{raw.Units}
	raw.Game = m.Get("game").Text()
	raw.Machine = raw.machine.Text()
	if c := m.Get("case"); c.Present() {
		raw.hasCase = true
		raw.inside = r.insideOf(c.Map("inside", "corner", "ease"), raw.values, Inside{Position: r.at(c)})
	}
	raw.defaults = rawTray{Tray: Tray{Halves: 1}}
	if d := m.Get("tray_defaults"); d.Present() {
		raw.defaults = r.tray(d, raw.values, raw.defaults)
	}
	for _, t := range m.Get("trays").List() {
		raw.trays = append(raw.trays, r.tray(t, raw.values, raw.defaults))
	}
	for _, c := range raw.casesAt.List() {
		raw.cases = append(raw.cases, r.oneCase(c, raw.values, raw.inside))
	}
	return raw
}

// insideOf reads a case's inside over what it has otherwise.
func (r *reader) insideOf(m strict.Map, u values, in Inside) Inside {
	if v := m.Get("inside"); v.Present() {
		l := u.lengths(v, "[length, width, height]", 3)
		in.Position, in.Length, in.Width, in.Height = r.at(v), l[0], l[1], l[2]
	}
	if v := m.Get("corner"); v.Present() {
		in.Corner = u.length(v)
	}
	if v := m.Get("ease"); v.Present() {
		in.Ease = u.length(v)
	}
	return in
}

var trayKeys = []string{
	"id", "label", "size", "corner", "ease", "layers", "wall", "edge", "fit", "halves", "cut", "tool", "holds", "pockets",
	"relief", "notch", "notch_width", "notch_reach",
}

// tray reads a tray over its defaults.
func (r *reader) tray(v strict.Value, u values, t rawTray) rawTray {
	m := v.Map(trayKeys...)
	t.Position = r.at(v)
	if id := m.Get("id"); id.Present() {
		t.ID, t.Position = id.Text(), r.at(id)
	}
	if l := m.Get("label"); l.Present() {
		t.Label, t.labelAt = l.Text(), l
	}
	if s := m.Get("size"); s.Present() {
		l := u.lengths(s, "[length, width]", 2)
		t.Length, t.Width, t.sized = l[0], l[1], true
	}
	if c := m.Get("corner"); c.Present() {
		t.Corner, t.cornered = u.length(c), true
	}
	setLength(u, m.Get("ease"), &t.Ease)
	setLength(u, m.Get("wall"), &t.Wall)
	setLength(u, m.Get("edge"), &t.Edge)
	setText(m.Get("fit"), &t.Fit)
	setText(m.Get("tool"), &t.Tool)
	t.Halves = u.count(m.Get("halves"), t.Halves)
	if c := m.Get("cut"); c.Present() {
		t.Cut = Sheets
		if c.OneOf("sheets", "block") == "block" {
			t.Cut = Block
		}
	}
	if l := m.Get("layers"); l.Present() {
		t.Layers = r.layers(l, u)
	}
	if h := m.Get("holds"); h.Present() {
		t.Holds = nil
		for _, name := range h.List() {
			t.Holds = append(t.Holds, name.Text())
		}
	}
	t.pocket, t.notchWord = r.pocketHabits(m, u, t.pocket, t.notchWord)
	if p := m.Get("pockets"); p.Present() {
		t.pockets = nil
		for _, pocket := range p.List() {
			t.pockets = append(t.pockets, r.onePocket(pocket, u, t))
		}
	}
	return t
}

func setLength(u values, v strict.Value, to *units.Length) {
	if v.Present() {
		*to = u.length(v)
	}
}

func setText(v strict.Value, to *string) {
	if v.Present() {
		*to = v.Text()
	}
}

func (r *reader) layers(v strict.Value, u values) []Layer {
	var list []Layer
	for _, item := range v.List() {
		m := item.Map("foam", "thickness")
		list = append(list, Layer{Position: r.at(item), Foam: m.Need("foam").Text(), Thickness: u.length(m.Need("thickness"))})
	}
	return list
}

var pocketKeys = []string{
	"for", "at", "size", "corner", "round", "slot", "outline", "depth", "grid", "pitch", "turn", "fit", "tool",
	"relief", "notch", "notch_width", "notch_reach",
}

// onePocket reads a pocket over its tray's habits.
func (r *reader) onePocket(v strict.Value, u values, t rawTray) rawPocket {
	m := v.Map(pocketKeys...)
	p := rawPocket{Pocket: t.pocket, notchWord: t.notchWord, value: v}
	p.Position, p.Columns, p.Rows = r.at(v), 1, 1
	p.Fit, p.Tool = t.Fit, t.Tool
	setText(m.Get("for"), &p.For)
	setText(m.Get("fit"), &p.Fit)
	setText(m.Get("tool"), &p.Tool)
	if at := m.Get("at"); at.Present() {
		l := u.lengths(at, "[from the left, from the front]", 2)
		p.X, p.Y, p.hasAt = l[0], l[1], true
	}
	r.shape(m, u, &p)
	r.depth(m.Get("depth"), u, &p)
	if g := m.Get("grid"); g.Present() {
		r.grid(g, u, &p)
	}
	if pitch := m.Get("pitch"); pitch.Present() {
		l := u.lengths(pitch, "[step to the right, step to the back]", 2)
		p.PitchX, p.PitchY = l[0], l[1]
	}
	p.Turn = m.Get("turn").Number(-360, 360)
	p.Pocket, p.notchWord = r.pocketHabits(m, u, p.Pocket, p.notchWord)
	return p
}

// shape reads whichever shape keys there are; that there is one at most is
// checked later, with a finding.
func (r *reader) shape(m strict.Map, u values, p *rawPocket) {
	if v := m.Get("size"); v.Present() {
		l := u.lengths(v, "[length, width]", 2)
		p.Shape, p.Length, p.Width = SizeShape, l[0], l[1]
		p.shapes = append(p.shapes, "size")
	}
	if v := m.Get("slot"); v.Present() {
		l := u.lengths(v, "[length, width]", 2)
		p.Shape, p.Length, p.Width = SlotShape, l[0], l[1]
		p.shapes = append(p.shapes, "slot")
	}
	if v := m.Get("round"); v.Present() {
		p.Shape, p.Diameter = RoundShape, u.length(v)
		p.shapes = append(p.shapes, "round")
	}
	if v := m.Get("outline"); v.Present() {
		p.Shape, p.OutlineFile = OutlineShape, v.Text()
		p.shapes = append(p.shapes, "outline")
	}
	p.Corner = u.length(m.Get("corner"))
}

func (r *reader) depth(v strict.Value, u values, p *rawPocket) {
	if !v.Present() {
		return
	}
	if v.Scalar() == "through" {
		p.Through = true
		return
	}
	p.Depth = u.length(v)
	if p.Depth == 0 {
		v.Fail("a pocket needs a depth above 0, or `through`", "leave depth out for the top layer's thickness")
	}
}

func (r *reader) grid(v strict.Value, u values, p *rawPocket) {
	list := v.List()
	if v.IsList() && len(list) != 2 {
		v.Fail("takes two whole numbers", "write [columns, rows]")
		return
	}
	if len(list) == 2 {
		p.Columns, p.Rows = u.count(list[0], 1), u.count(list[1], 1)
	}
}

// pocketHabits reads the keys that a tray may set for all of its pockets.
func (r *reader) pocketHabits(m strict.Map, u values, p Pocket, notch string) (Pocket, string) {
	if v := m.Get("relief"); v.Present() {
		p.Relief = map[string]Relief{"dogbone": Dogbone, "tbone": TBone}[v.OneOf("none", "dogbone", "tbone")]
	}
	if v := m.Get("notch"); v.Present() {
		p.Notch, notch = r.notch(v)
	}
	setLength(u, m.Get("notch_width"), &p.NotchWidth)
	setLength(u, m.Get("notch_reach"), &p.NotchReach)
	return p, notch
}

var sides = map[string]Side{"n": North, "e": East, "s": South, "w": West}

func (r *reader) notch(v strict.Value) (Side, string) {
	if !v.IsList() {
		if word := v.OneOf("none", "ends", "sides", "n", "e", "s", "w"); word == "ends" || word == "sides" {
			return 0, word
		} else {
			return sides[word], ""
		}
	}
	var all Side
	for _, item := range v.List() {
		all |= sides[item.OneOf("n", "e", "s", "w")]
	}
	return all, ""
}

func (r *reader) oneCase(v strict.Value, u values, otherwise Inside) rawCase {
	m := v.Map("name", "copies", "stack", "inside", "corner", "ease")
	c := rawCase{Case: Case{Position: r.at(v), Name: m.Need("name").Text(), Copies: u.count(m.Get("copies"), 1)}}
	c.Inside = r.insideOf(m, u, otherwise)
	stack := m.Get("stack")
	c.hasStack = stack.Present()
	for _, id := range stack.List() {
		c.Stack = append(c.Stack, id.Text())
		c.StackPositions = append(c.StackPositions, r.at(id))
	}
	return c
}
