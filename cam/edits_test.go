package cam_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

var (
	editCount = flag.Int("edits", 2000, "random edits of a refused job to try")
	editSeed  = flag.Uint64("first-edit", 1, "the seed of those edits")
)

// Adding or changing any row of a profile, any rule, flag or name never turns a refusal
// into a pass, save by the owner's word where the table asks for it. What may pass is
// written out below (allowed), and not taken from the code.
func TestEditsNeverOpen(t *testing.T) {
	const together = 40 // edits of one world
	r := rand.New(rand.NewPCG(*editSeed, 0))
	passed, tried, read := map[string]int{}, 0, 0
	for tried < *editCount {
		w := newWorld(r)
		require.False(t, w.cuts(t), "it is refused to begin with: %+v", *w)
		for range together {
			before := *w
			w.edit(r)
			if !w.honest() {
				*w = before
				continue
			}
			tried++
			if !w.loads(t) {
				if r.IntN(4) > 0 {
					*w = before
				}
				continue
			}
			read++
			if w.cuts(t) {
				require.True(t, w.allowed(w.jobFoam, w.on(), w.recipeHeat()), "after %d edits the job is cut: %s", tried, w.all())
				passed["job "+w.machineIs]++
			}
			if w.tries(t) {
				require.True(t, w.allowedProgram(), "after %d edits the program passes: %s", tried, w.all())
				passed["program "+w.machineIs]++
			}
		}
	}
	t.Logf("%d edits, %d of them readable; passed by the owner's word: %v", tried, read, passed)
	if tried >= 2000 {
		for _, what := range []string{"job bench-laser", "job bench-router", "program bench-laser"} {
			assert.Positive(t, passed[what], "what the owner's word opens was opened: %s", what)
		}
		assert.Greater(t, read, tried/3)
	}
}

// all is the world as its files.
func (w *world) all() string {
	text := fmt.Sprintf("%s is really %s, on %s\n%s\n%s", w.jobFoam, w.foamIs, w.machineIs, w.job(), w.folder())
	for _, r := range append(slices.Clone(w.owner), w.rules...) {
		text += r.text()
	}
	return text + fmt.Sprintf("--machine %q, dryrun --machine %q --foam %q --thickness %q\n%s", w.flagMachine, w.tryMachine, w.flagFoam, w.flagThickness, w.program())
}

var shippedOnce = sync.OnceValues(profiles.Shipped)

// bench is the catalog and the rules of a world; false where they cannot be read.
func (w *world) bench(t *testing.T) (*profiles.Catalog, []safety.Rules, bool) {
	shipped, err := shippedOnce()
	require.NoError(t, err)
	copied := *shipped // Add replaces its maps and changes none
	c := &copied
	if text := w.folder(); text != "" && c.Add(fstest.MapFS{"mine.yaml": {Data: []byte(text)}}) != nil {
		return nil, nil, false
	}
	var rules []safety.Rules
	for i, r := range append(slices.Clone(w.owner), w.rules...) {
		read, err := safety.ReadRules(fmt.Sprintf("rules-%d.yaml", i), []byte(r.text()))
		if err != nil {
			return nil, nil, false
		}
		rules = append(rules, read)
	}
	return c, rules, true
}

func (w *world) loads(t *testing.T) bool {
	_, _, ok := w.bench(t)
	return ok
}

// planOnly are what a plan may still lack when nobody has anything against cutting:
// a job that is refused for these alone counts as cut.
var planOnly = []string{"no-recipe", "process-not-built", "tool-too-short", "no-tools"}

func refusedBy(found finding.List) []string {
	var rules []string
	for _, f := range found {
		if f.Severity == finding.Error && !slices.Contains(planOnly, f.Rule) {
			rules = append(rules, f.Rule)
		}
	}
	return rules
}

// cuts is whether the job passes the gate.
func (w *world) cuts(t *testing.T) bool {
	c, rules, ok := w.bench(t)
	require.True(t, ok)
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(w.job())}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed())
	return len(refusedBy(cam.Check(cam.Request{Job: j, Catalog: c, Machine: w.flagMachine, Rules: rules}).Report.Findings)) == 0
}

// tries is whether dryrun has nothing against cutting the program with these foams,
// machines and rules; whether it would cut what it should is not asked.
func (w *world) tries(t *testing.T) bool {
	c, rules, ok := w.bench(t)
	require.True(t, ok)
	trial := cam.Trial{Name: "p.nc", Text: []byte(w.program()), Rules: rules}
	if w.tryMachine != "" {
		if trial.Machine, ok = c.Machine(w.tryMachine); !ok {
			return false
		}
	}
	if w.flagFoam != "" {
		foam, ok := c.Foam(w.flagFoam)
		if !ok {
			return false
		}
		trial.Foams = []profiles.Foam{foam}
	}
	if w.flagThickness != "" {
		l, err := units.Parse(w.flagThickness, units.Millimetre)
		require.NoError(t, err)
		trial.ThicknessMM = l.MM()
	}
	tried, found := cam.Try(trial, c, nil)
	return !found.Failed() && !slices.ContainsFunc(tried.Findings, func(f finding.Finding) bool { return strings.HasSuffix(f.Rule, "-over-limit") })
}

// laserAnswer is the project's table for a laser: the owner's word for these kinds,
// and no for every other.
func laserAnswer(kind string) bool { return kind == "pe" || kind == "xpe" || kind == "eva" }

