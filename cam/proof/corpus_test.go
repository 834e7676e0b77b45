package proof_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/cam/proof/read"
)

// A corpus of programs as other people's software writes them. Each is made
// together with the places that it must lead to, so the reader is held against
// its maker here, and against a public parser from the npm registry by
// .ci/outside/gcode_corpus.mjs, for which TRAYWRIGHT_CORPUS_OUT names a folder.

const corpusPrograms = 600

// corpusOffsets is where the work offsets lie in machine coordinates, mm.
var corpusOffsets = map[int]read.Place{1: {X: 100, Y: 50, Z: -20}, 2: {X: 130.5, Y: 50, Z: -20}, 3: {X: 100, Y: 90.25, Z: -25}, 6: {X: 7, Y: 8, Z: 9}}

// author writes one program and keeps the place that it has led to.
type author struct {
	r       *rand.Rand
	lines   []string
	ends    []end
	at      [3]float64 // mm, in the first work offset that anything moved in
	frame   int
	system  int
	unit    float64 // mm
	inc     bool
	motion  string
	lower   bool
	spaces  int // between words: none, one, or anywhere
	numbers bool
	cut     bool // F has been written
	has     map[string]bool
}

// end is where a line leads.
type end struct {
	Line int        `json:"line"`
	To   [3]float64 `json:"to"`
}

func (a *author) chance(n int) bool { return a.r.IntN(n) == 0 }

// say writes a line of words in this author's manner.
func (a *author) say(words ...string) {
	line := strings.Join(words, []string{"", " ", "  "}[a.spaces])
	if a.numbers {
		line = fmt.Sprintf("N%d ", 10*(len(a.lines)+1)) + line
	}
	if a.chance(12) {
		line += a.note()
	}
	if a.lower {
		line = strings.ToLower(line)
	}
	if a.chance(25) {
		line = "/" + line // the machine's switch is off: it is executed
		a.has["block delete, switch off"] = true
	}
	a.lines = append(a.lines, line)
}

func (a *author) note() string {
	a.has["comments"] = true
	if a.chance(3) {
		a.has["; comments"] = true
		return " ; (next) G0 X5"
	}
	return " (to X5; then on)"
}

// number is a value in the unit in force as text, and what the text says in mm.
func (a *author) number(mm float64) (string, float64) {
	decimals := 4
	if a.unit > 1 {
		decimals = 5
	}
	text := strconv.FormatFloat(mm/a.unit, 'f', decimals, 64)
	switch a.r.IntN(4) {
	case 0:
		text = strings.TrimRight(text, "0")
	case 1:
		text = strings.Replace(text, "0.", ".", 1)
		if strings.HasPrefix(text, "-.") || strings.HasPrefix(text, ".") {
			break
		}
		text = strconv.FormatFloat(mm/a.unit, 'f', decimals, 64)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(err)
	}
	if v >= 0 && a.chance(8) {
		text = "+" + text
	}
	return text, v * a.unit
}

// word is an axis word that leads to about a place, and where it leads.
func (a *author) word(axis int, to float64) (string, float64) {
	from := a.origin(axis)
	if a.inc {
		from = a.at[axis]
	}
	text, v := a.number(to - from)
	return string("XYZ"[axis]) + text, from + v
}

// origin is where the program's zero lies in the frame.
func (a *author) origin(axis int) float64 {
	o, f := corpusOffsets[a.system], corpusOffsets[a.frame]
	return [3]float64{o.X - f.X, o.Y - f.Y, o.Z - f.Z}[axis]
}

// code is a motion code, which may be left out while it is in force.
func (a *author) code(name string) []string {
	if a.motion == name && a.chance(2) {
		return nil
	}
	a.motion = name
	if a.chance(6) {
		return []string{strings.Replace(name, "G", "G0", 1)}
	}
	return []string{name}
}

func (a *author) feed() []string {
	if a.cut && !a.chance(5) {
		return nil
	}
	a.cut = true
	text, _ := a.number(300 + 900*a.r.Float64())
	return []string{"F" + strings.TrimPrefix(text, "+")}
}

