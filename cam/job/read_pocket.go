package job

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// pocketDraft is a pocket as it stands in the file, before the tray's defaults
// and the roster have been filled in.
type pocketDraft struct {
	Pocket
	pocketDefaults
	shapes   []string // the keys that give it a shape
	atGiven  bool
	cornerAt finding.Position // zero without `corner`
	gridAt   finding.Position // zero without `grid`
	pitchAt  finding.Position // zero without `pitch`
}

// notchWish is which sides are to have a notch. Which are a pocket's ends is
// known only with its shape.
type notchWish struct {
	at          finding.Position
	given       bool
	ends, sides bool
	listed      Side
}

func (r *reader) pockets(v strict.Value) []pocketDraft {
	items := v.List()
	pockets := make([]pocketDraft, 0, len(items))
	for _, item := range items {
		pockets = append(pockets, r.pocket(item.As("a pocket")))
	}
	return pockets
}

func (r *reader) pocket(v strict.Value) pocketDraft {
	p := pocketDraft{Pocket: Pocket{Position: v.At(), Columns: 1, Rows: 1}}
	v.Keys(&pocketKeys, append([]strict.Key{
		key("for", func(v strict.Value) { p.For = v.Text() }),
		key("at", func(v strict.Value) { p.atGiven = true; p.X, p.Y = r.at(v) }),
		key("size", func(v strict.Value) { p.is("size", SizeShape); p.Length, p.Width = r.pairOf(v) }),
		key("corner", func(v strict.Value) { p.Corner, p.cornerAt = r.notBelow(v), v.At() }),
		key("round", func(v strict.Value) { p.is("round", RoundShape); p.Diameter = r.above(v) }),
		key("slot", func(v strict.Value) { p.is("slot", SlotShape); p.Length, p.Width = r.pairOf(v) }),
		key("outline", func(v strict.Value) { p.is("outline", OutlineShape); p.OutlineFile = r.path(v) }),
		key("depth", func(v strict.Value) { r.depth(v, &p) }),
		key("grid", func(v strict.Value) { r.grid(v, &p) }),
		key("pitch", func(v strict.Value) { r.pitch(v, &p) }),
		key("turn", func(v strict.Value) { p.turn(v) }),
		key("fit", func(v strict.Value) { p.Fit = v.Text() }),
		key("tool", func(v strict.Value) { p.Tool = v.Text() }),
		key("waste", func(v strict.Value) { p.waste = Waste(1 + v.Word("clear", "plug")) }),
		key("pin", func(v strict.Value) { p.Pin = v.Word("false", "true") == 1 }),
	}, p.pocketDefaults.keys(r)...)...)
	r.checkPocket(&p)
	return p
}

// turn reads degrees, or that any will do.
func (p *pocketDraft) turn(v strict.Value) {
	if p.AnyTurn = v.Is("any"); !p.AnyTurn {
		p.Turn = v.Number(-360, 360)
	}
}

// is notes a key that gives the shape.
func (p *pocketDraft) is(key string, shape ShapeKind) {
	p.shapes, p.Shape = append(p.shapes, key), shape
}

// at reads the place of a pocket, a label or an emblem.
func (r *reader) at(v strict.Value) (x, y units.Length) {
	t := v.Tuple("[x, y]")
	if t == nil {
		return 0, 0
	}
	return r.length(t[0].As("the x of `at`")), r.length(t[1].As("the y of `at`"))
}

func (r *reader) depth(v strict.Value, p *pocketDraft) {
	if v.Is("through") {
		p.Through = true
		return
	}
	p.Depth = r.above(v)
}

func (r *reader) grid(v strict.Value, p *pocketDraft) {
	p.gridAt = v.At()
	if t := v.Tuple("[columns, rows]"); t != nil {
		p.Columns, p.Rows = t[0].As("the columns of `grid`").Whole(1, mostCount), t[1].As("the rows of `grid`").Whole(1, mostCount)
	}
}

func (r *reader) pitch(v strict.Value, p *pocketDraft) {
	p.pitchAt = v.At()
	if t := v.Tuple("[x, y]"); t != nil {
		p.PitchX, p.PitchY = r.notBelow(t[0].As("the x of `pitch`")), r.notBelow(t[1].As("the y of `pitch`"))
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
		r.Fail(p.gridAt, "grid-without-pitch", "this `grid` has no `pitch` one way, so its pockets lie on one another", "write `pitch: [x, y]`, the steps from one pocket to the next")
	}
}

var sideNames = []string{"n", "e", "s", "w"}

// notch reads `none`, `ends`, `sides`, or compass sides.
func (r *reader) notch(v strict.Value) notchWish {
	w := notchWish{at: v.At(), given: true}
	switch {
	case v.IsList():
		for _, item := range v.List() {
			r.notchSide(item.As("a side of `notch`"), &w)
		}
	case v.Is("none"):
	case v.Is("ends"):
		w.ends = true
	case v.Is("sides"):
		w.sides = true
	default:
		r.notchSide(v, &w)
	}
	return w
}

func (r *reader) notchSide(v strict.Value, w *notchWish) {
	text, ok := v.Scalar()
	i := slices.Index(sideNames, text)
	switch {
	case !ok:
	case i < 0:
		r.Fail(v.At(), "unknown-side", fmt.Sprintf("%s is no side for a notch", finding.Quote(text)), "write none, ends, sides, or a list of n, e, s and w")
	case w.listed&(1<<i) != 0:
		r.Fail(v.At(), "side-twice", fmt.Sprintf("side %s is here twice", text), "name each side once")
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
