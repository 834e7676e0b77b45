package edit

import (
	"bytes"
	"fmt"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// Add is the text with one more pocket for a piece, last of its tray, and where its entry begins.
// It is written on a line of its own, as far in as the others; a tray without pockets gets the key.
func Add(text []byte, tray Entry, piece string, x, y units.Length) ([]byte, finding.Position, error) {
	d, entry, err := open(text, tray.At)
	if err != nil {
		return nil, tray.At, err
	}
	if !strict.Plain(piece) {
		return nil, tray.At, refusal(tray.At, tray.At.Line, "the id "+finding.Quote(piece)+" needs quotes, and is not written here")
	}
	at := [2]string{x.Bare(tray.Bare), y.Bare(tray.Bare)}
	line := fmt.Sprintf("- {for: %s, at: [%s, %s]}", piece, at[0], at[1])
	list, err := d.value(entry, "pockets")
	if err != nil {
		return nil, tray.At, err
	}
	n, behind := 0, entry
	indent := strings.Repeat(" ", max(0, entry.column-1))
	begin := tray.At
	switch {
	case entry.flow || list != nil && (len(list.items) == 0 || list.flow):
		return nil, tray.At, refusal(tray.At, entry.line, "the pockets of this tray are not written on lines of their own")
	case list == nil:
		line = "pockets:" + d.ending() + indent + "  " + line
		begin.Column = len(indent) + len("  - {")
	default:
		n, behind = len(list.items), list
		if indent, err = d.indentOf(list.items[n-1]); err != nil {
			return nil, tray.At, err
		}
		begin.Column = len(indent) + len("- {")
	}
	path := fmt.Sprintf("%s/pockets/%d", entry.path, n)
	c := cut{text: indent + line + d.ending(), path: path + "/for", value: piece, more: map[string]string{path + "/at/0": at[0], path + "/at/1": at[1]}}
	return d.addBehind(behind, c, begin)
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
			at.Line = line + strings.Count(c.text, "\n")
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
