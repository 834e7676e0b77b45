package proof_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/geometry"
)

// sealed are the good programs of either machine.
func sealed(t testing.TB) map[string]string {
	router, _ := routerTray()
	laser, _ := laserTray()
	return map[string]string{"router": string(text(t, router, routerMachine())), "laser": string(text(t, laser, laserMachine()))}
}

// What no controller sees makes no difference: comments, blanks, capitals, line
// numbers, line ends, noughts behind a point, the order of words.
func TestASealOutlastsRewrites(t *testing.T) {
	for name, program := range sealed(t) {
		whole := proof.MovesSeal([]byte(program))
		assert.Len(t, whole, 32)
		assert.Equal(t, whole, proof.MovesSeal([]byte(comments.ReplaceAllString(program, ""))), name)
		rapid.Check(t, func(rt *rapid.T) {
			r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
			var out []string
			for i, line := range strings.Split(program, "\n") {
				out = append(out, harmless(r, i, line))
			}
			end := []string{"\n", "\r\n"}[r.IntN(2)]
			require.Equal(rt, whole, proof.MovesSeal([]byte(strings.Join(out, end))), name)
		})
	}
}

// harmless says a line otherwise.
func harmless(r *rand.Rand, i int, line string) string {
	if strings.HasPrefix(line, "(") || line == "" {
		return []string{line, "", "(another comment)", "  "}[r.IntN(4)]
	}
	words := strings.Fields(line)
	r.Shuffle(len(words), func(a, b int) { words[a], words[b] = words[b], words[a] })
	for k, w := range words {
		if r.IntN(3) == 0 && strings.Contains(w, ".") {
			w = strings.TrimRight(w, "0")
		}
		if r.IntN(3) == 0 {
			w = w[:1] + " " + w[1:]
		}
		if r.IntN(2) == 0 {
			w = strings.ToLower(w)
		}
		words[k] = w
	}
	line = strings.Join(words, strings.Repeat(" ", r.IntN(3)))
	if r.IntN(4) == 0 {
		line += "(a comment)"
	}
	if r.IntN(4) == 0 {
		line = fmt.Sprintf("N%d %s", i, line)
	}
	return line
}

// Any change of a move changes the seal: every digit of every line, and a line that
// goes, comes again or changes its place.
func TestASealKnowsEveryMove(t *testing.T) {
	for name, program := range sealed(t) {
		whole := proof.MovesSeal([]byte(program))
		lines := strings.Split(strings.TrimSpace(program), "\n")
		differs := func(what string, changed []string) {
			assert.NotEqual(t, whole, proof.MovesSeal([]byte(strings.Join(changed, "\n"))), "%s: %s", name, what)
		}
		for i, line := range lines {
			if strings.HasPrefix(line, "(") || testing.Short() && i%7 != 0 { // the race detector makes it ten times as long
				continue
			}
			with := func(new ...string) []string { return append(append(lines[:i:i], new...), lines[i+1:]...) }
			differs("without "+line, with())
			differs("twice "+line, with(line, line))
			differs("behind / "+line, with("/"+line))
			if i+1 < len(lines) && lines[i+1] != line && !strings.HasPrefix(lines[i+1], "(") {
				differs("later "+line, append(append(lines[:i:i], lines[i+1], line), lines[i+2:]...))
			}
			for k, c := range line {
				switch {
				case unicode.IsDigit(c):
					differs("a digit of "+line, with(line[:k]+string('0'+(c-'0'+1)%10)+line[k+1:]))
				case c == '-':
					differs("a sign of "+line, with(line[:k]+line[k+1:]))
				case c == '.' && !(strings.HasPrefix(line[k-1:], "0.0000") && unicode.IsLetter(rune(line[k-2]))): // nought is nought
					differs("a point of "+line, with(line[:k]+line[k+1:]))
				case unicode.IsLetter(c):
					differs("a letter of "+line, with(line[:k]+"A"+line[k+1:]))
				}
			}
		}
	}
}

