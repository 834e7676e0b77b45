package job

import (
	"fmt"
	"path"
	"slices"
	"strings"
)

// Bounds of one tray's labels and emblems.
const (
	mostLabels  = 50
	mostEmblems = 20
)

// labelDraft is a label as it stands in the file.
type labelDraft struct {
	Label
	textAt Position // zero without `text`: then it is the tray's label
	at     making
}

// making is where the keys of a label or an emblem stand; zero where they are
// left out.
type making struct{ at, make, height, box, arc, turn, align Position }

// makingKeys are the keys that labels and emblems have in common. The words are
// what `make` may be beside a depth.
func (r *reader) makingKeys(m *Making, at *making, words ...string) []key {
	return []key{
		{"at", func(v *value) {
			at.at = v.at
			if t := r.tuple(v, "at", "[x, y]", 2); t != nil {
				m.X, m.Y = r.length(t[0], "the x of `at`"), r.length(t[1], "the y of `at`")
			}
		}},
		{"turn", func(v *value) { m.Turn, at.turn = r.number(v, "`turn`", 360), v.at }},
		{"make", func(v *value) { at.make = v.at; r.make(v, m, words) }},
		{"tool", func(v *value) { m.Tool = r.text(v, "`tool`") }},
	}
}

// make reads how a label or an emblem is made: a word, or a depth.
func (r *reader) make(v *value, m *Making, words []string) {
	text, ok := r.scalar(v, "`make`")
	if !ok {
		return
	}
	switch text = strings.TrimSpace(text); {
	case text == "through":
		m.Make, m.Through = Cut, true
	case slices.Contains(words, text):
		m.Make = Make(slices.Index(words, text))
	case text != "" && strings.ContainsAny(text[:1], "0123456789.-+"):
		m.Make, m.Depth = Cut, r.above(v, "the depth of `make`")
	default:
		words = append(words[:len(words):len(words)], "through")
		r.Fail(v.at, "unknown-word", "`make` is "+quote(text), r.suggest(text, words)+"; or write a depth, such as 3 mm")
	}
}

var makeWords = []string{Marked: "mark", Outlined: "outline"}

func (r *reader) labels(v *value) []labelDraft {
	var list []labelDraft
	for _, item := range r.list(v, "`labels`", mostLabels) {
		list = append(list, r.label(item))
	}
	return list
}

func (r *reader) label(v *value) labelDraft {
	l := labelDraft{}
	l.Position = v.at
	r.group(v, "a label", append([]key{
		{"text", func(v *value) { l.Text, l.textAt = r.text(v, "`text`"), v.at }},
		{"height", func(v *value) { l.Height, l.at.height = r.above(v, "`height`"), v.at }},
		{"font", func(v *value) { r.font(v, &l) }},
		{"align", func(v *value) { l.Align, l.at.align = Align(r.word(v, "`align`", "left", "center", "right")), v.at }},
		{"box", func(v *value) { l.BoxLength, l.BoxWidth = r.pairOf(v, "box"); l.at.box = v.at }},
		{"arc", func(v *value) { l.Arc, l.at.arc = r.length(v, "`arc`"), v.at }},
		{"spacing", func(v *value) { l.Spacing, l.SpacingGiven = r.length(v, "`spacing`"), true }},
	}, r.makingKeys(&l.Making, &l.at, makeWords...)...)...)
	r.checkLabel(&l)
	return l
}

// font reads the name of a font of ours, or a file in the job's folder.
func (r *reader) font(v *value, l *labelDraft) {
	switch name := r.text(v, "`font`"); strings.ToLower(path.Ext(name)) {
	case ".ttf", ".otf":
		l.FontFile, _ = r.inFolder(v.at, "font", name)
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
	pictureAt, sizeAt Position
	at                making
}

func (r *reader) emblems(v *value) []emblemDraft {
	var list []emblemDraft
	for _, item := range r.list(v, "`emblems`", mostEmblems) {
		list = append(list, r.emblem(item))
	}
	return list
}

func (r *reader) emblem(v *value) emblemDraft {
	e := emblemDraft{}
	e.Position = v.at
	given := 0
	sized := func(v *value) { given++; e.sizeAt = v.at }
	r.group(v, "an emblem", append([]key{
		{"picture", func(v *value) { e.File, e.pictureAt = r.path(v, "picture"), v.at }},
		{"size", func(v *value) { sized(v); e.Length, e.Picture.Width = r.pairOf(v, "size") }},
		{"width", func(v *value) { sized(v); e.Length = r.above(v, "`width`") }},
		{"height", func(v *value) { sized(v); e.Picture.Width = r.above(v, "`height`") }},
		{"threshold", func(v *value) { e.Threshold = r.threshold(v) }},
		{"invert", func(v *value) { e.Invert = r.word(v, "`invert`", "false", "true") == 1 }},
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
func (r *reader) threshold(v *value) float64 {
	text, ok := r.scalar(v, "`threshold`")
	if !ok {
		return 0
	}
	const hint = "write a share of white between 0 and 1, such as 0.4 or 40 %; what is darker is ink"
	number, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	n, err := parseNumber(number, 100)
	if err != nil {
		r.CannotRead(v.at, "bad-number", "`threshold`: "+err.Error(), hint)
		return 0
	}
	if percent {
		n /= 100
	}
	if n <= 0 || n >= 1 {
		r.Fail(v.at, "threshold-out-of-range", fmt.Sprintf("`threshold` is %s", quote(text)), hint)
		return 0
	}
	return n
}
