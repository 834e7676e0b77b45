package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/profiles"
)

// cuts lists what a sheet cuts: "1+2 25.4 through flat-3".
func cuts(s Sheet) []string {
	var list []string
	for _, c := range s.Cuts {
		text := ""
		for _, i := range c.Pockets {
			text += fmt.Sprintf("%d ", i+1)
		}
		text += fmt.Sprintf("%.2f", c.DepthMM)
		if c.Through {
			text += " through"
		}
		list = append(list, text+" "+c.Tool.ID)
	}
	return list
}

func TestSheets(t *testing.T) {
	deep := func(d float64) job.Pocket { return with(rect(20, 20, 30, 17), depth(d)) }
	for _, c := range []struct {
		name    string
		pockets []job.Pocket
		want    [][]string // of the 25.4 mm pad and the 6.35 mm base
	}{
		{"none", nil, [][]string{nil, nil}},
		{"inside the pad", []job.Pocket{deep(20)}, [][]string{{"1 20.00 flat-3"}, nil}},
		{"to the glue line", []job.Pocket{deep(25.4)}, [][]string{{"1 25.40 through flat-3"}, nil}},
		{"into the base", []job.Pocket{deep(28.4)}, [][]string{{"1 25.40 through flat-3"}, {"1 3.00 flat-3"}}},
		{"to the underside", []job.Pocket{deep(31.75)}, [][]string{{"1 25.40 through flat-3"}, {"1 6.35 through flat-3"}}},
		{"joined", []job.Pocket{rect(20, 20, 30, 17), rect(40, 30, 30, 17)}, [][]string{{"1 2 25.40 through flat-3"}, nil}},
		{"stepped in the base only", []job.Pocket{deep(28), with(rect(40, 30, 30, 17), depth(29))},
			[][]string{{"1 2 25.40 through flat-3"}, {"1 2.60 flat-3", "2 3.60 flat-3"}}},
		{"stepped", []job.Pocket{deep(10), with(rect(24, 24, 10, 10), depth(20))}, [][]string{{"1 10.00 flat-3", "2 20.00 flat-3"}, nil}},
		{"joined by a third", []job.Pocket{rect(20, 20, 18, 18), rect(60, 20, 18, 18), rect(35, 25, 30, 10)}, [][]string{{"1 2 3 25.40 through flat-3"}, nil}},
	} {
		t.Run(c.name, func(t *testing.T) {
			plan, found := make1(t, bench(pad(c.pockets...)))
			require.False(t, found.Failed(), "%v", found)
			sheets := plan.Trays[0].Sheets
			require.Len(t, sheets, 2)
			for i, s := range sheets {
				assert.Equal(t, i+1, s.Number)
				assert.Equal(t, c.want[i], cuts(s))
				assert.Len(t, s.Edge.Recipes, 1)
				assert.InDelta(t, s.ThicknessMM()-1.3, s.Edge.DepthMM, 1e-9, "a skin holds the tray")
				for _, cut := range s.Cuts {
					assert.NoError(t, cut.Shape.Validate(tol))
					assert.Len(t, cut.Recipes, 1)
				}
			}
		})
	}
}

