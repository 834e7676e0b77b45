package safety

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

// quayside is a file as an owner would write it.
const quayside = `owner: Quayside workshop
permits:                       # what the safety table leaves to the owner's word
  - {foam: pe-30, process: laser, when: "extraction running, lid closed, extinguisher in reach"}
forbids: [{foam: pu-30}]       # by foam, kind, process or machine
limits: {power: 60 %, feed: 2400 mm/min, depth: 30 mm, minutes: 45}
requires: ["a second person in the room"]
`

func TestReadRules(t *testing.T) {
	r, err := ReadRules("shop-rules.yaml", []byte(quayside))
	require.NoError(t, err)
	assert.Equal(t, Rules{
		File: "shop-rules.yaml", Owner: "Quayside workshop",
		Permits:  []Permit{{Foam: "pe-30", Process: profiles.Laser, When: "extraction running, lid closed, extinguisher in reach", Line: 3, Column: 5}},
		Forbids:  []Forbid{{Foam: "pu-30", Line: 4, Column: 11}},
		Limits:   []Limits{{PowerPercent: 60, FeedMMPerMin: 2400, DepthMM: 30, Minutes: 45, Line: 5, Column: 9}},
		Requires: []Require{{What: "a second person in the room", Line: 6, Column: 12}},
	}, r)
}

func TestReadLimits(t *testing.T) {
	cases := []struct {
		text string
		want Limits
	}{
		{"limits: {power: 12.5%}", Limits{PowerPercent: 12.5, Line: 1, Column: 9}},
		{"limits: {feed: 40 mm/s}", Limits{FeedMMPerMin: 2400, Line: 1, Column: 9}},
		{"limits: {feed: 100 in/min}", Limits{FeedMMPerMin: 2540, Line: 1, Column: 9}},
		{"limits: {depth: 1 1/4 in}", Limits{DepthMM: 31.75, Line: 1, Column: 9}},
		{"limits: {minutes: 1.5 h}", Limits{Minutes: 90, Line: 1, Column: 9}},
		{"limits: {minutes: 20 min}", Limits{Minutes: 20, Line: 1, Column: 9}},
		{"limits:\n  - {machine: bench-laser, foam: pe-30, process: laser, power: 30 %}", Limits{Machine: "bench-laser", Foam: "pe-30", Process: profiles.Laser, PowerPercent: 30, Line: 2, Column: 5}},
	}
	for _, c := range cases {
		r, err := ReadRules("r.yaml", []byte(c.text))
		require.NoError(t, err, c.text)
		assert.Equal(t, []Limits{c.want}, r.Limits, c.text)
	}
}

