package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/cam/finding"
)

// One line of a program. NISTIR 6556 3.3: an optional /, an optional line
// number, then words and comments in any order; spaces and tabs mean nothing
// outside comments; case does not matter.

// block is the words of one line.
type block struct {
	line     int
	deleted  bool // began with /
	number   float64
	g        []int
	m        []int
	value    [26]float64
	present  uint32 // a bit for each letter
	comments []string
	cut      byte      // a letter whose number is another in eight digits; 0 for none
	seconds  bool      // P was S, which counts seconds whatever P counts
	habits   []problem // read, though the standard does not have them
}

// problem is a rule broken and what to do about it.
type problem struct {
	rule, message, hint string
	stops               bool // what the program does from here on cannot be told
}

func problemf(rule, format string, values ...any) *problem {
	return &problem{rule: rule, message: fmt.Sprintf(format, values...)}
}

// unfollowed is something that the language or a controller has and this reader does
// not follow: what comes after it cannot be told, so nothing of it is claimed.
func unfollowed(format string, values ...any) *problem {
	p := problemf("not-followed", format, values...)
	p.message += ": that is not followed here, and nothing from this line on is judged"
	p.stops = true
	return p
}

// do adds what to do about it.
func (p *problem) do(format string, values ...any) *problem {
	p.hint = fmt.Sprintf(format, values...)
	return p
}

// finding is the problem at a line.
func (p *problem) finding(line int, s finding.Severity) finding.Finding {
	return finding.Finding{Severity: s, Rule: p.rule, Message: p.message, Hint: p.hint, Line: line}
}

func (b *block) has(letter byte) bool     { return b.present&(1<<(letter-'A')) != 0 }
func (b *block) word(letter byte) float64 { return b.value[letter-'A'] }
func (b *block) take(letter byte)         { b.present &^= 1 << (letter - 'A') }
func (b *block) hasAny(letters string) bool {
	for i := range len(letters) {
		if b.has(letters[i]) {
			return true
		}
	}
	return false
}

// hasG reports whether the line has the G code, in tenths: 10 is G1, 592 is G59.2.
func (b *block) hasG(code int) bool { return contains(b.g, code) }
func (b *block) hasM(code int) bool { return contains(b.m, code) }

func contains(list []int, code int) bool {
	for _, c := range list {
		if c == code {
			return true
		}
	}
	return false
}

// scanner walks a line.
type scanner struct {
	text string
	at   int
	cut  bool // its last number is another one in its first eight digits
}

func (s *scanner) blank() {
	for s.at < len(s.text) && (s.text[s.at] == ' ' || s.text[s.at] == '\t') {
		s.at++
	}
}

// lineEnd is what peek sees behind the last character: no line holds it.
const lineEnd = '\n'

// peek is the next character that means something, as a capital; lineEnd at the end.
func (s *scanner) peek() byte {
	s.blank()
	if s.at == len(s.text) {
		return lineEnd
	}
	c := s.text[s.at]
	if 'a' <= c && c <= 'z' {
		c -= 'a' - 'A'
	}
	return c
}

// parseBlock reads one line, without its line end.
func parseBlock(text string, line int) (block, *problem) {
	b := block{line: line}
	s := &scanner{text: text}
	if s.peek() == '/' {
		b.deleted = true
		s.at++
	}
	if s.peek() == 'O' {
		return b, b.programNumber(s)
	}
	if s.peek() == 'N' {
		s.at++
		if p := b.lineNumber(s); p != nil {
			return b, p
		}
	}
	for {
		c := s.peek()
		if c == lineEnd {
			return b, b.checkGroups()
		}
		if p := b.item(s, c); p != nil {
			if strange := b.checkG(); strange != nil && strange.stops {
				p = strange // which may have words that no other has
			}
			return b, p
		}
	}
}

// programNumber is O and digits, alone on their line: a name by which some
// controllers keep the program.
func (b *block) programNumber(s *scanner) *problem {
	s.at++
	digits := 0
	for c := s.peek(); '0' <= c && c <= '9'; c = s.peek() {
		digits++
		s.at++
	}
	if s.peek() == '(' {
		if p := b.comment(s); p != nil {
			return p
		}
	}
	if digits == 0 || s.peek() != lineEnd {
		return unfollowed("an O word that is not the number of a program alone on its line begins a loop or a subroutine").do("have the moves written out one by one")
	}
	b.habits = append(b.habits, *problemf("program-number", "O and a number name the program for some controllers; others refuse the line").do("remove it for those"))
	return nil
}

// item reads one word or comment that begins with c.
func (b *block) item(s *scanner, c byte) *problem {
	switch {
	case c == '(':
		return b.comment(s)
	case c == ';':
		b.comments = append(b.comments, strings.TrimSpace(s.text[s.at+1:]))
		b.habits = append(b.habits, *problemf("semicolon-comment", "a comment after ; is a habit of some controllers, not of the language").do("put it in round brackets for others"))
		s.at = len(s.text)
		return nil
	case c == '#' || c == '[':
		return unfollowed("# and [ ] are parameters and sums that the controller works out").do("have the program written with plain numbers")
	case c == 'N':
		return problemf("line-number", "a line number must come first on its line").do("move the N word to the front, or remove it")
	case c == '@' || c == '^':
		return unfollowed("@ and ^ are a distance and an angle for a place").do("have the program written with X and Y")
	case c < 'A' || c > 'Z':
		return problemf("bad-character", "the character %s does not belong in a program", show(s.text[s.at:])).do("remove it")
	case c == 'O':
		return unfollowed("an O word behind others calls a subroutine").do("have the moves written out one by one")
	case c == 'E':
		return problemf("unknown-word", "there is no word E in the language, and no exponent").do("remove it, or write the number out")
	case strings.IndexByte("UVW", c) >= 0:
		return unfollowed("%c moves an axis beside X, Y and Z", c).do("have the program written for three axes")
	}
	s.at++
	return b.addWord(s, c)
}

