package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
	"traywright/geometry"
)

// The same program in other words. Whatever leaves foam, machine and people the
// same has to pass: several rewrites at a time, drawn at random.

// rewrite is one way to say the same. It may change the list that it gets.
type rewrite struct {
	name string
	do   func(r *rand.Rand, lines []line) []line
}

// each rewrites lines one by one, some of them.
func each(change func(r *rand.Rand, l line) []line) func(*rand.Rand, []line) []line {
	return func(r *rand.Rand, lines []line) []line {
		var list []line
		some := r.Float64()
		for _, l := range lines {
			if len(l.words) > 0 && r.Float64() < some {
				list = append(list, change(r, l)...)
			} else {
				list = append(list, l)
			}
		}
		return list
	}
}

// paths change how the way is described.
var paths = []rewrite{
	{"arcs in two", each(func(r *rand.Rand, l line) []line {
		if _, turn, ok := l.arc(); ok && math.Abs(turn) > 0.2 {
			return l.divided([]float64{0.2 + 0.6*r.Float64(), 1}, false)
		}
		return []line{l}
	})},
	{"arcs as chords within 0.005 mm", each(func(_ *rand.Rand, l line) []line {
		center, turn, ok := l.arc()
		if !ok {
			return []line{l}
		}
		n := math.Ceil(math.Abs(turn) / (2 * math.Acos(1-0.0049/max(0.1, l.from.DistanceTo(center)))))
		var shares []float64
		for i := 1.0; i <= n; i++ {
			shares = append(shares, i/n)
		}
		return l.divided(shares, true)
	})},
	{"radius arcs", each(func(_ *rand.Rand, l line) []line {
		center, turn, ok := l.arc()
		if !ok || math.Abs(turn) < 0.3 || math.Abs(turn) > 2.8 {
			return []line{l}
		}
		l.words = append(l.without("IJ"), fmt.Sprintf("R%.4f", (l.from.DistanceTo(center)+l.to().DistanceTo(center))/2))
		return []line{l}
	})},
	{"lines in two", each(func(r *rand.Rand, l line) []line {
		_, climbs := l.word('Z')
		if !l.has("G1") || climbs || l.from.DistanceTo(l.to()) < 0.1 {
			return []line{l}
		}
		half := l
		half.words = append([]string{"G1"}, append(xy(l.from.Add(l.to().Sub(l.from).Scale(0.2+0.6*r.Float64()))), l.without("GXYZ")...)...)
		l.words = append([]string{"G1"}, xy(l.to())...)
		return []line{half, l}
	})},
}

// inches says the whole in inches.
func inches(_ *rand.Rand, lines []line) []line {
	for i, l := range lines {
		for k, w := range l.words {
			v, _ := strconv.ParseFloat(w[1:], 64)
			switch {
			case w == "G21":
				lines[i].words[k] = "G20"
			case strings.Contains("XYZIJRF", w[:1]), w[0] == 'P' && l.has("G64"):
				lines[i].words[k] = fmt.Sprintf("%c%.7f", w[0], v/25.4)
			}
		}
	}
	return lines
}

func insert(at int, lines []line, words ...string) []line {
	return slices.Insert(lines, at, line{words: words})
}

// modesIn is the lines, from first to end-1, in which a program begins by saying its
// modes.
func modesIn(lines []line) (first, end int) {
	isMode := func(w string) bool {
		return slices.ContainsFunc([]string{"G20", "G21", "G90", "G17", "G94", "G54"}, func(code string) bool { return isCode(w, code) })
	}
	first = slices.IndexFunc(lines, func(l line) bool { return len(l.words) > 0 })
	for end = first; len(lines[end].words) > 0 && !slices.ContainsFunc(lines[end].words, func(w string) bool { return !isMode(w) }); end++ {
	}
	return first, end
}

// start54 is the line behind which the program's modes are said.
func start54(lines []line) int {
	_, end := modesIn(lines)
	return end
}

