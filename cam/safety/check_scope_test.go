package safety

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

// workshop is what ships, and a shop's own: a laser by a router's name, a hand's bow, and a
// foam that speaks of another kind than it states.
func workshop(t *testing.T) *profiles.Catalog {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(`foams:
  - {id: mat, name: vinyl mat, kind: pe, source: mine, density_kg_m3: 30, thicknesses: [20 mm], fits: {tight: -1, snug: 0, easy: 1.5}, least_wall_mm: 8, least_edge_mm: 8, loose_mm: 2}
machines:
  - id: garage
    name: laser in the garage
    source: mine
    process: laser
    travel_mm: [600, 400, 60]
    rapid_mm_per_min: 9000
    max_feed_mm_per_min: 9000
    acceleration_mm_per_s2: 900
    corner_mm: 0.02
    clearance_mm: 0
    z_zero: top
    power_w: 40
    wavelength_nm: 10600
    controller: {like: pc, power_scale: 1000, tool_change: none}
    tools: [{id: beam, number: 1, name: the beam, diameter_mm: 0.2}]
`)}}))
	return c
}

// everyUse is each of four foams on each machine, with each tool that cuts by another process.
func everyUse(c *profiles.Catalog) (list []Use) {
	for _, id := range []string{"pe-30", "pu-30", "pvc-60", "mat"} {
		f, _ := c.Foam(id)
		for _, m := range c.Machines() {
			list = append(list, Use{Foam: f, Machine: m})
			for _, t := range m.Tools {
				list = append(list, Use{Foam: f, Machine: m.With(t)})
			}
		}
	}
	return list
}

// names are each of a list, and none.
func names[T any, N ~string](list []T, name func(T) N) []N {
	all := []N{""}
	for _, v := range list {
		all = append(all, name(v))
	}
	return all
}

func says(found finding.List, rule string) (list finding.List) {
	for _, f := range found {
		if f.Rule == rule {
			list = append(list, f)
		}
	}
	return list
}

// A rule is refused as one that never applies where no foam on any machine is what it names,
// and nowhere else, found by trying all.
func TestRulesThatNeverApply(t *testing.T) {
	c := workshop(t)
	uses := everyUse(c)
	never := 0
	machines := names(c.Machines(), func(m profiles.Machine) string { return m.ID })
	for _, foam := range []string{"", "pe-30", "mat"} {
		for _, kind := range []string{"", "pe", "pvc", "pu"} {
			for _, machine := range machines {
				for _, process := range append(profiles.Processes(), "") {
					if foam+kind+machine+string(process) == "" {
						continue
					}
					forbid := Rules{File: "r.yaml", Owner: "o", Forbids: []Forbid{{Foam: foam, Kind: kind, Machine: machine, Process: process, Line: 7, Column: 5}}}
					asks := Rules{File: "r.yaml", Owner: "o", Requires: []Require{{What: "x", Foam: foam, Kind: kind, Machine: machine, Process: process, Line: 7, Column: 5}}}
					var shut, asked bool
					for _, u := range uses {
						shut = shut || len(says(checkForbids(u, c, []Rules{forbid}), "forbidden")) > 0
						if asked = asked || asks.Requires[0].covers(u); shut && asked {
							break
						}
					}
					for rules, applies := range map[*Rules]bool{&forbid: shut, &asks: asked} {
						found := says(checkRules(*rules, c), "rule-never-applies")
						require.Equal(t, applies, len(found) == 0, "%q %q %q %q", foam, kind, machine, process)
						if !applies {
							never++
							assert.Equal(t, "r.yaml:7:5", found[0].Where)
							assert.Equal(t, finding.Error, found[0].Severity)
						}
					}
				}
			}
		}
	}
	assert.Greater(t, never, 500)
}

