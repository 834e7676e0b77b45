package profiles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What each process is by nature: a beam and a hot wire melt, a cutter turns and throws, a
// blade does neither, and a hand moves what no machine does; followed are those whose programs are written here, and what nobody
// has named. By what the words mean, no source.
func TestTraitsOfProcesses(t *testing.T) {
	for p, want := range map[Process]string{
		Router: "turning followed", Laser: "beam hot upright followed", Knife: "blade followed", HotWire: "hot wire upright followed", Hand: "hand", "": "followed", "plasma": "",
	} {
		var words []string
		traits := p.Traits()
		for _, c := range []struct {
			is   bool
			word string
		}{{traits.Beam, "beam"}, {traits.Hot, "hot"}, {traits.Turning, "turning"}, {traits.Wire, "wire"}, {traits.Upright, "upright"}, {traits.Blade, "blade"}, {traits.Followed, "followed"}, {traits.ByHand, "hand"}} {
			if c.is {
				words = append(words, c.word)
			}
		}
		assert.Equal(t, want, strings.Join(words, " "), p)
	}
}

// Each rule of a recipe at its limit, where it holds, and beyond, where it is told.
func TestRulesOfRecipesAtTheirLimits(t *testing.T) {
	c, err := Shipped()
	require.NoError(t, err)
	first := func(p Process) (Recipe, Machine) {
		for _, r := range c.Recipes() {
			if m, found := c.FindMachine(r.Machine, ""); found == nil && m.Process == p {
				return r, m
			}
		}
		t.Fatalf("no recipe of a %s", p)
		return Recipe{}, Machine{}
	}
	router, cutter := first(Router)
	laser, beam := first(Laser)
	blade, knife := first(Knife)
	measured := func(mm float64) func(*Recipe) {
		return func(r *Recipe) { r.KerfMM, r.KerfIntervalMM = Number{mm, "mine"}, Number{0.03, "mine"} }
	}
	tool, ok := cutter.Tool(router.Tool)
	require.True(t, ok)
	d := tool.DiameterMM.Value
	noSkin := func(r *Recipe) {
		r.SkinMM.Value, r.TabCount.Value, r.TabWidthMM.Value, r.TabHeightMM.Value = 0, 1, 0.1, 0.3
	}
	for name, c := range map[string]struct {
		r          Recipe
		m          Machine
		good, bad  func(*Recipe)
		complaints string
	}{
		"feed":      {router, cutter, func(r *Recipe) { r.FeedMMPerMin.Value = cutter.MaxFeedMMPerMin.Value }, func(r *Recipe) { r.FeedMMPerMin.Value = cutter.MaxFeedMMPerMin.Value + 0.1 }, "feed_mm_per_min of"},
		"plunge":    {router, cutter, func(r *Recipe) { r.FeedMMPerMin, r.PlungeMMPerMin = cutter.MaxFeedMMPerMin, cutter.MaxFeedMMPerMin }, func(r *Recipe) { r.PlungeMMPerMin.Value = cutter.MaxFeedMMPerMin.Value + 0.1 }, "plunge_mm_per_min of"},
		"rpm":       {router, cutter, func(r *Recipe) { r.RPM.Value = cutter.MaxRPM.Value }, func(r *Recipe) { r.RPM.Value = cutter.MaxRPM.Value + 1 }, "rpm of"},
		"kerf low":  {router, cutter, func(r *Recipe) { r.KerfMM.Value = d - 0.5 }, func(r *Recipe) { r.KerfMM.Value = d - 0.51 }, "nobody measured it: write kerf_mm: 3.175 until"},
		"kerf high": {router, cutter, func(r *Recipe) { r.KerfMM.Value = d + 0.5 }, func(r *Recipe) { r.KerfMM.Value = d + 0.51 }, "nobody measured it"},
		"measured":  {router, cutter, measured(d - 1), measured(d - 1.01), "not the work of a cutter"},
		"too wide":  {router, cutter, measured(d + 1), measured(d + 1.01), "not the work of a cutter"},
		"a slit":    {blade, knife, func(r *Recipe) { r.KerfMM.Value = 0.9 }, func(r *Recipe) { r.KerfMM.Value = 0.91 }, "more than 0.5 mm wider than the blade of 0.4 mm"},
		"slits":     {blade, knife, measured(1.4), measured(1.41), "more than 1 mm wider than the blade"},
		"a spot":    {laser, beam, func(r *Recipe) { r.KerfMM.Value = 2 }, func(r *Recipe) { r.KerfMM.Value = 2.01 }, "more than 10 times the spot of 0.2 mm"},
		"tabs":      {router, cutter, noSkin, func(r *Recipe) { noSkin(r); r.TabCount.Value = 0 }, "hold the tray"},
		"tab width": {router, cutter, noSkin, func(r *Recipe) { noSkin(r); r.TabWidthMM.Value = 0 }, "hold the tray"},
		"tab high":  {router, cutter, noSkin, func(r *Recipe) { noSkin(r); r.TabHeightMM.Value = 0 }, "hold the tray"},
		"plunges":   {router, cutter, func(r *Recipe) { r.PlungeMMPerMin = r.FeedMMPerMin }, func(r *Recipe) { r.FeedMMPerMin.Value, r.PlungeMMPerMin.Value = 300, 400 }, "write plunge_mm_per_min: 300 or less"},
		"low tab":   {router, cutter, noSkin, func(r *Recipe) { noSkin(r); r.TabHeightMM.Value = 0.29 }, "tab_height_mm of 0.29 holds nothing: write 0.3 or more"},
		"skin":      {router, cutter, func(r *Recipe) { r.SkinMM.Value, r.TabCount.Value = 0.3, 0 }, func(r *Recipe) { r.SkinMM.Value, r.TabCount.Value = 0, 0 }, "hold the tray"},
		"thin skin": {router, cutter, func(r *Recipe) { r.SkinMM.Value = 0.3 }, func(r *Recipe) { r.SkinMM.Value = 0.29 }, "holds nothing: write 0.3 or more"},
		"a mark":    {router, cutter, func(r *Recipe) { r.MarkDepthMM = r.StepdownMM }, func(r *Recipe) { r.StepdownMM.Value, r.MarkDepthMM.Value = 8, 8.1 }, "mark_depth_mm of 8.1 is more than stepdown_mm, 8, and a mark is made in one pass: write mark_depth_mm: 8 or less"},
		"a score":   {blade, knife, func(r *Recipe) { r.MarkDepthMM = r.MMPerPass }, func(r *Recipe) { r.MMPerPass.Value, r.MarkDepthMM.Value = 3, 3.1 }, "mark_depth_mm of 3.1 is more than mm_per_pass, 3, and a mark is made in one pass: write mark_depth_mm: 3 or less"},
		"depth":     {laser, beam, func(r *Recipe) { r.MMPerPass.Value, r.Passes.Value = 0, 1 }, func(r *Recipe) { r.MMPerPass.Value, r.Passes.Value = 0, 0 }, "mm_per_pass is missing"},
		"most":      {laser, beam, func(r *Recipe) { r.MMPerPass.Value, r.MostMM.Value = 5, 5 }, func(r *Recipe) { r.MMPerPass.Value, r.MostMM.Value = 5.1, 5 }, "more than most_mm"},
		"no most":   {laser, beam, func(r *Recipe) { r.MMPerPass.Value, r.MostMM.Value = 50, 0 }, func(r *Recipe) { r.Tool = "none" }, "no tool none"},
	} {
		r := c.r
		c.good(&r)
		assert.Empty(t, recipeFaults(r, c.m), name)
		r = c.r
		c.bad(&r)
		assert.Contains(t, strings.Join(recipeFaults(r, c.m), "; "), c.complaints, name)
	}
	free := cutter
	free.MaxFeedMMPerMin, free.MaxRPM = Number{}, Number{}
	router.FeedMMPerMin.Value, router.RPM.Value = 1e5, 1e6
	assert.Empty(t, recipeFaults(router, free), "a machine that names no maximum")
}

// ISO 1923's steps (after its Chinese adoption): 0.05 mm below 10 mm, 0.1 mm up to 100 mm, 0.5 mm
// beyond; reported to two of them.
func TestReadingsOfSoftFoam(t *testing.T) {
	for size, want := range map[float64]float64{0: 0.05, 9.99: 0.05, 10: 0.1, 100: 0.1, 100.01: 0.5, 2000: 0.5} {
		assert.Equal(t, want, ReadSoftMM(size), size)
		assert.Equal(t, 2*want, ReportedSoftMM(size), size)
	}
}
