package safety

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/profiles"
)

func pick[T any](t *rapid.T, name string, from ...T) T {
	return from[rapid.IntRange(0, len(from)-1).Draw(t, name)]
}

func drawProcess(t *rapid.T) profiles.Process {
	return pick(t, "process", "", profiles.Laser, profiles.HotWire, profiles.Router, profiles.Knife)
}

func drawFoam(t *rapid.T) string {
	return pick(t, "foam", "", "pe-30", "xpe-33", "eva-90", "pu-30", "pvc-60", "mat", "nonsense")
}

func drawMachine(t *rapid.T) string {
	return pick(t, "machine", "", "bench-laser", "bench-router", "bench-knife", "bench-hotwire", "nonsense")
}

// drawRule is a file with one rule of any sort.
func drawRule(t *rapid.T) Rules {
	r := Rules{File: pick(t, "file", "a.yaml", "b.yaml"), Owner: "o"}
	switch rapid.IntRange(0, 4).Draw(t, "sort") {
	case 0:
		r.Permits = []Permit{{Foam: drawFoam(t), Process: drawProcess(t), Machine: drawMachine(t), When: pick(t, "when", "", ".", "always", "extraction running")}}
	case 1:
		r.Forbids = []Forbid{{Foam: drawFoam(t), Kind: pick(t, "kind", "", "pe", "pu", "x"), Machine: drawMachine(t), Process: drawProcess(t)}}
	case 2:
		number := func(name string) float64 { return pick(t, name, 0, 1, 20, 500, 2000.0) }
		r.Limits = []Limits{{Foam: drawFoam(t), Machine: drawMachine(t), Process: drawProcess(t),
			DepthMM: number("depth"), FeedMMPerMin: number("feed"), PowerPercent: number("power"), Minutes: number("minutes")}}
	case 3:
		r.Vouches = []Vouch{{Foam: pick(t, "vouched", "mat", "pe-30"), Is: pick(t, "is", "pe", "pvc"), Although: pick(t, "although", "pe", "pvc", "cr"), Because: pick(t, "because", "...", "its data sheet")}}
	default:
		r.Requires = []Require{{What: "care", Foam: drawFoam(t), Machine: drawMachine(t), Process: drawProcess(t)}}
	}
	return r
}

func drawUse(t *rapid.T, c *profiles.Catalog) Use {
	m, _ := c.Machine(pick(t, "use machine", "bench-laser", "bench-router", "bench-knife", "bench-hotwire"))
	foams := append(c.Foams(), liar("vinyl mat", "pe"), liar("neoprene, or vinyl", "eva"), liar("polyethylene", "pvc"))
	return Use{Foam: pick(t, "use foam", foams...), Machine: m, Block: rapid.Bool().Draw(t, "block"), DepthMM: pick(t, "depth", 5, 25, 50.0), Where: "tray x"}
}

// refusals counts a use's errors by rule and place.
func refusals(u Use, c *profiles.Catalog, rules []Rules) map[string]int {
	count := map[string]int{}
	for _, f := range Check([]Use{u}, c, rules) {
		if f.Severity == 0 {
			count[f.Rule+" at "+f.Where]++
		}
	}
	return count
}

// noLooser fails when more rules took an error away, save that a permit that
// the table asks for takes away its asking, and a vouch for exactly what a foam
// says and speaks of the contradiction.
func noLooser(t require.TestingT, u Use, c *profiles.Catalog, few, many []Rules) {
	after := refusals(u, c, many)
	for rule, n := range refusals(u, c, few) {
		if rule == "owners-word-needed at "+u.Where && asked(u, c, many) {
			continue
		}
		if rule == "kind-contradicted at "+u.Where && vouched(u, many) {
			continue
		}
		require.GreaterOrEqual(t, after[rule], n, "%s: %s under %s, %+v", rule, u.Foam.ID, u.Machine.ID, many)
	}
}

