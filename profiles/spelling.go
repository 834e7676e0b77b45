package profiles

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// twins are letters of other alphabets that look like Latin ones.
var twins = strings.NewReplacer(
	"а", "a", "в", "b", "е", "e", "к", "k", "м", "m", "н", "h", "о", "o", "р", "p", "с", "c", "т", "t", "у", "y", "х", "x", "і", "i", "ѕ", "s", "ј", "j",
	"α", "a", "β", "b", "ε", "e", "ι", "i", "κ", "k", "ν", "v", "ο", "o", "ρ", "p", "τ", "t", "υ", "u", "χ", "x",
)

// spelt is a text as its words are compared: small letters without accents, wide
// and joined forms taken apart, what cannot be seen left out, and a Latin word
// with letters of another alphabet among them written in Latin ones.
func spelt(text string) string {
	text = strings.ToLower(norm.NFKD.String(text))
	text = strings.Map(func(r rune) rune {
		if Invisible(r) || unicode.Is(unicode.Mn, r) && unicode.Is(unicode.Inherited, r) {
			return -1
		}
		return r
	}, text)
	fields := strings.Fields(text)
	for i, f := range fields {
		if strings.ContainsFunc(f, func(r rune) bool { return unicode.Is(unicode.Latin, r) }) {
			fields[i] = twins.Replace(f)
		}
	}
	return strings.Join(fields, " ")
}

// Invisible reports whether a rune is none that a person sees: format characters,
// fillers, variation selectors.
func Invisible(r rune) bool {
	return unicode.In(r, unicode.Cf, unicode.Cc, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector) || r == '\u2800'
}

// wordsOf splits a text, as spelt, at everything that is no letter or digit.
func wordsOf(text string) []string {
	return strings.FieldsFunc(spelt(text), func(r rune) bool { return !unicode.In(r, unicode.L, unicode.M, unicode.Nd) })
}