func (a *author) reached(to [3]float64) {
	a.at = to
	a.ends = append(a.ends, end{len(a.lines), to})
}

// goTo is G0 or G1 along some of the axes.
func (a *author) goTo(name string, axes ...int) {
	words, to := a.code(name), a.at
	for _, axis := range axes {
		var w string
		w, to[axis] = a.word(axis, 80*a.r.Float64()-10)
		words = append(words, w)
	}
	if name == "G1" {
		words = append(words, a.feed()...)
	}
	a.r.Shuffle(len(words), func(i, j int) { words[i], words[j] = words[j], words[i] })
	a.say(words...)
	a.reached(to)
}

// arc is G2 or G3, about a centre or with a radius, perhaps a helix.
func (a *author) arc() {
	name, turn := "G3", 0.2+5.8*a.r.Float64()
	if a.chance(2) {
		name = "G2"
	}
	if a.chance(2) {
		a.radiusArc(name)
		return
	}
	iText, i := a.number(2 + 20*a.r.Float64())
	jText, j := a.number(20*a.r.Float64() - 10)
	if name == "G2" {
		turn = -turn
	}
	sin, cos := math.Sincos(turn)
	x, xTo := a.word(0, a.at[0]+i-cos*i+sin*j)
	y, yTo := a.word(1, a.at[1]+j-sin*i-cos*j)
	words := append(a.code(name), x, y, "I"+iText, "J"+jText)
	to := [3]float64{xTo, yTo, a.at[2]}
	if a.chance(3) {
		a.has["helices"] = true
		var z string
		z, to[2] = a.word(2, -9*a.r.Float64())
		words = append(words, z)
	}
	a.say(append(words, a.feed()...)...)
	a.reached(to)
}

// radiusArc has chords of 20 to 150, or 210 to 330 degrees.
func (a *author) radiusArc(name string) {
	a.has["R arcs"] = true
	half := (10 + 65*a.r.Float64()) * math.Pi / 180
	heading, chord := 2*math.Pi*a.r.Float64(), 3+25*a.r.Float64()
	x, xTo := a.word(0, a.at[0]+chord*math.Cos(heading))
	y, yTo := a.word(1, a.at[1]+chord*math.Sin(heading))
	radius := math.Hypot(xTo-a.at[0], yTo-a.at[1]) / 2 / math.Sin(half)
	if a.chance(2) {
		radius = -radius
	}
	text, _ := a.number(radius)
	a.say(append(append(a.code(name), x, y, "R"+text), a.feed()...)...)
	a.reached([3]float64{xTo, yTo, a.at[2]})
}

// machinePlace is G53.
func (a *author) machinePlace() {
	a.has["G53"] = true
	text, v := a.number(5 + 10*a.r.Float64())
	a.motion = "G0"
	a.say("G53", "G0", "Z"+text)
	to := a.at
	to[2] = v - corpusOffsets[a.frame].Z
	a.reached(to)
}

// step writes one or two lines.
func (a *author) step(offsets bool) {
	switch n := a.r.IntN(14); {
	case n < 3:
		a.goTo("G0", a.r.Perm(3)[:1+a.r.IntN(3)]...)
	case n < 7:
		a.goTo("G1", a.r.Perm(3)[:1+a.r.IntN(3)]...)
	case n < 10:
		a.arc()
	case n == 10:
		a.inc = !a.inc
		a.has["G91"] = true
		a.say(map[bool]string{true: "G91", false: "G90"}[a.inc])
	case n == 11 && offsets:
		systems := []int{1, 2, 3, 6}
		a.system = systems[a.r.IntN(len(systems))]
		a.has["G54 to G59"] = true
		a.say(fmt.Sprintf("G%d", 53+a.system))
	case n == 12 && offsets && !a.inc:
		a.machinePlace()
	case n == 13:
		a.say([]string{"G4 P.5", "M8", "T2", "S1200 M3", "M5 M9", "G64", "G17"}[a.r.IntN(7)])
	}
}

