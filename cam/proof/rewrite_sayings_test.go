package proof_test

import (
	"math/rand/v2"
	"slices"
	"strings"
)

// What is in force may be said again, or left out, and written in other ways.

// put says a line of words right behind the modes, or in front of some lines.
func put(words ...string) func(*rand.Rand, []line) []line {
	return func(_ *rand.Rand, lines []line) []line { return insert(start54(lines), lines, words...) }
}

func putSomewhere(words ...string) func(*rand.Rand, []line) []line {
	return func(r *rand.Rand, lines []line) []line {
		from := start54(lines)
		to := slices.IndexFunc(lines, func(l line) bool { return l.has("M2") || l.has("M30") })
		return insert(from+r.IntN(to-from), lines, words...)
	}
}

// beside says a word on some of the lines that a test accepts.
func beside(word string, accepts func(l line) bool) func(*rand.Rand, []line) []line {
	return each(func(_ *rand.Rand, l line) []line {
		if accepts(l) {
			return []line{l.with(word)}
		}
		return []line{l}
	})
}

func numbers(change func(word string) string) func(*rand.Rand, []line) []line {
	return each(func(_ *rand.Rand, l line) []line {
		for k, w := range l.words {
			if strings.Contains("XYZIJF", w[:1]) {
				l.words[k] = change(w)
			}
		}
		return []line{l}
	})
}

// again says lines twice that a test accepts.
func again(accepts func(l line) bool) func(*rand.Rand, []line) []line {
	return each(func(_ *rand.Rand, l line) []line {
		if accepts(l) {
			return []line{l, l}
		}
		return []line{l}
	})
}

func isSwitch(l line) bool { return l.has("M3") || l.has("M5") || l.has("M8") || l.has("M9") }

// together puts a line that a test accepts and the next onto one.
func together(accepts func(l, next line) bool) func(*rand.Rand, []line) []line {
	return func(_ *rand.Rand, lines []line) []line {
		var list []line
		for _, l := range lines {
			if n := len(list); n > 0 && len(list[n-1].words) > 0 && len(l.words) > 0 && accepts(list[n-1], l) {
				list[n-1] = list[n-1].with(l.words...)
				continue
			}
			list = append(list, l)
		}
		return list
	}
}

