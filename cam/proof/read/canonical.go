package read

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
)

// Canonical is all that a program tells a controller, in one form: a line for each
// that has a word, without comments, blanks, line numbers and a program's number,
// in capitals, numbers without what changes nothing in them, the words in one order.
// Two programs of one canonical form do the same; of a line that cannot be read it
// has the characters, also of one with a CR of its own.
func Canonical(text []byte) []byte {
	text = bytes.TrimSuffix(bytes.TrimPrefix(text, []byte("\ufeff")), []byte(endMark))
	var out []byte
	for len(text) > 0 {
		var line []byte
		line, text = cutLine(text)
		if words := canonicalLine(string(line)); words != "" {
			out = append(append(out, words...), '\n')
		}
	}
	return out
}

// Words are a program's comments in their order, a line for each, without the blanks
// that change nothing in them. Of a line that cannot be read it is the characters.
func Words(text []byte) []string {
	text = bytes.TrimSuffix(bytes.TrimPrefix(text, []byte("\ufeff")), []byte(endMark))
	var out []string
	for len(text) > 0 {
		var line []byte
		line, text = cutLine(text)
		if bytes.IndexByte(line, '(') < 0 && bytes.IndexByte(line, ';') < 0 {
			continue
		}
		b, p := parseBlock(string(line), 0)
		if p != nil || mixedEnds(string(line)) != nil {
			b.comments = []string{strconv.Quote(string(line))}
		}
		for _, c := range b.comments {
			out = append(out, strings.Join(strings.Fields(c), " "))
		}
	}
	return out
}

func canonicalLine(line string) string {
	if mixedEnds(line) != nil {
		return strconv.Quote(line)
	}
	b, p := parseBlock(line, 0)
	if p != nil || strings.TrimSpace(line) == "%" {
		return strings.ToUpper(strings.Join(strings.Fields(line), ""))
	}
	var words []string
	say := func(letter byte, v float64) {
		if v == 0 {
			v = 0 // which takes its sign off
		}
		words = append(words, string(letter)+strconv.FormatFloat(v, 'g', -1, 64))
	}
	slices.Sort(b.g)
	slices.Sort(b.m)
	for _, code := range b.g {
		say('G', float64(code)/10)
	}
	for _, code := range b.m {
		say('M', float64(code))
	}
	for letter := byte('A'); letter <= 'Z'; letter++ {
		if b.has(letter) {
			say(letter, b.word(letter))
		}
	}
	if b.deleted && len(words) > 0 {
		words = append([]string{"/"}, words...)
	}
	return strings.Join(words, " ")
}
