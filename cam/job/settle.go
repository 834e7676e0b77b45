package job

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// settle fills in what depends on other parts of the job and checks what it
// all means.
func (r *reader) settle(raw rawJob) *Job {
	j := raw.Job
	if raw.rules.Present() {
		j.ShopRules = r.insideFolder(raw.rules)
	}
	r.checkInside(raw.inside, raw.hasCase)
	for _, c := range raw.cases {
		j.Cases = append(j.Cases, r.settleCase(c, raw))
	}
	if raw.trays = r.firstTrays(raw.trays); len(raw.trays) == 0 {
		r.refuse(Position{File: r.file, Line: 1, Column: 1}, "no-trays", "add a tray under `trays:`", "the job has no trays")
	}
	pockets := 0
	for _, t := range raw.trays {
		j.Trays = append(j.Trays, r.settleTray(t, raw, j.Cases, &pockets))
	}
	r.checkStacks(j)
	j.Roster = slices.SortedFunc(maps.Values(r.pieces), func(a, b Piece) int { return a.Position.Line - b.Position.Line })
	return &j
}

// firstTrays keeps the first of trays with one id, and no more than maxTrays.
func (r *reader) firstTrays(trays []rawTray) []rawTray {
	if len(trays) > maxTrays {
		r.refuse(trays[maxTrays].Position, "too-many", "split the job", "the job has %d trays, and at most %d are made", len(trays), maxTrays)
		trays = trays[:maxTrays]
	}
	seen := map[string]Position{}
	var kept []rawTray
	for _, t := range trays {
		if first, ok := seen[t.ID]; ok {
			r.refuse(t.Position, "duplicate-id", "give each tray an id of its own", "the tray id %q is used on line %d already", t.ID, first.Line)
			continue
		}
		seen[t.ID] = t.Position
		kept = append(kept, t)
	}
	return kept
}

var idPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

const longestID = 40

func (r *reader) settleTray(t rawTray, raw rawJob, cases []Case, pockets *int) Tray {
	name := fmt.Sprintf("tray %q", t.ID)
	if !idPattern.MatchString(t.ID) || len(t.ID) > longestID {
		r.refuse(t.Position, "bad-id", "an id is made of a-z, 0-9 and single hyphens, at most 40, such as stores-2; it names a folder",
			"%q is no id for a tray", t.ID)
	}
	r.checkLabel(t)
	r.sizeOf(&t, raw, cases, name)
	r.checkLayers(t, name)
	if t.Halves != 1 && t.Halves != 2 {
		r.refuse(t.Position, "bad-halves", "halves is 1 or 2", "%s: halves is %d", name, t.Halves)
	}
	r.notNegative(t.Position, name, map[string]units.Length{
		"wall": t.Wall, "edge": t.Edge, "corner": t.Corner, "ease": t.Ease,
		"notch_width": t.pocket.NotchWidth, "notch_reach": t.pocket.NotchReach})
	r.checkHolds(t, name)
	for i, p := range t.pockets {
		*pockets += r.checkGrid(p, i)
		if *pockets > maxPockets {
			r.refuse(p.Position, "too-many", "split the job", "with this pocket the job has %d pockets, and at most %d are cut", *pockets, maxPockets)
			t.Pockets = nil
			return t.Tray
		}
		t.Pockets = append(t.Pockets, r.settlePocket(p, i))
	}
	return t.Tray
}

