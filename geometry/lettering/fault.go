package lettering

import (
	"fmt"
	"strings"
)

// Rule names what a Fault breaks.
type Rule string

const (
	ruleFont      Rule = "font"      // the data is no font that can be used, or a glyph of it is beyond the limits
	ruleSetting   Rule = "setting"   // a height, radius, tracking or width is out of range
	ruleEmpty     Rule = "empty"     // there is no text, or nothing but spaces
	ruleTooLong   Rule = "too-long"  // more characters, or a longer line on its arc, than can be set
	ruleCharacter Rule = "character" // a control character, a mark without its letter, bytes that are no text
	ruleDirection Rule = "direction" // text that runs from right to left
	ruleTooSmall  Rule = "too-small" // the box is too small for any letter
	ruleBridge    Rule = "bridge"    // an island for which no bridge was found
	ruleShape     Rule = "shape"     // a region that is not valid
)

// Fault is an error of this package: the rule, what is the matter, and what to do.
type Fault struct {
	Rule       Rule
	Text, Hint string
}

func (f *Fault) Error() string { return f.Text }

// MissingError lists every character of a text for which a face has no letter.
type MissingError struct {
	Face  string
	Runes []rune // each once, in the order of the text
	Hint  string
}

func (e *MissingError) Error() string {
	var list []string
	for _, r := range e.Runes {
		list = append(list, named(r))
	}
	return fmt.Sprintf("the face %s has no letter for %s", e.Face, strings.Join(list, ", "))
}

// named shows a character and its number.
func named(r rune) string { return fmt.Sprintf("%q (U+%04X)", r, r) }
