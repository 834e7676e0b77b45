package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// stripped are those that a program which claims to be ours may not use: they take the
// comments that claim it.
var stripped = []rewrite{
	{"increments, and no comments", func(_ *rand.Rand, lines []line) []line {
		lines = slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 })
		now := stands(lines)
		turns := slices.ContainsFunc(lines, func(l line) bool { return !l.lacks('A') })
		first := slices.IndexFunc(now, func(s stand) bool {
			return !math.IsNaN(s.at[0]+s.at[1]+s.at[2]) && !(turns && math.IsNaN(s.at[3]))
		})
		last := slices.IndexFunc(lines, func(l line) bool { return l.has("M2") || l.has("M30") })
		if first < 0 {
			return lines
		}
		var list []line
		for i, l := range lines {
			if i == first {
				list = append(list, line{words: []string{"G91"}})
			}
			if i >= first {
				l.words = slices.DeleteFunc(slices.Clone(l.words), func(w string) bool { return isCode(w, "G90") })
				for k, w := range l.words {
					if axis := strings.IndexByte("XYZA", w[0]); axis >= 0 {
						to, _ := l.word(w[0])
						l.words[k] = fmt.Sprintf("%c%.7f", w[0], to-now[i].at[axis])
					}
				}
			}
			if i == last {
				list = append(list, line{words: []string{"G90"}})
			}
			list = append(list, l)
		}
		return list
	}},
	{"centres as places, and no comments", func(_ *rand.Rand, lines []line) []line {
		lines = slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 })
		if slices.ContainsFunc(lines, func(l line) bool { return l.has("G91") }) {
			return lines
		}
		now := stands(lines)
		for i, l := range lines {
			x, hasI := l.word('I')
			y, hasJ := l.word('J')
			if hasI || hasJ {
				lines[i].words = append(l.without("IJ"), fmt.Sprintf("I%.7f", now[i].at[0]+x), fmt.Sprintf("J%.7f", now[i].at[1]+y))
			}
		}
		return insert(start54(lines), lines, "G90.1")
	}},
	{"overrides said, and no comments", func(_ *rand.Rand, lines []line) []line {
		return insert(start54(lines), slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 }), "M48")
	}},
	{"exact path said, and no comments", func(_ *rand.Rand, lines []line) []line {
		return insert(start54(lines), slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 }), "G61.1")
	}},
}