// moreSayings change words and lines and no way.
var moreSayings = []rewrite{
	{"off first", put("M5")},
	{"air off first", put("M9")},
	{"the offset again", putSomewhere("G54")},
	{"compensation off again", putSomewhere("G40", "G49")},
	{"the plane again", putSomewhere("G17")},
	{"absolute again", putSomewhere("G90")},
	{"the unit on a move's line", func(r *rand.Rand, lines []line) []line {
		unit := "G21"
		if slices.ContainsFunc(lines, func(l line) bool { return l.has("G20") }) {
			unit = "G20"
		}
		return beside(unit, func(l line) bool { return l.moves })(r, lines)
	}},
	{"absolute on a move's line", beside("G90", func(l line) bool { return l.moves && !l.has("G90") })},
	{"the plane on an arc's line", beside("G17", func(l line) bool { return l.goes("G2", "G3") })},
	{"the kind of feed beside a feed", beside("G94", func(l line) bool { return !l.lacks('F') && !l.has("G94") })},
	{"the feed on every cut", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		if l.goes("G1", "G2", "G3") && l.lacks('F') && now.feed != "" {
			l = l.with(now.feed)
		}
		return []line{l}
	})},
	{"the feed left out where it stays", eachThere(func(_ *rand.Rand, l line, now stand) []line {
		if slices.Contains(l.words, now.feed) && !l.has("G94") {
			l.words = l.without("F")
		}
		return []line{l}
	})},
	{"the feed on a line of its own", each(func(_ *rand.Rand, l line) []line {
		if l.lacks('F') || !l.moves || l.has("G94") {
			return []line{l}
		}
		feed := line{words: slices.DeleteFunc(slices.Clone(l.words), func(w string) bool { return w[0] != 'F' })}
		l.words = l.without("F")
		return []line{feed, l}
	})},
	{"switched on or off twice", again(isSwitch)},
	{"a switch on two lines", each(func(_ *rand.Rand, l line) []line {
		if len(l.words) < 2 || !isSwitch(l) || l.moves {
			return []line{l}
		}
		l2 := l
		l.words, l2.words = slices.DeleteFunc(slices.Clone(l.words), func(w string) bool { return w[0] == 'M' }), slices.DeleteFunc(slices.Clone(l.words), func(w string) bool { return w[0] != 'M' })
		return []line{l, l2}
	})},
	{"off and the end on one line", together(func(l, next line) bool {
		return l.has("M5") && len(l.words) == 1 && (next.has("M2") || next.has("M30"))
	})},
	{"the switch and the wait on one line", together(func(l, next line) bool { return l.has("M3") && next.has("G4") && len(next.words) == 2 })},
	{"modes in another order", func(r *rand.Rand, lines []line) []line {
		first, at := modesIn(lines)
		r.Shuffle(at-first, func(i, j int) { lines[first+i], lines[first+j] = lines[first+j], lines[first+i] })
		return lines
	}},
	{"modes twice", func(_ *rand.Rand, lines []line) []line {
		first, at := modesIn(lines)
		return slices.Concat(lines[:at], clone(lines[first:at]), lines[at:])
	}},
	{"a wait before all", put("G4", "P0.5")},
	{"a stop before all", put("M0")},
	{"codes with a point", each(func(_ *rand.Rand, l line) []line {
		for k, w := range l.words {
			if strings.Contains("GM", w[:1]) && !strings.Contains(w, ".") {
				l.words[k] = w + ".0"
			}
		}
		return []line{l}
	})},
	{"numbers with more zeros behind", numbers(func(w string) string {
		if strings.Contains(w, ".") {
			return w + "00"
		}
		return w + ".0"
	})},
	{"numbers with zeros in front", numbers(func(w string) string {
		if len(w) > 1 && w[1] >= '0' && w[1] <= '9' {
			return w[:1] + "0" + w[1:]
		}
		return w
	})},
	{"whole numbers without a point", numbers(func(w string) string {
		if short := strings.TrimSuffix(strings.TrimRight(w, "0"), "."); strings.Contains(w, ".") && strings.ContainsAny(short, "123456789") {
			return short
		}
		return w
	})},
	{"no zero before the point", numbers(func(w string) string {
		if digits, ok := strings.CutPrefix(w[1:], "0."); ok && digits != "" {
			return w[:1] + "." + digits
		}
		return strings.Replace(w, "-0.", "-.", 1)
	})},
	{"a zero with a minus", numbers(func(w string) string {
		if w[1:] == "0.0000" && w[0] != 'F' {
			return w[:1] + "-0.0000"
		}
		return w
	})},
	{"comments of operations stripped", func(_ *rand.Rand, lines []line) []line {
		return slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 && strings.HasPrefix(l.comment, "op: ") })
	}},
	{"a message", func(r *rand.Rand, lines []line) []line {
		return slices.Insert(lines, r.IntN(len(lines)), line{comment: "MSG, goggles on"})
	}},
	{"an empty comment", func(r *rand.Rand, lines []line) []line {
		at := r.IntN(len(lines))
		return slices.Insert(lines, at, line{comment: " "})
	}},
	{"a comment behind the end", func(_ *rand.Rand, lines []line) []line {
		return append(lines, line{comment: "made on a wet day"})
	}},
	{"a list of tools", func(_ *rand.Rand, lines []line) []line {
		return slices.Insert(lines, 0, line{comment: "T1 D3.175 flat"}, line{comment: "T2 D6 flat"})
	}},
}

// moreInks change the text and no word.
var moreInks = []ink{
	{"comments behind a semicolon", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string {
			if strings.HasPrefix(l, "(") && strings.HasSuffix(l, ")") {
				return ";" + l[1:len(l)-1]
			}
			return l
		})
	}},
	{"one line number on every line", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string { return "N1 " + l })
	}},
	{"a comment between words", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(i int, l string) string {
			if i%3 == 0 && !strings.ContainsAny(l, "(;") && strings.Contains(l, " ") {
				return strings.Replace(l, " ", " (then) ", 1)
			}
			return l
		})
	}},
	{"blanks inside numbers", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string {
			code, _, _ := strings.Cut(l, "(")
			if strings.Contains(code, ";") {
				return l
			}
			return strings.ReplaceAll(code, ".", " . ") + l[len(code):]
		})
	}},
	{"upper case", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string {
			code, _, _ := strings.Cut(l, "(")
			if strings.Contains(code, ";") {
				return l
			}
			return strings.ToUpper(code) + l[len(code):]
		})
	}},
	{"a program number alone", func(_ *rand.Rand, text string) string {
		if bare := strings.TrimSpace(text); strings.HasPrefix(strings.ToUpper(bare), "O") || strings.HasPrefix(bare, "%") { // which opens the file
			return text
		}
		return "O1\n" + text
	}},
}