// sayings change words and lines and no way.
var sayings = []rewrite{
	{"inches", inches},
	{"words in another order", each(func(r *rand.Rand, l line) []line {
		r.Shuffle(len(l.words), func(i, j int) { l.words[i], l.words[j] = l.words[j], l.words[i] })
		return []line{l}
	})},
	{"leading zeros of codes", each(func(_ *rand.Rand, l line) []line {
		for k, w := range l.words {
			if len(w) == 2 && strings.Contains("GMT", w[:1]) {
				l.words[k] = w[:1] + "0" + w[1:]
			}
		}
		return []line{l}
	})},
	{"numbers without trailing zeros", each(func(_ *rand.Rand, l line) []line {
		for k, w := range l.words {
			if short := strings.TrimRight(w, "0"); strings.Contains(w, ".") && strings.ContainsAny(short, "123456789") {
				l.words[k] = short
			}
		}
		return []line{l}
	})},
	{"numbers with a plus", each(func(_ *rand.Rand, l line) []line {
		for k, w := range l.words {
			if strings.Contains("XYZIJF", w[:1]) && w[1] != '-' {
				l.words[k] = w[:1] + "+" + w[1:]
			}
		}
		return []line{l}
	})},
	{"comments stripped", func(_ *rand.Rand, lines []line) []line {
		return slices.DeleteFunc(lines, func(l line) bool { return len(l.words) == 0 })
	}},
	{"comments behind the next line", func(_ *rand.Rand, lines []line) []line {
		var list []line
		for i, l := range lines {
			if len(l.words) == 0 && i+1 < len(lines) && len(lines[i+1].words) > 0 {
				lines[i+1].comment = l.comment
				continue
			}
			list = append(list, l)
		}
		return list
	}},
	{"a comment somewhere", func(r *rand.Rand, lines []line) []line {
		return slices.Insert(lines, r.IntN(len(lines)), line{comment: "turn the sheet the right way up, G0 X5"})
	}},
	{"opening comments at the end", func(_ *rand.Rand, lines []line) []line {
		n := slices.IndexFunc(lines, func(l line) bool { return len(l.words) > 0 })
		return append(slices.Clone(lines[n:]), lines[:n]...)
	}},
	{"a motion word alone", func(r *rand.Rand, lines []line) []line {
		var list []line
		for _, l := range lines {
			if l.moves && len(l.words) > 1 && strings.Contains("G0 G1", l.words[0]) && r.IntN(4) == 0 {
				list = append(list, line{words: l.words[:1]})
				l.words = l.words[1:]
			}
			list = append(list, l)
		}
		return list
	}},
	{"motion words left out", func(r *rand.Rand, lines []line) []line {
		last := ""
		for i, l := range lines {
			if !l.moves || !strings.HasPrefix(l.words[0], "G") {
				last = ""
				continue
			}
			if l.words[0] == last && r.IntN(2) == 0 {
				lines[i].words = l.words[1:]
			}
			last = l.words[0]
		}
		return lines
	}},
	{"modes in one line", func(_ *rand.Rand, lines []line) []line {
		first, end := modesIn(lines)
		var all line
		for _, l := range lines[first:end] {
			for _, w := range l.words {
				if v, err := strconv.ParseFloat(w[1:], 64); err == nil && !all.has(fmt.Sprintf("%c%v", w[0], v)) {
					all.words = append(all.words, w)
				}
			}
		}
		return append(append(slices.Clone(lines[:first]), all), lines[end:]...)
	}},
	{"a path tolerance", func(_ *rand.Rand, lines []line) []line {
		if slices.ContainsFunc(lines, func(l line) bool { return l.has("G20") }) {
			return insert(start54(lines), lines, "G64", "P0.0005")
		}
		return insert(start54(lines), lines, "G64", "P0.01")
	}},
	{"exact stops", func(_ *rand.Rand, lines []line) []line { return insert(start54(lines), lines, "G61") }},
	{"compensation and cycles off", func(_ *rand.Rand, lines []line) []line {
		return insert(start54(lines), lines, "G40", "G49", "G80")
	}},
	{"off once more", func(_ *rand.Rand, lines []line) []line {
		return insert(slices.IndexFunc(lines, func(l line) bool { return l.has("M2") || l.has("M30") }), lines, "M5")
	}},
	{"M30", func(_ *rand.Rand, lines []line) []line {
		for i, l := range lines {
			if l.has("M2") {
				lines[i].words = append(slices.DeleteFunc(l.words, func(w string) bool { return isCode(w, "M2") }), "M30")
			}
		}
		return lines
	}},
	{"a longer wait", func(_ *rand.Rand, lines []line) []line {
		for i, l := range lines {
			if l.has("G4") {
				lines[i].words = append(l.without("P"), "P6.5")
			}
		}
		return lines
	}},
	{"speed and switch on two lines", func(_ *rand.Rand, lines []line) []line {
		var list []line
		for _, l := range lines {
			if l.has("M3") && len(l.words) == 2 && strings.HasPrefix(l.words[0], "S") {
				list = append(list, line{words: l.words[:1]}, line{words: l.words[1:]})
				continue
			}
			list = append(list, l)
		}
		return list
	}},
}

// ink is one way to write the same words.
type ink struct {
	name string
	do   func(r *rand.Rand, text string) string
}

// inks change the text and no word.
var inks = []ink{
	{"lower case", func(_ *rand.Rand, text string) string { return strings.ToLower(text) }},
	{"no blanks", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string {
			code, _, _ := strings.Cut(l, "(")
			return strings.ReplaceAll(code, " ", "") + l[len(code):]
		})
	}},
	{"blanks and tabs", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(i int, l string) string {
			return strings.Repeat(" ", i%3) + strings.ReplaceAll(l, " ", " \t ") + "  "
		})
	}},
	{"line numbers", func(_ *rand.Rand, text string) string {
		return eachLine(text, func(i int, l string) string {
			if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(l)), "N") {
				return l
			}
			return fmt.Sprintf("N%d %s", (10*i)%100000, l)
		})
	}},
	{"CRLF", func(_ *rand.Rand, text string) string { return strings.ReplaceAll(text, "\n", "\r\n") }},
	{"blank lines", func(r *rand.Rand, text string) string {
		return eachLine(text, func(_ int, l string) string { return l + strings.Repeat("\n", r.IntN(3)/2) })
	}},
	{"a program number", func(_ *rand.Rand, text string) string { return "O0107 (tray)\n" + text }},
	{"percent signs", func(_ *rand.Rand, text string) string { return "%\n" + text + "%\n" }},
	{"no line end at the end", func(_ *rand.Rand, text string) string { return strings.TrimRight(text, "\r\n") }},
}

