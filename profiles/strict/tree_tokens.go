package strict

import (
	"fmt"

	"github.com/goccy/go-yaml/token"
)

// Bounds on what the parser is given. It calls itself once for each level, and
// once more for each key of a block mapping, and compares lists of keys: without
// bounds a hostile file would take its stack or its time. They are far above
// what a person writes.
const (
	maxDepth = 40
	maxKeys  = 500
)

// level is an open group of the file: keys or dashes that start in one column,
// or a bracket.
type level struct {
	column int
	what   token.Type
	keys   int
}

// shape follows the levels of a file through its tokens.
type shape struct{ levels []level }

func (s *shape) top() *level {
	if len(s.levels) == 0 {
		return &level{column: -1}
	}
	return &s.levels[len(s.levels)-1]
}

func (s *shape) push(column int, what token.Type) {
	s.levels = append(s.levels, level{column: column, what: what})
}

func (s *shape) pop() { s.levels = s.levels[:len(s.levels)-1] }

// leave closes the levels further right than a column, up to a bracket.
func (s *shape) leave(column int) {
	for s.top().column > column && !bracket(s.top().what) {
		s.pop()
	}
}

func bracket(t token.Type) bool {
	return t == token.MappingStartType || t == token.SequenceStartType
}

// next takes a token in.
func (s *shape) next(t *token.Token) {
	column := t.Position.Column
	switch t.Type {
	case token.MappingStartType, token.SequenceStartType:
		s.push(column, t.Type)
	case token.MappingEndType, token.SequenceEndType:
		s.leave(-1)
		if len(s.levels) > 0 {
			s.pop()
		}
	case token.CollectEntryType:
		s.leave(-1)
	case token.SequenceEntryType:
		s.leave(column)
		if *s.top() != (level{column: column, what: t.Type}) {
			s.push(column, t.Type)
		}
	case token.MappingValueType:
		s.key(t)
	}
}

// key takes in the key before a colon. A dash in the key's own column belongs
// to the value of the key before.
func (s *shape) key(colon *token.Token) {
	column := colon.Position.Column
	if colon.Prev != nil && colon.Prev.Position != nil && colon.Prev.Position.Line == colon.Position.Line {
		column = colon.Prev.Position.Column
	}
	s.leave(column)
	if top := s.top(); top.what == token.SequenceEntryType && top.column == column {
		s.pop()
	}
	if top := s.top(); top.what != token.MappingValueType || top.column != column {
		s.push(column, token.MappingValueType)
	}
	s.top().keys++
}

// refused names YAML that is not read here: a person would not see what it means.
func (b *builder) refused(t token.Type) (what, hint string) {
	const plain = "write plain `key: value` lines and lists"
	switch t {
	case token.TagType:
		return "a tag", plain
	case token.MergeKeyType:
		return "a merge key", plain
	case token.MappingKeyType:
		return "a key after a question mark", plain
	case token.DirectiveType:
		return "a directive", plain
	case token.AnchorType, token.AliasType:
		if !b.Aliases {
			return "an anchor or an alias", "write the value out where it is needed"
		}
	}
	return "", ""
}

// checkTokens finds what must not reach the parser, or is not read here.
func (b *builder) checkTokens(tokens token.Tokens) bool {
	var s shape
	begun, ended := false, false
	for _, t := range tokens {
		if t == nil || t.Position == nil || t.Type == token.CommentType {
			continue
		}
		s.next(t)
		at := b.place(t)
		what, hint := b.refused(t.Type)
		switch {
		case what != "":
			b.CannotRead(at, "syntax", "here is "+what+", which is not read", hint)
		case ended || begun && t.Type == token.DocumentHeaderType:
			b.CannotRead(at, "syntax", "a second document begins here", "write one "+b.Kind+" a file")
		case len(s.levels) > maxDepth:
			b.CannotRead(at, "too-deep", fmt.Sprintf("this is nested more than %d deep", maxDepth), "no file needs more than ten levels")
		case s.top().keys > maxKeys:
			b.CannotRead(at, "too-many-keys", fmt.Sprintf("there are more than %d keys in this group", maxKeys), "list things with - before each")
		default:
			begun, ended = true, t.Type == token.DocumentEndType
			continue
		}
		return false
	}
	return true
}