func TestBadRules(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"unknown key", "owner: o\npermit: []", "r.yaml:2:1: the file has no key \"permit\"\nhint: did you mean permits?"},
		{"unknown key in a permit", "permits:\n  - {foam: pe-30, process: laser, whem: x}", "r.yaml:2:35: permits[1] has no key \"whem\"\nhint: did you mean when?"},
		{"permit by kind", "permits: [{kind: pe, process: laser, when: x}]", "permits[1] has no key \"kind\""},
		{"permit without foam", "permits: [{process: laser, when: x}]", "permits[1]: foam is missing"},
		{"permit without process", "permits: [{foam: pe-30, when: x}]", "permits[1]: process is missing"},
		{"unknown process", "forbids: [{process: lazer}]", `forbids[1].process is "lazer"` + "\nhint: did you mean laser?"},
		{"empty forbid", "forbids: [{}]", "forbids[1]: names nothing"},
		{"empty when", "permits: [{foam: pe-30, process: laser, when: ''}]", "permits[1].when is an empty text"},
		{"power without unit", "limits: {power: 60}", `r.yaml:1:17: limits.power: "60" is no limit` + "\nhint: write 60 %"},
		{"power above full", "limits: {power: 120 %}", "120 % is not above 0 and at most 100 %"},
		{"no power", "limits: {power: 0 %}", "0 % is not above 0"},
		{"negative feed", "limits: {feed: -5 mm/min}", "-5 mm/min is not above 0"},
		{"feed in knots", "limits: {feed: 3 knots}", `"3 knots" is no limit` + "\nhint: write 3 mm/min, or 3 mm/s, or 3 in/min"},
		{"depth without unit", "limits: {depth: 30}", "limits.depth: 30 has no unit\nhint: write 30 mm, or 30 in"},
		{"depth that is none", "limits: {depth: thirty}", "limits.depth"},
		{"no depth", "limits: {depth: 0 mm}", "0 mm is not above 0"},
		{"minutes for a foam", "limits: [{foam: pe-30, minutes: 5}]", "limits[1].minutes: holds for every program"},
		{"limits nothing of a machine", "limits: [{power: 5 %}, {machine: bench-laser}]", "r.yaml:1:24: limits[2]: limits nothing" + "\nhint: give it power, feed or depth"},
		{"NaN", "limits: {minutes: .nan}", `".nan" is no limit`},
		{"requires nothing", "requires: [{foam: pe-30}]", "requires[1]: what is missing"},
		{"requires an empty text", "requires: ['']", "requires[1] is an empty text"},
		{"negative power", "limits: {power: -60 %}", "-60 % is not above 0"},
		{"negative depth", "limits: {depth: -3 mm}", "-3 mm is not above 0"},
		{"negative minutes", "limits: {minutes: -45}", "-45 is not above 0"},
		{"depth in per cent", "limits: {depth: 30 %}", "limits.depth"},
		{"power in watts", "limits: {power: 20 W}", `"20 W" is no limit` + "\nhint: write 20 %"},
		{"limits in a list of nothing", "limits: [3]", "limits[1] has to be `key: value` lines, and here is a text or a number"},
		{"comments only", "# nothing yet\n", "r.yaml:1:1: the file is empty"},
		{"bytes", "\x7fELF\x02\x01\x00\x00\xff\xfe", "r.yaml:1:"},
		{"another file", "G21 G90\nG0 X0 Y0\nM2\n", "r.yaml:1:"},
		{"exponent", "limits: {minutes: 1e308}", `"1e308" is no limit`},
		{"a list that is a text", "permits: pe-30", "permits has to be a list, and here is a text or a number"},
		{"a text that is a list", "owner: [a]", "owner has to be a text or a number, and here is a list"},
		{"escape codes", `owner: "a\e[2Jb"`, "owner has a control character in it, U+001B"},
		{"turned text", "owner: \"a\\u202Eb\"", "owner has a control character in it, U+202E"},
		{"alias", "owner: &o x\nrequires: [*o]", "r.yaml:1:8: here is an anchor or an alias, which is not read\nhint: write the value out"},
		{"merge", "permits: [{<<: {foam: pe-30}, process: laser}]", "r.yaml:1:12: here is a merge key, which is not read"},
		{"tag", "owner: !!str 3", "here is a tag, which is not read"},
		{"key twice", "owner: a\nowner: b", "r.yaml:2:1: \"owner\" is here a second time; it is in line 1 already"},
		{"empty", "", "r.yaml:1:1: the file is empty"},
		{"no mapping", "- a", "r.yaml:1:1: the file has to be `key: value` lines, and here is a list"},
		{"no YAML", "owner: {", "r.yaml:1:"},
	}
	for _, c := range cases {
		r, err := ReadRules("r.yaml", []byte(c.text))
		assert.ErrorContains(t, err, c.want, c.name)
		assert.Equal(t, Rules{File: "r.yaml"}, r, c.name)
	}
}

// A key under which everything is commented out is a key with nothing in it.
func TestNothingBelowAKey(t *testing.T) {
	r, err := ReadRules("r.yaml", []byte("owner: o\npermits:\n#  - {foam: pe-30}\nforbids: []\nlimits:\nrequires:\n"))
	require.NoError(t, err)
	assert.Equal(t, Rules{File: "r.yaml", Owner: "o"}, r)
}

// The word that is asked for is the word that opens, once somebody has put words
// in the place of the dots; the line as it stands is nobody's word.
func TestTheHintIsThePermit(t *testing.T) {
	for _, kind := range []string{"pe", "xpe", "eva"} {
		u := Use{Foam: ofKind(t, kind), Machine: bench(t, profiles.Laser)}
		hint := Check([]Use{u}, catalog(t), nil)[0].Hint
		_, line, _ := strings.Cut(hint, "the dots: ")
		for when, want := range map[string][]string{"...": {"owners-word-needed"}, "extraction running": nil} {
			r, err := ReadRules("r.yaml", []byte("owner: o\npermits:\n  "+strings.Replace(line, "...", when, 1)+"\n"))
			require.NoError(t, err, hint)
			assert.Equal(t, want, errorRules(u, Check([]Use{u}, catalog(t), []Rules{r})), when)
		}
	}
}

