// Package strict reads small YAML files of which every key is known: profiles
// and shop rules. It keeps the place of everything, so that whoever wrote the
// file is shown where it is wrong and not only that it is.
//
// Anchors, aliases, merge keys, tags and several documents in one file are
// refused: none is needed here, and each is a way to make a file mean something
// else than what a person reads in it.
//
// Reading goes on after a problem, so that all of a file's problems are shown
// at once. A value that has a problem reads as zero.
package strict

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// Problem is one thing wrong with a file.
type Problem struct {
	File         string
	Line, Column int    // from 1
	Key          string // "foams[2].density_kg_m3", or ""
	Reason       string
	Hint         string // what to do, or ""
}

// Error is FILE:LINE:COLUMN: KEY: REASON (HINT).
func (p Problem) Error() string {
	s := fmt.Sprintf("%s:%d:%d: ", p.File, p.Line, p.Column)
	if p.Key != "" {
		s += p.Key + ": "
	}
	s += p.Reason
	if p.Hint != "" {
		s += " (" + p.Hint + ")"
	}
	return s
}

// Problems is everything wrong with a file, in the file's order; as an error it
// is one line for each.
type Problems []Problem

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, problem := range p {
		lines[i] = problem.Error()
	}
	return strings.Join(lines, "\n")
}

// Bounds of what is read at all. They keep a hostile file from taking the
// parser's time or stack, and are far above what a person writes.
const (
	maxBytes   = 256 << 10
	maxLine    = 2000
	maxNesting = 50
	maxLines   = 5000 // the parser recurses once per key of a block mapping
	maxText    = 1000
)

// Document is a file while it is read.
type Document struct {
	file     string
	root     ast.Node
	problems Problems
}

// Read parses a file. Whether it could be is for Err to say, after the values
// have been taken.
func Read(file string, data []byte) *Document {
	d := &Document{file: file}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !d.readable(data) {
		return d
	}
	tree, err := parse(data)
	if err != nil {
		d.problems = append(d.problems, d.syntax(err))
		return d
	}
	var bodies []ast.Node
	for _, doc := range tree.Docs {
		if doc.Body != nil {
			bodies = append(bodies, doc.Body)
		}
	}
	switch len(bodies) {
	case 0:
		d.fail(1, 1, "", "the file is empty", "")
	case 1:
		if n := indirect(bodies[0]); n != nil {
			line, column := place(n)
			d.fail(line, column, "", "anchors, aliases, merge keys and tags are not read here", "write the value out where it is needed")
			return d
		}
		d.root = bodies[0]
	default:
		line, column := place(bodies[1])
		d.fail(line, column, "", "a second document begins here", "write one document a file")
	}
	return d
}

// indirect is the first node that stands for something written elsewhere, or nil.
func indirect(root ast.Node) ast.Node {
	var f finder
	ast.Walk(&f, root)
	return f.found
}

type finder struct{ found ast.Node }

// Visit stops at the first node of the kind.
func (f *finder) Visit(n ast.Node) ast.Visitor {
	if f.found != nil {
		return nil
	}
	switch n.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.MergeKeyNode, *ast.TagNode:
		f.found = n
		return nil
	}
	return f
}

// parse keeps a fault of the parser from ending the program: a file that it
// trips over is one that cannot be read.
func parse(data []byte) (tree *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			tree, err = nil, errors.New("this is no YAML that can be read")
		}
	}()
	return parser.ParseBytes(data, 0)
}

// readable checks the bounds, and that the bytes are text.
func (d *Document) readable(data []byte) bool {
	switch {
	case len(data) > maxBytes:
		d.fail(1, 1, "", fmt.Sprintf("the file has more than %d bytes", maxBytes), "split it into several")
	case !utf8.Valid(data):
		at := invalidAt(data)
		d.fail(1+bytes.Count(data[:at], []byte("\n")), 1, "", "the text is not UTF-8", "save the file as UTF-8")
	}
	depth, line := 0, 1
	for text := range bytes.Lines(data) {
		depth += bytes.Count(text, []byte("[")) + bytes.Count(text, []byte("{"))
		if depth > maxNesting || len(text) > maxLine {
			d.fail(line, 1, "", "the line is too long or too deeply nested", "")
			break
		}
		if line > maxLines {
			d.fail(line, 1, "", fmt.Sprintf("the file has more than %d lines", maxLines), "split it")
			break
		}
		depth -= min(depth, bytes.Count(text, []byte("]"))+bytes.Count(text, []byte("}")))
		line++
	}
	return len(d.problems) == 0
}

func invalidAt(data []byte) int {
	at := 0
	for at < len(data) {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size <= 1 {
			break
		}
		at += size
	}
	return at
}

// syntax is a parser's error as a problem.
func (d *Document) syntax(err error) Problem {
	p := Problem{File: d.file, Line: 1, Column: 1, Reason: err.Error()}
	var at yaml.Error
	if errors.As(err, &at) {
		p.Reason = at.GetMessage()
		if token := at.GetToken(); token != nil && token.Position != nil {
			p.Line, p.Column = max(1, token.Position.Line), max(1, token.Position.Column)
		}
	}
	p.Reason, _, _ = strings.Cut(p.Reason, "\n")
	p.Reason = printable(p.Reason)
	return p
}

func (d *Document) fail(line, column int, key, reason, hint string) {
	d.problems = append(d.problems, Problem{d.file, line, column, key, reason, hint})
}

// Root is the file's outermost value.
func (d *Document) Root() Value { return Value{doc: d, node: d.root} }

// Err is nil, or Problems in the file's order.
func (d *Document) Err() error {
	if len(d.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(d.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return d.problems
}

// place is where a node begins.
func place(n ast.Node) (line, column int) {
	for {
		m, ok := n.(*ast.MappingNode)
		if !ok || m.IsFlowStyle || len(m.Values) == 0 {
			break
		}
		n = m.Values[0].Key
	}
	if n == nil {
		return 1, 1
	}
	if token := n.GetToken(); token != nil && token.Position != nil {
		return max(1, token.Position.Line), max(1, token.Position.Column)
	}
	return 1, 1
}

// printable shows control characters instead of sending them to a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if control(r) {
			return '?'
		}
		return r
	}, s)
}