// states is the kind that a foam's row states.
func (w *world) states(foam string) string {
	if w.foam != nil && w.foam.id == foam {
		return w.foam.kind
	}
	return kindOf[foam]
}

// allowed is whether a foam may be cut on a machine with so much heat to a mm, in a
// pass and in all, in so many passes.
func (w *world) allowed(foam, machine string, heat [3]float64) bool {
	kind, is := w.states(foam), kindOf[w.foamIs]
	vouched := w.vouched(foam, kind, is)
	for _, r := range append(slices.Clone(w.owner), w.rules...) {
		process := map[string]string{"bench-laser": "laser", "bench-router": "router"}[w.machineIs]
		fits := func(key string, values ...string) bool {
			return r.fields[key] == "" || slices.Contains(values, r.fields[key])
		}
		kinds := []string{kind}
		if !vouched && kindOf[foam] == "" {
			kinds = append(kinds, is)
		}
		matches := fits("foam", foam) && fits("kind", kinds...) && fits("process", process) && fits("machine", machine)
		if matches && (r.list == "forbids" || r.list == "limits" && r.fields["depth"] == "5 mm") {
			return false
		}
	}
	if w.machineIs != "bench-laser" {
		return true
	}
	if !laserAnswer(kind) || kind != is && !laserAnswer(is) && !vouched || !w.permitted(foam, machine) {
		return false
	}
	// The recipes that ship, 45 % of 40 W at 900 and, for EVA, 600 mm/min, in two passes.
	start := map[string]float64{"pe": 1.2, "xpe": 1.2, "eva": 1.8}[kind]
	const rounding = 1 + 1e-9
	cool := heat[0] <= 5*start*rounding && heat[1] <= 5*2*start*rounding && heat[2] <= 30
	return cool || w.recipe != nil && w.recipe.measured
}

func (w *world) permitted(foam, machine string) bool {
	return slices.ContainsFunc(w.rules, func(r rule) bool {
		return r.list == "permits" && r.fields["foam"] == foam && r.fields["process"] == "laser" && slices.Contains(goodWords, r.fields["when"]) &&
			(r.fields["machine"] == "" || r.fields["machine"] == machine)
	})
}

func (w *world) vouched(foam, kind, although string) bool {
	return slices.ContainsFunc(w.rules, func(r rule) bool {
		return r.list == "vouches" && r.fields["foam"] == foam && r.fields["is"] == kind && r.fields["although"] == although && slices.Contains(goodWords, r.fields["because"])
	})
}

func number(text string) (n float64) {
	_, _ = fmt.Sscan(text, &n)
	return n
}

// recipeHeat is J to a mm in one pass of the job's recipe, in all, and the passes; the
// owner's limits lower a power and a feed together (P/v, derived).
func (w *world) recipeHeat() [3]float64 {
	if w.recipe == nil || !w.recipe.beam {
		return [3]float64{}
	}
	watts := 40.0
	if w.machine != nil && w.machine.id == w.on() {
		watts = number(w.machine.watts)
	}
	power, feed := number(w.recipe.power), number(w.recipe.feed)
	for _, r := range w.rules {
		if r.list == "limits" && strings.HasPrefix(r.fields["feed"], "100") && feed > 100 && (r.fields["foam"] == "" || r.fields["foam"] == w.jobFoam) {
			power, feed = power*100/feed, 100
		}
	}
	for _, r := range w.rules {
		if r.list == "limits" && r.fields["power"] == "1 %" && (r.fields["foam"] == "" || r.fields["foam"] == w.jobFoam) {
			power = min(power, 1)
		}
	}
	pass, n := watts*power/100*60/feed, number(w.recipe.passes)
	return [3]float64{pass, pass * n, n}
}

// allowedProgram is whether the program may pass: everybody who names its foam and its
// machine names the same, and that may be cut.
func (w *world) allowedProgram() bool {
	foam := w.flagFoam
	if w.saysFoam != "" {
		if foam != "" && foam != w.saysFoam {
			return false
		}
		foam = w.saysFoam
	}
	known := kindOf[foam] != "" || w.foam != nil && w.foam.id == foam
	mine := func(m string) bool {
		return strings.HasPrefix(m, "bench-") || w.machine != nil && w.machine.id == m
	}
	machine := w.tryMachine
	if mine(w.saysMachine) {
		if machine != "" && machine != w.saysMachine {
			return false
		}
		machine = w.saysMachine
	}
	if w.machineIs != "bench-laser" {
		return w.allowedCutter(foam, known, machine)
	}
	if laser := machine == "bench-laser" || w.machine != nil && w.machine.id == machine && w.machine.process == "laser"; !laser {
		machine = ""
	}
	heat := [3]float64{} // of S100 at 900 mm/min; nobody knows it of a machine that nobody names
	if m := w.machine; m != nil && m.id == machine {
		heat[0] = number(m.watts) * 100 / number(m.scale) * 60 / 900
	}
	return known && w.allowed(foam, machine, heat)
}

// allowedCutter: a cutter's program may be cut in what nobody has named, unless a rule
// forbids what it may be.
func (w *world) allowedCutter(foam string, known bool, machine string) bool {
	if known {
		return w.allowed(foam, machine, [3]float64{})
	}
	return !slices.ContainsFunc(append(slices.Clone(w.owner), w.rules...), func(r rule) bool {
		return r.list == "forbids" && (r.fields["process"] == "" || r.fields["process"] == "router") && (r.fields["machine"] == "" || machine == "" || r.fields["machine"] == machine)
	})
}
