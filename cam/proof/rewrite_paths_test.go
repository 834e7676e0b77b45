package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// More ways to say the same: what is in force may be said again, or left out.

// stand is what is in force before a line. Places are NaN while they are not said.
type stand struct {
	at   [4]float64 // X, Y, Z and A
	feed string
}

// stands follows a program's words.
func stands(lines []line) []stand {
	now := stand{at: [4]float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()}}
	list := make([]stand, len(lines))
	for i, l := range lines {
		list[i] = now
		for axis := range 4 {
			if v, ok := l.word("XYZA"[axis]); ok {
				now.at[axis] = v
			}
		}
		for _, w := range l.words {
			if w[0] == 'F' {
				now.feed = w
			}
		}
	}
	return list
}

// eachThere is each, with what is in force before the line.
func eachThere(change func(r *rand.Rand, l line, now stand) []line) func(*rand.Rand, []line) []line {
	return func(r *rand.Rand, lines []line) []line {
		var list []line
		now, some := stands(lines), r.Float64()
		for i, l := range lines {
			if len(l.words) > 0 && r.Float64() < some {
				list = append(list, change(r, l, now[i])...)
			} else {
				list = append(list, l)
			}
		}
		return list
	}
}

func (l line) lacks(letter byte) bool {
	_, ok := l.word(letter)
	return !ok
}

func (l line) with(words ...string) line {
	l.words = append(slices.Clone(l.words), words...)
	return l
}

// goes reports a line that moves and says so with its own code, of some of these.
func (l line) goes(codes ...string) bool {
	return l.moves && slices.ContainsFunc(codes, l.has)
}

// splitBetween puts a place on a straight way.
func splitBetween(r *rand.Rand, l line, now stand, axes string) []line {
	half, share := l, 0.2+0.6*r.Float64()
	half.words = slices.Clone(l.words)
	for k, w := range half.words {
		axis := strings.IndexByte("XYZA", w[0])
		if axis < 0 {
			continue
		}
		if !strings.Contains(axes, w[:1]) || math.IsNaN(now.at[axis]) {
			return []line{l}
		}
		to, _ := l.word(w[0])
		half.words[k] = fmt.Sprintf("%c%.4f", w[0], now.at[axis]+share*(to-now.at[axis]))
	}
	return []line{half, l}
}

// morePaths change how the way is described, in mm.
var morePaths = []rewrite{
	{"rapids in two", eachThere(func(r *rand.Rand, l line, now stand) []line {
		if !l.goes("G0") {
			return []line{l}
		}
		return splitBetween(r, l, now, "XYA")
	})},
	{"lifts in two", eachThere(func(r *rand.Rand, l line, now stand) []line {
		if z, ok := l.word('Z'); !ok || !l.goes("G0") || !(z > now.at[2]) {
			return []line{l}
		}
		return splitBetween(r, l, now, "Z")
	})},
	{"straight down in two", eachThere(func(r *rand.Rand, l line, now stand) []line {
		if !l.goes("G1") || l.lacks('Z') {
			return []line{l}
		}
		return splitBetween(r, l, now, "Z")
	})},
	{"rapids one axis after the other", each(func(_ *rand.Rand, l line) []line {
		if !l.goes("G0") || l.lacks('X') || l.lacks('Y') {
			return []line{l}
		}
		first, then := l, l
		first.words, then.words = l.without("Y"), l.without("X")
		return []line{first, then}
	})},
	{"arcs in many", each(func(_ *rand.Rand, l line) []line {
		if _, turn, ok := l.arc(); ok && math.Abs(turn) > 0.5 {
			return l.divided([]float64{0.25, 0.5, 0.75, 1}, false)
		}
		return []line{l}
	})},
	{"a rapid to where it is", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		if !l.goes("G0") || l.lacks('X') || l.lacks('Y') {
			return []line{l}
		}
		return []line{l, l}
	})},
	{"the safe height again", each(func(_ *rand.Rand, l line) []line {
		if z, ok := l.word('Z'); ok && l.goes("G0") && z > 0 {
			return []line{l, l}
		}
		return []line{l}
	})},
	{"X and Y on every move", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		for axis, letter := range []byte("XY") {
			if l.goes("G0", "G1") && l.lacks('Z') && l.lacks(letter) && !math.IsNaN(now.at[axis]) {
				l = l.with(fmt.Sprintf("%c%.4f", letter, now.at[axis]))
			}
		}
		return []line{l}
	})},
	{"Z on every cut", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		if l.goes("G1", "G2", "G3") && l.lacks('Z') && !math.IsNaN(now.at[2]) {
			l = l.with(fmt.Sprintf("Z%.4f", now.at[2]))
		}
		return []line{l}
	})},
	{"X or Y left out where it stays", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		x, hasX := l.word('X')
		y, hasY := l.word('Y')
		switch {
		case !l.moves || !hasX || !hasY:
		case x == now.at[0]:
			l.words = l.without("X")
		case y == now.at[1]:
			l.words = l.without("Y")
		}
		return []line{l}
	})},
	{"I or J of 0 left out", each(func(_ *rand.Rand, l line) []line {
		i, hasI := l.word('I')
		j, hasJ := l.word('J')
		switch {
		case !hasI || !hasJ:
		case i == 0 && j != 0:
			l.words = l.without("I")
		case j == 0 && i != 0:
			l.words = l.without("J")
		}
		return []line{l}
	})},
}
