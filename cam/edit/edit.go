// Package edit changes one value in the text of a job, and nothing else of it: comments,
// order, units and the way in which a number is written stay.
//
//	text -> tokens of its parser -> the entry at a line and column -> its key -> new text
//	     -> both texts read again and compared, value by value: they differ in that one
//
// What is shared by an anchor, or cannot be found again where it should stand, is a finding
// that names the line: see Refusal.
package edit

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Entry is a group of keys in a job, such as a pocket or a tray, by where it begins; bare is
// the unit of the job's bare numbers.
type Entry struct {
	At   finding.Position
	Bare units.Unit
}

// refusal is why an entry is not changed here, and the line where a person can.
func refusal(at finding.Position, line int, why string) error {
	return finding.List{{Rule: "edit-by-hand", Where: finding.Position{File: at.File, Line: line}.String(), Message: why, Hint: "change this line of the file yourself; the page shows it as soon as it is saved"}}
}

// place finds the two lengths of an entry's `at`.
func (e Entry) place(text []byte) (d *document, at [2]*node, was [2]units.Length, err error) {
	d, entry, err := open(text, e.At)
	if err != nil {
		return nil, at, was, err
	}
	pair, err := d.value(entry, "at")
	if err != nil {
		return nil, at, was, err
	}
	if pair == nil || len(pair.items) != 2 {
		return nil, at, was, refusal(e.At, e.At.Line, "this entry has no `at: [x, y]`")
	}
	for i, item := range pair.items {
		if err := d.own(item, "at"); err != nil {
			return nil, at, was, err
		}
		if was[i], err = units.Parse(item.text, e.Bare); err != nil {
			return nil, at, was, refusal(e.At, item.line, "`at` is no pair of lengths")
		}
		at[i] = item
	}
	return d, at, was, nil
}

// Steps are the grids that an entry's `at` moves on, along X and Y: those of the units that
// it is written in.
func Steps(text []byte, e Entry) (steps [2]units.Length, err error) {
	_, at, _, err := e.place(text)
	for i := range at {
		if err == nil {
			steps[i] = step(at[i].text, e.Bare)
		}
	}
	return steps, err
}

// Place is the text with an entry's `at` at x and y. A coordinate that stays is not touched.
func Place(text []byte, e Entry, x, y units.Length) ([]byte, error) {
	d, at, was, err := e.place(text)
	if err != nil {
		return nil, err
	}
	var cuts []cut
	for i, to := range [2]units.Length{x, y} {
		if was[i] == to {
			continue
		}
		written, err := reword(at[i].text, e.Bare, to)
		if err != nil {
			return nil, refusal(e.At, at[i].line, "`at` "+err.Error())
		}
		cuts = append(cuts, cut{at[i].from, at[i].to, at[i].quoted(written), at[i].path, written, nil, ""})
	}
	return d.apply(cuts)
}

// Set is the text with a key of an entry at a value, as a person writes it; a bare number
// takes over the unit that stands there. Where the entry does not have the key, it is written
// before the key named before; of "", before its second.
func Set(text []byte, e Entry, key, written, before string) ([]byte, error) {
	written = strings.TrimSpace(written)
	if !plainValue.MatchString(written) {
		return nil, refusal(e.At, e.At.Line, finding.Quote(written)+" is no value for `"+key+"`")
	}
	d, entry, err := open(text, e.At)
	if err != nil {
		return nil, err
	}
	old, err := d.value(entry, key)
	if err != nil {
		return nil, err
	}
	if old == nil {
		return d.insert(entry, key, written, before)
	}
	if old.items != nil || old.pairs != nil {
		return nil, refusal(e.At, old.line, "`"+key+"` is more than one value")
	}
	if m := suffix.FindStringSubmatch(old.text); m != nil && m[1] != "" && bareNumber.MatchString(written) {
		written += m[1]
	}
	if written == old.text {
		return slices.Clone(text), nil
	}
	return d.apply([]cut{{old.from, old.to, old.quoted(written), old.path, written, nil, ""}})
}