// sizeOf gives the tray its outline: its own size, or that of the cases it is
// in, or that of the job's case.
func (r *reader) sizeOf(t *rawTray, raw rawJob, cases []Case, name string) {
	var homes []Case
	for _, c := range cases {
		if slices.Contains(c.Stack, t.ID) {
			homes = append(homes, c)
		}
	}
	inside, known := raw.inside, raw.hasCase
	if len(homes) > 0 {
		inside, known = homes[0].Inside, homes[0].Inside.Length > 0
		for _, c := range homes[1:] {
			if outline(c.Inside) != outline(inside) {
				r.refuse(t.Position, "cases-differ", "make it two trays, or give the cases one inside",
					"%s is in the cases %s and %s, whose insides differ", name, homes[0].Name, c.Name)
			}
		}
	}
	switch {
	case t.sized && known:
		r.refuse(t.Position, "two-sizes", "leave size out, or the case", "%s has a size of its own, and its case has one too", name)
	case t.sized:
		if t.Length <= 0 || t.Width <= 0 {
			r.refuse(t.Position, "bad-size", "write [length, width], both above 0", "%s: its size is %s x %s", name, t.Length.Format(raw.Units), t.Width.Format(raw.Units))
		}
	case !known:
		r.refuse(t.Position, "no-size", "give the tray a `size: [length, width]`, or the job a `case:`", "%s has no size and is in no case", name)
	default:
		t.Length, t.Width = inside.Length, inside.Width
		t.Ease = inside.Ease
		if !t.cornered {
			t.Corner = inside.Corner
		}
	}
	if 2*t.Corner > min(t.Length, t.Width) && t.Length > 0 && t.Width > 0 {
		r.refuse(t.Position, "bad-corner", "a corner radius is at most half of the shorter side", "%s: a corner of %s does not fit", name, t.Corner.Format(raw.Units))
	}
}

// outline is what a tray takes from an inside.
func outline(in Inside) [4]units.Length {
	return [4]units.Length{in.Length, in.Width, in.Corner, in.Ease}
}

func (r *reader) checkInside(in Inside, has bool) {
	if !has {
		return
	}
	if in.Length <= 0 || in.Width <= 0 || in.Height <= 0 {
		r.refuse(in.Position, "bad-case", "write inside: [length, width, height], all above 0", "the inside of the case is %s x %s x %s", in.Length, in.Width, in.Height)
	}
	r.notNegative(in.Position, "the case", map[string]units.Length{"corner": in.Corner, "ease": in.Ease})
}

func (r *reader) notNegative(at Position, what string, lengths map[string]units.Length) {
	for _, key := range slices.Sorted(maps.Keys(lengths)) {
		if lengths[key] < 0 {
			r.refuse(at, "negative", "write a length of 0 or more", "%s: %s is %s", what, key, lengths[key])
		}
	}
}

func (r *reader) checkLayers(t rawTray, name string) {
	if len(t.Layers) == 0 {
		r.refuse(t.Position, "no-layers", "add `layers:` to the tray or to tray_defaults", "%s has no layers", name)
	}
	if len(t.Layers) > maxLayers {
		r.refuse(t.Position, "too-many", "", "%s has %d layers, and at most %d are glued", name, len(t.Layers), maxLayers)
	}
	for i, l := range t.Layers {
		if l.Thickness <= 0 {
			r.refuse(l.Position, "bad-thickness", "write the foam's thickness as measured", "%s: layer %d is %s thick", name, i+1, l.Thickness)
		}
	}
}

func (r *reader) checkHolds(t rawTray, name string) {
	if len(t.Holds) > 0 && len(t.pockets) == 0 {
		r.refuse(t.Position, "not-arranged", "write the tray's pockets; placing what a tray holds is not built yet",
			"%s holds %s and has no pockets", name, strings.Join(t.Holds, ", "))
	}
	known := r.names()
	for _, h := range t.Holds {
		if !slices.Contains(known, h) {
			r.refuse(t.Position, "unknown-piece", near(h, known), "%s holds %q, which is no piece or group of the roster", name, h)
		}
	}
}

// names are the roster's ids and groups.
func (r *reader) names() []string {
	set := map[string]bool{}
	for id, p := range r.pieces {
		set[id] = true
		if p.Group != "" {
			set[p.Group] = true
		}
	}
	return slices.Sorted(maps.Keys(set))
}

func near(name string, known []string) string {
	if n := strict.Nearest(name, known); n != "" {
		return fmt.Sprintf("did you mean %s?", n)
	}
	return ""
}

