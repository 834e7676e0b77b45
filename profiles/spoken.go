package profiles

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"traywright/profiles/strict"
)

// A Spoken is a word in a foam's row that speaks of a chemistry.
type Spoken struct {
	Kind string // that it speaks of
	Word string // as the list has it
}

// spoken is a word of the list, as its tokens are compared.
type spoken struct {
	Spoken
	text string // tokens joined by single spaces
	as   string // words, ends or parts: see spoken.yaml
}

// stands reports whether the word may stand from one place to another in a text.
func (s spoken) stands(text string, from, to int) bool {
	begins, ends := from == 0 || text[from-1] == ' ', to == len(text) || text[to] == ' '
	switch s.as {
	case "words":
		return begins && ends
	case "ends":
		return begins || ends
	}
	return true
}

func readSpoken(v strict.Value) []spoken {
	m := v.Map(spokenKeys.Names()...)
	kind := m.Need("kind").Name()
	var list []spoken
	for _, key := range []string{"words", "ends", "parts"} {
		for _, w := range m.Get(key).List() {
			word := w.Text()
			list = append(list, spoken{Spoken{kind, word}, strings.Join(tokens(word), " "), key})
			if joined := strings.Join(tokens(word), ""); joined != list[len(list)-1].text && key == "parts" {
				list = append(list, spoken{Spoken{kind, word}, joined, key})
			}
		}
	}
	return list
}

// tokens splits a text, as spelt, into words and numbers.
func tokens(text string) []string {
	var list []string
	for _, word := range wordsOf(text) {
		from, digits := 0, false
		for i, r := range word {
			if is := unicode.IsDigit(r); i > from && is != digits {
				list, from = append(list, word[from:i]), i
			}
			digits = unicode.IsDigit(r)
		}
		list = append(list, word[from:])
	}
	return list
}

// Speaks are the chemistries that a foam's row speaks of: in its id, its name, its
// notes and its sources, those of its numbers too, each kind once, in the order of the
// list. A word that hyphens, full stops or spaces take apart is put together as well.
func (c *Catalog) Speaks(f Foam) []Spoken {
	named := []string{f.ID, f.Name}
	rest := []string{f.Notes, f.Source, f.StockSource, f.Cells.Source}
	for _, n := range f.Numbers() {
		if !slices.Contains(rest, n.Source) {
			rest = append(rest, n.Source)
		}
	}
	var texts [4][]string
	for _, text := range named {
		texts[0] = append(texts[0], tokens(text)...)
		texts[1] = append(texts[1], tokens(together(text))...)
	}
	for _, text := range rest {
		texts[2] = append(texts[2], tokens(withoutShort(text))...)
		texts[3] = append(texts[3], tokens(withoutShort(together(text)))...)
	}
	var list []Spoken
	for i := range texts {
		text := strings.Join(texts[i], " ")
		for _, s := range c.spokenIn(text) {
			if !slices.ContainsFunc(list, func(t Spoken) bool { return t.Kind == s.Kind }) {
				list = append(list, s)
			}
		}
	}
	return list
}

// apart is what takes a word apart within itself, and single letters.
var apart = regexp.MustCompile(`(\pL)[-‐‑‒–−_.·]+(\pL)`)

// together is a text with the halves of its words and its single letters put together:
// vi-nyl, P.V.C. and P V C; and a word of letters that only look Latin in Latin ones.
func together(text string) string {
	for before := ""; before != text; { // a single letter ends one match and begins the next
		before, text = text, apart.ReplaceAllString(text, "$1$2")
	}
	var words []string
	single := false
	for _, w := range strings.Fields(text) {
		is := utf8.RuneCountInString(strings.Trim(w, ".,;:()\"'")) == 1 && strings.ContainsFunc(w, unicode.IsLetter)
		if is {
			w = strings.Trim(w, ".,;:()\"'")
		}
		if is && single {
			words[len(words)-1] += w
		} else {
			words = append(words, w)
		}
		words[len(words)-1] = looksLatin(words[len(words)-1])
		single = is
	}
	return strings.Join(words, " ")
}

// calls are the words of what something is called, and those that it makes when its halves and its
// single letters are put together.
func calls(text string) []string { return append(wordsOf(text), wordsOf(together(text))...) }

// withoutShort leaves out words of one or two letters that are not in capitals:
// "pu" and "fr" are words of some languages.
func withoutShort(text string) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.In(r, unicode.L, unicode.M, unicode.Nd) && !Invisible(r) })
	return strings.Join(slices.DeleteFunc(words, func(w string) bool {
		return utf8.RuneCountInString(w) <= 2 && strings.ToUpper(w) != w
	}), " ")
}

// spokenIn finds the list's words in a text of tokens. What lies within a longer
// one is that.
func (c *Catalog) spokenIn(text string) []Spoken {
	type place struct {
		spoken
		from, to int
	}
	var found []place
	for _, s := range c.spoken {
		for from := 0; s.text != ""; {
			at := strings.Index(text[from:], s.text)
			if at < 0 {
				break
			}
			at += from
			to := at + len(s.text)
			if s.stands(text, at, to) {
				found = append(found, place{s, at, to})
			}
			from = at + 1
		}
	}
	var list []Spoken
	for _, p := range found {
		within := func(q place) bool { return q.from <= p.from && q.to >= p.to && q.to-q.from > p.to-p.from }
		if !slices.ContainsFunc(found, within) {
			list = append(list, p.Spoken)
		}
	}
	return list
}
