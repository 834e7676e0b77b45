package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Which pockets a larger tool roughs, where flat-3 makes the walls and flat-6 is at hand.
func TestWhatIsRoughed(t *testing.T) {
	large := func(more ...func(*job.Pocket)) job.Pocket {
		p := with(rect(20, 20, 110, 80), depth(20))
		for _, m := range more {
			p = with(p, m)
		}
		return p
	}
	for _, c := range []struct {
		name    string
		pockets []job.Pocket
		layers  []job.Layer
		block   bool
		change  string
		roughed int
	}{
		{name: "a large one", pockets: []job.Pocket{large()}, roughed: 1},
		{name: "one that is not worth a change", pockets: []job.Pocket{with(rect(20, 20, 100, 60), depth(20))}},
		{name: "both, when the tool is there for one", pockets: []job.Pocket{large(), with(rect(145, 20, 40, 30), depth(20))}, roughed: 2},
		{name: "too small for the tool", pockets: []job.Pocket{large(), with(rect(145, 20, 6.5, 30), depth(20))}, roughed: 1},
		{name: "its tool is named", pockets: []job.Pocket{large(func(p *job.Pocket) { p.Tool = "flat-3" })}},
		{name: "made by the larger tool anyway", pockets: []job.Pocket{large(func(p *job.Pocket) { p.Tool = "flat-6" })}},
		{name: "through, and milled", pockets: []job.Pocket{large(waste(job.ClearWaste))}, layers: []job.Layer{layer("pe-30", mm(20))}, roughed: 1},
		{name: "a block", pockets: []job.Pocket{large()}, block: true},
		{name: "a machine that takes drawings", pockets: []job.Pocket{large()}, change: "drawing"},
		{name: "tools changed inside the program", pockets: []job.Pocket{large()}, change: profiles.ByHand},
	} {
		t.Run(c.name, func(t *testing.T) {
			tray := pad(c.pockets...)
			tray.Length, tray.Width = mm(230), mm(130)
			if c.block {
				tray.Cut = job.Block
			}
			if c.layers != nil {
				tray.Layers = c.layers
			}
			in := input(t, bench(tray), "bench-router")
			if c.change == "drawing" {
				in.Machine.Controller.Class = profiles.Drawing
			} else if c.change != "" {
				in.Machine.Controller.ToolChange = c.change
			}
			p, found := Make(in)
			require.False(t, found.Failed(), "%v", found)
			s := p.Trays[0].Sheets[0]
			assert.Equal(t, c.roughed, s.Roughed())
			assert.Equal(t, c.roughed > 0, s.Roughing.Tool.ID == "flat-6")
			for _, cut := range s.Cuts {
				if !cut.Rough && cut.DepthMM == 20 && c.roughed > 0 {
					assert.Equal(t, "flat-3", cut.Tool.ID, "the first that fits makes the wall")
				}
			}
		})
	}
}

// Of a pocket that is drawn very finely no roughing is looked for, whatever it would save.
func TestNoRoughingOfVeryManyParts(t *testing.T) {
	var fine []geometry.Vertex
	for i := range mostParts + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / (mostParts + 1))
		fine = append(fine, geometry.Vertex{Point: geometry.Point{X: 60 * cos, Y: 60 * sin}})
	}
	_, ok := new(maker).roughing(Cut{Shape: geometry.NewRegion(geometry.NewContour(fine...))}, profiles.Tool{}, profiles.Recipe{})
	assert.False(t, ok)
}

// By hand, 110 x 80 mm with corners of 2 mm, 20 mm deep, in pe-30 as it ships: flat-3 in three levels at 1800 mm/min,
// 0.6 x 3.175 mm a lap; or flat-6 in two at 2200, 0.6 x 6 mm a lap, over what it reaches half a
// mm inside the wall, with three laps of flat-3 along it, 5 s on the way, and a change of 180 s
// more (the outline takes flat-6 in any case: the sheet is thicker than flat-3 reaches).
func TestWhatRoughingSaves(t *testing.T) {
	tray := pad(with(rect(20, 20, 110, 80), depth(20)))
	tray.Length, tray.Width = mm(230), mm(130)
	p, found := Make(input(t, bench(tray), "bench-router"))
	require.False(t, found.Failed(), "%v", found)
	alone := 3 * (110*80 - (4-math.Pi)*4) / (0.6 * 3.175) / 1800 * 60
	reached := 109*79 - (4-math.Pi)*9
	both := 2*reached/(0.6*6)/2200*60 + 3*(380-16+4*math.Pi)/1800*60 + 5
	s := p.Trays[0].Sheets[0]
	assert.InDelta(t, alone-both-180, s.Roughing.SavedSeconds, 0.01)
	assert.Equal(t, []int{2, 1}, s.Turns)
}