// twoWords is the least that a condition is.
var twoWords = regexp.MustCompile(`\pL{2}.*\pL{2}`)

// asked is whether the rules hold a permit exactly where the table asks for
// one; written out here, and not taken from the code.
func asked(u Use, c *profiles.Catalog, rules []Rules) bool {
	if decided[u.Foam.Kind][u.Machine.Process] != 'O' {
		return false
	}
	for _, r := range rules {
		for _, p := range r.Permits {
			if p.Foam == u.Foam.ID && p.Process == u.Machine.Process && twoWords.MatchString(p.When) && (p.Machine == "" || p.Machine == u.Machine.ID) {
				return true
			}
		}
	}
	return false
}

// vouched is whether the rules vouch for the foam of that name and kind, in words;
// written out here, and not taken from the code.
func vouched(u Use, rules []Rules) bool {
	for _, r := range rules {
		for _, v := range r.Vouches {
			if v.Foam == u.Foam.ID && v.Is == u.Foam.Kind && v.Although != v.Is && twoWords.MatchString(v.Because) {
				return true
			}
		}
	}
	return false
}

func TestMoreRulesAreNeverLooser(t *testing.T) {
	c := catalog(t)
	rapid.Check(t, func(t *rapid.T) {
		u := drawUse(t, c)
		rules := rapid.SliceOfN(rapid.Custom(drawRule), 0, 4).Draw(t, "rules")
		rule := drawRule(t)
		at := rapid.IntRange(0, len(rules)).Draw(t, "at")
		more := append(append(append([]Rules{}, rules[:at]...), rule), rules[at:]...)
		noLooser(t, u, c, rules, more)
		if at < len(rules) {
			noLooser(t, u, c, rules, joined(rules, rule, at))
		}

		seconds := rapid.Float64Range(0, 1e5).Draw(t, "seconds")
		if CheckMinutes(seconds, "", rules).Failed() {
			require.True(t, CheckMinutes(seconds, "", more).Failed())
		}
	})
}

// joined writes the rule into the file at that place instead of into one of
// its own.
func joined(rules []Rules, rule Rules, at int) []Rules {
	list := append([]Rules{}, rules...)
	r := &list[at]
	r.Permits = append(append([]Permit{}, r.Permits...), rule.Permits...)
	r.Forbids = append(append([]Forbid{}, r.Forbids...), rule.Forbids...)
	r.Limits = append(append([]Limits{}, r.Limits...), rule.Limits...)
	r.Vouches = append(append([]Vouch{}, r.Vouches...), rule.Vouches...)
	return list
}

