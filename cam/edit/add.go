package edit

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// Add is the text with one more pocket for a piece, last of its tray, and where its entry begins.
// It is written on a line of its own, as far in as the others; a tray without pockets gets the key.
func Add(text []byte, tray Entry, piece string, x, y units.Length) ([]byte, finding.Position, error) {
	if !strict.Plain(piece) {
		return nil, tray.At, refusal(tray.At, tray.At.Line, "the id "+finding.Quote(piece)+" needs quotes, and is not written here")
	}
	at := [2]string{x.Bare(tray.Bare), y.Bare(tray.Bare)}
	line := fmt.Sprintf("- {for: %s, at: [%s, %s]}", piece, at[0], at[1])
	return put(text, tray, []string{line}, len("- {"), map[string]string{"/for": piece, "/at/0": at[0], "/at/1": at[1]})
}

// put is the text with lines of one more pocket, last of its tray, and where its entry begins: at a
// column of the first. Values are the entry's, by their paths in it.
func put(text []byte, tray Entry, lines []string, column int, values map[string]string) ([]byte, finding.Position, error) {
	d, entry, err := open(text, tray.At)
	if err != nil {
		return nil, tray.At, err
	}
	list := entry.empty("pockets")
	if list != nil {
		d, entry, list, err = d.opened(tray.At)
	} else {
		list, err = d.value(entry, "pockets")
	}
	if err != nil {
		return nil, tray.At, err
	}
	n, behind, head, gone := 0, entry, "", ""
	indent := strings.Repeat(" ", max(0, entry.column-1))
	switch {
	case entry.flow || list != nil && list.flow:
		return nil, tray.At, refusal(tray.At, entry.line, "the pockets of this tray are not written on lines of their own")
	case list == nil:
		head, indent = indent+"pockets:"+d.ending(), indent+"  "
	case len(list.items) == 0:
		behind, indent, gone = list, indent+"  ", list.path
	default:
		n, behind = len(list.items), list
		if indent, err = d.indentOf(list.items[n-1]); err != nil {
			return nil, tray.At, err
		}
	}
	c := cut{text: head, more: map[string]string{}, gone: gone}
	for _, line := range lines {
		c.text += indent + line + d.ending()
	}
	path := fmt.Sprintf("%s/pockets/%d", entry.path, n)
	for name, value := range values {
		c.more[path+name] = value
	}
	text, begin, err := d.addBehind(behind, c, tray.At)
	begin.Line, begin.Column = begin.Line-len(lines)+1, len(indent)+column
	return text, begin, err
}

// empty is a key's list in brackets that has nothing in it and is the entry's own; nil for none.
func (v *node) empty(key string) *node {
	for _, p := range v.pairs {
		if held := p.value; p.key == key && !v.flow && held.flow && !held.shared && held.items == nil && held.pairs == nil {
			return held
		}
	}
	return nil
}

var noPockets = regexp.MustCompile(`^pockets:[ \t]*\[[ \t]*\]`)

// opened is the text of which a tray's `pockets: []` has lost its brackets, ready for a first one.
func (d *document) opened(tray finding.Position) (*document, *node, *node, error) {
	entry := d.find(d.root, tray)
	i := slices.IndexFunc(entry.pairs, func(p pair) bool { return p.key == "pockets" })
	from := entry.pairs[i].from
	empty := noPockets.Find(d.text[max(0, from):])
	if from < 0 || empty == nil {
		return nil, nil, nil, refusal(tray, entry.pairs[i].line, "the pockets of this tray are not written on lines of their own")
	}
	d, entry, err := open(slices.Concat(d.text[:from], []byte("pockets:"), d.text[from+len(empty):]), tray)
	if err != nil {
		return nil, nil, nil, err
	}
	return d, entry, entry.pairs[i].value, nil
}

// indentOf is what stands before the dash of an item on a line of its own.
func (d *document) indentOf(item *node) (string, error) {
	text := d.text[d.lines[item.line-1]:]
	dash := bytes.IndexByte(text, '-')
	if dash < 0 || len(bytes.TrimSpace(text[:dash])) > 0 {
		return "", refusal(finding.Position{File: d.file}, item.line, "the pockets of this tray are not written on lines of their own")
	}
	return string(text[:dash]), nil
}

// addBehind puts lines behind the last line of a group: the first place where nothing else changes.
func (d *document) addBehind(group *node, c cut, at finding.Position) ([]byte, finding.Position, error) {
	const most = 20 // lines that a last value may go on for, or brackets stand on
	var refused error
	for line := group.last(); line <= len(d.lines) && line < group.last()+most; line++ {
		c.from = len(d.text)
		if line < len(d.lines) {
			c.from = d.lines[line]
		}
		c.to = c.from
		added := c
		if c.from > 0 && d.text[c.from-1] != '\n' {
			added.text = d.ending() + c.text
		}
		text, err := d.apply([]cut{added})
		if err == nil {
			at.Line = line + strings.Count(c.text, "\n") // its last one
			return text, at, nil
		}
		refused = err
	}
	return nil, at, refused
}

// last is the last line on which something of a group begins.
func (v *node) last() int {
	line := v.line
	for _, p := range v.pairs {
		line = max(line, p.line, p.value.last())
	}
	for _, item := range v.items {
		line = max(line, item.last())
	}
	return line
}