func TestBlock(t *testing.T) {
	tray := pad(with(rect(20, 20, 30, 20), depth(28)), with(rect(60, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
	tray.Cut = job.Block
	plan, found := make1(t, bench(tray))
	require.False(t, found.Failed(), "%v", found)
	require.Len(t, plan.Trays[0].Sheets, 1)
	s := plan.Trays[0].Sheets[0]
	assert.Zero(t, s.Number)
	assert.Equal(t, []string{"1 28.00 flat-3", "2 31.75 through flat-3"}, cuts(s))
	require.Len(t, s.Cuts[0].Recipes, 2)
	assert.Equal(t, "pe-45", s.Cuts[0].Recipes[1].Foam)

	_, found = Make(input(t, bench(tray), "bench-laser"))
	only(t, found, "block-needs-router")
}

// The first tool that fits and reaches is chosen, unless the job names one.
func TestToolChoice(t *testing.T) {
	tray := pad(rect(20, 20, 30, 20))
	plan, _ := make1(t, bench(tray))
	assert.Equal(t, "flat-3", plan.Trays[0].Sheets[0].Cuts[0].Tool.ID)
	tray.Layers[0].Thickness = 2 * inch // beyond the 38 mm of the thin cutter
	plan, _ = make1(t, bench(tray))
	assert.Equal(t, "flat-6", plan.Trays[0].Sheets[0].Cuts[0].Tool.ID)
	assert.Equal(t, "flat-6", plan.Trays[0].Sheets[0].Edge.Tool.ID)
	tray.Tool = "flat-3"
	_, found := make1(t, bench(tray))
	assert.Contains(t, rules(found), "error:tool-too-short")
	tray.Tool = ""
	tray.Layers[0].Thickness = mm(38) // within its reach, but not with the breakthrough
	plan, _ = make1(t, bench(tray))
	assert.Equal(t, "flat-6", plan.Trays[0].Sheets[0].Cuts[0].Tool.ID)
	tray = pad(rect(20, 20, 30, 20))
	tray.Tool = "flat-6"
	plan, _ = make1(t, bench(tray))
	assert.Equal(t, "flat-6", plan.Trays[0].Sheets[0].Cuts[0].Tool.ID)
	assert.Equal(t, "flat-6", plan.Trays[0].Sheets[1].Edge.Tool.ID)
	tray = pad(rect(20, 20, 30, 5))
	tray.Layers[0].Thickness = 2 * inch
	_, found = make1(t, bench(tray))
	assert.Contains(t, only(t, found, "pocket-too-narrow").Message, "flat-3 reaches only 38 mm")
}

// A pocket's design has the reliefs of the top sheet's tool, where each sheet has its own.
func TestDesignIsTheTopSheets(t *testing.T) {
	tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Corner, p.Relief, p.Through = 0, job.Dogbone, true }))
	tray.Layers[0].Thickness = 2 * inch
	in := input(t, bench(tray), "bench-router")
	in.Recipe = noRecipe(in.Recipe, "pe-45", "flat-6")
	plan, found := Make(in)
	require.Equal(t, "note:wall-by-two-tools", rules(found))
	top, base := plan.Trays[0].Sheets[0].Cuts[0], plan.Trays[0].Sheets[1].Cuts[0]
	assert.Equal(t, "flat-6", top.Tool.ID)
	assert.Equal(t, "flat-3", base.Tool.ID)
	assert.Equal(t, top.Design.Area(), plan.Trays[0].Pockets[0].Design.Area())
	assert.Greater(t, top.Design.Area(), base.Design.Area())
}

// A pocket that is too narrow says where, in the tray.
func TestNarrowPlace(t *testing.T) {
	_, found := make1(t, bench(pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Notch, p.NotchWidth = job.North, mm(3) }))))
	assert.Equal(t, "is too narrow for the tool flat-3, which needs more than 3.18 mm of width everywhere (near x 35 mm, y 50 mm)",
		only(t, found, "pocket-too-narrow").Message)
}

func TestMissingRecipeIsSaidOnce(t *testing.T) {
	in := input(t, bench(pad(rect(20, 20, 30, 20), rect(60, 20, 30, 20))), "bench-router")
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) { return profiles.Recipe{}, false }
	_, found := Make(in)
	assert.Equal(t, "error:no-recipe error:no-recipe", rules(found), "for each foam")
	assert.Contains(t, found[0].Message, "pe-30 on bench-router")
	in.Machine.Tools = nil
	_, found = Make(in)
	assert.Equal(t, "error:no-tools", rules(found))
}

func TestLaser(t *testing.T) {
	laser := func(tray job.Tray) (*Plan, string) {
		plan, found := Make(input(t, bench(tray), "bench-laser"))
		return plan, rules(found)
	}
	plan, found := laser(pad(with(rect(20, 20, 30, 20), sharp)))
	assert.Empty(t, found)
	cut := plan.Trays[0].Sheets[0].Cuts[0]
	assert.Equal(t, "beam", cut.Tool.ID)
	// The recipe rounds corners to 1 mm so that foam does not tear: 4 - π of a square millimetre.
	assert.InDelta(t, 600-(4-math.Pi), cut.Shape.Area(), 1e-6)
	assert.InDelta(t, 600, cut.Design.Area(), 1e-6)

	_, found = laser(pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Relief = job.TBone })))
	assert.Equal(t, "note:relief-not-needed", found)
	_, found = laser(pad(with(rect(20, 20, 30, 20), depth(31.75))))
	assert.Empty(t, found)
	_, found = laser(pad(rect(20, 20, 30, 1.5)))
	assert.Equal(t, "error:corner-too-large", found)
	_, found = laser(pad(with(rect(20, 20, 30, 1.5), sharp)))
	assert.Equal(t, "error:pocket-too-narrow", found)
}