func eachLine(text string, change func(i int, l string) string) string {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for i, l := range lines {
		if l != "" && l != "%" && !strings.HasPrefix(l, "O") && !strings.HasPrefix(l, "o") {
			lines[i] = change(i, l)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

// rewritten is a program in other words, and the names of how.
func rewritten(r *rand.Rand, program string) (text string, how []string) {
	lines := parsed(program)
	for _, w := range allRewrites() {
		if r.IntN(6) == 0 {
			lines, how = w.do(r, clone(lines)), append(how, w.name)
			lines = withStarts(lines)
		}
	}
	for _, l := range lines {
		text += l.String() + "\n"
	}
	for _, w := range allInks() {
		if r.IntN(6) == 0 {
			text, how = w.do(r, text), append(how, w.name)
		}
	}
	return text, how
}

// allRewrites are in the order in which they go together: ways in mm first, and words
// that others look for left as they are until the end.
func allRewrites() []rewrite {
	return slices.Concat(paths, morePaths, turns, sayings[:1], moreSayings, sayings[1:], stripped)
}

// allInks: line ends last.
func allInks() []ink {
	return slices.Concat(moreInks[:len(moreInks)-1], inks, moreInks[len(moreInks)-1:])
}

func clone(lines []line) []line {
	list := slices.Clone(lines)
	for i := range list {
		list[i].words = slices.Clone(list[i].words)
	}
	return list
}

// withStarts is the lines with the places where moves start, for the next rewrite
// of paths; those come before inches.
func withStarts(lines []line) []line {
	var at geometry.Point
	a := 0.0
	for i, l := range lines {
		lines[i].from, lines[i].points = at, a
		if v, ok := l.word('A'); ok {
			a = v
		}
		lines[i].turn = a
		if l.moves {
			at = lines[i].to()
		}
	}
	return lines
}

// Each of the ways alone passes, and at least 60 of them change something in a program of
// each process.
func TestEachOtherWordPasses(t *testing.T) {
	for i, p := range patients(t) {
		if i == 2 { // another router's
			continue
		}
		changed := 0
		try := func(name string, text string) {
			if text == p.text {
				return
			}
			changed++
			got := proof.Run(p.name, []byte(text), p.setup, &p.want)
			if !assert.True(t, got.OK, "%s: %s", p.name, name) {
				for _, f := range got.Findings {
					t.Log(f)
				}
			}
		}
		for i, w := range allRewrites() {
			var text strings.Builder
			for _, l := range w.do(rand.New(rand.NewPCG(uint64(i), 3)), withStarts(parsed(p.text))) {
				text.WriteString(l.String() + "\n")
			}
			try(w.name, text.String())
		}
		for i, w := range allInks() {
			try(w.name, w.do(rand.New(rand.NewPCG(uint64(i), 4)), p.text))
		}
		t.Logf("%s: %d of %d change something", p.name, changed, len(allRewrites())+len(allInks()))
		assert.GreaterOrEqual(t, changed, 60, p.name)
	}
}

func TestTheSameInOtherWordsPasses(t *testing.T) {
	list := patients(t)
	for i, v := range variants { // made by the real stages: on the bed, stepped, tapered, a block
		r := rand.New(rand.NewPCG(uint64(i), 5))
		m := v.machine()
		program, setup, want := made(t, v.sheet(t, r, m), m)
		setup.CellMM = 0.5
		list = append(list, patient{name: fmt.Sprint("variant ", i), text: string(program), setup: setup, want: want})
	}
	for i := range list {
		list[i].setup.SpinUpSeconds = 3
	}
	for seed := *firstSeed; seed < *firstSeed+*rewriteSeeds; seed++ {
		p := list[seed%len(list)]
		r := rand.New(rand.NewPCG(uint64(seed), 77))
		text, how := rewritten(r, p.text)
		way := proof.WayOf([]byte(p.text), p.setup.Machine)
		assert.True(t, way.Alike(proof.WayOf([]byte(text), p.setup.Machine)), "%s, seed %d: %v", p.name, seed, how)
		got := proof.Run(p.name, []byte(text), p.setup, &p.want)
		if !assert.True(t, got.OK, "%s, seed %d: %v: %v", p.name, seed, how, got.Findings) {
			for _, f := range got.Findings {
				t.Log(f)
			}
			return
		}
	}
}