// The plan's seal hangs on all that the foam is held against, and on no name. Every
// field of the limits is tried, those that come in the future too.
func TestASealOfAPlan(t *testing.T) {
	_, want := routerTray()
	setup := routerSetup()
	whole := proof.PlanSeal(setup, &want)
	assert.Equal(t, whole, proof.PlanSeal(setup, &want))
	differs := func(what string, change func(*proof.Setup, *proof.Wanted)) {
		_, w := routerTray()
		s := routerSetup()
		change(&s, &w)
		assert.NotEqual(t, whole, proof.PlanSeal(s, &w), what)
	}
	limits := reflect.TypeFor[proof.Limits]()
	for i := range limits.NumField() {
		for which := range 3 {
			differs(limits.Field(i).Name, func(_ *proof.Setup, w *proof.Wanted) {
				list := [][]proof.Limits{w.Cuts[0].Limits, w.OutlineLimits, {{}}}[which]
				switch f := reflect.ValueOf(&list[0]).Elem().Field(i); f.Kind() {
				case reflect.Int:
					f.SetInt(f.Int() + 1)
				case reflect.Float64:
					f.SetFloat(f.Float() + 0.5)
				case reflect.Pointer:
					f.Set(reflect.ValueOf(&proof.CutKerf{MM: []float64{3}}))
				default:
					f.Set(reflect.ValueOf([]float64{3}))
				}
				if which == 2 {
					w.MarkLimits = list
				}
			})
		}
	}
	for what, change := range map[string]func(*proof.Setup, *proof.Wanted){
		"thickness":    func(s *proof.Setup, _ *proof.Wanted) { s.ThicknessMM += 0.1 },
		"breakthrough": func(s *proof.Setup, _ *proof.Wanted) { s.BreakthroughMM += 0.1 },
		"taper":        func(s *proof.Setup, _ *proof.Wanted) { s.TaperDegrees++ },
		"kerf":         func(s *proof.Setup, _ *proof.Wanted) { s.KerfMM[1] += 0.01 },
		"a layer":      func(s *proof.Setup, _ *proof.Wanted) { s.Layers = []proof.Layer{{ThicknessMM: 20}} },
		"zero":         func(s *proof.Setup, _ *proof.Wanted) { s.Machine.ZZero = "bed" },
		"scale":        func(s *proof.Setup, _ *proof.Wanted) { s.Machine.ScaleX = number(1.001) },
		"corners":      func(s *proof.Setup, _ *proof.Wanted) { s.Machine.Controller.PathToleranceMM += 0.01 },
		"reach":        func(s *proof.Setup, _ *proof.Wanted) { s.Machine.Tools[0].ReachMM = number(9) },
		"through":      func(_ *proof.Setup, w *proof.Wanted) { w.Cuts[0].Through = true },
		"plug":         func(_ *proof.Setup, w *proof.Wanted) { w.Cuts[0].Plug = true },
		"depth":        func(_ *proof.Setup, w *proof.Wanted) { w.Cuts[0].DepthMM++ },
		"a cut less":   func(_ *proof.Setup, w *proof.Wanted) { w.Cuts = w.Cuts[1:] },
		"a place": func(_ *proof.Setup, w *proof.Wanted) {
			w.Cuts[2].Shape = w.Cuts[2].Shape.Transform(geometry.Translate(0.01, 0))
		},
		"the outline": func(_ *proof.Setup, w *proof.Wanted) {
			w.Outline = geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4.01))
		},
		"the skin": func(_ *proof.Setup, w *proof.Wanted) { w.OutlineDepthMM += 0.1 },
		"a tab":    func(_ *proof.Setup, w *proof.Wanted) { w.Tabs = proof.Tabs{Count: 4} },
		"a trail":  func(s *proof.Setup, _ *proof.Wanted) { s.Machine.Tools[0].TrailMM = number(0.5) },
		"a slit": func(_ *proof.Setup, w *proof.Wanted) {
			w.Slits = []proof.WantedSlit{{To: geometry.Point{X: 9}, WidthMM: 1}}
		},
		"a mark": func(_ *proof.Setup, w *proof.Wanted) { w.Marks = []proof.WantedMark{{Path: anchor(), WidthMM: 1}} },
	} {
		differs(what, change)
	}
	trails := func(which int) string {
		s := routerSetup()
		s.Machine.Tools = append(s.Machine.Tools, s.Machine.Tools[0])
		s.Machine.Tools[1].Number = 2
		s.Machine.Tools[which].TrailMM = number(0.5)
		return proof.PlanSeal(s, &want)
	}
	assert.NotEqual(t, trails(0), trails(1), "which of two blades trails")
	tabs := func(by proof.Tabs) string {
		_, w := routerTray()
		w.Tabs = by
		return proof.PlanSeal(setup, &w)
	}
	assert.NotEqual(t, tabs(proof.Tabs{Count: 4, WidthMM: 8, HighMM: 3}), tabs(proof.Tabs{Count: 4, WidthMM: 3, HighMM: 8}), "the size of a tab")
	want.Cuts[0].Name = "pocket 1 (ledger)"
	want.Cuts[0].Shape = want.Cuts[0].Shape.Transform(geometry.Translate(1e-7, 0)) // less than is printed
	setup.CellMM, setup.Progress = 3, func(float64) {}
	assert.Equal(t, whole, proof.PlanSeal(setup, &want))
}

