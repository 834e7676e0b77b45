package lettering

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// maxCharacters is the longest line that Set takes, and maxBytes what it looks at to count.
const (
	maxCharacters = 200
	maxBytes      = 16 * maxCharacters
)

// characters composes the text and returns its characters, or what cannot be set.
func characters(text string) ([]rune, error) {
	if len(text) > maxBytes {
		return nil, &Fault{ruleTooLong, fmt.Sprintf("the text has %d bytes; a line may have %d", len(text), maxBytes), "set it in several lines"}
	}
	if !utf8.ValidString(text) {
		return nil, &Fault{ruleCharacter, fmt.Sprintf("the text %q is not UTF-8", text), "save the file as UTF-8"}
	}
	runes := []rune(norm.NFC.String(text))
	if len(runes) > maxCharacters {
		return nil, &Fault{ruleTooLong, fmt.Sprintf("the text has %d characters; a line may have %d", len(runes), maxCharacters), "set it in several lines"}
	}
	if strings.TrimSpace(string(runes)) == "" {
		return nil, &Fault{ruleEmpty, "there is no text to set", "give at least one letter"}
	}
	for i, r := range runes {
		if err := checkCharacter(r, i); err != nil {
			return nil, err
		}
	}
	return runes, nil
}

// checkCharacter refuses what is no letter by itself, or runs the other way.
func checkCharacter(r rune, i int) error {
	place := fmt.Sprintf("character %d of the text, %s,", i+1, named(r))
	switch {
	case r != ' ' && unicode.In(r, unicode.Zl, unicode.Zp, unicode.Cc, unicode.Cf, unicode.Cs, unicode.Co):
		return &Fault{ruleCharacter, place + " is a control character", "take it out; a text is one line"}
	case unicode.Is(unicode.M, r):
		return &Fault{ruleCharacter, place + " is a mark that does not compose with the letter before it", "use the letter that has the mark, or leave it out"}
	}
	switch p, _ := bidi.LookupRune(r); p.Class() {
	case bidi.R, bidi.AL, bidi.AN:
		return &Fault{ruleDirection, place + " belongs to a script that runs from right to left, which is not set here", "draw the text and place it as an emblem"}
	}
	return nil
}

// missing lists the characters that the face has no letter for, or is nil.
func (f *Face) missing(runes []rune) error {
	e := &MissingError{Face: f.name}
	var hints []string
	for _, r := range runes {
		if unicode.IsSpace(r) || f.source.has(r) || slices.Contains(e.Runes, r) {
			continue
		}
		e.Runes = append(e.Runes, r)
		if near := f.nearest(r); near != "" {
			hints = append(hints, fmt.Sprintf("write %q for %q", near, r))
		}
	}
	if e.Runes == nil {
		return nil
	}
	e.Hint = "use another face, or another spelling"
	if hints != nil {
		e.Hint = strings.Join(hints, ", ") + ", or use another face"
	}
	return e
}

// nearest is what the face can set in place of a character: its compatible form, its
// letter without the marks, or its other case; "" for none.
func (f *Face) nearest(r rune) string {
	bare := strings.Map(func(c rune) rune {
		if unicode.Is(unicode.M, c) {
			return -1
		}
		return c
	}, norm.NFKD.String(string(r)))
	for _, s := range []string{norm.NFKC.String(string(r)), bare, string(unicode.ToUpper(r)), string(unicode.ToLower(r))} {
		if s != "" && !slices.ContainsFunc([]rune(s), func(c rune) bool { return !f.source.has(c) }) {
			return s
		}
	}
	return ""
}
