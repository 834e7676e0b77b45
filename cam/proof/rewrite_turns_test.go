package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// turns are other ways to say where a blade points that an axis turns.
var turns = []rewrite{
	{"A on a line of its own", each(func(_ *rand.Rand, l line) []line {
		if !l.goes("G0") || l.lacks('A') || l.lacks('X') && l.lacks('Y') {
			return []line{l}
		}
		first, then := l, l
		first.words, then.words = l.without("XYZ"), l.without("A")
		return []line{first, then}
	})},
	{"A on every move", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		if l.goes("G0", "G1", "G2", "G3") && l.lacks('A') && !math.IsNaN(now.at[3]) {
			l = l.with(fmt.Sprintf("A%.4f", now.at[3]))
		}
		return []line{l}
	})},
	{"A counted from the other side", func(r *rand.Rand, lines []line) []line {
		for i := 0; i < len(lines); {
			end := i + 1 // of a stroke, which begins with a rapid that turns the blade
			for end < len(lines) && !(lines[end].goes("G0") && !lines[end].lacks('A')) {
				end++
			}
			shifted(lines[i:end], 360*float64(r.IntN(3)-1))
			i = end
		}
		return lines
	}},
}

// shifted adds whole turns to all A words, where none comes to more than one from A0.
func shifted(lines []line, by float64) {
	for _, l := range lines {
		if a, ok := l.word('A'); ok && math.Abs(a+by) > 360 {
			return
		}
	}
	for _, l := range lines {
		for k, w := range l.words {
			if a, ok := l.word('A'); ok && strings.HasPrefix(w, "A") {
				l.words[k] = fmt.Sprintf("A%.4f", a+by)
			}
		}
	}
}