// LineOf is the line of a key of a group of the whole text, as in `tray_defaults`; 0 for none.
func LineOf(text []byte, group, key string) int {
	d, err := parse(text, "")
	if err != nil {
		return 0
	}
	for _, outer := range d.root.pairs {
		for _, p := range outer.value.pairs {
			if outer.key == group && p.key == key {
				return p.line
			}
		}
	}
	return 0
}

// Written is what stands at an entry's key; "" where that is nothing of one value.
func Written(text []byte, e Entry, key string) string {
	d, entry, err := open(text, e.At)
	if err != nil {
		return ""
	}
	v, err := d.value(entry, key)
	if v == nil || err != nil || v.items != nil || v.pairs != nil {
		return ""
	}
	return v.text
}

var (
	plainValue = regexp.MustCompile(`^[0-9A-Za-z.+-][0-9A-Za-z ./+"-]*$`)
	bareNumber = regexp.MustCompile(`^[0-9./ +-]+$`)
	suffix     = regexp.MustCompile(`^[0-9./ +-]*[0-9.]( *[a-zA-Z"″”]+\.?)?$`)
)

// cut is a part of the text that is replaced, the place of its value in the tree, and what
// that has to be afterwards.
type cut struct {
	from, to int
	text     string
	path     string
	value    string
	more     map[string]string // further values that come with it, by their paths
	gone     string            // the path of an empty list that is none any more; "" for none
}

// apply makes the cuts, and holds what comes of them against the text as it was.
func (d *document) apply(cuts []cut) ([]byte, error) {
	if len(cuts) == 0 {
		return slices.Clone(d.text), nil
	}
	slices.SortFunc(cuts, func(a, b cut) int { return b.from - a.from })
	text := slices.Clone(d.text)
	for _, c := range cuts {
		text = slices.Concat(text[:c.from], []byte(c.text), text[c.to:])
	}
	after, err := parse(text, d.file)
	if err != nil {
		return nil, refusal(finding.Position{File: d.file}, d.lineOf(cuts[0].from), "with that value the file could not be read any more")
	}
	want := d.values()
	for _, c := range cuts {
		if delete(want, c.gone); c.path != "" {
			want[c.path] = c.value
		}
		maps.Copy(want, c.more)
	}
	if !sameValues(want, after.values()) {
		return nil, refusal(finding.Position{File: d.file}, d.lineOf(cuts[0].from), "another value would change with it")
	}
	return text, nil
}

func sameValues(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for path, value := range a {
		if other, ok := b[path]; !ok || other != value {
			return false
		}
	}
	return true
}

// insert writes a key that an entry does not have before another one of it, in the same way:
// behind a comma, or on a line of its own.
func (d *document) insert(entry *node, key, written, before string) ([]byte, error) {
	at := slices.IndexFunc(entry.pairs, func(p pair) bool { return p.key == before })
	if before == "" && len(entry.pairs) > 1 {
		at = 1
	}
	if at < 0 {
		return nil, refusal(finding.Position{File: d.file}, entry.line, "there is no `"+before+"` to write `"+key+"` before")
	}
	p := entry.pairs[at]
	quoted := written
	if strings.Contains(written, `"`) {
		quoted = "'" + written + "'"
	}
	text := fmt.Sprintf("%s: %s, ", key, quoted)
	if !entry.flow {
		start := bytes.LastIndexByte(d.text[:p.from], '\n') + 1
		indent := string(d.text[start:p.from])
		if strings.Trim(indent, " -") != "" {
			return nil, refusal(finding.Position{File: d.file}, p.line, "there is no room on this line for `"+key+"`")
		}
		text = fmt.Sprintf("%s: %s%s%s", key, quoted, d.ending(), strings.ReplaceAll(indent, "-", " "))
	}
	return d.apply([]cut{{p.from, p.from, text, entry.path + "/" + key, written, nil, ""}})
}

// ending is how the file ends its lines.
func (d *document) ending() string {
	if bytes.Contains(d.text, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

func (d *document) lineOf(offset int) int { return 1 + bytes.Count(d.text[:offset], []byte("\n")) }
