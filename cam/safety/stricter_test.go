package safety

import (
	"fmt"
	"testing"

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
	return pick(t, "foam", "", "pe-30", "xpe-33", "eva-90", "pu-30", "pvc-60", "nonsense")
}

func drawMachine(t *rapid.T) string {
	return pick(t, "machine", "", "bench-laser", "bench-router", "bench-knife", "bench-hotwire", "nonsense")
}

// drawRule is a file with one rule of any sort.
func drawRule(t *rapid.T) Rules {
	r := Rules{File: pick(t, "file", "a.yaml", "b.yaml"), Owner: "o"}
	switch rapid.IntRange(0, 3).Draw(t, "sort") {
	case 0:
		r.Permits = []Permit{{Foam: drawFoam(t), Process: drawProcess(t), Machine: drawMachine(t), When: pick(t, "when", "", "always")}}
	case 1:
		r.Forbids = []Forbid{{Foam: drawFoam(t), Kind: pick(t, "kind", "", "pe", "pu", "x"), Machine: drawMachine(t), Process: drawProcess(t)}}
	case 2:
		number := func(name string) float64 { return pick(t, name, 0, 1, 20, 500, 2000.0) }
		r.Limits = []Limits{{Foam: drawFoam(t), Machine: drawMachine(t), Process: drawProcess(t),
			DepthMM: number("depth"), FeedMMPerMin: number("feed"), PowerPercent: number("power"), Minutes: number("minutes")}}
	default:
		r.Requires = []Require{{What: "care", Foam: drawFoam(t), Machine: drawMachine(t), Process: drawProcess(t)}}
	}
	return r
}

func drawUse(t *rapid.T, c *profiles.Catalog) Use {
	m, _ := c.Machine(pick(t, "use machine", "bench-laser", "bench-router", "bench-knife", "bench-hotwire"))
	foams := c.Foams()
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
// the table asks for takes away its asking.
func noLooser(t require.TestingT, u Use, c *profiles.Catalog, few, many []Rules) {
	after := refusals(u, c, many)
	for rule, n := range refusals(u, c, few) {
		if rule == "owners-word-needed at "+u.Where && asked(u, c, many) {
			continue
		}
		require.GreaterOrEqual(t, after[rule], n, "%s: %s under %s, %+v", rule, u.Foam.ID, u.Machine.ID, many)
	}
}

// asked is whether the rules hold a permit exactly where the table asks for
// one; written out here, and not taken from the code.
func asked(u Use, c *profiles.Catalog, rules []Rules) bool {
	if decided[u.Foam.Kind][u.Machine.Process] != 'O' {
		return false
	}
	for _, r := range rules {
		for _, p := range r.Permits {
			if p.Foam == u.Foam.ID && p.Process == u.Machine.Process && p.When != "" && (p.Machine == "" || p.Machine == u.Machine.ID) {
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
	return list
}

func TestMoreRulesNeverRaiseARecipe(t *testing.T) {
	c := catalog(t)
	rapid.Check(t, func(t *rapid.T) {
		recipe := pick(t, "recipe", c.Recipes()...)
		m, _ := c.Machine(recipe.Machine)
		rules := rapid.SliceOfN(rapid.Custom(drawRule), 0, 4).Draw(t, "rules")
		few, _ := Limit(recipe, m, rules)
		many, _ := Limit(recipe, m, append(rules[:len(rules):len(rules)], drawRule(t)))
		for _, pair := range [][3]profiles.Recipe{{recipe, few, many}} {
			for i := range 2 {
				a, b := pair[i], pair[i+1]
				require.LessOrEqual(t, b.FeedMMPerMin.Value, a.FeedMMPerMin.Value)
				require.LessOrEqual(t, b.PlungeMMPerMin.Value, a.PlungeMMPerMin.Value)
				require.LessOrEqual(t, b.PowerPercent.Value, a.PowerPercent.Value*(1+1e-12))
			}
			if m.Process == profiles.Laser {
				heat := func(r profiles.Recipe) float64 { return r.PowerPercent.Value / r.FeedMMPerMin.Value }
				require.LessOrEqual(t, heat(many), heat(recipe)*(1+1e-12), "heat in each millimetre")
			}
		}
	})
}

// Whatever a rules file holds, reading it does not panic, an error gives no
// rules, and rules that were read take no error away that the table did not put
// into the owner's hands.
func FuzzReadRules(f *testing.F) {
	for _, text := range []string{
		quayside, "owner: o", "permits: [{foam: pvc-60, process: laser, when: x}]", "forbids: [{kind: pe}]",
		"limits:\n- {depth: 1 in}\n- {machine: bench-laser, power: 3 %}", "a: &a [*a]", "? x\n: y", "\"", "limits: {power: 6e1 %}", "- - - -", "{[",
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
	})
}
