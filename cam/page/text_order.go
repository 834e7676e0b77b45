package page

import (
	"slices"
	"strings"
	"unicode"

	ordering "github.com/go-text/typesetting/bidi"
	"golang.org/x/text/unicode/bidi"
)

// Marks around a name that has letters from right to left: what stands before and behind it keeps its place (UAX 9,
// 2.4 and 6.3: isolates). No file of the user's may have them in it (profiles/strict).
const (
	fromRight = '\u2067'
	fromLeft  = '\u2066'
	endApart  = '\u2069'
	aName     = '\ufffc' // stands for it while its line is put in order
)

// fromRightIn is whether some of a text runs from right to left.
func fromRightIn(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool {
		c := class(r)
		return c == bidi.R || c == bidi.AL || c == bidi.AN
	}) >= 0
}

func class(r rune) bidi.Class {
	p, _ := bidi.LookupRune(r)
	return p.Class()
}

// apart is a name as it stands within a line of ours: its own letters, numbers and signs are put in order among themselves,
// in the direction of its first letter (UAX 9, 3.3.1, P2 and P3), and nothing else of the line is.
func apart(name string) string {
	if !fromRightIn(name) {
		return name
	}
	mark := fromLeft
	for _, r := range name {
		if c := class(r); c == bidi.L || c == bidi.R || c == bidi.AL {
			if c != bidi.L {
				mark = fromRight
			}
			break
		}
	}
	return string(mark) + strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Bidi_Control, r) {
			return -1
		}
		return r
	}, name) + string(endApart)
}

// cutApart closes a name that is cut in two, and opens it again in the rest.
func cutApart(line, rest string) (string, string) {
	open := strings.LastIndexFunc(line, func(r rune) bool { return r == fromRight || r == fromLeft })
	if open < 0 || strings.ContainsRune(line[open:], endApart) {
		return line, rest
	}
	if rest != "" {
		rest = line[open:open+len(string(fromRight))] + rest
	}
	return line + string(endApart), rest
}

// stretch is a part of a line that runs one way, in the order in which it is read.
type stretch struct {
	text      string
	backwards bool
}

// inOrder are the stretches of a line as they stand from left to right. The line itself runs from left to right, and each
// name that was set apart as it wants.
func inOrder(line string) (list []stretch) {
	if !fromRightIn(line) {
		return []stretch{{strings.Map(func(r rune) rune {
			if isMark(r) {
				return -1
			}
			return r
		}, line), false}}
	}
	var outer []rune
	names := map[int][]stretch{} // by where they stand in outer
	for runes := []rune(line); len(runes) > 0; {
		r := runes[0]
		runes = runes[1:]
		if r == fromRight || r == fromLeft {
			end := slices.Index(runes, endApart)
			if end < 0 {
				end = len(runes)
			}
			names[len(outer)] = ofName(runes[:end], r == fromRight)
			outer, runes = append(outer, aName), runes[end:]
		} else if !isMark(r) {
			outer = append(outer, r)
		}
	}
	for _, s := range ordered(outer, false) {
		var parts [][]stretch
		from := s.from
		between := func(to int) {
			if from < to {
				parts = append(parts, []stretch{{string(outer[from:to]), s.backwards}})
			}
		}
		for n := s.from; n < s.to; n++ {
			if name, is := names[n]; is {
				between(n)
				parts, from = append(parts, name), n+1
			}
		}
		between(s.to)
		if s.backwards {
			slices.Reverse(parts)
		}
		list = append(list, slices.Concat(parts...)...)
	}
	return list
}

func isMark(r rune) bool { return r == fromRight || r == fromLeft || r == endApart }

func ofName(runes []rune, backwards bool) (list []stretch) {
	runes = slices.DeleteFunc(slices.Clone(runes), isMark)
	for _, s := range ordered(runes, backwards) {
		list = append(list, stretch{string(runes[s.from:s.to]), s.backwards})
	}
	return list
}

// leveled is a stretch of runes. Embedded are those of a level above 0, whichever way they run (UAX 9, 3.2).
type leveled struct {
	from, to            int
	embedded, backwards bool
}

// ordered are the stretches of text without marks, as they stand from left to right (UAX 9, 3.4, L2).
func ordered(text []rune, backwards bool) (list []leveled) {
	base := ordering.LeftToRight
	if backwards {
		base = ordering.RightToLeft
	}
	numbers := numbersIn(text)
	var p ordering.Paragraph
	runs := p.Segment(text, base)
	for i := range runs.NumRuns() {
		r := runs.Run(i)
		if r.Level%2 == 1 || backwards {
			list = append(list, leveled{r.Start, r.End, true, r.Level%2 == 1})
			continue
		}
		for i := r.Start; i < r.End; i++ {
			if i == r.Start || numbers[i] != numbers[i-1] {
				list = append(list, leveled{i, i, numbers[i], false})
			}
			list[len(list)-1].to = i + 1
		}
	}
	for i := 0; i < len(list); i++ {
		from := i
		for i < len(list) && list[i].embedded {
			i++
		}
		slices.Reverse(list[from:i])
	}
	return list
}

// numbersIn is which of a text's characters are numbers, with their signs, among what runs from right to left: the library
// joins them with text beside them that does not (UAX 9, 3.3.4, W1 to W7, and 3.3.6, I1).
func numbersIn(text []rune) []bool {
	is := make([]bidi.Class, len(text))
	behind := make([]bool, len(text)) // a letter from right to left
	letter := bidi.L                  // the last before, or of the line
	for i, r := range text {
		is[i] = class(r)
		switch {
		case is[i] == bidi.NSM && i > 0:
			is[i] = is[i-1]
		case is[i] == bidi.EN && letter == bidi.AL:
			is[i] = bidi.AN
		}
		if is[i] == bidi.L || is[i] == bidi.R || is[i] == bidi.AL {
			letter = is[i]
		}
		behind[i] = letter != bidi.L
	}
	for i := 1; i < len(is)-1; i++ {
		if a, c, b := is[i-1], is[i], is[i+1]; a == b && (a == bidi.EN && c == bidi.ES || (a == bidi.EN || a == bidi.AN) && c == bidi.CS) {
			is[i] = a
		}
	}
	for i := 1; i < len(is); i++ { // a sign as % belongs to the number that it stands behind or before
		if is[i] == bidi.ET && is[i-1] == bidi.EN {
			is[i] = bidi.EN
		}
	}
	for i := len(is) - 2; i >= 0; i-- {
		if is[i] == bidi.ET && is[i+1] == bidi.EN {
			is[i] = bidi.EN
		}
	}
	numbers := make([]bool, len(is))
	for i, c := range is {
		numbers[i] = c == bidi.AN || c == bidi.EN && behind[i]
	}
	return numbers
}
