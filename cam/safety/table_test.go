package safety

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

var shipped = sync.OnceValues(profiles.Shipped)

// catalog is the shipped one, read once: no test changes it.
func catalog(t require.TestingT) *profiles.Catalog {
	c, err := shipped()
	require.NoError(t, err)
	return c
}

// bench is the shipped machine of a process.
func bench(t require.TestingT, p profiles.Process) profiles.Machine {
	if p == profiles.Hand {
		m, ok := catalog(t).Machine("by-hand")
		require.True(t, ok)
		return m
	}
	m, ok := catalog(t).Machine("bench-" + strings.ReplaceAll(string(p), "-", ""))
	require.True(t, ok)
	return m
}

// ofKind is a shipped foam of a kind, or one that nobody knows.
func ofKind(t require.TestingT, kind string) profiles.Foam {
	for _, f := range catalog(t).Foams() {
		if f.Kind == kind {
			return f
		}
	}
	return profiles.Foam{ID: "mystery", Kind: kind}
}

// errorRules are the rules that refuse a use; what is wrong with the rules
// files is left out.
func errorRules(u Use, found finding.List) []string {
	var list []string
	for _, f := range found {
		if f.Severity == finding.Error && f.Where == u.Where {
			list = append(list, f.Rule)
		}
	}
	return list
}