// A beam cuts whole layers: the message names the boundaries next to a depth,
// in the job's unit.
func TestDepthOnBoundaries(t *testing.T) {
	for _, c := range []struct {
		depth float64
		want  string
	}{
		{10, "1 in deep, where a layer ends, with 0.606 in of foam under the piece (from the plug), which no finger reaches otherwise; or write that layer as two, the upper one 10 mm thick, and make it 10 mm deep"},
		{20, "1 in deep, where a layer ends"},
		{28, "1 in or 1 1/4 in deep, where a layer ends"},
	} {
		j := bench(pad(with(rect(20, 20, 30, 20), depth(c.depth))))
		j.Units = 1
		for _, machine := range []string{"bench-laser", "bench-knife", "bench-hotwire"} {
			_, found := Make(input(t, j, machine))
			f := only(t, found, "depth-off-layer")
			assert.Equal(t, "make it "+c.want, f.Hint)
		}
	}
}

func TestProcessesNotBuilt(t *testing.T) {
	for _, machine := range []string{"bench-knife"} {
		plan, found := Make(input(t, bench(pad(rect(20, 20, 30, 20), rect(60, 20, 30, 20))), machine))
		assert.Equal(t, "error:process-not-built", rules(found))
		assert.Equal(t, "choose a router or by-hand with `machine:` or --machine", found[0].Hint, "no laser: the table may refuse it the foam")
		assert.Len(t, plan.Trays[0].Pockets, 2)
		assert.Empty(t, plan.Trays[0].Sheets)
	}
}

// A joined pocket is relieved where a corner belongs to a pocket that asks.
func TestJoinedRelief(t *testing.T) {
	asks := with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Corner, p.Relief = 0, job.Dogbone })
	plan, found := make1(t, bench(pad(asks, with(rect(45, 22, 30, 16), sharp))))
	require.False(t, found.Failed(), "%v", found)
	design := plan.Trays[0].Sheets[0].Cuts[0].Design
	assert.Len(t, design.Contours(), 1)
	box := design.Bounds()
	assert.Less(t, box.Min.X, 19.6, "ears on the pocket that asks")
	assert.InDelta(t, 75, box.Max.X, 1e-6, "none on the other")
}

// Findings on the members of a grid are folded into the worst.
func TestFolding(t *testing.T) {
	_, found := make1(t, bench(pad(with(round(20, 20, 12), grid(4, 3, 17, 16)))))
	f := only(t, found, "wall-too-thin")
	assert.Contains(t, f.Message, "a wall of 4 mm")
	assert.Contains(t, f.Text(), "(and 16 more like it)")
	assert.Equal(t, "tray pad, pocket 1 1,2", f.Where)
}

func TestPlaces(t *testing.T) {
	j := bench(pad(with(rect(100, 20, 30, 20), func(p *job.Pocket) {
		p.For = "crab"
		p.Position = finding.Position{File: "job.yaml", Line: 12, Column: 9}
	})))
	_, found := make1(t, j)
	f := only(t, found, "pocket-outside-tray")
	assert.Equal(t, "job.yaml:12:9: tray pad, pocket 1 (crab)", f.Where)
	assert.Equal(t, "reaches 10 mm beyond the right side of the tray", f.Message)
}

func TestGridNames(t *testing.T) {
	p := with(round(20, 20, 12), grid(2, 2, 20, 20))
	p.For = "dice"
	plan, _ := make1(t, bench(pad(p)))
	var names []string
	for _, k := range plan.Trays[0].Pockets {
		names = append(names, k.Name)
	}
	assert.Equal(t, []string{"pocket 1 (dice) 1,1", "pocket 1 (dice) 2,1", "pocket 1 (dice) 1,2", "pocket 1 (dice) 2,2"}, names)
	assertBox(t, geometry.Box{Min: geometry.Point{X: 40, Y: 40}, Max: geometry.Point{X: 52, Y: 52}}, plan.Trays[0].Pockets[3].Box)
}
