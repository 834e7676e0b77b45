package strict

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"traywright/cam/finding"
)

// kind is what a value is written as.
type kind uint8

const (
	empty kind = iota
	scalar
	list
	mapping
)

func (k kind) String() string {
	return [...]string{"empty", "a text or a number", "a list", "a group of `key: value`"}[k]
}

// node is what stands at a place of a YAML file. Aliases point to the node of
// their anchor, so that a tree takes no more room than its text.
type node struct {
	at    finding.Position
	kind  kind
	text  string // of a scalar, as it stands in the file, without quotes
	items []*node
	pairs []pair
	size  int // nodes in it, as if every alias were written out
}

type pair struct {
	key  string
	at   finding.Position // of the key
	node *node
}

// mostAliased is the most values that the aliases of a file may stand for, all
// together.
const mostAliased = 200_000

// mostSigns is the most signs that may begin or end a value in a file. Each
// takes the lexer some 300 bytes; 20,000 pockets have half as many.
const mostSigns = 1_000_000

func signs(text string) int {
	n := 0
	for _, c := range []byte(text) {
		if strings.IndexByte("[]{},:-&*!?\"'|>%#", c) >= 0 {
			n++
		}
	}
	return n
}

// Parse reads a file's text as YAML. One problem is enough to give up: after it,
// nothing in the file is sure to be what it seems. It is false, with a finding in
// the log, when there is no value.
func Parse(log *finding.Log, file, text string, o Options) (Value, bool) {
	b := &builder{Log: log, file: file, Options: o, anchors: map[string]*node{}}
	before := log.Len()
	root := b.parse(text)
	if root == nil && log.Len() == before {
		log.CannotRead(finding.Start(file), "empty-file", "the file is empty", o.Begin)
	}
	if log.Len() > before {
		return Value{}, false
	}
	return Value{doc: &document{log, o}, node: root}, true
}

// builder makes nodes of the parser's.
type builder struct {
	*finding.Log
	Options
	file    string
	anchors map[string]*node
	aliased int
}

func (b *builder) parse(text string) (root *node) {
	if signs(text) > mostSigns {
		b.CannotRead(finding.Start(b.file), "too-many-values", fmt.Sprintf("the file has more than %d signs such as [ and :", mostSigns), b.Smaller)
		return nil
	}
	defer b.survive()
	tokens := lexer.Tokenize(text)
	if !b.checkTokens(tokens) {
		return nil
	}
	tree, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		b.syntax(err)
		return nil
	}
	for _, doc := range tree.Docs {
		if doc.Body != nil {
			root = b.build(doc.Body)
		}
	}
	return root
}

// survive keeps a fault of the parser from ending the program: a file that it trips
// over is one that cannot be read.
func (b *builder) survive() {
	if recover() != nil {
		b.syntax(nil)
	}
}

func (b *builder) place(t *token.Token) finding.Position {
	if t == nil || t.Position == nil {
		return finding.Start(b.file)
	}
	return finding.Position{File: b.file, Line: max(1, t.Position.Line), Column: max(1, t.Position.Column)}
}

// syntax reports the parser's error.
func (b *builder) syntax(err error) {
	at, message := finding.Start(b.file), ""
	// The parser's own text of an error draws the file around it, and takes
	// minutes where the file is one long line.
	var e yaml.Error
	if errors.As(err, &e) {
		at, message = b.place(e.GetToken()), e.GetMessage()
	}
	message, err = line(message, 200)
	if message == "" || err != nil {
		message = "it is not well formed"
	}
	b.CannotRead(at, "syntax", "this is no YAML: "+message, "check the indentation; a text with : # { } [ ] & * or % in it has to be in quotes")
}

// build makes a node of the parser's. Its depth is bounded by checkTokens.
func (b *builder) build(n ast.Node) *node {
	v := &node{at: b.place(n.GetToken()), size: 1}
	switch n := n.(type) {
	case *ast.NullNode:
	case *ast.MappingNode:
		b.mapping(v, n)
	case *ast.SequenceNode:
		v.kind = list
		for _, item := range n.Values {
			v.add(b.build(item))
		}
	case *ast.AnchorNode:
		v = b.build(n.Value)
		b.anchors[n.Name.GetToken().Value] = v
	case *ast.AliasNode:
		return b.alias(v, n.Value.GetToken().Value)
	case *ast.LiteralNode:
		v.kind, v.text = scalar, n.Value.Value
	case *ast.StringNode:
		v.kind, v.text = scalar, n.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		v.kind, v.text = scalar, n.GetToken().Value
	default:
		b.CannotRead(v.at, "syntax", "this YAML is not read here", "write plain `key: value` lines and lists")
	}
	return v
}

func (v *node) add(item *node) {
	v.items = append(v.items, item)
	v.size += item.size
}

func (b *builder) mapping(v *node, n *ast.MappingNode) {
	v.kind = mapping
	first := map[string]finding.Position{}
	for i, value := range n.Values {
		at := b.place(value.Key.GetToken())
		if i == 0 && !n.IsFlowStyle {
			v.at = at
		}
		key, ok := keyText(value.Key)
		if !ok {
			b.CannotRead(at, "syntax", "a key has to be a plain name", "write plain `key: value` lines")
			continue
		}
		if before, ok := first[key]; ok {
			b.CannotRead(at, "duplicate-key", fmt.Sprintf("%s is here a second time; it is in line %d already", finding.Quote(key), before.Line), "keep one of the two")
			continue
		}
		first[key] = at
		p := pair{key: key, at: at, node: b.build(value.Value)}
		v.pairs = append(v.pairs, p)
		v.size += p.node.size
	}
}

// keyText is a key as it is written; false for one that is no plain name.
func keyText(n ast.MapKeyNode) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, n.Value != "" && !strings.ContainsFunc(n.Value, control)
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NullNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// alias is the node of an anchor. An anchor is known only after its value, so
// none can hold itself.
func (b *builder) alias(at *node, name string) *node {
	v, ok := b.anchors[name]
	if !ok {
		b.CannotRead(at.at, "unknown-anchor", fmt.Sprintf("there is no anchor &%s before this", name), "write the anchor first, or the value itself")
		return at
	}
	if b.aliased <= mostAliased && b.aliased+v.size > mostAliased {
		b.CannotRead(at.at, "too-many-aliases", fmt.Sprintf("the aliases up to here stand for more than %d values", mostAliased), "write the values out where they are needed")
	}
	b.aliased = min(b.aliased+v.size, mostAliased+1)
	return &node{at: v.at, kind: v.kind, text: v.text, items: v.items, pairs: v.pairs, size: min(v.size, mostAliased+1)}
}