// The wall of a pocket through two layers is made by the first tool that reaches through both: flat-3 does not reach through 40 mm.
// Where none makes both, each layer has the first that makes it, and a note at the pocket names them.
func TestAWallThroughTwoLayersHasOneTool(t *testing.T) {
	pocket := func(tool string) job.Pocket {
		return with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through, p.Tool, p.Corner = true, tool, mm(3.2) })
	}
	for name, c := range map[string]struct {
		tool    string
		top     units.Length
		lacking string // that has no recipe for pe-45, of the second layer
		want    []string
		rules   string
	}{
		"a thick layer on a thin one": {"", mm(40), "", []string{"flat-6", "flat-6"}, ""},
		"two thin ones":               {"", mm(12.7), "", []string{"flat-3", "flat-3"}, ""},
		"named":                       {"flat-6", mm(12.7), "", []string{"flat-6", "flat-6"}, ""},
		"none for both":               {"", mm(40), "flat-6", []string{"flat-6", "flat-3"}, "note:wall-by-two-tools"},
		"the larger for the second":   {"", mm(12.7), "flat-3", []string{"flat-6", "flat-6"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			tray := pad(pocket(c.tool), with(rect(80, 20, 30, 20), depth(5)))
			tray.Layers[0].Thickness, tray.Tool = c.top, ""
			in := input(t, bench(tray), "bench-router")
			if c.lacking != "" {
				in.Recipe = noRecipe(in.Recipe, "pe-45", c.lacking)
			}
			made, found := Make(in)
			assert.Equal(t, c.rules, rules(found))
			sheets := made.Trays[0].Sheets
			assert.Equal(t, c.want, []string{sheets[0].Cuts[0].Tool.ID, sheets[1].Cuts[0].Tool.ID})
			assert.Equal(t, "flat-3", sheets[0].Cuts[1].Tool.ID, "another pocket keeps the first that makes it")
			if len(found) > 0 {
				assert.Equal(t, "tray pad, pocket 1", found[0].Where)
				assert.Contains(t, found[0].Message, "has its wall made by flat-6 from layer 1, by flat-3 from layer 2,")
			}
		})
	}
}

// What choosing the tool tells is told of a pocket through two layers as it is of one in a single layer: with edges of 20 mm
// both cutters have their shank in 1 in of foam, and the recipe's 300 mm/min make no chips.
func TestAWallThroughTwoLayersTellsOfItsTool(t *testing.T) {
	catalog, err := shipped()
	require.NoError(t, err)
	for name, through := range map[string]bool{"two layers": true, "one": false} {
		tray := pad(with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through, p.Depth = through, inch }))
		if through {
			tray.Pockets[0].Depth = 0
		}
		in := input(t, bench(tray), "bench-router")
		in.Machine, _ = catalog.Machine("bench-router")
		in.Machine.Tools[1].FluteMM.Value = 20
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.FeedMMPerMin.Value = 300
			return r, ok
		}
		_, found := Make(in)
		var told []string
		for _, f := range found {
			if f.Rule == "beyond-flute" || f.Rule == "chip-load" {
				told = append(told, f.Rule+" "+f.Where)
			}
		}
		assert.Contains(t, told, "beyond-flute tray pad, pocket 1", name)
		assert.Contains(t, told, "chip-load recipe for pe-30 on bench-router with flat-3", name)
	}
}

// noRecipe takes a tool's recipe for a foam away.
func noRecipe(known func(foam, tool string) (profiles.Recipe, bool), foam, tool string) func(foam, tool string) (profiles.Recipe, bool) {
	return func(f, by string) (profiles.Recipe, bool) {
		if f == foam && by == tool {
			return profiles.Recipe{}, false
		}
		return known(f, by)
	}
}
