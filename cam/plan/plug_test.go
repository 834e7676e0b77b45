package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/profiles"
)

func waste(w job.Waste) func(*job.Pocket) { return func(p *job.Pocket) { p.Waste = w } }

// Which pockets are cut round: flat-3 cuts 3.175 mm wide, so that a plug is 6.35 mm smaller
// than its pocket, and has to be 12 mm across.
func TestWhatIsCutRound(t *testing.T) {
	for _, c := range []struct {
		name    string
		pockets []job.Pocket
		foam    string
		block   bool
		plugs   int
		rule    string
	}{
		{name: "a plug of 33.65 x 23.65 mm", pockets: []job.Pocket{rect(20, 20, 40, 30)}, plugs: 1},
		{name: "of 12.05 mm", pockets: []job.Pocket{rect(20, 20, 40, 18.4)}, plugs: 1},
		{name: "of 11.95 mm", pockets: []job.Pocket{rect(20, 20, 40, 18.3)}},
		{name: "round", pockets: []job.Pocket{round(20, 20, 30)}, plugs: 1},
		{name: "within its layer", pockets: []job.Pocket{with(rect(20, 20, 40, 30), depth(20))}},
		{name: "through the pad, and into the base", pockets: []job.Pocket{with(rect(20, 20, 40, 30), depth(28))}, plugs: 1},
		{name: "through both", pockets: []job.Pocket{with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through = true })}, plugs: 2},
		{name: "milled, because the job says so", pockets: []job.Pocket{with(rect(20, 20, 40, 30), waste(job.ClearWaste))}},
		{name: "asked for", pockets: []job.Pocket{with(rect(20, 20, 40, 30), waste(job.PlugWaste))}, plugs: 1},
		{name: "asked for in vain", pockets: []job.Pocket{with(rect(20, 20, 40, 18), waste(job.PlugWaste))}, rule: "no-plug"},
		{name: "asked for, and blind", pockets: []job.Pocket{with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Depth, p.Waste = mm(12), job.PlugWaste })}, rule: "blind-plug"},
		{name: "with a deeper part, which lies in its middle", pockets: []job.Pocket{rect(20, 20, 60, 40), with(rect(40, 30, 20, 20), depth(28))}, plugs: 1},
		{name: "two that are one", pockets: []job.Pocket{rect(20, 20, 40, 30), rect(50, 20, 40, 30)}, plugs: 1},
		{name: "one within another, which is deeper", pockets: []job.Pocket{with(rect(30, 25, 20, 20), depth(9)), rect(20, 20, 50, 35)}},
		{name: "a block, which may hang on its glue", pockets: []job.Pocket{with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through = true })}, block: true},
		{name: "asked for in a block", pockets: []job.Pocket{with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through, p.Waste = true, job.PlugWaste })}, block: true, rule: "no-plug"},
		{name: "asked for, and blind in a block", pockets: []job.Pocket{with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Depth, p.Waste = mm(30), job.PlugWaste })}, block: true, rule: "blind-plug"},
		{name: "a tool without a skin", pockets: []job.Pocket{rect(20, 20, 40, 30)}, foam: "xps-32"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tray := pad(c.pockets...)
			if c.block {
				tray.Cut = job.Block
			}
			if c.foam != "" {
				tray.Layers = []job.Layer{layer(c.foam, inch)}
			}
			p, found := make1(t, bench(tray))
			plugs := 0
			for _, s := range p.Trays[0].Sheets {
				plugs += s.Plugs()
			}
			assert.Equal(t, c.plugs, plugs)
			if c.rule != "" {
				only(t, found, c.rule)
			} else {
				require.False(t, found.Failed(), "%v", found)
			}
			if c.plugs > 0 {
				assert.Equal(t, "plug", p.Trays[0].Pockets[0].Waste)
			}
		})
	}
}

// A beam lifts out whatever it cuts round, and nothing is asked.
func TestABeamNeedsNoPlugs(t *testing.T) {
	p, found := Make(input(t, bench(pad(rect(20, 20, 40, 30))), "bench-laser"))
	require.False(t, found.Failed(), "%v", found)
	assert.Zero(t, p.Trays[0].Sheets[0].Plugs())
	assert.True(t, p.Trays[0].Sheets[0].Cuts[0].Through)
	assert.Equal(t, "plug", p.Trays[0].Pockets[0].Waste)
}

// A drawing cannot tell a machine to leave a skin, and who asks for a plug is told.
func TestADrawingHasNoPlugs(t *testing.T) {
	in := input(t, bench(pad(with(rect(20, 20, 40, 30), waste(job.PlugWaste)))), "bench-router")
	in.Machine.Controller.Class = profiles.Drawing
	p, found := Make(in)
	assert.Zero(t, p.Trays[0].Sheets[0].Plugs())
	assert.Contains(t, only(t, found, "no-plug").Message, "a drawing cannot tell a machine to leave a skin")
}

// The groove is a kerf wide and ends on the skin; the plug is what is left: areas by formula,
// corners of 2 mm outside, sharper by a kerf inside.
func TestGrooveOfAPlug(t *testing.T) {
	p, found := make1(t, bench(pad(rect(20, 20, 40, 30))))
	require.False(t, found.Failed(), "%v", found)
	s := p.Trays[0].Sheets[0]
	c, kerf, skin := s.Cuts[0], s.Cuts[0].Recipes[0].KerfMM.Value, s.Cuts[0].Recipes[0].SkinMM.Value
	require.True(t, c.Plug)
	assert.False(t, c.Through)
	assert.InDelta(t, 25.4-skin, c.DepthMM, 1e-9)
	assert.InDelta(t, skin, s.PlugSkinMM(), 1e-9)
	assert.InDelta(t, c.DepthMM, c.Passes[len(c.Passes)-1].ToMM, 1e-9)
	const cornerAway = 4 - math.Pi // of a square of the corner's radius, at four corners
	hole, plug := 40*30-cornerAway*2*2, (40-2*kerf)*(30-2*kerf)
	assert.InDelta(t, hole-plug, c.Shape.Area(), 0.01)
	assert.InDelta(t, 20+kerf/2, c.Along.Bounds().Min.X, 1e-6)
	assert.Equal(t, inch, p.Trays[0].Pockets[0].Depth, "the pocket itself, once the plug is out")
}
