package edit

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"traywright/cam/finding"
)

// document is a job's text, and what stands in it.
type document struct {
	text  []byte
	file  string
	lines []int // offset of each line's first byte
	root  *node
}

// node is a value with its place in the text. Those behind an anchor or an alias are shared.
type node struct {
	path         string
	line, column int
	from, to     int    // bytes of a scalar, quotes among them
	text         string // of a scalar, without quotes
	quote        byte   // 0 for none
	shared       bool
	flow         bool // a group in braces, or a list in brackets
	items        []*node
	pairs        []pair
}

type pair struct {
	key        string
	line, from int
	value      *node
}

var errUnread = errors.New("the text cannot be read")

// parse reads a text as the job's own reader does; see profiles/strict, which has refused
// by now whatever must not reach the parser.
func parse(text []byte, file string) (d *document, err error) {
	defer func() {
		if recover() != nil {
			d, err = nil, errUnread
		}
	}()
	d = &document{text: text, file: file, lines: []int{0}}
	for i, b := range text {
		if b == '\n' {
			d.lines = append(d.lines, i+1)
		}
	}
	plain := strings.ReplaceAll(string(bytes.TrimPrefix(text, mark)), "\r\n", "\n")
	tree, err := parser.Parse(lexer.Tokenize(plain), 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, errUnread
	}
	for _, doc := range tree.Docs {
		if doc.Body != nil {
			d.root = d.build(doc.Body, "", false)
		}
	}
	if d.root == nil {
		return nil, errUnread
	}
	return d, nil
}

// mark is a byte-order mark, which no column counts.
var mark = []byte("\xef\xbb\xbf")

// offset is the byte at which a token stands; -1 where that is not in the text.
func (d *document) offset(t *token.Token) int {
	line := t.Position.Line - 1
	if line < 0 || line >= len(d.lines) {
		return -1
	}
	at := d.lines[line]
	if line == 0 && bytes.HasPrefix(d.text, mark) {
		at += len(mark)
	}
	for range t.Position.Column - 1 {
		_, size := utf8.DecodeRune(d.text[at:])
		if at += size; size == 0 {
			return -1
		}
	}
	return at
}

func (d *document) build(n ast.Node, path string, shared bool) *node {
	t := n.GetToken()
	v := &node{path: path, line: t.Position.Line, column: t.Position.Column, from: -1, shared: shared}
	switch n := n.(type) {
	case *ast.NullNode:
	case *ast.MappingNode:
		v.flow = n.IsFlowStyle
		for i, p := range n.Values {
			key := p.Key.GetToken()
			if i == 0 && !v.flow {
				v.line, v.column = key.Position.Line, key.Position.Column
			}
			v.pairs = append(v.pairs, pair{key.Value, key.Position.Line, d.offset(key), d.build(p.Value, path+"/"+key.Value, shared)})
		}
	case *ast.SequenceNode:
		v.flow = n.IsFlowStyle
		for i, item := range n.Values {
			v.items = append(v.items, d.build(item, fmt.Sprintf("%s/%d", path, i), shared))
		}
	case *ast.AnchorNode:
		return d.build(n.Value, path, true)
	case *ast.AliasNode:
		v.shared, v.text = true, "*"+n.Value.GetToken().Value
	case *ast.LiteralNode:
		v.text = n.Value.Value
	default:
		d.scalar(v, t)
	}
	return v
}

// scalar finds a value of one line in the text: as it is, or in quotes without anything escaped.
func (d *document) scalar(v *node, t *token.Token) {
	v.text = t.Value
	at := d.offset(t)
	if at < 0 {
		return
	}
	for _, quote := range []string{"", "'", `"`} {
		if written := quote + t.Value + quote; bytes.HasPrefix(d.text[at:], []byte(written)) {
			v.from, v.to = at, at+len(written)
			if quote != "" {
				v.quote = quote[0]
			}
			return
		}
	}
}

// quoted is a value in the quotes of the one that it replaces, or in some where it needs them.
func (v *node) quoted(text string) string {
	switch {
	case strings.Contains(text, `"`):
		return "'" + text + "'"
	case v.quote != 0:
		return string(v.quote) + text + string(v.quote)
	}
	return text
}

// open reads a text, and finds the entry that begins at a place.
func open(text []byte, at finding.Position) (*document, *node, error) {
	d, err := parse(text, at.File)
	if err != nil {
		return nil, nil, refusal(at, at.Line, "the file cannot be read")
	}
	found := d.find(d.root, at)
	if found == nil {
		return nil, nil, refusal(at, at.Line, "the entry is not where it was")
	}
	if found.shared {
		return nil, nil, refusal(at, at.Line, "this entry has an anchor or lies in one, and is shared by all that name it")
	}
	return d, found, nil
}

func (d *document) find(v *node, at finding.Position) *node {
	if v.pairs != nil && v.line == at.Line && v.column == at.Column {
		return v
	}
	for _, p := range v.pairs {
		if found := d.find(p.value, at); found != nil {
			return found
		}
	}
	for _, item := range v.items {
		if found := d.find(item, at); found != nil {
			return found
		}
	}
	return nil
}

// value is that of an entry's key; nil where it has none.
func (d *document) value(entry *node, key string) (*node, error) {
	for _, p := range entry.pairs {
		if p.key != key {
			continue
		}
		if p.value.items != nil && !p.value.shared {
			return p.value, nil
		}
		return p.value, d.own(p.value, key)
	}
	return nil, nil
}

// own refuses a value that is not the entry's alone, or not found in the text.
func (d *document) own(v *node, key string) error {
	at := finding.Position{File: d.file}
	switch {
	case v.shared:
		return refusal(at, v.line, "`"+key+"` has an anchor or names one, and is shared by all that name it")
	case v.from < 0 && v.items == nil && v.pairs == nil:
		return refusal(at, v.line, "`"+key+"` is not written plainly on one line")
	}
	return nil
}

// values are all scalars of the text, by their paths; empty groups and lists among them.
func (d *document) values() map[string]string {
	all := map[string]string{}
	var visit func(v *node)
	visit = func(v *node) {
		if v.pairs == nil && v.items == nil {
			all[v.path] = v.text
		}
		for _, p := range v.pairs {
			visit(p.value)
		}
		for _, item := range v.items {
			visit(item)
		}
	}
	visit(d.root)
	return all
}
