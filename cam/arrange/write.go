package arrange

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// Write is an arranged job as the text of an arrangement file: a whole job, in
// the job's own format. Roster is the roster's file as the job names it.
// Source is the job that it was made from, process that of its machine.
func Write(arranged, source *job.Job, process profiles.Process) []byte {
	w := &writer{unit: arranged.Units, names: map[string]*job.Piece{}}
	for i := range arranged.Roster {
		w.names[arranged.Roster[i].ID] = &arranged.Roster[i]
	}
	w.head(arranged)
	w.line("")
	w.line("trays:")
	for _, t := range arranged.Trays {
		w.tray(t, home(arranged, t.ID))
	}
	if len(arranged.Cases) > 0 {
		w.line("")
		w.line("cases:")
	}
	for _, c := range arranged.Cases {
		w.oneCase(c)
	}
	body := w.Bytes()
	first := fmt.Sprintf("# The arrangement of %s, in the same format, written by `traywright arrange`.\n"+
		"# `check` and `cut` use it as long as it fits the job. Move pockets here as you like:\n"+
		"# `arrange` then leaves them there, and marks them with `pin: true`.\n%s%s\n%s%s\n%s",
		oneLine(source.File), jobMark, oneLine(source.File), madeMark, Fingerprint(source, process), sumsHead(body))
	return job.Seal(first, body)
}

type writer struct {
	bytes.Buffer
	unit  units.Unit
	names map[string]*job.Piece
}