func TestForbids(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Router), Where: "tray x"}
	cases := []struct {
		forbid Forbid
		want   bool
	}{
		{Forbid{Foam: u.Foam.ID}, true},
		{Forbid{Kind: "pe"}, true},
		{Forbid{Process: profiles.Router}, true},
		{Forbid{Machine: "bench-router"}, true},
		{Forbid{Foam: u.Foam.ID, Kind: "pe", Process: profiles.Router, Machine: "bench-router"}, true},
		{Forbid{}, true},
		{Forbid{Foam: "pe-45"}, u.Foam.ID == "pe-45"},
		{Forbid{Kind: "pe", Process: profiles.Laser}, false},
		{Forbid{Machine: "bench-laser"}, false},
	}
	for _, c := range cases {
		c.forbid.Line = 7
		found := Check([]Use{u}, catalog(t), []Rules{{File: "building.yaml", Owner: "Quay", Forbids: []Forbid{c.forbid}}})
		assert.Equal(t, c.want, has(found, "forbidden"), c.forbid)
		if c.want {
			assert.Contains(t, found[0].Message, "is forbidden by building.yaml:7 of Quay")
		}
	}
}

// A forbid in one file beats a permit in another, in either order.
func TestTheStrictestFileWins(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser), DepthMM: 40}
	workshop := permits(permit(u))[0]
	building := Rules{File: "building.yaml", Owner: "b", Forbids: []Forbid{{Process: profiles.Laser, Line: 1}}, Limits: []Limits{{DepthMM: 30, Line: 2}, {DepthMM: 20, Line: 3}}}
	for _, rules := range [][]Rules{{workshop, building}, {building, workshop}} {
		found := Check([]Use{u}, catalog(t), rules)
		assert.Equal(t, []string{"forbidden", "too-deep"}, errorRules(u, found))
		assert.Contains(t, found[len(found)-1].Message, "40.00 mm is deeper than the 20.00 mm that building.yaml:3 of b allows")
	}
}

func TestRulesThatCannotWork(t *testing.T) {
	cases := []struct {
		name string
		rule Rules
		want finding.Severity
		text string
	}{
		{"permit of what is refused", Rules{Permits: []Permit{{Foam: "pvc-60", Process: profiles.Laser, When: "x"}}}, finding.Warning, "opens nothing: absolutely"},
		{"permit without when", Rules{Permits: []Permit{{Foam: "pe-30", Process: profiles.Laser}}}, finding.Warning, "opens nothing, because it does not say when"},
		{"permit with a full stop", Rules{Permits: []Permit{{Foam: "pe-30", Process: profiles.Laser, When: "."}}}, finding.Warning, `opens nothing, because "." is no condition`},
		{"permit not needed", Rules{Permits: []Permit{{Foam: "pe-30", Process: profiles.Knife, When: "x"}}}, finding.Note, "is not needed"},
		{"permit of an unknown foam", Rules{Permits: []Permit{{Foam: "pe-31", Process: profiles.Laser, When: "x"}}}, finding.Warning, `there is no foam "pe-31"`},
		{"permit for an unknown machine", Rules{Permits: []Permit{{Foam: "pe-30", Process: profiles.Laser, Machine: "bench-lase", When: "x"}}}, finding.Warning, `there is no machine "bench-lase"`},
		{"forbids an unknown foam", Rules{Forbids: []Forbid{{Foam: "pu30"}}}, finding.Error, `there is no foam "pu30"`},
		{"forbids an unknown kind", Rules{Forbids: []Forbid{{Kind: "pvd"}}}, finding.Error, `there is no kind "pvd"`},
		{"forbids an unknown machine", Rules{Forbids: []Forbid{{Machine: "bench-lase"}}}, finding.Error, `there is no machine "bench-lase"`},
		{"requires for an unknown machine", Rules{Requires: []Require{{What: "x", Machine: "bench-lase"}}}, finding.Error, `there is no machine "bench-lase"`},
		{"requires for an unknown kind", Rules{Requires: []Require{{What: "x", Kind: "pvd"}}}, finding.Error, `there is no kind "pvd"`},
		{"limits an unknown foam", Rules{Limits: []Limits{{Foam: "pu30", DepthMM: 3}}}, finding.Error, `there is no foam "pu30"`},
		{"nobody's rules", Rules{}, finding.Warning, "does not say whose rules these are"},
	}
	for _, c := range cases {
		c.rule.File = "r.yaml"
		if c.name != "nobody's rules" {
			c.rule.Owner = "o"
		}
		found := Check(nil, catalog(t), []Rules{c.rule})
		require.Len(t, found, 1, c.name)
		assert.Equal(t, c.want, found[0].Severity, c.name)
		assert.Contains(t, found[0].Message, c.text, c.name)
		assert.True(t, strings.HasPrefix(found[0].Where, "r.yaml"), c.name)
	}
	assert.Contains(t, Check(nil, catalog(t), []Rules{{Owner: "o", Forbids: []Forbid{{Foam: "pu30"}}}})[0].Hint, "did you mean pu-30?")
}

