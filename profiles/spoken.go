package profiles

import (
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
	text  string // tokens joined by single spaces
	alone bool   // not inside of a longer word
}

func readSpoken(v strict.Value) []spoken {
	m := v.Map("kind", "words", "parts")
	kind := m.Need("kind").Name()
	var list []spoken
	for _, key := range []string{"words", "parts"} {
		for _, w := range m.Get(key).List() {
			word := w.Text()
			list = append(list, spoken{Spoken{kind, word}, strings.Join(tokens(word), " "), key == "words"})
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
// notes and its sources, each kind once, in the order of the list.
func (c *Catalog) Speaks(f Foam) []Spoken {
	named := strings.Join(tokens(f.ID+" "+f.Name), " ")
	var rest []string
	for _, text := range []string{f.Notes, f.Source, f.StockSource, f.Cells.Source} {
		rest = append(rest, tokens(withoutShort(text))...)
	}
	var list []Spoken
	for _, text := range []string{named, strings.Join(rest, " ")} {
		for _, s := range c.spokenIn(text) {
			if !slices.ContainsFunc(list, func(t Spoken) bool { return t.Kind == s.Kind }) {
				list = append(list, s)
			}
		}
	}
	return list
}

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
			if !s.alone || (at == 0 || text[at-1] == ' ') && (to == len(text) || text[to] == ' ') {
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
