package job

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"
	"unicode/utf8"

	"traywright/cam/finding"
)

// knownName is a name that the job knows.
type knownName struct {
	Text string
	What string // "the game", "a case", "a piece": for the message
	Form string // the placeholder that fills it in, such as {game}; "" for none
	ID   bool   // it is written for files: a label may have spaces in it
}

// nameBook holds a job's names, to look texts up in.
//
// A stretch of a text's words is held against every name of about as many
// words, spaces taken out. It is suspect when it takes a few edits to become
// the name: none below four letters, one up to eight, two above; in short names
// the first letter has to be right, in those of four no letter may be another,
// for there a single letter makes another word. What becomes the name by a
// plural's s is none, nor is what differs in a number, nor what is a name
// itself or has it whole among its words.
type nameBook struct {
	entries []bookEntry
	lengths map[int][]int  // entries by letters
	exact   map[string]int // entries by their words
	left    int            // comparisons that may still be made
	known   map[string]*suspect
}

// bookEntry is a name, or one of its words, as it is compared.
type bookEntry struct {
	knownName
	words  int
	key    string // the words with spaces
	joined []rune
	set    uint64 // of letters
	part   bool   // a word of the name
}

// Bounds: the longest name that is compared, the shortest word of a longer name
// that is looked for by itself, and comparisons in all, which a job of the
// greatest size does not need.
const (
	longestName     = 60
	shortestPart    = 5
	mostComparisons = 5_000_000
)

// newNameBook sorts the names in. Of equal ones the first counts, but a name goes
// before an id.
func newNameBook(list []knownName) *nameBook {
	b := &nameBook{lengths: map[int][]int{}, exact: map[string]int{}, left: mostComparisons, known: map[string]*suspect{}}
	for _, n := range list {
		w := words(n.Text)
		b.add(n, w, false)
	}
	for _, n := range list {
		w := words(n.Text)
		if len(w) < 2 {
			continue
		}
		for _, word := range w {
			if utf8.RuneCountInString(word) >= shortestPart {
				b.add(n, []string{word}, true)
			}
		}
	}
	return b
}

func (b *nameBook) add(n knownName, w []string, part bool) {
	joined := []rune(strings.Join(w, ""))
	key := strings.Join(w, " ")
	if len(joined) == 0 || len(joined) > longestName {
		return
	}
	if i, ok := b.exact[key]; ok {
		if e := &b.entries[i]; e.ID && !n.ID && !part {
			e.knownName, e.part = n, false
		}
		return
	}
	b.exact[key] = len(b.entries)
	b.lengths[len(joined)] = append(b.lengths[len(joined)], len(b.entries))
	b.entries = append(b.entries, bookEntry{n, len(w), key, joined, letterSet(joined), part})
}

// letterSet has a bit for every letter of a word; letters may share one.
func letterSet(word []rune) uint64 {
	var set uint64
	for _, r := range word {
		set |= 1 << (uint32(r) % 64)
	}
	return set
}

// suspect is a stretch of a text that is almost a name.
type suspect struct {
	Written string    // as it stands in the text, folded
	Name    knownName // what was probably meant
	Part    string    // the word of the name that is meant, "" for all of it
	Spacing bool      // letters are right and spaces are not
}

// meant is the name, or the word of it, as it should have been written.
func (s suspect) meant() string {
	if s.Part != "" {
		return s.Part
	}
	return s.Name.Text
}

// String says what is suspect.
func (s suspect) String() string {
	if s.Spacing {
		return fmt.Sprintf("%q is %s with other spaces: %q", s.Written, s.Name.What, s.Name.Text)
	}
	if s.Part != "" {
		return fmt.Sprintf("%q is almost %q, of %s %q", s.Written, s.Part, s.Name.What, s.Name.Text)
	}
	return fmt.Sprintf("%q is almost %s %q", s.Written, s.Name.What, s.Name.Text)
}

// suspects are the stretches of a template, outside its placeholders, that are
// almost a name: the longest ones, in their order.
func (b *nameBook) suspects(template string) []suspect {
	var list []suspect
	for _, text := range literals(template) {
		list = append(list, b.suspectsAmong(words(text))...)
	}
	return list
}

func (b *nameBook) suspectsAmong(w []string) []suspect {
	settled := b.settled(w)
	var list []suspect
	const mostWords = 6
	for n := min(mostWords, len(w)); n >= 1; n-- {
		for i := 0; i+n <= len(w); i++ {
			if !slices.Contains(settled[i:i+n], false) {
				continue
			}
			if s := b.look(w[i : i+n]); s != nil {
				list = append(list, *s)
				for k := i; k < i+n; k++ {
					settled[k] = true
				}
			}
		}
	}
	return list
}

// settled marks the words that are part of a name spelt right.
func (b *nameBook) settled(w []string) []bool {
	settled := make([]bool, len(w))
	for i := range w {
		for n := 1; n <= len(w)-i && n <= 12; n++ {
			if _, ok := b.exact[strings.Join(w[i:i+n], " ")]; ok {
				for k := i; k < i+n; k++ {
					settled[k] = true
				}
			}
		}
	}
	return settled
}

// look finds the name that a stretch of words is almost; nil for none.
func (b *nameBook) look(w []string) *suspect {
	key := strings.Join(w, " ")
	if s, ok := b.known[key]; ok {
		return s
	}
	s := b.compare(w)
	b.known[key] = s
	return s
}

func (b *nameBook) compare(w []string) *suspect {
	written := []rune(strings.Join(w, ""))
	set := letterSet(written)
	best, fewest := -1, 1<<30
	for length := len(written) - 2; length <= len(written)+2; length++ {
		for _, i := range b.lengths[length] {
			e := &b.entries[i]
			// An edit changes at most two letters of the set, and no more words
			// than one are written together or apart.
			if e.words < len(w)-1 || e.words > len(w)+1 || bits.OnesCount64(set^e.set) > 4 {
				continue
			}
			if b.left--; b.left < 0 {
				return nil
			}
			n, near := e.nearness(written, len(w))
			near = near && !strings.Contains(" "+strings.Join(w, " ")+" ", " "+e.key+" ")
			if near && (n < fewest || n == fewest && i < best) {
				best, fewest = i, n
			}
		}
	}
	if best < 0 {
		return nil
	}
	e := b.entries[best]
	s := &suspect{Written: strings.Join(w, " "), Name: e.knownName, Spacing: fewest == 0}
	if e.part {
		s.Part = string(e.joined)
	}
	return s
}

// nearness is how many edits make the name of what is written, and whether that
// is suspicious.
func (e *bookEntry) nearness(written []rune, count int) (int, bool) {
	word, n := written, finding.Edits(written, e.joined)
	if last := len(written) - 1; n > 1 && count == e.words && written[last] == 's' {
		word, n = written[:last], finding.Edits(written[:last], e.joined) // a plural with a slip in it
	}
	a, b := string(written), string(e.joined)
	switch length := len(e.joined); {
	case n == 0:
		return 0, !e.ID && !e.part && count != e.words
	case length < 4 || len(written) < 4, digits(a) != digits(b), plural(a, b):
		return n, false
	case length == 4:
		return n, n == 1 && !changed(word, e.joined) && written[0] == e.joined[0]
	case length == 5:
		return n, n == 1 && written[0] == e.joined[0]
	case length <= 8:
		return n, n == 1
	}
	return n, n <= 2
}

// changed reports whether one letter in the place of another is all that is
// between two words of the same length.
func changed(a, b []rune) bool {
	n := 0
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			n++
		}
	}
	return n == 1 && len(a) == len(b)
}