var template = regexp.MustCompile(`\{([^{}]*)\}`)

// templates are what a label may fill in.
var templates = []string{"game", "case", "tray"}

func (r *reader) checkLabel(t rawTray) {
	at := t.Position
	if t.labelAt.Present() {
		at = r.at(t.labelAt)
	}
	for _, m := range template.FindAllStringSubmatch(t.Label, -1) {
		if !slices.Contains(templates, m[1]) {
			hint := near(m[1], templates)
			if hint == "" {
				hint = "a label fills in {game}, {case} and {tray}"
			}
			r.refuse(at, "unknown-name", hint, "tray %q: its label has {%s}, which nothing fills in", t.ID, m[1])
		}
	}
	if strings.ContainsAny(template.ReplaceAllString(t.Label, ""), "{}") {
		r.refuse(at, "unknown-name", "write {game}, {case} or {tray}", "tray %q: its label has a curly bracket without its partner", t.ID)
	}
}

// checkGrid returns how many pockets a grid makes.
func (r *reader) checkGrid(p rawPocket, i int) int {
	if p.Columns < 1 || p.Rows < 1 {
		r.refuse(p.Position, "bad-grid", "write grid: [columns, rows], both 1 or more", "pocket %d: its grid is %d x %d", i+1, p.Columns, p.Rows)
		return 1
	}
	if p.Columns > 1 && p.PitchX == 0 || p.Rows > 1 && p.PitchY == 0 {
		r.refuse(p.Position, "bad-grid", "add pitch: [step to the right, step to the back]", "pocket %d: its grid of %d x %d needs a pitch", i+1, p.Columns, p.Rows)
	}
	const enough = 1 << 30
	if p.Columns > enough/p.Rows {
		return enough
	}
	return p.Columns * p.Rows
}

func (r *reader) settlePocket(p rawPocket, i int) Pocket {
	name := fmt.Sprintf("pocket %d", i+1)
	if p.For != "" {
		name = fmt.Sprintf("pocket %d (%s)", i+1, p.For)
	}
	if !p.hasAt {
		r.refuse(p.Position, "no-place", "add at: [from the left, from the front]", "%s has no place", name)
	}
	if len(p.shapes) > 1 {
		r.refuse(p.Position, "two-shapes", "keep one of them", "%s has %s", name, strings.Join(p.shapes, " and "))
	}
	r.checkSizes(p, name)
	r.checkNumbers(p, name)
	if p.Shape == FromPiece {
		r.checkPiece(p, name)
	}
	if p.Shape == OutlineShape && !within(p.OutlineFile) {
		r.refuse(p.Position, "outside", "put the file into the job's folder, or below it", "%s: %q lies outside the job's folder", name, p.OutlineFile)
	}
	p.Notch |= r.notchSides(p)
	return p.Pocket
}

func (r *reader) checkSizes(p rawPocket, name string) {
	switch p.Shape {
	case SizeShape, SlotShape:
		if p.Length <= 0 || p.Width <= 0 {
			r.refuse(p.Position, "bad-size", "write [length, width], both above 0", "%s: its size is %s x %s", name, p.Length, p.Width)
		} else if 2*p.Corner > min(p.Length, p.Width) {
			r.refuse(p.Position, "bad-corner", "a corner radius is at most half of the shorter side", "%s: a corner of %s does not fit into %s x %s", name, p.Corner, p.Length, p.Width)
		}
	case RoundShape:
		if p.Diameter <= 0 {
			r.refuse(p.Position, "bad-size", "round is a diameter above 0", "%s: its diameter is %s", name, p.Diameter)
		}
	}
	if p.Corner != 0 && p.Shape != SizeShape && p.Shape != FromPiece {
		r.refuse(p.Position, "bad-corner", "leave corner out", "%s: only a rectangle has a corner radius", name)
	}
}

