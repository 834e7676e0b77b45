package page

import (
	"regexp"
	"strings"
)

// fitter fits text into a width. Pictures and paper measure each in their own
// way; what is cut short and where a line breaks is the same for both.
type fitter struct {
	pageFonts
	width func(s string, st style) float64 // of text, in the unit of the widths below
}

// shorten is s, or as much of its beginning as fits into width with an
// ellipsis behind; "" when not even one letter does.
func (f fitter) shorten(s string, st style, width float64) string {
	return shorten(f.clean(s), func(s string) bool { return f.width(s, st) <= width })
}

// wrap breaks s at spaces, but not at hard ones nor within a measure, into lines of at most width and
// at most most lines, 0 for as many as it takes; the last is shortened when there
// is more. A word that is wider than a line is broken where it must be.
func (f fitter) wrap(s string, st style, width float64, most int) []string {
	words := f.measures(strings.FieldsFunc(f.clean(s), func(r rune) bool { return r == ' ' }), st, width)
	var lines []string
	for len(words) > 0 {
		if most > 0 && len(lines) == most-1 {
			return append(lines, f.shorten(strings.Join(words, " "), st, width))
		}
		n := 1
		for n < len(words) && f.width(strings.Join(words[:n+1], " "), st) <= width {
			n++
		}
		line := strings.Join(words[:n], " ")
		words = words[n:]
		if n == 1 && f.width(line, st) > width {
			var rest string
			if line, rest = f.split(line, st, width); rest != "" {
				words = append([]string{rest}, words...)
			}
		}
		if len(words) > 0 {
			line, words[0] = cutApart(line, words[0])
		}
		lines = append(lines, line)
	}
	return lines
}

// split breaks a word after as many letters as fit into width, at least one.
func (f fitter) split(word string, st style, width float64) (line, rest string) {
	letters := letterByLetter(word)
	n := 1
	for n < len(letters)-1 && f.width(strings.Join(letters[:n+1], ""), st) <= width {
		n++
	}
	if before := outsideNumber(letters, n); before > 0 {
		n = before
	}
	return strings.Join(letters[:n], ""), strings.Join(letters[n:], "")
}

// outsideNumber is where a text of letters can be broken, at n or before: not within the number of a character that
// the fonts lack, [9F8D].
func outsideNumber(letters []string, n int) int {
	for at := n - 1; at >= max(0, n-len("[10FFFF")) && n < len(letters); at-- {
		switch c := strings.TrimLeftFunc(letters[at], isMark); {
		case c == "[":
			return at
		case len(c) > 1 || !(c >= "0" && c <= "9" || c >= "A" && c <= "F"):
			return n
		}
	}
	return n
}

// measures joins the words of a measure, such as 250 × 190 mm or 1 1/4 in, that
// belong on one line, as long as they fit on one.
func (f fitter) measures(words []string, st style, width float64) []string {
	var joined []string
	for i, word := range words {
		if n := len(joined) - 1; n >= 0 && belongs(words[i-1], word) && f.width(joined[n]+" "+word, st) <= width {
			joined[n] += " " + word
			continue
		}
		joined = append(joined, word)
	}
	return joined
}

// ofMeasures are words that a number is not parted from.
var ofMeasures = regexp.MustCompile(`^(mm|in|m|ft|g|kg|s|h|min|mm/min|in/min|%|×|=|\d+/\d+)[,;.)]*$`)

func belongs(before, word string) bool {
	return before == "X" || before == "Y" || before == "Z" || before == "×" || before == "=" || word == "×" || word == "=" ||
		before[len(before)-1] >= '0' && before[len(before)-1] <= '9' && ofMeasures.MatchString(word)
}