func shippedRecipe(t require.TestingT, foam, machine, tool string) profiles.Recipe {
	r, ok := catalog(t).Recipe(foam, machine, tool)
	require.True(t, ok)
	return r
}

func TestLimitLowersAndTells(t *testing.T) {
	m := bench(t, profiles.Router)
	before := shippedRecipe(t, "pe-30", m.ID, "flat-3")
	r, found := Limit(before, m, []Rules{
		{File: "a.yaml", Owner: "a", Limits: []Limits{{FeedMMPerMin: 1000, Line: 4}}},
		{File: "b.yaml", Owner: "b", Limits: []Limits{{FeedMMPerMin: 900, Line: 5}, {FeedMMPerMin: 1, Machine: "bench-laser", Line: 6}, {FeedMMPerMin: 1, Foam: "eva-90", Line: 7}}},
	})
	assert.Equal(t, 900.0, r.FeedMMPerMin.Value)
	assert.Equal(t, before.PlungeMMPerMin, r.PlungeMMPerMin)
	assert.Contains(t, r.FeedMMPerMin.Source, "by b.yaml:5 of b; ")
	require.Len(t, found, 1)
	assert.Equal(t, finding.Note, found[0].Severity)
	assert.Contains(t, found[0].Message, "to 900 mm/min by b.yaml:5 of b")
	r.FeedMMPerMin = before.FeedMMPerMin
	assert.Equal(t, before, r, "nothing else changes")

	same, found := Limit(before, m, []Rules{{Limits: []Limits{{FeedMMPerMin: 1e5, PowerPercent: 100}}}})
	assert.Equal(t, before, same)
	assert.Empty(t, found)
}

// A limit of the feed is one of every feed: below the plunge feed it lowers
// that as well, and says so, and never raises it.
func TestALowFeedLimitLowersThePlungeFeed(t *testing.T) {
	m := bench(t, profiles.Router)
	before := shippedRecipe(t, "pe-30", m.ID, "flat-3")
	least := before.PlungeMMPerMin.Value - 50
	require.Positive(t, least)
	r, found := Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{{FeedMMPerMin: least, Line: 4}}}})
	assert.Equal(t, least, r.FeedMMPerMin.Value)
	assert.Equal(t, least, r.PlungeMMPerMin.Value)
	assert.Contains(t, r.PlungeMMPerMin.Source, "by a.yaml:4; "+before.PlungeMMPerMin.Source)
	require.Len(t, found, 2)
	assert.Contains(t, found[1].Message, fmt.Sprintf("plunge feed lowered from %.4g to %.4g mm/min by a.yaml:4", before.PlungeMMPerMin.Value, least))
	_, found = Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{{FeedMMPerMin: before.FeedMMPerMin.Value - 0.001, Line: 4}}}})
	assert.Contains(t, found[0].Message, fmt.Sprintf("feed lowered from %.0f to %.3f mm/min", before.FeedMMPerMin.Value, before.FeedMMPerMin.Value-0.001))
	r, found = Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{{FeedMMPerMin: before.PlungeMMPerMin.Value, Line: 4}}}})
	assert.Equal(t, before.PlungeMMPerMin, r.PlungeMMPerMin)
	assert.Len(t, found, 1)
}

// A slower beam would heat the foam more: the power goes down with the feed, so
// that no millimetre gets more heat than the recipe gives it.
func TestASlowerBeamIsAWeakerBeam(t *testing.T) {
	m := bench(t, profiles.Laser)
	before := shippedRecipe(t, "pe-30", m.ID, "beam")
	r, found := Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{{FeedMMPerMin: before.FeedMMPerMin.Value / 2, Line: 1}}}})
	assert.InDelta(t, before.PowerPercent.Value/2, r.PowerPercent.Value, 1e-9)
	assert.Len(t, found, 2)
	r, _ = Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{{PowerPercent: 10}}}})
	assert.Equal(t, 10.0, r.PowerPercent.Value)
	assert.Equal(t, before.FeedMMPerMin, r.FeedMMPerMin)
}

