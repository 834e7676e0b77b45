package safety

import (
	"strings"
	"unicode"

	"traywright/profiles"
)

// A condition and a reason are words: at least two different ones, each of two or
// more letters that are not all the same. In scripts that write no spaces, four
// letters in a row are two words. What cannot be seen counts for nothing, nor does a
// word that only says yes, or that nobody knows or minds. "always", "yes indeed", "no
// extraction", "I guess so", a full stop, a dash or an invisible letter say nothing that
// anybody could keep to.
const needsWords = "a condition is words: at least two different ones of two or more letters, beside any that only say yes, no, or that nobody knows"

// assents are words that only say yes, always or go on, that there is none, or that somebody
// guesses: a short list, from memory.
var assents = wordSet(`yes yeah yep aye ok okay okey fine sure surely certainly indeed agreed granted approved allowed permitted
	always anytime ever any time whenever every go ahead please course of absolutely definitely totally just do it good all right alright true
	ja jawohl klar sicher immer natürlich gerne erlaubt genehmigt oui bien sûr toujours accord autorisé si sí sì claro siempre vale certo sempre
	no not none nothing never nil nobody needed need needless required necessary whatever anything everything goes what you like want wish
	as who cares care matter matters does do don doesn dont i we guess think believe suppose hope probably perhaps maybe likely know knows known unknown
	idea clue so it is its that this the a an be are am was seems seem looks look cheap
	nein nicht kein keine nichts unbekannt egal vermutlich ich glaube weiß nicht
	tak zawsze да конечно всегда можно`)

func wordSet(list string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(list) {
		set[w] = true
	}
	return set
}

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
		if len(runes) >= 2 && !allSame(runes) && !assents[w] {
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
