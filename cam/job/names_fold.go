package job

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// words are a text's words as they are compared: small letters and digits
// without accents. Everything else divides words.
func words(text string) []string {
	return strings.FieldsFunc(fold(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// fold makes small letters of a text and takes their accents off.
func fold(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(text))
}

// literals are the stretches of a template that somebody typed.
func literals(template string) []string { return placeholder.Split(template, -1) }

// digits of a text: what numbers its trays is not spelling.
func digits(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, text)
}

// plural reports whether one is the other with an s or es behind it.
func plural(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	end, ok := strings.CutPrefix(b, a)
	return ok && (end == "s" || end == "es")
}