// program is a whole file.
func (a *author) program(offsets bool) string {
	demarcated := a.chance(3)
	if demarcated {
		a.lines, a.has["%"] = append(a.lines, "%"), true
	}
	a.say("G90", map[bool]string{true: "G20", false: "G21"}[a.unit > 1])
	if a.unit > 1 {
		a.has["G20"] = true
	}
	if offsets {
		a.system = 2
		a.say("G55")
	}
	a.frame = a.system
	a.goTo("G0", 2, 0, 1)
	for range 5 + a.r.IntN(40) {
		a.step(offsets)
	}
	a.say([]string{"M2", "M30"}[a.r.IntN(2)])
	if demarcated {
		a.lines = append(a.lines, "%")
	}
	return strings.Join(a.lines, []string{"\n", "\r\n"}[a.r.IntN(2)]) + "\n"
}

// entry is a program of the corpus for others to read.
type entry struct {
	Text    string                `json:"text"`
	Has     []string              `json:"has"`
	Offsets map[string][3]float64 `json:"offsets"`
	Ends    []end                 `json:"ends"`
	Low     *[3]float64           `json:"low"` // extents, arcs in full; null where the operator's offsets enter
	High    *[3]float64           `json:"high"`
}

func TestReaderCorpus(t *testing.T) {
	var corpus []entry
	for seed := range corpusPrograms {
		r := rand.New(rand.NewPCG(uint64(seed), 91))
		a := &author{r: r, unit: []float64{1, 25.4}[r.IntN(2)], system: 1, lower: r.IntN(3) == 0, spaces: r.IntN(3), numbers: r.IntN(3) == 0, has: map[string]bool{}}
		offsets := r.IntN(4) == 0
		text := a.program(offsets)
		trace := read.Program([]byte(text), read.Options{Offsets: corpusOffsets})
		for _, f := range trace.Findings {
			require.Equal(t, finding.Warning, f.Severity, "program %d: %+v\n%s", seed, f, text)
		}
		e := entry{Text: text, Offsets: map[string][3]float64{}}
		for _, s := range trace.Steps {
			if s.Action.Moves() {
				e.Ends = append(e.Ends, end{s.Line, [3]float64{s.To.X, s.To.Y, s.To.Z}})
			}
		}
		requireEnds(t, a.ends, e.Ends, text)
		for n, o := range corpusOffsets {
			e.Offsets[strconv.Itoa(n)] = [3]float64{o.X, o.Y, o.Z}
		}
		for _, name := range []string{"G20", "G91", "R arcs", "helices", "%", "comments", "; comments", "block delete, switch off", "G53", "G54 to G59"} {
			if a.has[name] {
				e.Has = append(e.Has, name)
			}
		}
		if !a.has["G53"] && !a.has["G54 to G59"] {
			run := proof.Run("", []byte(text), proof.Setup{CellMM: 10}, nil)
			e.Low, e.High = &[3]float64{run.Min.X, run.Min.Y, run.Min.Z}, &[3]float64{run.Max.X, run.Max.Y, run.Max.Z}
		}
		corpus = append(corpus, e)
	}
	writeCorpus(t, corpus)
}

func requireEnds(t *testing.T, want, got []end, text string) {
	require.Len(t, got, len(want), text)
	for i := range want {
		require.Equal(t, want[i].Line, got[i].Line, text)
		for axis := range 3 {
			require.InDelta(t, want[i].To[axis], got[i].To[axis], 1e-9, "line %d\n%s", want[i].Line, text)
		}
	}
}

func writeCorpus(t *testing.T, corpus []entry) {
	dir := os.Getenv("TRAYWRIGHT_CORPUS_OUT")
	if dir == "" {
		return
	}
	data, err := json.Marshal(corpus)
	require.NoError(t, err)
	assert.NoError(t, os.WriteFile(filepath.Join(dir, "corpus.json"), data, 0o666))
}
