package gcode

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles"
)

// farthestMM is the largest coordinate that is printed. No machine for foam is
// a kilometre long; a number beyond it is a fault upstream.
const farthestMM = 1e6

// commentWidth is the most characters of a comment with its key. NISTIR 6556 3.3 has
// 256 characters a line; displays of controllers are narrower.
const commentWidth = 76

// grid is the resolution of printed coordinates. Four decimals of a mm keep a printed
// arc well inside the 0.002 mm of NISTIR 6556 3.5.3.2 (worst of 400,000 random arcs:
// 0.00023 mm); with fewer, arcs.go looks for a centre that does.
type grid struct {
	decimals int
	whole    int64   // steps in one unit of length
	perMM    float64 // steps in a mm
	unitMM   float64
}

func gridOf(c profiles.Controller) grid {
	g := grid{decimals: c.Decimals, whole: int64(math.Pow10(c.Decimals)), unitMM: 1}
	if c.Units == profiles.Inches {
		g.unitMM = units.InchMM
	}
	g.perMM = float64(g.whole) / g.unitMM
	return g
}

// onGrid rounds v, in mm, to whole grid steps.
func (g grid) onGrid(v float64) (int64, error) {
	if math.IsNaN(v) || math.Abs(v) > farthestMM {
		return 0, fmt.Errorf("%v mm is not a place that a machine can go to", v)
	}
	return int64(math.Round(v * g.perMM)), nil
}

// text prints whole grid steps with all decimals, and never -0.
func (g grid) text(steps int64) string {
	sign := ""
	if steps < 0 {
		sign, steps = "-", -steps
	}
	return fmt.Sprintf("%s%d.%0*d", sign, steps/g.whole, g.decimals, steps%g.whole)
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

// Plain reduces a user's text to what comments of programs have of it: printable ASCII on one
// line that can neither close a comment nor open one.
func Plain(text string) string {
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

// comments is how a controller takes them.
type comments struct {
	before, behind string
	width          int // of the text
	none           bool
}

func commentsOf(c profiles.Controller) comments {
	k := comments{before: "(", behind: ")", none: c.Comments == profiles.NoComments}
	if c.Comments == profiles.Semicolon {
		k.before, k.behind = "; ", ""
	}
	k.width = min(commentWidth, c.LongestLine-len(k.before+k.behind))
	return k
}

// comment is "key: text" as one or more comment lines. Lines after the first
// begin with "+", so that no text of the user's comes first in a comment,
// where "MSG," would have a meaning.
func (k comments) comment(key, text string) string {
	if k.none {
		return ""
	}
	var b strings.Builder
	open := key + ": "
	for _, part := range wrap(Plain(text), k.width-len(open)) {
		b.WriteString(k.before + open + part + k.behind + "\n")
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
