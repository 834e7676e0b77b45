package profiles

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// twins are letters that look like plain Latin ones: of other alphabets, small
// capitals and letters without their dot (after Unicode's UTS 39, from memory).
var twins = strings.NewReplacer(
	"а", "a", "в", "b", "е", "e", "к", "k", "м", "m", "н", "h", "о", "o", "р", "p", "с", "c", "т", "t", "у", "y", "х", "x", "і", "i", "ѕ", "s", "ј", "j",
	"ѵ", "v", "ԁ", "d", "ԛ", "q", "ԝ", "w", "һ", "h", "ӏ", "l", "г", "r", "օ", "o", "ո", "n", "ս", "u", "հ", "h",
	"α", "a", "β", "b", "ε", "e", "ι", "i", "κ", "k", "ν", "v", "ο", "o", "ρ", "p", "τ", "t", "υ", "u", "χ", "x", "η", "n", "σ", "o", "ς", "c", "γ", "y",
	"ı", "i", "ȷ", "j", "ɑ", "a", "ɡ", "g", "ɩ", "i", "ʋ", "v",
	"ᴀ", "a", "ʙ", "b", "ᴄ", "c", "ᴅ", "d", "ᴇ", "e", "ꜰ", "f", "ɢ", "g", "ʜ", "h", "ɪ", "i", "ᴊ", "j", "ᴋ", "k", "ʟ", "l", "ᴍ", "m",
	"ɴ", "n", "ᴏ", "o", "ᴘ", "p", "ʀ", "r", "ꜱ", "s", "ᴛ", "t", "ᴜ", "u", "ᴠ", "v", "ᴡ", "w", "ʏ", "y", "ᴢ", "z",
	"ꭰ", "d", "ꭱ", "r", "ꭲ", "t", "ꭵ", "i", "ꭹ", "y", "ꭺ", "a", "ꭻ", "j", "ꭼ", "e", "ꮃ", "w", "ꮇ", "m", "ꮋ", "h", "ꮓ", "z", "ꮒ", "h",
	"ꮢ", "r", "ꮤ", "w", "ꮩ", "v", "ꮪ", "s", "ꮮ", "l", "ꮯ", "c", "ꮲ", "p", "ꮶ", "k", "ᏼ", "b",
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
		if strings.ContainsFunc(f, latin) {
			fields[i] = twins.Replace(f)
		}
	}
	return strings.Join(fields, " ")
}

func latin(r rune) bool { return unicode.Is(unicode.Latin, r) }

// looksLatin is a word, as spelt, in Latin letters where all of its letters look like
// such; a word in capitals stays in capitals.
func looksLatin(word string) string {
	plain := twins.Replace(spelt(word))
	if strings.ContainsFunc(plain, func(r rune) bool { return unicode.IsLetter(r) && !latin(r) }) {
		return word
	}
	if strings.ToUpper(word) == word {
		return strings.ToUpper(plain)
	}
	return plain
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