// decided is the project's table of foam and process, from its sources: HSE
// Plastics Processing Sheet 13, McKenna and Hull 2016, Gardner and McNeill 1971,
// universities' laser rules, and, for melamine, the kinds after it and what is not
// hot, common practice from memory. R refused, O the owner's word, c caution, a allowed.
var decided = map[string]map[profiles.Process]byte{
	"pu":         {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"pe":         {profiles.Laser: 'O', profiles.HotWire: 'c', profiles.Router: 'a', profiles.Knife: 'a', profiles.Hand: 'a'},
	"xpe":        {profiles.Laser: 'O', profiles.HotWire: 'c', profiles.Router: 'a', profiles.Knife: 'a', profiles.Hand: 'a'},
	"eva":        {profiles.Laser: 'O', profiles.HotWire: 'c', profiles.Router: 'a', profiles.Knife: 'a', profiles.Hand: 'a'},
	"eps":        {profiles.Laser: 'R', profiles.HotWire: 'c', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"xps":        {profiles.Laser: 'R', profiles.HotWire: 'c', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"epp":        {profiles.Laser: 'R', profiles.HotWire: 'c', profiles.Router: 'a', profiles.Knife: 'a', profiles.Hand: 'a'},
	"pvc":        {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"cr":         {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"melamine":   {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"nbr":        {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"epdm":       {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"silicone":   {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"phenolic":   {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"pmi":        {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"fr":         {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"antistatic": {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"conductive": {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"filled":     {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"adhesive":   {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"unknown":    {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'},
	"granite":    {profiles.Laser: 'R', profiles.HotWire: 'R', profiles.Router: 'c', profiles.Knife: 'a', profiles.Hand: 'a'}, // a kind that nobody knows
}

// foams are those that ship, and their chemistry as their names say it; and one
// that nobody has labelled.
var foams = map[string]string{
	"pe-30": "pe", "pe-45": "pe", "xpe-33": "xpe", "eva-90": "eva", "pu-30": "pu", "xps-32": "xps", "eps-20": "eps", "epp-30": "epp",
	"pvc-60": "pvc", "cr-150": "cr", "melamine-10": "melamine",
}

// words are the ways in which an owner may have spoken.
var words = []struct {
	name  string
	opens bool // what is left to the owner
	shuts bool // everything
	rules func(u Use) []Rules
}{
	{"silence", false, false, func(Use) []Rules { return nil }},
	{"an empty file", false, false, func(Use) []Rules { return []Rules{{File: "a.yaml", Owner: "o"}} }},
	{"a permit", true, false, func(u Use) []Rules { return permits(permit(u)) }},
	{"a permit for this machine", true, false, func(u Use) []Rules {
		p := permit(u)
		p.Machine = u.Machine.ID
		return permits(p)
	}},
	{"a permit in the second file", true, false, func(u Use) []Rules { return append([]Rules{{File: "b.yaml", Owner: "o"}}, permits(permit(u))...) }},
	{"a permit without when", false, false, func(u Use) []Rules {
		p := permit(u)
		p.When = ""
		return permits(p)
	}},
	{"a permit for another machine", false, false, func(u Use) []Rules {
		p := permit(u)
		p.Machine = "bench-other"
		return permits(p)
	}},
	{"a permit for another foam", false, false, func(u Use) []Rules {
		p := permit(u)
		p.Foam = "pe-99"
		return permits(p)
	}},
	{"a permit for every other process", false, false, func(u Use) []Rules {
		var list []Permit
		for _, process := range profiles.Processes() {
			if process != u.Machine.Process {
				p := permit(u)
				p.Process = process
				list = append(list, p)
			}
		}
		return permits(list...)
	}},
	{"a forbid of the foam", false, true, func(u Use) []Rules { return forbids(Forbid{Foam: u.Foam.ID}) }},
	{"a forbid of its kind", false, true, func(u Use) []Rules { return forbids(Forbid{Kind: u.Foam.Kind}) }},
	{"a forbid of the process", false, true, func(u Use) []Rules { return forbids(Forbid{Process: u.Machine.Process}) }},
	{"a forbid of the machine", false, true, func(u Use) []Rules { return forbids(Forbid{Machine: u.Machine.ID}) }},
	{"a forbid of another foam", false, false, func(Use) []Rules { return forbids(Forbid{Foam: "pe-99"}) }},
	{"a forbid of another kind", false, false, func(u Use) []Rules { return forbids(Forbid{Kind: u.Foam.Kind + "x"}) }},
	{"a permit, and a forbid of the foam", true, true, func(u Use) []Rules { return both(u, Forbid{Foam: u.Foam.ID}) }},
	{"a permit, and a forbid of its kind", true, true, func(u Use) []Rules { return both(u, Forbid{Kind: u.Foam.Kind}) }},
	{"a permit, and a forbid of the process", true, true, func(u Use) []Rules { return both(u, Forbid{Process: u.Machine.Process}) }},
	{"a permit, and a forbid of the machine", true, true, func(u Use) []Rules { return both(u, Forbid{Machine: u.Machine.ID}) }},
	{"a permit in the file after a forbid", true, true, func(u Use) []Rules {
		return append(forbids(Forbid{Process: u.Machine.Process}), permits(permit(u))...)
	}},
}

func permit(u Use) Permit {
	return Permit{Foam: u.Foam.ID, Process: u.Machine.Process, When: "extraction running", Line: 3}
}

func permits(p ...Permit) []Rules { return []Rules{{File: "a.yaml", Owner: "o", Permits: p}} }

func forbids(f Forbid) []Rules { return []Rules{{File: "f.yaml", Owner: "o", Forbids: []Forbid{f}}} }

// both is one file that permits a use and forbids it.
func both(u Use, f Forbid) []Rules {
	r := permits(permit(u))
	r[0].Forbids = []Forbid{f}
	return r
}

// allFoams are those that ship, an unlabelled one, and one of a kind that nobody
// knows.
func allFoams(t *testing.T) []profiles.Foam {
	require.Len(t, catalog(t).Foams(), len(foams))
	list := []profiles.Foam{{ID: "remnant", Kind: profiles.UnknownKind}, {ID: "stone", Kind: "granite"}}
	for _, kind := range catalog(t).Kinds() {
		if !slices.Contains(slices.Collect(maps.Values(foams)), kind) && kind != profiles.UnknownKind {
			list = append(list, profiles.Foam{ID: "sold-as-pe", Kind: kind}) // no foam of it ships
		}
	}
	for id, kind := range foams {
		f, known := catalog(t).Foam(id)
		require.True(t, known, id)
		require.Equal(t, kind, f.Kind, id)
		list = append(list, f)
	}
	return list
}

// Every foam under every process with every word.
func TestEveryFoamProcessAndPermit(t *testing.T) {
	c := catalog(t)
	for _, kind := range c.Kinds() {
		require.Contains(t, decided, kind)
	}
	combinations := 0
	for _, foam := range allFoams(t) {
		require.Len(t, decided[foam.Kind], len(profiles.Processes()))
		for process, answer := range decided[foam.Kind] {
			for _, word := range words {
				u := Use{Foam: foam, Machine: bench(t, process), DepthMM: 20, Where: "tray x"}
				found := Check([]Use{u}, c, word.rules(u))
				name := fmt.Sprintf("%s under %s with %s", foam.ID, process, word.name)
				var want []string
				switch {
				case answer == 'R':
					want = append(want, "foam-refused")
				case answer == 'O' && !word.opens:
					want = append(want, "owners-word-needed")
				}
				if word.shuts && answer != 'R' { // what is refused is said once
					want = append(want, "forbidden")
				}
				assert.Equal(t, want, errorRules(u, found), name)
				assert.Equal(t, answer == 'c', has(found, "caution"), name)
				assert.Equal(t, answer == 'O' && word.opens, has(found, "permitted"), name)

				u.Block = true
				hot := process == profiles.Laser || process == profiles.HotWire
				if hot && answer != 'R' {
					want = []string{"glued-block"}
				}
				assert.Equal(t, want, errorRules(u, Check([]Use{u}, c, word.rules(u))), name+" as a block")
				_, refused := Refusal(u, c)
				assert.Equal(t, hot || answer == 'R', refused, name)
				combinations++
			}
		}
	}
	assert.Equal(t, (11+10+2)*5*20, combinations)
}

func has(found finding.List, rule string) bool {
	for _, f := range found {
		if f.Rule == rule {
			return true
		}
	}
	return false
}

// A refusal says why, what heat makes of the foam, and who says so.
func TestRefusalsGiveReasonAndSource(t *testing.T) {
	cases := []struct {
		kind    string
		process profiles.Process
		want    []string
	}{
		{"pu", profiles.Laser, []string{"hydrogen cyanide", "isocyanates", "McKenna and Hull"}},
		{"pvc", profiles.Laser, []string{"absolutely", "hydrogen chloride", "HSE Plastics Processing Sheet 13"}},
		{"cr", profiles.HotWire, []string{"hydrogen chloride", "Gardner and McNeill 1971"}},
		{"xps", profiles.Laser, []string{"burns", "styrene"}},
		{"epp", profiles.Laser, []string{"drips"}},
		{"melamine", profiles.HotWire, []string{"chars", "hydrogen cyanide", "from memory"}},
		{"unknown", profiles.Laser, []string{"nobody can say"}},
	}
	for _, c := range cases {
		u := Use{Foam: ofKind(t, c.kind), Machine: bench(t, c.process), Where: "job.yaml:3:5: tray x"}
		found := Check([]Use{u}, catalog(t), nil)
		require.Len(t, found, 1)
		assert.Equal(t, u.Where, found[0].Where)
		for _, want := range c.want {
			assert.Contains(t, found[0].Message, want)
		}
		assert.Contains(t, found[0].Hint, "no permit opens this")
	}
}

// What no permit opens is one message, whatever rules there are, and its hint
// leads nowhere but to another foam or another way of cutting.
func TestARefusalIsOneMessage(t *testing.T) {
	c := catalog(t)
	for _, foam := range allFoams(t) {
		for _, process := range []profiles.Process{profiles.Laser, profiles.HotWire} {
			for _, block := range []bool{false, true} {
				u := Use{Foam: foam, Machine: bench(t, process), DepthMM: 40, Block: block, Where: "tray x"}
				if _, is := Refusal(u, c); !is {
					continue
				}
				rules := both(u, Forbid{Foam: foam.ID, Process: process})
				rules[0].Limits = []Limits{{DepthMM: 1}}
				var refused finding.List
				for _, f := range Check([]Use{u}, c, rules) {
					if f.Where == u.Where {
						refused = append(refused, f)
					}
				}
				require.Len(t, refused, 1, "%s under %s", foam.ID, process)
				assert.Contains(t, refused[0].Hint, "no permit opens this")
				for _, way := range []string{"owner", "profile", "recipe", "--", "rules"} {
					assert.NotContains(t, refused[0].Hint, way)
				}
			}
		}
	}
}

// Who has no catalog is told no.
func TestNoCatalogRefuses(t *testing.T) {
	for _, p := range profiles.Processes() {
		u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, p)}
		assert.True(t, Check([]Use{u}, nil, permits(permit(u))).Failed(), p)
	}
	assert.True(t, Check([]Use{{}}, catalog(t), nil).Failed(), "a machine without a process")
}