// So with a limit: one that is refused lowers no recipe that ships, and one that is not does,
// as far as recipes go.
func TestLimitsThatNeverApply(t *testing.T) {
	c := catalog(t)
	for _, machine := range names(c.Machines(), func(m profiles.Machine) string { return m.ID }) {
		for _, process := range append(profiles.Processes(), "") {
			for _, l := range []Limits{{PowerPercent: 1}, {FeedMMPerMin: 1}} {
				l.Machine, l.Process = machine, process
				rules := []Rules{{File: "r.yaml", Owner: "o", Limits: []Limits{l}}}
				lowers := false
				for _, r := range c.Recipes() {
					m, _ := c.Machine(r.Machine)
					for _, tool := range m.Tools {
						if tool.ID == r.Tool {
							_, found := Limit(r, m.With(tool), rules)
							lowers = lowers || len(found) > 0
						}
					}
				}
				assert.Equal(t, lowers, len(checkRules(rules[0], c)) == 0, "%+v", l)
			}
		}
	}
}

// What is said, to the letter, and each way out that a hint names is one.
func TestWhatNeverAppliesIsTold(t *testing.T) {
	c := workshop(t)
	for _, r := range []struct{ rule, want string }{
		{"forbids: [{process: hot-wire, machine: bench-laser}]", "error: r.yaml:2:11: the rule forbids nothing: bench-laser is a laser, and cuts by no hot-wire\nhint: its owner takes out what is not meant: `process: hot-wire` or `machine: bench-laser`"},
		{"forbids: [{process: router, machine: garage}]", "garage is a laser, and cuts by no router"},
		{"forbids: [{foam: pe-30, kind: xpe, process: laser}]", "pe-30 is of the kind pe, and not of xpe\nhint: its owner takes out what is not meant: `foam: pe-30` or `kind: xpe`"},
		{"requires: [{what: guard, process: router, machine: bench-laser}]", "the rule asks for nothing: bench-laser is a laser, and cuts by no router"},
		{"requires: [{what: guard, foam: pe-30, kind: pu}]", "pe-30 is of the kind pe, and not of pu"},
		{"limits: [{power: 10 %, process: router, machine: bench-laser}]", "the rule limits nothing: bench-laser is a laser, and cuts by no router\nhint: its owner takes out what is not meant: `process: router`"},
		{"limits: [{feed: 300 mm/min, process: laser, machine: bench-router}]", "bench-router is a router, and cuts by no laser"},
		{"limits: [{power: 10 %, process: router}]", "the rule limits nothing: a router has no power to limit: only a beam has\nhint: its owner takes out what is not meant: `process: router`"},
		{"limits: [{power: 10 %, depth: 30 mm, machine: bench-router}]", "bench-router, a router, has no power to limit: only a beam has\nhint: its owner takes out what is not meant: `machine: bench-router` or `power`"},
		{"limits: [{feed: 300 mm/min, process: hand}]", "a hand has no feed to limit: a hand moves the tool"},
		{"limits: [{feed: 300 mm/min, power: 5 %, process: hand}]", "a hand has no power to limit: only a beam has\nhint: its owner takes out what is not meant: `process: hand`"},
		{"forbids: [{foam: pe-30, kind: pu, process: laser, machine: bench-router}]", "pe-30 is of the kind pe, and not of pu\nhint: write it anew: "},
		{"permits: [{foam: pe-30, process: laser, machine: bench-router, when: extraction running}]", "warning: r.yaml:2:11: the permit for pe-30 under a laser opens nothing: bench-router is a router, and cuts by no laser\nhint: its owner takes out what is not meant: `process: laser` or `machine: bench-router`"},
		{"forbids: [{foam: mat, kind: pvc}, {process: hot-wire, machine: by-hand}, {process: knife, machine: by-hand}]", ""},
		{"limits: [{feed: 300 mm/min, foam: pu-30, process: laser}, {depth: 9 mm, process: hand}]", ""},
	} {
		rules, err := ReadRules("r.yaml", []byte("owner: o\n"+r.rule+"\n"))
		require.NoError(t, err, r.rule)
		found := Check(nil, c, []Rules{rules})
		if r.want == "" {
			assert.Empty(t, found, r.rule)
			continue
		}
		require.Len(t, found, 1, r.rule)
		assert.Contains(t, fmt.Sprintf("%s: %s", found[0].Severity, found.Error()), r.want, r.rule)
	}
}
