package edit

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Carry is the text with a pocket taken out of its tray and written into another, last and as it
// stands, at x and y there, and where its entry begins then. A comment on its lines goes with it.
func Carry(text []byte, e, tray Entry, x, y units.Length) ([]byte, finding.Position, error) {
	taken, err := takeOut(text, e)
	if err != nil {
		return nil, e.At, err
	}
	if tray.At.Line > e.At.Line {
		tray.At.Line -= len(taken.lines)
	}
	text, at, err := put(taken.rest, tray, taken.lines, taken.column, taken.values)
	if err != nil {
		return nil, e.At, err
	}
	text, err = Place(text, Entry{at, e.Bare}, x, y)
	return text, at, err
}

// taken is a pocket that stands in no tray.
type taken struct {
	rest   []byte            // the text without it
	lines  []string          // its own, as far in as a list is that is not
	column int               // at which it begins on the first of them
	values map[string]string // by their paths in it
}

// takeOut takes the lines of a pocket out of a text: as many as it takes for the text to have all
// else that it had.
func takeOut(text []byte, e Entry) (taken, error) {
	d, entry, err := open(text, e.At)
	if err != nil {
		return taken{}, err
	}
	if d.sharesAny(entry) {
		return taken{}, refusal(e.At, e.At.Line, "something in this entry has an anchor or names one")
	}
	list, n := d.holding(d.root, entry)
	if list == nil || list.flow {
		return taken{}, refusal(e.At, e.At.Line, "the pockets of this tray are not written on lines of their own")
	}
	indent, err := d.indentOf(entry)
	if err != nil {
		return taken{}, err
	}
	want, values := d.without(list, n)
	const most = 20 // lines that a last value may go on for, or brackets stand on
	for last := entry.last(); last <= len(d.lines) && last < entry.last()+most; last++ {
		from, to := d.lines[entry.line-1], len(text)
		if last < len(d.lines) {
			to = d.lines[last]
		}
		rest := slices.Concat(text[:from], text[to:])
		if len(list.items) == 1 {
			rest = d.emptied(rest, list)
		}
		after, err := parse(rest, d.file)
		if err != nil || !sameValues(want, after.values()) {
			continue
		}
		lines, ok := outdented(text[from:to], indent)
		if !ok {
			break
		}
		return taken{rest, lines, e.At.Column - len(indent), values}, nil
	}
	return taken{}, refusal(e.At, e.At.Line, "this pocket cannot be taken out of its tray alone")
}

// sharesAny reports whether a value of a group has an anchor or names one.
func (d *document) sharesAny(v *node) bool {
	return v.shared || slices.ContainsFunc(v.items, d.sharesAny) || slices.ContainsFunc(v.pairs, func(p pair) bool { return d.sharesAny(p.value) })
}

// holding is the list that an entry is an item of, and which; nil for none.
func (d *document) holding(v, entry *node) (*node, int) {
	if i := slices.Index(v.items, entry); i >= 0 {
		return v, i
	}
	for _, below := range v.items {
		if list, i := d.holding(below, entry); list != nil {
			return list, i
		}
	}
	for _, p := range v.pairs {
		if list, i := d.holding(p.value, entry); list != nil {
			return list, i
		}
	}
	return nil, 0
}

// without are the values of a text from whose list an item is gone, and those of the item.
func (d *document) without(list *node, n int) (rest, item map[string]string) {
	rest, item = map[string]string{}, map[string]string{}
	for path, value := range d.values() {
		behind, in := strings.CutPrefix(path, list.path+"/")
		if !in {
			rest[path] = value
			continue
		}
		number, below, _ := strings.Cut(behind, "/")
		if below != "" {
			below = "/" + below
		}
		switch k, _ := strconv.Atoi(number); {
		case k == n:
			item[below] = value
		case k > n:
			rest[fmt.Sprintf("%s/%d%s", list.path, k-1, below)] = value
		default:
			rest[path] = value
		}
	}
	if len(list.items) == 1 {
		rest[list.path] = ""
	}
	return rest, item
}

// emptied is a text whose list has lost its last item: its key says that it has none.
func (d *document) emptied(rest []byte, list *node) []byte {
	var from int
	var find func(v *node)
	find = func(v *node) {
		for _, p := range v.pairs {
			if p.value == list {
				from = p.from
			}
			find(p.value)
		}
		for _, item := range v.items {
			find(item)
		}
	}
	find(d.root)
	colon := from + bytes.IndexByte(rest[from:], ':') + 1
	return slices.Concat(rest[:colon], []byte(" []"), rest[colon:])
}

// outdented are lines without what a list has before its items; false where one begins further out.
func outdented(text []byte, indent string) (lines []string, ok bool) {
	for line := range strings.Lines(string(text)) {
		line = strings.TrimRight(line, "\r\n")
		bare, in := strings.CutPrefix(line, indent)
		if !in && strings.TrimSpace(line) != "" {
			return nil, false
		}
		lines = append(lines, bare)
	}
	return lines, true
}
