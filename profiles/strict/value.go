package strict

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"

	"traywright/cam/finding"
)

// Value is a place in a file and what stands there. The zero Value is one that
// is absent: everything about it reads as zero and is no problem.
type Value struct {
	doc  *Document
	node ast.Node
	key  string
}

// Present reports whether there is a value.
func (v Value) Present() bool { return v.node != nil }

// Place is the value's line and column, from 1; 0, 0 when it is absent.
func (v Value) Place() (line, column int) {
	if v.node == nil {
		return 0, 0
	}
	return place(v.node)
}

// Fail reports that the value is wrong.
func (v Value) Fail(reason, hint string) {
	if v.doc == nil || v.node == nil {
		return
	}
	line, column := place(v.node)
	v.doc.fail(line, column, v.key, reason, hint)
}

// Map is a mapping whose keys are all known.
type Map struct {
	at     Value
	values map[string]Value
}

// Map takes the value as a mapping with no other than the known keys. Every
// other key is a problem that names the nearest known one.
func (v Value) Map(known ...string) Map {
	m := Map{at: v, values: map[string]Value{}}
	v.each(func(at ast.Node, key string, value Value) {
		if slices.Contains(known, key) {
			m.values[key] = value
			return
		}
		line, column := place(at)
		v.doc.fail(line, column, value.key, "there is no such key", finding.Suggest(key, known))
	})
	return m
}

// Get is the value of a key; absent where the file has none.
func (m Map) Get(key string) Value { return m.values[key] }

// Need is the value of a key that has to be there.
func (m Map) Need(key string) Value {
	v, ok := m.values[key]
	if !ok {
		m.at.Fail(key+" is missing", "")
	}
	return v
}

// Each goes through a mapping in the file's order.
func (v Value) Each(visit func(key string, value Value)) {
	v.each(func(_ ast.Node, key string, value Value) { visit(key, value) })
}

func (v Value) each(visit func(at ast.Node, key string, value Value)) {
	if v.empty() {
		return
	}
	m, ok := v.node.(*ast.MappingNode)
	if !ok {
		v.Fail("is "+kindOf(v.node)+", not a list of `key: value`", "")
		return
	}
	for _, pair := range m.Values {
		key, ok := keyText(pair.Key)
		if !ok {
			line, column := place(pair.Key)
			v.doc.fail(line, column, v.key, "a key has to be a plain name", "")
			continue
		}
		visit(pair.Key, key, Value{v.doc, pair.Value, join(v.key, key)})
	}
}

func keyText(n ast.MapKeyNode) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, n.Value != "" && printable(n.Value) == n.Value
	case *ast.IntegerNode, *ast.FloatNode:
		return n.GetToken().Value, true
	}
	return "", false
}

func join(outer, key string) string {
	if outer == "" {
		return key
	}
	return outer + "." + key
}

// empty reports whether there is nothing: no value, or a key of which all that
// stood below it is commented out.
func (v Value) empty() bool {
	_, null := v.node.(*ast.NullNode)
	return v.node == nil || null
}

// List takes the value as a sequence.
func (v Value) List() []Value {
	if v.empty() {
		return nil
	}
	s, ok := v.node.(*ast.SequenceNode)
	if !ok {
		v.Fail("is "+kindOf(v.node)+", not a list", "")
		return nil
	}
	list := make([]Value, len(s.Values))
	for i, n := range s.Values {
		list[i] = Value{v.doc, n, fmt.Sprintf("%s[%d]", v.key, i+1)}
	}
	return list
}

// IsMap and IsList report what the value is written as.
func (v Value) IsMap() bool { _, ok := v.node.(*ast.MappingNode); return ok }

// IsList reports whether the value is a sequence.
func (v Value) IsList() bool { _, ok := v.node.(*ast.SequenceNode); return ok }

// Scalar takes the value as a text or a number as it stands in the file.
func (v Value) Scalar() string {
	if v.node == nil {
		return ""
	}
	var text string
	switch n := v.node.(type) {
	case *ast.StringNode:
		text = n.Value
	case *ast.LiteralNode:
		text = n.Value.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode, *ast.BoolNode:
		text = n.GetToken().Value
	default:
		v.Fail("is "+kindOf(v.node)+", not a text or a number", "")
		return ""
	}
	return text
}

// Text takes the value as one line of text: white space collapsed, not empty,
// no control characters.
func (v Value) Text() string {
	if v.node == nil {
		return ""
	}
	before := len(v.doc.problems)
	text := strings.Join(strings.Fields(v.Scalar()), " ")
	switch {
	case len(v.doc.problems) > before:
		return ""
	case text == "":
		v.Fail("is empty", "")
	case utf8.RuneCountInString(text) > maxText:
		v.Fail(fmt.Sprintf("has more than %d characters", maxText), "")
	case strings.ContainsFunc(text, control):
		v.Fail("has control characters in it", "")
	default:
		return text
	}
	return ""
}

// control is what must never reach a terminal, a program or a page: control
// characters, and those that turn the direction of the text around them.
func control(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == utf8.RuneError
}

// name is what ids look like.
var name = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// Name takes the value as an id: small letters, digits and hyphens.
func (v Value) Name() string {
	text := v.Text()
	if text != "" && (len(text) > 40 || !name.MatchString(text)) {
		v.Fail(fmt.Sprintf("%q is no id", text), "write small letters, digits and single hyphens, at most 40")
		return ""
	}
	return text
}

// OneOf takes the value as one of a few words.
func (v Value) OneOf(words ...string) string {
	text := v.Text()
	if text == "" {
		return ""
	}
	if slices.Contains(words, text) {
		return text
	}
	v.Fail(fmt.Sprintf("%q is not known here", text), finding.Suggest(text, words))
	return ""
}

// Flag takes the value as true or false.
func (v Value) Flag() bool { return v.OneOf("true", "false") == "true" }

// decimal is the only form of number that is read: what people write.
var decimal = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`)

// Number takes the value as a decimal number from least to most.
func (v Value) Number(least, most float64) float64 {
	if v.node == nil {
		return 0
	}
	before := len(v.doc.problems)
	text := strings.TrimSpace(v.Scalar())
	if len(v.doc.problems) > before {
		return 0
	}
	n, err := Decimal(text)
	if err != nil {
		v.Fail(err.Error(), "")
		return 0
	}
	if n < least || n > most {
		v.Fail(fmt.Sprintf("%s is not from %v to %v", text, least, most), "")
		return 0
	}
	return n
}

// Decimal reads a decimal number such as 3.175; exponents, hexadecimals,
// infinities and NaN are errors.
func Decimal(text string) (float64, error) {
	if len(text) > 30 || !decimal.MatchString(text) {
		return 0, fmt.Errorf("%q is no number", shorten(text))
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(n, 0) || math.IsNaN(n) {
		return 0, fmt.Errorf("%q is no number", text)
	}
	return n, nil
}

func shorten(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

// kindOf names what was written instead of what was wanted.
func kindOf(n ast.Node) string {
	switch n.(type) {
	case *ast.MappingNode:
		return "`key: value`"
	case *ast.SequenceNode:
		return "a list"
	case *ast.NullNode:
		return "empty"
	case *ast.AnchorNode, *ast.AliasNode, *ast.MergeKeyNode, *ast.TagNode:
		return "an anchor, alias or tag, which is not read here"
	}
	return "a text or a number"
}