// noHigher fails when more rules raised a number of a recipe, or what a beam
// puts into a millimetre, or took a requirement away.
func noHigher(t require.TestingT, recipe profiles.Recipe, m profiles.Machine, few, many []Rules) {
	const rounding = 1 + 1e-12
	list := []profiles.Recipe{recipe}
	for _, rules := range [][]Rules{few, many} {
		r, found := Limit(recipe, m, rules)
		require.Equal(t, !assert.ObjectsAreEqual(r, recipe), len(found) > 0, "a number changed without a word, or a word without a change")
		list = append(list, r)
	}
	for i, b := range list[1:] {
		a := list[i]
		require.LessOrEqual(t, b.FeedMMPerMin.Value, a.FeedMMPerMin.Value)
		require.LessOrEqual(t, b.PlungeMMPerMin.Value, a.PlungeMMPerMin.Value)
		require.LessOrEqual(t, b.PowerPercent.Value, a.PowerPercent.Value*rounding)
		require.LessOrEqual(t, b.MMPerPass.Value, a.MMPerPass.Value*rounding)
		if recipe.PowerPercent.Value == 0 { // a blade's depth hangs on no power
			require.Equal(t, a.MMPerPass, b.MMPerPass)
		} else if recipe.MMPerPass.Value > 0 && recipe.FeedMMPerMin.Value > 0 { // it goes with the heat in each millimetre, down and never up
			share := b.PowerPercent.Value / b.FeedMMPerMin.Value / (recipe.PowerPercent.Value / recipe.FeedMMPerMin.Value)
			require.InDelta(t, min(1, share), b.MMPerPass.Value/recipe.MMPerPass.Value, 1e-9)
			require.InDelta(t, min(1, share)*recipe.FocusStepMM.Value, b.FocusStepMM.Value, 1e-9, "the focus goes down with it")
			b.FocusStepMM = a.FocusStepMM
		}
		b.FeedMMPerMin, b.PlungeMMPerMin, b.PowerPercent, b.MMPerPass = a.FeedMMPerMin, a.PlungeMMPerMin, a.PowerPercent, a.MMPerPass
		require.Equal(t, a, b, "nothing else changes")
	}
	if m.Process == profiles.Laser {
		heat := func(r profiles.Recipe) float64 { return r.PowerPercent.Value / r.FeedMMPerMin.Value }
		require.LessOrEqual(t, heat(list[2]), heat(recipe)*rounding, "heat in each millimetre")
	}
	foam, _ := catalog(t).Foam(recipe.Foam)
	uses := []Use{{Foam: foam, Machine: m}}
	what := func(rules []Rules) (list []string) {
		for _, r := range rules {
			for _, q := range r.Requires {
				if strings.Contains(strings.Join(Requires(uses, rules), "\n"), q.What) {
					list = append(list, q.What)
				}
			}
		}
		return list
	}
	require.Subset(t, what(many), what(few))
}

func TestMoreRulesNeverRaiseARecipe(t *testing.T) {
	c := catalog(t)
	rapid.Check(t, func(t *rapid.T) {
		recipe := pick(t, "recipe", c.Recipes()...)
		m, _ := c.Machine(recipe.Machine)
		rules := rapid.SliceOfN(rapid.Custom(drawRule), 0, 4).Draw(t, "rules")
		noHigher(t, recipe, m, rules, append(rules[:len(rules):len(rules)], drawRule(t)))
	})
}

// written is a rules file as its owner would write it.
func written(r Rules) string {
	s := "owner: " + r.Owner + "\n"
	entry := func(pairs ...string) string {
		var list []string
		for i := 0; i < len(pairs); i += 2 {
			if pairs[i+1] != "" {
				list = append(list, pairs[i]+": "+pairs[i+1])
			}
		}
		return "  - {" + strings.Join(list, ", ") + "}\n"
	}
	number := func(n float64, unit string) string {
		if n == 0 {
			return ""
		}
		return fmt.Sprint(n) + unit
	}
	for _, p := range r.Permits {
		s += "permits:\n" + entry("foam", p.Foam, "process", string(p.Process), "machine", p.Machine, "when", p.When)
	}
	for _, f := range r.Forbids {
		s += "forbids:\n" + entry("foam", f.Foam, "kind", f.Kind, "process", string(f.Process), "machine", f.Machine)
	}
	for _, l := range r.Limits {
		s += "limits:\n" + entry("foam", l.Foam, "process", string(l.Process), "machine", l.Machine,
			"power", number(l.PowerPercent, " %"), "feed", number(l.FeedMMPerMin, " mm/min"), "depth", number(l.DepthMM, " mm"), "minutes", number(l.Minutes, ""))
	}
	for _, v := range r.Vouches {
		s += "vouches:\n" + entry("foam", v.Foam, "is", v.Is, "although", v.Although, "because", v.Because)
	}
	for _, q := range r.Requires {
		s += "requires:\n" + entry("what", q.What, "foam", q.Foam, "kind", q.Kind, "process", string(q.Process), "machine", q.Machine)
	}
	return s
}

