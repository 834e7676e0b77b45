package cam

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/profiles"
)

// Whatever the plan accepts is made and passes its own dry run: of any foam, in sheets and in
// blocks, with what goes through lifted out or milled away, under the cutters and under the beam.

var (
	anyJobs  = flag.Int("any-jobs", 12, "random jobs of any foam to plan and to prove")
	firstAny = flag.Uint64("first-any", 1, "number of the first of them")
)

// anyFoams are sheets of foam that go under a machine, with thicknesses in mm.
var anyFoams = map[string][]struct {
	foam  string
	thick []float64
}{
	"bench-router": {{"pe-30", []float64{10, 25.4, 50.8}}, {"pe-45", []float64{6.35, 12.7, 25.4}}, {"xpe-33", []float64{5, 10, 20}}, {"eva-90", []float64{3, 6, 12.7}},
		{"pu-30", []float64{20, 30, 50}}, {"xps-32", []float64{3, 10, 20, 40}}, {"eps-20", []float64{3, 10, 20, 30}}, {"epp-30", []float64{10, 20, 30}}, {"pvc-60", []float64{3, 5, 10}},
		{"cr-150", []float64{3, 5, 10}}, {"melamine-10", []float64{10, 20, 40}}},
	"bench-laser": {{"pe-30", []float64{6, 12.7, 25.4}}, {"pe-45", []float64{6.35, 12.7, 20}}, {"xpe-33", []float64{5, 10, 20}}, {"eva-90", []float64{3, 6, 12.7}}},
}

// anyJob is a tray of one to three layers, with pockets where there is room for them.
func anyJob(r *rand.Rand, machine string) string {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	var b, b0 strings.Builder
	var layers []string
	thick := 0.0
	var bottoms []float64
	for range 1 + r.IntN(3) {
		f := anyFoams[machine][r.IntN(len(anyFoams[machine]))]
		mm := f.thick[r.IntN(len(f.thick))]
		if thick += mm; thick > 52 && len(layers) > 0 {
			thick -= mm
			break
		}
		measured := ""
		if r.IntN(4) == 0 {
			measured = fmt.Sprintf(", measured: %.2f", mm*(0.97+0.06*r.Float64()))
		}
		layers, bottoms = append(layers, fmt.Sprintf("{foam: %s, thickness: %v%s}", f.foam, mm, measured)), append(bottoms, thick)
	}
	fmt.Fprintf(&b, "machine: %s\nunits: mm\ntrays:\n  - id: a\n    size: [%d, %d]\n    corner: %d\n    edge: 20\n    wall: 16\n    layers: [%s]\n", machine, 210+r.IntN(60), 150+r.IntN(40), r.IntN(12), strings.Join(layers, ", "))
	if machine == "bench-router" && r.IntN(2) == 0 {
		b.WriteString("    cut: block\n")
	}
	b.WriteString(pick("", "", "    waste: clear\n"))
	make := "mark"
	if machine == "bench-router" {
		make = pick("mark", "outline", "through", fmt.Sprintf("%.2f", thick*r.Float64()))
	}
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "    labels: [{text: %q, at: [22, 86], height: %.1f, font: %s, make: %q}]\n", pick("O8", "Bo", "P", "A"), 30+20*r.Float64(), pick("go-bold", "go-bold", "strokes"), make)
	}
	b.WriteString("    pockets:\n")
	if r.IntN(6) == 0 { // four that are one, around an island
		deep := thick * (0.5 + 0.45*r.Float64())
		for _, b := range [4][4]float64{{20, 86, 50, 12}, {20, 114, 50, 12}, {20, 86, 12, 40}, {58, 86, 12, 40}} {
			fmt.Fprintf(&b0, "      - {at: [%.1f, %.1f], size: [%.1f, %.1f], depth: %.3f}\n", b[0], b[1], b[2], b[3], deep)
		}
	}
	b.WriteString(b0.String())
	for i := range 6 {
		if b0.Len() > 0 && i == 3 { // where the island is
			continue
		}
		x, y := 20+66*float64(i%3)+4*r.Float64(), 20+66*float64(i/3)+4*r.Float64()
		length, width := 20+26*r.Float64(), 16+30*r.Float64()
		depth := pick("through", "through", fmt.Sprint(bottoms[r.IntN(len(bottoms))]), fmt.Sprint(bottoms[0]))
		if machine == "bench-router" && r.IntN(2) == 0 {
			depth = fmt.Sprintf("%.4f", thick*(0.1+0.8*r.Float64()))
		}
		shape := pick(fmt.Sprintf("size: [%.3f, %.3f]", length, width), fmt.Sprintf("size: [%.3f, %.3f], corner: %.2f", length, width, 2+6*r.Float64()), fmt.Sprintf("round: %.3f", width),
			fmt.Sprintf("slot: [%.3f, %.3f]", length, min(width, length-1)/2), fmt.Sprintf("size: [%.3f, %.3f], turn: %.2f", length/1.5, width/1.5, 90*r.Float64()),
			fmt.Sprintf("size: [%.3f, %.3f], notch: %s, notch_reach: 6", length, width, pick("n", "e", "ends", "sides")))
		tool := ""
		if machine == "bench-router" {
			tool = pick("", "", ", tool: flat-3", ", tool: flat-6")
		}
		if depth == "through" && r.IntN(3) == 0 {
			tool += ", waste: plug"
		}
		fmt.Fprintf(&b, "      - {for: p%d, at: [%.4f, %.4f], %s, depth: %s, relief: %s%s}\n", i, x, y, shape, depth, pick("none", "none", "dogbone", "tbone"), tool)
	}
	return b.String()
}