// show is the first character of text as a person may see it.
func show(text string) string {
	for _, r := range text {
		return strconv.QuoteRune(r)
	}
	return `''`
}

func (b *block) comment(s *scanner) *problem {
	rest := s.text[s.at+1:]
	end := strings.IndexByte(rest, ')')
	if open := strings.IndexByte(rest, '('); open >= 0 && (end < 0 || open < end) {
		return problemf("nested-comment", "a comment may not hold another").do("close the first with ) before the second (")
	}
	if end < 0 {
		return problemf("open-comment", "the comment is not closed on its own line").do("add ) at its end")
	}
	b.comments = append(b.comments, rest[:end])
	s.at += end + 2
	return nil
}

// lineNumber is a whole number without sign or point; how large it may be the dialect says.
func (b *block) lineNumber(s *scanner) *problem {
	digits, start := 0, s.at
	for c := s.peek(); '0' <= c && c <= '9'; c = s.peek() {
		digits++
		s.at++
	}
	if c := s.peek(); digits == 0 || digits > maxDigits || c == '.' {
		return problemf("line-number", "a line number has digits and nothing else").do("write it so, or remove it")
	}
	b.number, _ = strconv.ParseFloat(strings.ReplaceAll(strings.ReplaceAll(s.text[start:s.at], " ", ""), "\t", ""), 64)
	return nil
}

// addWord reads a letter's number and files it.
func (b *block) addWord(s *scanner, letter byte) *problem {
	v, p := s.number(letter)
	if p != nil {
		return p
	}
	if s.cut {
		b.cut = letter
	}
	switch letter {
	case 'G':
		code, ok := whole(v * 10)
		if !ok || code < 0 {
			return problemf("unknown-code", "there is no G%v", v).do("remove it, or write the moves that it stands for")
		}
		b.g = append(b.g, code)
		return nil
	case 'M':
		code, ok := whole(v)
		if !ok || code < 0 {
			return problemf("unknown-code", "there is no M%v", v).do("remove it, or do by hand what it stands for")
		}
		b.m = append(b.m, code)
		return nil
	}
	if b.has(letter) {
		return problemf("word-twice", "%c stands twice on the line", letter).do("keep one")
	}
	b.present |= 1 << (letter - 'A')
	b.value[letter-'A'] = v
	return nil
}

// maxDigits bounds a number's text: 17 figures are kept (NISTIR 6556 3.3.2.1).
const maxDigits = 64

// number is an optional sign and digits with at most one point; there is no
// exponent in the language.
func (s *scanner) number(letter byte) (float64, *problem) {
	var text []byte
	if c := s.peek(); c == '+' || c == '-' {
		text = append(text, c)
		s.at++
	}
	digits, points := 0, 0
	for c := s.peek(); '0' <= c && c <= '9' || c == '.'; c = s.peek() {
		if c == '.' {
			points++
		} else {
			digits++
		}
		text = append(text, c)
		s.at++
		if len(text) > maxDigits {
			return 0, problemf("bad-number", "the number after %c has more than %d characters", letter, maxDigits).do("round it")
		}
	}
	if digits == 0 || points > 1 {
		if c := s.peek(); digits == 0 && (c == '#' || c == '[') {
			return 0, unfollowed("# and [ ] are parameters and sums that the controller works out").do("have the program written with plain numbers")
		}
		return 0, problemf("bad-number", "%c is not followed by a number", letter).do("write its number, with a point and without an exponent, or remove %c", letter)
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || math.Abs(v) > largest {
		return 0, problemf("out-of-range", "%c%s is beyond what any machine can do", letter, text).do("look for a lost decimal point")
	}
	s.cut = digits > smallDigits && math.Abs(v-firstDigits(string(text))) > 1e-4 // in mm or inches: less than any printed digit
	return v, nil
}

// smallDigits are those of a number that a small controller keeps, zeros in front included.
const smallDigits = 8

// firstDigits is a number as a small controller keeps it: of the digits behind the eighth it
// counts those before the point as zeros, and drops the others.
func firstDigits(text string) float64 {
	kept, digits := []byte(text), 0
	for i, c := range kept {
		if '0' <= c && c <= '9' {
			digits++
			if digits > smallDigits {
				kept[i] = '0'
			}
		}
	}
	v, _ := strconv.ParseFloat(string(kept), 64)
	return v
}

// largest number of any word: a kilometre in mm, or a million rpm or mm/min.
const largest = 1e6

// whole is v as an integer, if it is within 0.0001 of one (NISTIR 6556 3.3.2.1).
func whole(v float64) (int, bool) {
	n := math.Round(v)
	return int(n), math.Abs(v-n) <= 0.0001
}
