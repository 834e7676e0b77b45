package safety

import (
	"strings"
	"unicode"

	"traywright/profiles"
)

// A condition and a reason are words: at least two different ones, each of two or
// more letters that are not all the same. In scripts that write no spaces, four
// letters in a row are two words. What cannot be seen counts for nothing.
// "always", a full stop, a dash or an invisible letter say nothing that anybody
// could keep to.
const needsWords = "a condition is words: at least two different ones of two or more letters"

// saysSomething reports whether a text is words.
func saysSomething(text string) bool {
	seen := strings.Map(func(r rune) rune {
		switch {
		case profiles.Invisible(r):
			return -1
		case unicode.In(r, unicode.L, unicode.M):
			return unicode.ToLower(r)
		}
		return ' '
	}, text)
	words := map[string]bool{}
	for _, w := range strings.Fields(seen) {
		runes := []rune(w)
		if len(runes) >= 4 && strings.ContainsFunc(w, unspaced) && !allSame(runes) {
			return true
		}
		if len(runes) >= 2 && !allSame(runes) {
			words[w] = true
		}
	}
	return len(words) >= 2
}

// unspaced is a letter of a script that puts no spaces between its words.
func unspaced(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
}

func allSame(runes []rune) bool {
	for _, r := range runes {
		if r != runes[0] {
			return false
		}
	}
	return true
}