// onceRefused are jobs whose own programs the dry run has refused: a block's tool went over the
// floor of one foam at the feed of the next, or over tabs that end at the glue.
var onceRefused = []string{
	"machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [120, 90]\n    cut: block\n    layers: [{foam: pe-45, thickness: 12 mm}, {foam: eps-20, thickness: 20 mm}]\n" +
		"    pockets: [{at: [15, 15], size: [40, 30], depth: through}, {at: [70, 15], size: [30, 30], depth: 20}]\n",
	"machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [120, 90]\n    cut: block\n    layers: [{foam: eva-90, thickness: 20 mm}, {foam: eps-20, thickness: 3 mm}]\n" +
		"    pockets: [{at: [15, 15], size: [40, 30], depth: through}]\n",
}

func TestWhatIsPlannedIsProved(t *testing.T) {
	jobs := *anyJobs
	if testing.Short() {
		jobs = min(jobs, 4)
	}
	round := "machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [240, 170]\n    corner: 3\n    layers: [{foam: pe-45, thickness: 25.4}]\n" +
		"    pockets: [{at: [20.403, 20.000], round: 41.864, depth: through, tool: flat-3}, {at: [90.765, 20.000], round: 36.936, depth: through, tool: flat-6}, {at: [161.955, 20.000], round: 41.042, depth: through, tool: flat-6}, " +
		"{at: [20.085, 90.000], round: 41.701, depth: through, tool: flat-6}, {at: [92.287, 90.000], round: 30.029, depth: through, tool: flat-6}, {at: [162.165, 90.000], round: 33.203, depth: through, tool: flat-3}]\n"
	assert.Positive(t, proven(t, "round plugs in chords", safety.Limits{}, profiles.Printer, round)) // was work on a plug that its skin holds
	for i, text := range onceRefused {
		assert.Positive(t, proven(t, fmt.Sprint("once refused ", i), safety.Limits{}, profiles.PC, text))
	}
	cut := 0
	for n := range uint64(jobs) {
		number := *firstAny + n
		machine := []string{"bench-router", "bench-router", "bench-laser"}[number%3]
		limits := safety.Limits{}
		if number%4 == 0 { // the owner's limits go over the recipe
			limits.FeedMMPerMin, limits.PowerPercent = 700, 30
		}
		class := []profiles.Class{profiles.PC, profiles.PC, profiles.Small, profiles.Printer}[number/3%4]
		cut += proven(t, fmt.Sprint("job ", number), limits, class, anyJob(rand.New(rand.NewPCG(number, 14)), machine))
	}
	t.Logf("%d programs of %d jobs", cut, jobs)
	if jobs >= 10 {
		assert.Positive(t, cut)
	}
}