// A comment is what a hand obeys: every character of every comment counts, and its place;
// blanks, brackets and the words of the program do not.
func TestASealKnowsEveryWord(t *testing.T) {
	for name, program := range sealed(t) {
		whole := proof.WordsSeal([]byte(program))
		lines := strings.Split(strings.TrimSpace(program), "\n")
		differs := func(what string, changed ...string) {
			assert.NotEqual(t, whole, proof.WordsSeal([]byte(strings.Join(changed, "\n"))), "%s: %s", name, what)
		}
		asBefore := func(what, changed string) {
			assert.Equal(t, whole, proof.WordsSeal([]byte(changed)), "%s: %s", name, what)
		}
		said := 0
		for i, line := range lines {
			if !strings.HasPrefix(line, "(") {
				continue
			}
			said++
			with := func(other ...string) []string { return slices.Concat(lines[:i], other, lines[i+1:]) }
			differs("gone: "+line, with()...)
			differs("twice: "+line, with(line, line)...)
			differs("hidden: "+line, with("(1"+line[1:])...)
			for at := 1; at < len(line)-1; at++ {
				if line[at] != ' ' {
					differs("another: "+line, with(line[:at]+"@"+line[at+1:])...)
				}
			}
			asBefore("behind ;", strings.Join(with(";"+strings.TrimSuffix(line[1:], ")")), "\n"))
		}
		require.Greater(t, said, 5, "there are comments")
		asBefore("blanks", strings.ReplaceAll(program, " ", "\t  "))
		asBefore("line ends", strings.ReplaceAll(program, "\n", "\r\n"))
		asBefore("moves", strings.ReplaceAll(program, "G1", "G01"))
		sum := strings.Repeat("0f", 16)
		asBefore("seals", "(seal of moves: "+sum+")\n(Seal of words: "+sum+")\n"+program)
		for _, no := range []string{"seal of moves: take T3", "seal of moves: " + sum + " with T3", "seal of approval: " + sum} {
			differs("no seal", "("+no+")", program)
		}
	}
	assert.NotEqual(t, proof.WordsSeal(nil), proof.WordsSeal([]byte("X1 ( broken ( comment\n")), "what cannot be read counts as it stands")
}

// The dry run tells what the seals say, whatever it finds.
func TestTheDryRunReadsSeals(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	seal := fmt.Sprintf("(seal of moves: %s)\n(seal of plan: %s)\n", proof.MovesSeal([]byte(program)), proof.PlanSeal(setup, &want))
	seal += fmt.Sprintf("(seal of words: %s)\n", proof.WordsSeal([]byte(program)))
	run := func(text string, want *proof.Wanted) proof.Seal {
		r := proof.Run("", []byte(text), setup, want)
		assert.Equal(t, r.Seal.Words == proof.Changed, slices.ContainsFunc(r.Findings, func(f finding.Finding) bool { return f.Rule == "words-changed" }))
		return r.Seal
	}
	whole := strings.Replace(program, "(passes", seal+"(passes", 1)
	assert.Equal(t, proof.Seal{Moves: proof.Same, Plan: proof.Same, Words: proof.Same}, run(whole, &want))
	assert.Equal(t, proof.Seal{Moves: proof.Same, Plan: proof.Unasked, Words: proof.Same}, run(whole, nil))
	assert.Equal(t, proof.Seal{Moves: proof.Same, Plan: proof.Same, Words: proof.Changed}, run(strings.ToUpper(whole), &want), "its words are in other letters")
	assert.Equal(t, proof.Seal{Moves: proof.Changed, Plan: proof.Same, Words: proof.Same}, run(strings.Replace(whole, "F900", "F890", 1), &want))
	assert.Equal(t, proof.Seal{Moves: proof.NoSeal, Plan: proof.NoSeal, Words: proof.NoSeal}, run(comments.ReplaceAllString(whole, ""), &want))
	assert.Equal(t, proof.Seal{Moves: proof.NoSeal, Plan: proof.NoSeal, Words: proof.NoSeal}, run(program, nil))
	changed := proof.Seal{Moves: proof.Same, Plan: proof.Same, Words: proof.Changed}
	assert.Equal(t, changed, run(strings.Replace(whole, "(passes", "(z zero: elsewhere)\n(passes", 1), &want))
	assert.Equal(t, changed, run(regexp.MustCompile(`\(seal of words.*\n`).ReplaceAllString(whole, ""), &want), "a seal that lost its words")
	want.Cuts[0].DepthMM++
	assert.Equal(t, proof.Seal{Moves: proof.Same, Plan: proof.Changed, Words: proof.Same}, run(whole, &want))
	r := proof.Run("", []byte(strings.Replace(whole, "F900", "F890", 1)), setup, nil)
	assert.True(t, r.OK, "a change is no error by itself: %v", r.Findings)
}
