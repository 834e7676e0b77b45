package drawing

import (
	"math"
	"strconv"
	"strings"
)

// scanner reads the little languages of path data, points and transforms.
type scanner struct {
	text string
	at   int
}

func (s *scanner) more() bool { return s.at < len(s.text) }

func (s *scanner) peek() byte {
	if !s.more() {
		return 0
	}
	return s.text[s.at]
}

func (s *scanner) skipSpace() {
	for s.more() && strings.IndexByte(" \t\r\n\f", s.text[s.at]) >= 0 {
		s.at++
	}
}

// skipSeparator skips space and at most one comma.
func (s *scanner) skipSeparator() {
	s.skipSpace()
	if s.peek() == ',' {
		s.at++
		s.skipSpace()
	}
}

// word is a run of letters.
func (s *scanner) word() string {
	begin := s.at
	for c := s.peek() | 0x20; 'a' <= c && c <= 'z'; c = s.peek() | 0x20 {
		s.at++
	}
	return s.text[begin:s.at]
}

func (s *scanner) digits() int {
	begin := s.at
	for c := s.peek(); '0' <= c && c <= '9'; c = s.peek() {
		s.at++
	}
	return s.at - begin
}

// number reads a number where it stands: sign, digits with a point anywhere or
// none, exponent. It ends where no longer number is possible, so that "1-2"
// and "1.5.5" are two.
func (s *scanner) number() (float64, bool) {
	begin := s.at
	if c := s.peek(); c == '+' || c == '-' {
		s.at++
	}
	count := s.digits()
	if s.peek() == '.' {
		s.at++
		count += s.digits()
	}
	if count == 0 {
		s.at = begin
		return 0, false
	}
	s.exponent()
	v, err := strconv.ParseFloat(s.text[begin:s.at], 64)
	return v, err == nil && math.Abs(v) <= largestNumber
}

// exponent reads an exponent where there is a whole one.
func (s *scanner) exponent() {
	begin := s.at
	if s.peek()|0x20 != 'e' {
		return
	}
	s.at++
	if c := s.peek(); c == '+' || c == '-' {
		s.at++
	}
	if s.digits() == 0 {
		s.at = begin
	}
}

// flag reads the 0 or 1 of an arc, which needs no space behind it.
func (s *scanner) flag() (bool, bool) {
	c := s.peek()
	if c != '0' && c != '1' {
		return false, false
	}
	s.at++
	return c == '1', true
}

// startsNumber reports whether a number may stand here.
func (s *scanner) startsNumber() bool {
	c := s.peek()
	return '0' <= c && c <= '9' || c == '+' || c == '-' || c == '.'
}

// numbers reads numbers as long as there are any.
func (s *scanner) numbers() []float64 {
	var out []float64
	for s.skipSpace(); s.startsNumber(); s.skipSeparator() {
		v, ok := s.number()
		if !ok {
			return out
		}
		out = append(out, v)
	}
	return out
}

// bracketed reads numbers in round brackets.
func (s *scanner) bracketed() ([]float64, bool) {
	s.skipSpace()
	if s.peek() != '(' {
		return nil, false
	}
	s.at++
	values := s.numbers()
	if s.peek() != ')' {
		return nil, false
	}
	s.at++
	return values, true
}
