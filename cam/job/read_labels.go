package job

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// Bounds of one tray's labels and emblems.
const (
	mostLabels  = 50
	mostEmblems = 20
)

// labelDraft is a label as it stands in the file.
type labelDraft struct {
	Label
	textAt finding.Position // zero without `text`: then it is the tray's label
	at     making
}

// making is where the keys of a label or an emblem stand; zero where they are
// left out.
type making struct{ at, make, height, box, arc, turn, align finding.Position }

// makingKeys are the keys that labels and emblems have in common. The words are
// what `make` may be beside a depth.
func (r *reader) makingKeys(m *Making, at *making, words ...string) []strict.Key {
	return []strict.Key{
		key("at", func(v strict.Value) { at.at = v.At(); m.X, m.Y = r.at(v) }),
		key("turn", func(v strict.Value) { m.Turn, at.turn = v.Number(-360, 360), v.At() }),
		key("make", func(v strict.Value) { at.make = v.At(); r.make(v, m, words) }),
		key("tool", func(v strict.Value) { m.Tool = v.Text() }),
	}
}

// make reads how a label or an emblem is made: a word, or a depth.
func (r *reader) make(v strict.Value, m *Making, words []string) {
	text, ok := v.Scalar()
	switch {
	case !ok:
	case text == "through":
		m.Make, m.Through = Cut, true
	case slices.Contains(words, text):
		m.Make = Make(slices.Index(words, text))
	case text != "" && strings.ContainsAny(text[:1], "0123456789.-+"):
		m.Make, m.Depth = Cut, r.above(v.As("the depth of `make`"))
	default:
		words = append(words[:len(words):len(words)], "through")
		r.Fail(v.At(), "unknown-word", "`make` is "+finding.Quote(text), r.suggest(text, words)+"; or write a depth, such as 3 mm")
	}
}

var makeWords = []string{Marked: "mark", Outlined: "outline"}

func (r *reader) labels(v strict.Value) []labelDraft {
	var list []labelDraft
	for _, item := range v.ListUpTo(mostLabels, "make it two jobs") {
		list = append(list, r.label(item.As("a label")))
	}
	return list
}

func (r *reader) label(v strict.Value) labelDraft {
	l := labelDraft{}
	l.Position = v.At()
	v.Keys(&labelKeys, append([]strict.Key{
		key("text", func(v strict.Value) { l.Text, l.textAt = v.Text(), v.At() }),
		key("height", func(v strict.Value) { l.Height, l.at.height = r.above(v), v.At() }),
		key("font", func(v strict.Value) { r.font(v, &l) }),
		key("align", func(v strict.Value) { l.Align, l.at.align = Align(v.Word("left", "center", "right")), v.At() }),
		key("box", func(v strict.Value) { l.BoxLength, l.BoxWidth = r.pairOf(v); l.at.box = v.At() }),
		key("arc", func(v strict.Value) { l.Arc, l.at.arc = r.length(v), v.At() }),
		key("spacing", func(v strict.Value) { l.Spacing, l.SpacingGiven = r.length(v), true }),
	}, r.makingKeys(&l.Making, &l.at, makeWords...)...)...)
	r.checkLabel(&l)
	return l
}

// font reads the name of a font of ours, or a file in the job's folder.
func (r *reader) font(v strict.Value, l *labelDraft) {
	switch name := v.Text(); strings.ToLower(path.Ext(name)) {
	case ".ttf", ".otf":
		l.FontFile, _ = r.inFolder(v, name)
	default:
		l.Font = strings.ToLower(name)
	}
}

// checkLabel finds keys that do not go together.
func (r *reader) checkLabel(l *labelDraft) {
	switch {
	case l.at.at.Line == 0:
		r.Fail(l.Position, "label-without-place", "this label has no `at`", "write `at: [x, y]`: where its base line begins or, with a `box`, the box's lower-left corner")
	case l.at.height.Line == 0 && l.at.box.Line == 0:
		r.Fail(l.Position, "label-without-height", "this label has neither `height` nor `box`", "write `height: 8 mm`, or `box: [60, 12]` and it becomes as high as fits")
	}
	if l.at.arc.Line > 0 && l.Arc == 0 {
		r.Fail(l.at.arc, "arc-without-radius", "`arc` is 0", "give its radius, above 0 for a text over the top of a circle, below 0 for one along the bottom; or take `arc` out")
	}
}

// emblemDraft is an emblem as it stands in the file.
type emblemDraft struct {
	Emblem
	pictureAt, sizeAt finding.Position
	at                making
}

func (r *reader) emblems(v strict.Value) []emblemDraft {
	var list []emblemDraft
	for _, item := range v.ListUpTo(mostEmblems, "make it two jobs") {
		list = append(list, r.emblem(item.As("an emblem")))
	}
	return list
}

func (r *reader) emblem(v strict.Value) emblemDraft {
	e := emblemDraft{}
	e.Position = v.At()
	given := 0
	sized := func(v strict.Value) { given++; e.sizeAt = v.At() }
	v.Keys(&emblemKeys, append([]strict.Key{
		key("picture", func(v strict.Value) { e.File, e.pictureAt = r.path(v), v.At() }),
		key("size", func(v strict.Value) { sized(v); e.Length, e.Picture.Width = r.pairOf(v) }),
		key("width", func(v strict.Value) { sized(v); e.Length = r.above(v) }),
		key("height", func(v strict.Value) { sized(v); e.Picture.Width = r.above(v) }),
		key("threshold", func(v strict.Value) { e.Threshold = r.threshold(v) }),
		key("invert", func(v strict.Value) { e.Invert = v.Word("false", "true") == 1 }),
	}, r.makingKeys(&e.Making, &e.at, makeWords...)...)...)
	switch {
	case e.pictureAt.Line == 0:
		r.Fail(e.Position, "emblem-without-picture", "this emblem has no `picture`", "write `picture: anchor.svg`; a PNG, JPEG or SVG file in the job's folder")
	case e.at.at.Line == 0:
		r.Fail(e.Position, "emblem-without-place", "this emblem has no `at`", "write `at: [x, y]`, its lower-left corner")
	case given == 0:
		r.Fail(e.Position, "emblem-without-size", "this emblem has no size", "write `width: 40 mm`, `height: 40 mm`, or `size: [60, 40]` and it becomes as large as fits")
	case given > 1:
		r.Fail(e.sizeAt, "several-sizes", "this emblem has more than one size", "keep one of `size`, `width` and `height`")
	}
	return e
}

// threshold reads a share of white: 0.4 or 40 %.
func (r *reader) threshold(v strict.Value) float64 {
	text, ok := v.Scalar()
	if !ok {
		return 0
	}
	const hint = "write a share of white between 0 and 1, such as 0.4 or 40 %; what is darker is ink"
	number, percent := strings.CutSuffix(text, "%")
	n, err := strict.Decimal(strings.TrimSpace(number))
	if err != nil {
		r.CannotRead(v.At(), "bad-number", "`threshold`: "+err.Error(), hint)
		return 0
	}
	if percent {
		n /= 100
	}
	if n <= 0 || n >= 1 {
		r.Fail(v.At(), "threshold-out-of-range", fmt.Sprintf("`threshold` is %s", finding.Quote(text)), hint)
		return 0
	}
	return n
}