func TestCheckMinutes(t *testing.T) {
	rules := []Rules{{File: "a.yaml", Owner: "a", Limits: []Limits{{Minutes: 45, Line: 3}}}, {File: "b.yaml", Limits: []Limits{{Minutes: 60}}}}
	assert.Empty(t, CheckMinutes(45*60, "tray x", rules))
	assert.Empty(t, CheckMinutes(1e9, "tray x", nil))
	assert.True(t, CheckMinutes(math.NaN(), "tray x", rules).Failed())
	found := CheckMinutes(45*60+6, "tray x", rules)
	require.True(t, found.Failed())
	assert.Equal(t, "the program takes 45 min 06 s, and a.yaml:3 of a allows 45 minutes", found[0].Message)
	assert.Contains(t, CheckMinutes(45*60+0.02, "tray x", rules)[0].Message, "takes 45 min 01 s", "never what is allowed")
}

func TestReadRequires(t *testing.T) {
	r, err := ReadRules("r.yaml", []byte("requires:\n  - ask first\n  - {what: lid closed, process: laser}\n  - {what: mask on, machine: bench-router, kind: pu, foam: pu-30}\n"))
	require.NoError(t, err)
	assert.Equal(t, []Require{
		{What: "ask first", Line: 2, Column: 5}, {What: "lid closed", Process: profiles.Laser, Line: 3, Column: 5},
		{What: "mask on", Machine: "bench-router", Kind: "pu", Foam: "pu-30", Line: 4, Column: 5},
	}, r.Requires)
}

// Each requirement once, where it applies, with the rule that asks for it.
func TestRequires(t *testing.T) {
	laser := []Use{{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser)}}
	router := []Use{{Foam: ofKind(t, "pu"), Machine: bench(t, profiles.Router)}, {Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Router)}}
	assert.Empty(t, Requires(laser, nil))
	rules := []Rules{
		{File: "building.yaml", Owner: "b", Requires: []Require{{What: "ask first", Line: 2}, {What: "lid closed", Process: profiles.Laser, Line: 3}}},
		{File: "workshop.yaml", Requires: []Require{{What: "ask first", Line: 8}, {What: "mask on", Kind: "pu", Line: 9}, {What: "key back", Machine: "bench-router", Line: 10}}},
	}
	assert.Equal(t, []string{"ask first (building.yaml:2 of b)", "lid closed (building.yaml:3 of b)"}, Requires(laser, rules))
	assert.Equal(t, []string{"ask first (building.yaml:2 of b)", "mask on (workshop.yaml:9)", "key back (workshop.yaml:10)"}, Requires(router, rules))

	var told []string
	for _, f := range Check(router, catalog(t), rules[1:]) {
		if f.Rule == "required" {
			assert.Equal(t, finding.Note, f.Severity)
			told = append(told, f.Where+" "+f.Message)
		}
	}
	assert.Equal(t, []string{"workshop.yaml:8 required before a cut: ask first", "workshop.yaml:9 required before a cut: mask on", "workshop.yaml:10 required before a cut: key back"}, told)
}

// What gives half the heat to a mm goes half as deep, and a slower feed, with its
// power lowered in the same measure, no deeper than before.
func TestLimitOfADepth(t *testing.T) {
	m := bench(t, profiles.Laser)
	before := shippedRecipe(t, "pe-30", "bench-laser", "beam")
	for _, c := range []struct {
		limits Limits
		depth  float64
	}{
		{Limits{PowerPercent: 22.5}, 15.0 / 2}, {Limits{PowerPercent: 9}, 15.0 / 5}, {Limits{PowerPercent: 60}, 15},
		{Limits{FeedMMPerMin: 450}, 15},
		{Limits{FeedMMPerMin: 450, PowerPercent: 22.5}, 15},
		{Limits{FeedMMPerMin: 450, PowerPercent: 9}, 15.0 * 9 / 22.5},
	} {
		r, found := Limit(before, m, []Rules{{File: "a.yaml", Limits: []Limits{c.limits}}})
		assert.InDelta(t, c.depth, r.MMPerPass.Value, 1e-9, "%+v", c.limits)
		if c.depth < 15 {
			assert.Contains(t, found[len(found)-1].Message, "depth of a pass lowered from 15 to")
		}
	}
}