// proven is how many programs of a job are made and pass; 0 of one that the plan refuses.
func proven(t *testing.T, name string, limits safety.Limits, class profiles.Class, text string) (programs int) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	rules := safety.Rules{Limits: []safety.Limits{limits}}
	for machine, foams := range anyFoams {
		m, _ := c.Machine(machine)
		for _, f := range foams {
			rules.Permits = append(rules.Permits, safety.Permit{Foam: f.foam, Process: m.Process, When: "lid closed"})
		}
	}
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err, "%s\n%v", text, found)
	require.False(t, found.Failed(), "%s\n%v", text, found)
	r := Request{Job: j, Catalog: c, Unit: j.Units, Rules: []safety.Rules{rules}}
	p, found := decide(r)
	if found.Failed() { // a pocket too near another's, a wall too thin: so the plan has said
		return 0
	}
	for _, m := range classesOf(p.Machine) {
		if m.Controller.Class == class {
			p.Machine = m
		}
	}
	works := sheetsOf(p)
	for _, w := range works {
		require.NoError(t, w.lay(p))
		assert.False(t, w.found.Failed(), "%s: %v\n%s", name, w.found, text)
	}
	for _, w := range eachTool(works) {
		if len(w.body) == 0 {
			continue
		}
		programs++
		run := proof.Run(w.path(), w.body, w.setup(p.Machine), w.wanted(p.Machine))
		assert.True(t, run.OK, "%s, %s: %v\n%s", name, w.path(), run.Findings, text)
		sayWhatIsWritten(t, r, p, w)
	}
	return programs
}

// sayWhatIsWritten holds a program's own comments against its sheet, and some that are false.
func sayWhatIsWritten(t *testing.T, r Request, p *plan.Plan, w *sheetWork) {
	told := func(text []byte) finding.List {
		tried := Tried{trial: Trial{Name: w.path(), Text: text}, header: proof.Header(text)}
		return tried.handWordsDiffer(w, p, r.Rules)
	}
	program := w.write(r, p)
	assert.Empty(t, told(program), "%s", program)
	unsealed := regexp.MustCompile(`(?m)^.*seal of .*\n`).ReplaceAll(program, nil)
	assert.Empty(t, told(unsealed), "%s", unsealed)
	assert.Empty(t, told(moved(unsealed)), "%s", moved(unsealed))
	assert.Empty(t, (&Tried{trial: Trial{Text: program}}).unwritten(), "%s", program)
	assert.True(t, told(slices.Concat(unsealed, []byte("; lift the guard\n"))).Failed())
	for _, spoil := range []struct{ pattern, with string }{
		{`(passes: )`, "${1}7"}, {`(X: -?)`, "${1}9"}, {`(thickness: )`, "${1}1"}, {`(z zero: )`, "${1}not "}, {`(tool: )`, "${1}T9 "},
		{`(?m)^.*caution: .*\n`, ""}, {`(?m)^.*z zero: .*\n`, ""}, {`(?m)^.*tool: .*\n`, ""}, {`(layer: )`, "${1}4"}, {`(tray: )`, "${1}un"},
	} {
		for _, seal := range []string{"", `(?m)^.*seal of .*\n`} {
			lies := regexp.MustCompile(spoil.pattern).ReplaceAll(program, []byte(spoil.with))
			if seal != "" {
				lies = regexp.MustCompile(seal).ReplaceAll(lies, nil)
			}
			assert.True(t, told(lies).Failed(), "%s: %s", w.path(), spoil.pattern)
		}
	}
}

// moved are a program's lines with all comments behind them, the last one first.
func moved(program []byte) []byte {
	var lines, comments []string
	for line := range strings.Lines(string(program)) {
		if strings.HasPrefix(line, "(") || strings.HasPrefix(line, ";") {
			comments = append(comments, line)
		} else {
			lines = append(lines, line)
		}
	}
	slices.Reverse(comments)
	return []byte(strings.Join(append(lines, comments...), ""))
}
