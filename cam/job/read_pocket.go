package job

import (
	"fmt"
	"slices"
	"strings"

	"traywright/geometry/units"
)

// pocketDraft is a pocket as it stands in the file, before the tray's defaults
// and the roster have been filled in.
type pocketDraft struct {
	Pocket
	pocketDefaults
	shapes   []string // the keys that give it a shape
	atGiven  bool
	cornerAt Position // zero without `corner`
	gridAt   Position // zero without `grid`
	pitchAt  Position // zero without `pitch`
}

// notchWish is which sides are to have a notch. Which are a pocket's ends is
// known only with its shape.
type notchWish struct {
	at          Position
	given       bool
	ends, sides bool
	listed      Side
}

func (r *reader) pockets(v *value) []pocketDraft {
	if v.kind != list {
		r.wrongKind(v, "`pockets`", "a list")
		return nil
	}
	pockets := make([]pocketDraft, 0, len(v.items))
	for _, item := range v.items {
		pockets = append(pockets, r.pocket(item))
	}
	return pockets
}

func (r *reader) pocket(v *value) pocketDraft {
	p := pocketDraft{Pocket: Pocket{Position: v.at, Columns: 1, Rows: 1}}
	r.group(v, "a pocket", append([]key{
		{"for", func(v *value) { p.For = r.text(v, "`for`") }},
		{"at", func(v *value) { r.at(v, &p) }},
		{"size", func(v *value) { p.is("size", SizeShape); p.Length, p.Width = r.pairOf(v, "size") }},
		{"corner", func(v *value) { p.Corner, p.cornerAt = r.notBelow(v, "`corner`"), v.at }},
		{"round", func(v *value) { p.is("round", RoundShape); p.Diameter = r.above(v, "`round`") }},
		{"slot", func(v *value) { p.is("slot", SlotShape); p.Length, p.Width = r.pairOf(v, "slot") }},
		{"outline", func(v *value) { p.is("outline", OutlineShape); p.OutlineFile = r.path(v, "outline") }},
		{"depth", func(v *value) { r.depth(v, &p) }},
		{"grid", func(v *value) { r.grid(v, &p) }},
		{"pitch", func(v *value) { r.pitch(v, &p) }},
		{"turn", func(v *value) { p.Turn = r.number(v, "`turn`", 360) }},
		{"fit", func(v *value) { p.Fit = r.text(v, "`fit`") }},
		{"tool", func(v *value) { p.Tool = r.text(v, "`tool`") }},
	}, p.pocketDefaults.keys(r)...)...)
	r.checkPocket(&p)
	return p
}

// is notes a key that gives the shape.
func (p *pocketDraft) is(key string, shape ShapeKind) {
	p.shapes, p.Shape = append(p.shapes, key), shape
}

func (r *reader) at(v *value, p *pocketDraft) {
	p.atGiven = true
	if t := r.tuple(v, "at", "[x, y]", 2); t != nil {
		p.X, p.Y = r.length(t[0], "the x of `at`"), r.length(t[1], "the y of `at`")
	}
}

func (r *reader) depth(v *value, p *pocketDraft) {
	if v.kind == scalar && strings.TrimSpace(v.text) == "through" {
		p.Through = true
		return
	}
	p.Depth = r.above(v, "`depth`")
}

func (r *reader) grid(v *value, p *pocketDraft) {
	p.gridAt = v.at
	if t := r.tuple(v, "grid", "[columns, rows]", 2); t != nil {
		p.Columns, p.Rows = r.whole(t[0], "the columns of `grid`"), r.whole(t[1], "the rows of `grid`")
	}
}

func (r *reader) pitch(v *value, p *pocketDraft) {
	p.pitchAt = v.at
	if t := r.tuple(v, "pitch", "[x, y]", 2); t != nil {
		p.PitchX, p.PitchY = r.notBelow(t[0], "the x of `pitch`"), r.notBelow(t[1], "the y of `pitch`")
	}
}

// checkPocket finds keys that do not go together.
func (r *reader) checkPocket(p *pocketDraft) {
	if !p.atGiven {
		r.Fail(p.Position, "pocket-without-place", "this pocket has no `at`", "write `at: [x, y]`, its lower-left corner; or name the piece in the tray's `holds`, and `arrange` chooses the place")
	}
	switch {
	case len(p.shapes) > 1:
		r.Fail(p.Position, "several-shapes", "this pocket has "+strings.Join(p.shapes, " and "), "keep one of them")
	case p.cornerAt.Line > 0 && p.Shape != SizeShape:
		r.Fail(p.cornerAt, "corner-without-size", "`corner` goes with `size`, and this pocket has none", "give a `size`, or take `corner` out")
	}
	switch {
	case p.pitchAt.Line > 0 && p.gridAt.Line == 0:
		r.Fail(p.pitchAt, "pitch-without-grid", "`pitch` goes with `grid`, and this pocket has none", "write `grid: [columns, rows]`, or take `pitch` out")
	case p.Columns > 1 && p.PitchX == 0 || p.Rows > 1 && p.PitchY == 0:
		r.Fail(p.gridAt, "grid-without-pitch", "this `grid` has no `pitch`, so its pockets lie on one another", "write `pitch: [x, y]`, the steps from one pocket to the next")
	}
}

var sideNames = []string{"n", "e", "s", "w"}

// notch reads `none`, `ends`, `sides`, or compass sides.
func (r *reader) notch(v *value) notchWish {
	w := notchWish{at: v.at, given: true}
	if v.kind == list {
		for _, item := range v.items {
			r.notchSide(item, &w)
		}
		return w
	}
	text, ok := r.scalar(v, "`notch`")
	if !ok {
		return w
	}
	switch strings.TrimSpace(text) {
	case "none":
	case "ends":
		w.ends = true
	case "sides":
		w.sides = true
	default:
		r.notchSide(v, &w)
	}
	return w
}

func (r *reader) notchSide(v *value, w *notchWish) {
	text, ok := r.scalar(v, "a side of `notch`")
	if !ok {
		return
	}
	i := slices.Index(sideNames, strings.TrimSpace(text))
	switch {
	case i < 0:
		r.Fail(v.at, "unknown-side", fmt.Sprintf("%s is no side for a notch", quote(text)), "write none, ends, sides, or a list of n, e, s and w")
	case w.listed&(1<<i) != 0:
		r.Fail(v.at, "side-twice", fmt.Sprintf("side %s is here twice", text), "name each side once")
	default:
		w.listed |= 1 << i
	}
}

// sidesOf makes sides of a wish. The ends are the two short sides and the sides
// the two long ones; where both are equal the ends are east and west.
func (w notchWish) sidesOf(length, width units.Length) Side {
	ends, sides := East|West, North|South
	if width > length {
		ends, sides = sides, ends
	}
	s := w.listed
	if w.ends {
		s |= ends
	}
	if w.sides {
		s |= sides
	}
	return s
}
