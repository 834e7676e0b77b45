package strict

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
)

// document is what the values of a file share.
type document struct {
	log *finding.Log
	Options
}

// Value is a place in a file and what stands there. The zero Value is one that
// is absent: everything about it reads as zero and is no problem.
type Value struct {
	doc   *document
	node  *node
	key   string
	named naming
}

// naming is how messages call a value.
type naming uint8

const (
	byKey  naming = iota // `depth`
	byList               // an entry of `holds`
	byName               // the key as it is: foams[2].density_kg_m3, a tray
)

// Called is what messages call the value.
func (v Value) Called() string {
	switch {
	case v.named == byName:
		return v.key
	case v.key == "":
		return "the file"
	case v.named == byList:
		return "an entry of `" + v.key + "`"
	}
	return "`" + v.key + "`"
}

// As is the same value, called by another name in messages: "a tray".
func (v Value) As(name string) Value {
	v.key, v.named = name, byName
	return v
}

// Present reports whether there is a value.
func (v Value) Present() bool { return v.node != nil }

// At is where the value begins; zero when it is absent.
func (v Value) At() finding.Position {
	if v.node == nil {
		return finding.Position{}
	}
	return v.node.at
}

// IsMap reports whether the value is written as `key: value` lines.
func (v Value) IsMap() bool { return v.node != nil && v.node.kind == mapping }

// IsList reports whether the value is written as a list.
func (v Value) IsList() bool { return v.node != nil && v.node.kind == list }

// Written is what the value is written as, for a message: "a list".
func (v Value) Written() string {
	if v.node == nil {
		return empty.String()
	}
	return v.node.kind.String()
}

// Fail reports that the value is wrong: its name, then the reason.
func (v Value) Fail(reason, hint string) {
	if v.node == nil {
		return
	}
	if v.key != "" {
		reason = v.Called() + ": " + reason
	}
	v.doc.log.Fail(v.node.at, "bad-value", reason, hint)
}

// cannotRead reports that the value is none of the kind that is wanted.
func (v Value) cannotRead(rule, message, hint string) {
	v.doc.log.CannotRead(v.node.at, rule, message, hint)
}

func (v Value) wrongKind(wanted string) {
	v.cannotRead("wrong-type", fmt.Sprintf("%s has to be %s, and here is %s", v.Called(), wanted, v.node.kind),
		"check the indentation, and put a text that has { or [ in it in quotes")
}

// Key is a key that a group may have, and what is done with its value.
type Key struct {
	Name string
	Read func(Value)
}

// Keys takes the value as a group of known keys, and reads them in the file's order. A key
// that the group has no row for, or that nobody reads here, is a finding that names the
// nearest, and so is one without a value.
func (v Value) Keys(known *Group, keys ...Key) {
	v.pairs(func(p pair, value Value) {
		i := slices.IndexFunc(keys, func(k Key) bool { return k.Name == p.key })
		switch {
		case i < 0 || !known.has(p.key):
			v.unknownKey(p, known.Names())
		case p.node.kind == empty:
			v.doc.log.CannotRead(p.at, "missing-value", value.Called()+" has no value", "write one, or take the key out")
		default:
			keys[i].Read(value)
		}
	})
}

// Each goes through a group of any keys in the file's order.
func (v Value) Each(visit func(key string, value Value)) {
	if !v.empty() {
		v.pairs(func(p pair, value Value) { visit(p.key, value) })
	}
}

// Map is a group whose keys are all known, to ask for one by one.
type Map struct {
	at     Value
	values map[string]Value
}

// Map takes the value as a group with no other than the known keys; one of which
// all is commented out has none of them.
func (v Value) Map(known ...string) Map {
	m := Map{at: v, values: map[string]Value{}}
	if v.empty() {
		return m
	}
	v.pairs(func(p pair, value Value) {
		if !slices.Contains(known, p.key) {
			v.unknownKey(p, known)
			return
		}
		m.values[p.key] = value
	})
	return m
}

// Get is the value of a key; absent where the file has none.
func (m Map) Get(key string) Value { return m.values[key] }

// Need is the value of a key that has to be there.
func (m Map) Need(key string) Value {
	v, ok := m.values[key]
	if !ok {
		m.at.Fail(key+" is missing", "add `"+key+":` with its value")
	}
	return v
}

// pairs goes through a group in the file's order.
func (v Value) pairs(visit func(p pair, value Value)) {
	if v.node == nil {
		return
	}
	if v.node.kind != mapping {
		v.wrongKind("`key: value` lines")
		return
	}
	for _, p := range v.node.pairs {
		visit(p, v.child(p))
	}
}

func (v Value) child(p pair) Value {
	c := Value{doc: v.doc, node: p.node, key: p.key}
	if v.doc.Paths {
		c.named = byName
		if v.key != "" {
			c.key = v.key + "." + p.key
		}
	}
	return c
}

func (v Value) unknownKey(p pair, known []string) {
	hint := v.doc.log.DidYouMean(p.key, known)
	if i := slices.IndexFunc(v.node.pairs, func(q pair) bool { return q.at == p.at }); i > 0 && p.node.kind == empty {
		before := v.node.pairs[i-1]
		text := before.node.text + "," + p.key // in braces a comma parts two keys
		if pointed, ok := withPoint(text); ok {
			v.doc.log.CannotRead(p.at, "bad-number", fmt.Sprintf("%s: `%s: %s` is no number", v.Called(), before.key, text), fmt.Sprintf("write it with a point: `%s: %s`", before.key, pointed))
			return
		}
	}
	if hint == "" {
		hint = "known are " + strings.Join(known, ", ")
	}
	v.doc.log.CannotRead(p.at, "unknown-key", fmt.Sprintf("%s has no key %s", v.Called(), finding.Quote(p.key)), hint)
}

// empty reports whether there is nothing: no value, or a key of which all that
// stood below it is commented out.
func (v Value) empty() bool { return v.node == nil || v.node.kind == empty }

// List takes the value as a list.
func (v Value) List() []Value {
	if v.empty() {
		return nil
	}
	if v.node.kind != list {
		v.wrongKind("a list")
		return nil
	}
	items := make([]Value, len(v.node.items))
	for i, n := range v.node.items {
		items[i] = Value{doc: v.doc, node: n, key: v.key, named: byList}
		if v.doc.Paths {
			items[i].key, items[i].named = fmt.Sprintf("%s[%d]", v.key, i+1), byName
		}
	}
	return items
}

// ListUpTo takes the value as a list of at most so many; hint is for one that has
// more.
func (v Value) ListUpTo(most int, hint string) []Value {
	items := v.List()
	if len(items) > most {
		v.doc.log.Fail(v.node.at, "too-many", fmt.Sprintf("%s has %d entries, more than %d", v.Called(), len(items), most), hint)
		return items[:most]
	}
	return items
}

// Tuple takes the value as a list of as many values as the form has, such as
// "[x, y]"; nil when it is none.
func (v Value) Tuple(form string) []Value {
	n := 1 + strings.Count(form, ",")
	if v.node == nil {
		return nil
	}
	if v.node.kind != list || len(v.node.items) != n {
		key := v.key[strings.LastIndexByte(v.key, '.')+1:]
		v.cannotRead("wrong-type", fmt.Sprintf("%s takes %d values", v.Called(), n), fmt.Sprintf("write `%s: %s`", key, form))
		return nil
	}
	return v.List()
}