func (w *writer) line(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

// length is exact: bare in millimetres, which every file says its unit for, and
// with its unit where inches would have to be rounded.
func (w *writer) length(l units.Length) string { return l.Bare(w.unit) }

func (w *writer) pair(a, b units.Length) string {
	return "[" + w.length(a) + ", " + w.length(b) + "]"
}

// text is a text as YAML, in quotes where it could be taken for something else.
func text(s string) string {
	if strict.Plain(s) {
		return s
	}
	return strconv.Quote(s)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func (w *writer) head(j *job.Job) {
	w.line("")
	if j.Game != "" {
		w.line("game: %s", text(j.Game))
	}
	w.line("units: %s", w.unit)
	if len(j.Roster) > 0 {
		w.line("roster: %s", text(j.Roster[0].Position.File))
	}
	if j.Machine != "" {
		w.line("machine: %s", text(j.Machine))
	}
	if j.ShopRules != "" {
		w.line("shop_rules: %s", text(j.ShopRules))
	}
	if j.Profiles != "" {
		w.line("profiles: %s", text(j.Profiles))
	}
}

// home is the inside of the case that has the tray in its stack: its size then comes
// from the case; nil for none.
func home(j *job.Job, id string) *job.Inside {
	if i := slices.IndexFunc(j.Cases, func(c job.Case) bool { return slices.Contains(c.Stack, id) }); i >= 0 {
		return &j.Cases[i].Inside
	}
	return nil
}

// rim is a tray's outline, as far as it is not that of its case. Nothing is said of 0, unless the case has more.
func (w *writer) rim(t job.Tray, in *job.Inside) {
	if in == nil {
		w.line("    size: %s", w.pair(t.Length, t.Width))
		in = &job.Inside{}
	}
	for _, k := range []struct {
		key         string
		own, others units.Length
	}{{"corner", t.Corner, in.Corner}, {"ease", t.Ease, in.Ease}} {
		if k.own != 0 || k.others != 0 {
			w.line("    %s: %s", k.key, w.length(k.own))
		}
	}
}

// held is what of it hangs.
func (w *writer) held(t job.Tray) {
	if t.NoBridges {
		w.line("    bridges: none")
	}
	if t.LeaveTight {
		w.line("    tight_corners: left")
	}
}

func (w *writer) tray(t job.Tray, in *job.Inside) {
	pockets := pocketsIn(t)
	w.line("  # %s x %s, %s", t.Length.Format(w.unit), t.Width.Format(w.unit), finding.Counted(pockets, "pocket"))
	w.line("  - id: %s", text(t.ID))
	if t.Label != "" {
		w.line("    label: %s", text(t.Label))
	}
	w.rim(t, in)
	w.line("    layers:")
	for _, l := range t.Layers {
		w.line("      - %s", l.Written(w.length))
	}
	w.known("wall", t.Wall)
	w.known("edge", t.Edge)
	w.known("headroom", t.Headroom)
	if t.Fit != "" {
		w.line("    fit: %s", text(t.Fit))
	}
	if t.Halves == 2 {
		w.line("    halves: 2")
	}
	if t.Cut == job.Block {
		w.line("    cut: block")
	}
	w.held(t)
	w.registered(t.Dowel, t.Ears)
	if t.Tool != "" {
		w.line("    tool: %s", text(t.Tool))
	}
	w.labels(t.Labels)
	w.emblems(t.Emblems)
	if len(t.Pockets) > 0 {
		w.line("    pockets:")
	}
	for _, p := range t.Pockets {
		w.pocket(p, t)
	}
}

// pocketsIn is how many pockets of a tray are no openings for fingers.
func pocketsIn(t job.Tray) (n int) {
	for _, p := range t.Pockets {
		if !isOpening(p) {
			n += max(1, p.Columns) * max(1, p.Rows)
		}
	}
	return n
}

func (w *writer) registered(dowel units.Length, ears bool) {
	if dowel > 0 {
		way := "dowels"
		if ears {
			way = "ears"
		}
		w.line("    registration: %s", way)
		w.known("dowel", dowel)
	}
}

func (w *writer) known(key string, l units.Length) {
	if l != 0 {
		w.line("    %s: %s", key, w.length(l))
	}
}

func (w *writer) pocket(p job.Pocket, t job.Tray) {
	var k keys
	add := k.add
	if p.For != "" {
		add("for", text(p.For))
	}
	add("at", w.pair(p.X, p.Y))
	switch p.Shape {
	case job.SizeShape:
		add("size", w.pair(p.Length, p.Width))
		if p.Corner != 0 {
			add("corner", w.length(p.Corner))
		}
	case job.SlotShape:
		add("slot", w.pair(p.Length, p.Width))
	case job.RoundShape:
		add("round", w.length(p.Diameter))
	case job.OutlineShape:
		add("outline", text(p.OutlineFile))
	}
	switch {
	case p.Through:
		add("depth", "through")
	case p.Depth != 0:
		add("depth", w.length(p.Depth))
	}
	if p.Columns > 1 || p.Rows > 1 {
		add("grid", fmt.Sprintf("[%d, %d]", p.Columns, p.Rows))
		add("pitch", w.pair(p.PitchX, p.PitchY))
	}
	if p.Turn != 0 {
		add("turn", number(p.Turn))
	}
	if p.Relief != job.NoRelief {
		add("relief", [...]string{"none", "dogbone", "tbone"}[p.Relief])
	}
	w.reached(p, add)
	if p.Fit != t.Fit && p.Fit != "" {
		add("fit", text(p.Fit))
	}
	if p.Tool != t.Tool && p.Tool != "" {
		add("tool", text(p.Tool))
	}
	w.kept(p, add)
	w.line("      - %s%s", k, w.remark(p))
}

// kept is what of it stays: its foam as a plug, and where it is.
func (w *writer) kept(p job.Pocket, add func(key, value string)) {
	if p.Waste != job.QuickerWaste {
		add("waste", [...]string{"", "clear", "plug"}[p.Waste])
	}
	if p.Pin {
		add("pin", "true")
	}
}

// reached is how fingers get in.
func (w *writer) reached(p job.Pocket, add func(key, value string)) {
	w.notch(p, add)
	if p.Access != job.AnyAccess {
		add("access", [...]string{"", "notch", "gap", "lift", "none"}[p.Access])
	}
	if p.Proud != 0 {
		add("proud", w.length(p.Proud))
	}
}

func (w *writer) notch(p job.Pocket, add func(key, value string)) {
	if p.Notch == 0 {
		return
	}
	var sides []string
	for i, name := range []string{"n", "e", "s", "w"} {
		if p.Notch&(1<<i) != 0 {
			sides = append(sides, name)
		}
	}
	add("notch", "["+strings.Join(sides, ", ")+"]")
	if p.NotchWidth != 0 {
		add("notch_width", w.length(p.NotchWidth))
	}
	if p.NotchReach != 0 {
		add("notch_reach", w.length(p.NotchReach))
	}
}

// remark names the piece behind its pocket.
func (w *writer) remark(p job.Pocket) string {
	if isOpening(p) {
		return " # for fingers"
	}
	piece := w.names[p.For]
	if piece == nil {
		return ""
	}
	name := piece.Name
	if name == "" {
		name = piece.ID
	}
	n := max(1, p.Columns) * max(1, p.Rows)
	if pile := min(piece.Pile, piece.Count); pile > 1 {
		return fmt.Sprintf(" # %s of up to %d %s", finding.Counted(n, "pile"), pile, oneLine(name))
	}
	if n > 1 {
		return fmt.Sprintf(" # %d x %s", n, oneLine(name))
	}
	return " # " + oneLine(name)
}

func (w *writer) oneCase(c job.Case) {
	w.line("  - name: %s", text(c.Name))
	if c.Copies != 1 {
		w.line("    copies: %d", c.Copies)
	}
	in := c.Inside
	w.line("    inside: [%s, %s, %s]", w.length(in.Length), w.length(in.Width), w.length(in.Height))
	w.known("corner", in.Corner)
	w.known("ease", in.Ease)
	ids := make([]string, len(c.Stack))
	for i, id := range c.Stack {
		ids[i] = text(id)
	}
	w.line("    stack: [%s] # top to bottom", strings.Join(ids, ", "))
}