// Random files as text, read and stacked: one more of them takes no error away,
// loosens no limit and raises no recipe, wherever it stands in the stack.
func TestMoreFilesAreNeverLooser(t *testing.T) {
	c := catalog(t)
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		var rules []Rules
		for range rapid.IntRange(1, 5).Draw(t, "files") {
			drawn := drawRule(t)
			r, err := ReadRules(drawn.File, []byte(written(drawn)))
			if err != nil { // a permit without its foam, and the like
				require.Equal(t, Rules{File: drawn.File}, r)
				continue
			}
			read++
			rules = append(rules, r)
		}
		if len(rules) == 0 {
			return
		}
		at := rapid.IntRange(0, len(rules)-1).Draw(t, "new")
		few := append(append([]Rules{}, rules[:at]...), rules[at+1:]...)
		noLooser(t, drawUse(t, c), c, few, rules)
		recipe := pick(t, "recipe", c.Recipes()...)
		m, _ := c.Machine(recipe.Machine)
		noHigher(t, recipe, m, few, rules)
		for _, seconds := range []float64{1, 59, 61, 1199, 1201, 1e5} {
			if CheckMinutes(seconds, "", few).Failed() {
				require.True(t, CheckMinutes(seconds, "", rules).Failed())
			}
		}
	})
	assert.Positive(t, read)
}

// What is written is what is read.
func TestWrittenRulesAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawRule(t)
		got, err := ReadRules(want.File, []byte(written(want)))
		if err != nil {
			return
		}
		for i := range got.Permits {
			want.Permits[i].Line, want.Permits[i].Column = got.Permits[i].Line, got.Permits[i].Column
		}
		for i := range got.Forbids {
			want.Forbids[i].Line, want.Forbids[i].Column = got.Forbids[i].Line, got.Forbids[i].Column
		}
		for i := range got.Limits {
			want.Limits[i].Line, want.Limits[i].Column = got.Limits[i].Line, got.Limits[i].Column
		}
		for i := range got.Vouches {
			want.Vouches[i].Line, want.Vouches[i].Column = got.Vouches[i].Line, got.Vouches[i].Column
		}
		for i := range got.Requires {
			want.Requires[i].Line, want.Requires[i].Column = got.Requires[i].Line, got.Requires[i].Column
		}
		require.Equal(t, want, got)
	})
}

// Whatever a rules file holds, reading it does not panic, an error gives no
// rules, and rules that were read take no error away that the table did not put
// into the owner's hands.
func FuzzReadRules(f *testing.F) {
	for _, text := range []string{
		quayside, "owner: o", "permits: [{foam: pvc-60, process: laser, when: x}]", "forbids: [{kind: pe}]",
		"requires: [a, {what: b, kind: pe}]", "limits:\n- {depth: 1 in}\n- {machine: bench-laser, power: 3 %}", "a: &a [*a]", "? x\n: y", "\"", "limits: {power: 6e1 %}", "- - - -", "{[",
	} {
		f.Add([]byte(text))
	}
	c := catalog(f)
	var uses []Use
	for _, m := range c.Machines() {
		for _, foam := range c.Foams() {
			uses = append(uses, Use{Foam: foam, Machine: m, DepthMM: 20, Where: fmt.Sprint("tray ", len(uses))})
		}
	}
	base := []Rules{{File: "base.yaml", Owner: "o", Forbids: []Forbid{{Kind: "cr"}}, Limits: []Limits{{DepthMM: 10, Machine: "bench-knife"}}}}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := ReadRules("r.yaml", text)
		if err != nil {
			require.Equal(t, Rules{File: "r.yaml"}, r)
			require.Contains(t, err.Error(), "r.yaml:")
			return
		}
		for _, u := range uses {
			noLooser(t, u, c, base, append(base[:1:1], r))
		}
		for _, recipe := range c.Recipes() {
			m, _ := c.Machine(recipe.Machine)
			noHigher(t, recipe, m, base, append(base[:1:1], r))
		}
	})
}
