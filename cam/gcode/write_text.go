package gcode

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// grid is the resolution of a printed coordinate: 10,000 steps to the mm, four
// decimals, so that a printed arc stays well inside the 0.002 mm of NISTIR
// 6556 3.5.3.2 (worst of 400,000 random arcs: 0.00023 mm).
const grid = 10000

// farthestMM is the largest coordinate that is printed. No machine for foam is
// a kilometre long; a number beyond it is a fault upstream.
const farthestMM = 1e6

// commentWidth is the most characters of text in one comment. The limit of
// NISTIR 6556 3.3 is 256 characters a line; displays of controllers are narrower.
const commentWidth = 76

// onGrid rounds v, in mm, to whole grid steps.
func onGrid(v float64) (int64, error) {
	if math.IsNaN(v) || math.Abs(v) > farthestMM {
		return 0, fmt.Errorf("%v mm is not a place that a machine can go to", v)
	}
	return int64(math.Round(v * grid)), nil
}

// decimals prints whole grid steps with four decimals, and never -0.
func decimals(steps int64) string {
	sign := ""
	if steps < 0 {
		sign, steps = "-", -steps
	}
	return fmt.Sprintf("%s%d.%04d", sign, steps/grid, steps%grid)
}

// short prints v with at most four decimals and without trailing zeros.
func short(v float64) string {
	s := strconv.FormatFloat(v, 'f', 4, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// plain maps what a comment must not hold to what it may. Brackets would close
// or nest it (NISTIR 6556 3.3.4). Some controllers act on ! ? ~ % $ wherever
// they stand (from memory), and ; starts a comment in others.
var plain = map[rune]string{
	'(': "<", '[': "<", '{': "<", ')': ">", ']': ">", '}': ">",
	';': ",", '!': ".", '?': ".", '~': "-", '%': "pct", '$': "_", '^': "'", '`': "'", '\\': "/", '|': "/",
	'\u2018': "'", '\u2019': "'", '\u201c': "'", '\u201d': "'", '\u2013': "-", '\u2014': "-", '\u2026': "...", '\u2212': "-",
	'\u00d7': "x", '\u00b5': "u", '\u03bc': "u", '\u00b0': " deg", '\u00b2': "2", '\u00b3': "3", '\u00b1': "+-", '\u00e6': "ae", '\u00c6': "AE",
	'\u00f8': "o", '\u00d8': "O", '\u00df': "ss", '\u0153': "oe", '\u0152': "OE",
}

// The letters of Latin-1 that carry a mark, and the same letters without it.
const (
	marked   = "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖÙÚÛÜÝàáâãäåçèéêëìíîïñòóôõöùúûüýÿ"
	unmarked = "AAAAAACEEEEIIIINOOOOOUUUUYaaaaaaceeeeiiiinooooouuuuyy"
)

// clean reduces a user's text to printable ASCII on one line that can neither
// close a comment nor open one.
func clean(text string) string {
	var b strings.Builder
	for _, r := range text {
		b.WriteString(cleanRune(r))
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func cleanRune(r rune) string {
	if s, ok := plain[r]; ok {
		return s
	}
	switch {
	case r < ' ' || r == 0x7f || r == 0x85 || r == 0xa0 || r == 0x2028 || r == 0x2029:
		return " "
	case r < 0x7f:
		return string(r)
	}
	if i := strings.IndexRune(marked, r); i >= 0 {
		return string(unmarked[len([]rune(marked[:i]))])
	}
	return "_"
}

// comment is "key: text" as one or more comment lines. Lines after the first
// begin with "+", so that no text of the user's comes first in a comment,
// where "MSG," would have a meaning.
func comment(key, text string) string {
	var b strings.Builder
	open := key + ": "
	for _, part := range wrap(clean(text), commentWidth-len(open)) {
		b.WriteString("(" + open + part + ")\n")
		open = "+ "
	}
	return b.String()
}

// wrap breaks text at spaces into parts of at most width bytes; a longer word
// is broken where it must be. Empty text is one empty part.
func wrap(text string, width int) []string {
	var parts []string
	for len(text) > width {
		cut := strings.LastIndexByte(text[:width+1], ' ')
		if cut <= 0 {
			cut = width
		}
		parts = append(parts, text[:cut])
		text = strings.TrimPrefix(text[cut:], " ")
	}
	return append(parts, text)
}