func (r *reader) checkNumbers(p rawPocket, name string) {
	if p.Depth < 0 {
		r.refuse(p.Position, "negative", "depth is measured down from the tray's top, above 0", "%s: its depth is %s", name, p.Depth)
	}
	r.notNegative(p.Position, name, map[string]units.Length{
		"corner": p.Corner, "notch_width": p.NotchWidth, "notch_reach": p.NotchReach})
}

func (r *reader) checkPiece(p rawPocket, name string) {
	hint := "give it a size, round, slot or outline, or name a piece of the roster with `for`"
	if p.For == "" {
		r.refuse(p.Position, "no-shape", hint, "%s has no shape", name)
		return
	}
	if _, ok := r.pieces[p.For]; ok {
		return
	}
	if n := near(p.For, slices.Sorted(maps.Keys(r.pieces))); n != "" {
		hint = n
	}
	r.refuse(p.Position, "unknown-piece", hint, "%s has no shape, and the roster has no piece %q", name, p.For)
}

// notchSides turns ends (the two short sides) and sides (the two long ones)
// into compass sides. A pocket as long as wide has its ends left and right.
func (r *reader) notchSides(p rawPocket) Side {
	if p.notchWord == "" {
		return 0
	}
	length, width := p.Length, p.Width
	if piece, ok := r.pieces[p.For]; ok && p.Shape == FromPiece {
		length, width = piece.Length, piece.Width
		if piece.Pose == Lying {
			width = piece.Height
		}
	}
	if (length >= width) == (p.notchWord == "ends") {
		return East | West
	}
	return North | South
}

// within reports whether a name is a plain path inside the job's folder.
func within(name string) bool {
	return fs.ValidPath(name) && name != "." && path.Clean(name) == name && !strings.ContainsAny(name, `\:`)
}

// insideFolder takes a value as the name of a file in the job's folder.
func (r *reader) insideFolder(v strict.Value) string {
	name := v.Text()
	if within(name) {
		return name
	}
	r.refuse(r.at(v), "outside", "put the file into the job's folder, or below it, and write its name with /", "%q lies outside the job's folder", name)
	return ""
}

func (r *reader) settleCase(c rawCase, raw rawJob) Case {
	if c.Copies < 1 || c.Copies > 1000 {
		r.refuse(c.Position, "bad-copies", "copies is a whole number from 1 to 1000", "case %q: copies is %d", c.Name, c.Copies)
	}
	if !c.hasStack || len(c.Stack) == 0 {
		r.refuse(c.Position, "no-stack", "write stack: [tray, tray, ...], top to bottom; choosing a case's trays is not built yet", "case %q has no stack", c.Name)
	}
	if c.Inside.Height <= 0 {
		r.refuse(c.Position, "no-case", "add `case: {inside: [length, width, height]}` to the job, or `inside` to the case", "the inside of case %q is not known", c.Name)
	} else if outline(c.Inside) != outline(raw.inside) || !raw.hasCase {
		r.checkInside(c.Inside, true)
	}
	return c.Case
}

// checkStacks wants every tray in a stack to exist and every case to have a
// name of its own.
func (r *reader) checkStacks(j Job) {
	var ids []string
	for _, t := range j.Trays {
		ids = append(ids, t.ID)
	}
	if len(j.Cases) > maxCases {
		r.refuse(j.Cases[maxCases].Position, "too-many", "split the job", "the job has %d cases, and at most %d are packed", len(j.Cases), maxCases)
		return
	}
	names := map[string]bool{}
	for _, c := range j.Cases {
		if names[c.Name] {
			r.refuse(c.Position, "duplicate-name", "give each case a name of its own, or use copies", "there are two cases %q", c.Name)
		}
		names[c.Name] = true
		for i, id := range c.Stack {
			if !slices.Contains(ids, id) {
				r.refuse(c.StackPositions[i], "unknown-tray", near(id, ids), "case %q: there is no tray %q", c.Name, id)
			}
		}
	}
}
