package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
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

// What the hints of plugs that cannot be offer is followed to the letter: `waste: clear` ends it everywhere; without its
// depth a pocket ends with its layer and gets its plug; made as large as is said it gets one, and 0.2 mm smaller it does not. By
// hand: 12 mm and twice 3.175 are 18.35; 40 mm down flat-6 reaches, 16 mm and twice 6 are 28, and just as wide is not enough.
func TestHintsOfPlugsHold(t *testing.T) {
	asked := func(p job.Pocket) job.Pocket { return with(p, waste(job.PlugWaste)) }
	for _, c := range []struct {
		name   string
		pocket job.Pocket
		block  bool
		thick  units.Length
		says   string
		grow   func(p *job.Pocket, by units.Length)
	}{
		{name: "blind", pocket: with(rect(20, 20, 40, 30), depth(12)), thick: inch, says: "or take its `depth` out: it then ends where its layer does, 25.4 mm down"},
		{name: "blind in a block", pocket: with(rect(20, 20, 40, 30), depth(30)), block: true, thick: inch, says: "a glued block has no plugs"},
		{name: "a block", pocket: with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Through = true }), block: true, thick: inch},
		{name: "parts too thin", pocket: with(rect(20, 20, 25, 25), func(p *job.Pocket) { p.Notch, p.NotchWidth, p.NotchReach = job.North, mm(9), mm(12) }), thick: inch},
		{name: "narrow", pocket: rect(20, 20, 60, 10), thick: inch, says: "make it at least 18.4 mm in length and width", grow: func(p *job.Pocket, by units.Length) { p.Width = by }},
		{name: "narrow for its height", pocket: rect(20, 20, 60, 14), thick: mm(40), says: "make it at least 28.1 mm in length and width", grow: func(p *job.Pocket, by units.Length) { p.Width = by }},
		{name: "a small square", pocket: rect(20, 20, 15, 15), thick: mm(40), says: "make it at least 28.1 mm in length and width", grow: func(p *job.Pocket, by units.Length) { p.Width, p.Length = by, by }},
		{name: "a small round one", pocket: round(20, 20, 16), thick: inch, says: "make it at least 18.4 mm in length and width", grow: func(p *job.Pocket, by units.Length) { p.Diameter = by }},
		{name: "a slot", pocket: with(rect(20, 20, 60, 13), func(p *job.Pocket) { p.Shape, p.Corner = job.SlotShape, 0 }), thick: mm(40), says: "make it at least 28.1 mm in length and width", grow: func(p *job.Pocket, by units.Length) { p.Width = by }},
	} {
		t.Run(c.name, func(t *testing.T) {
			plugs := func(p job.Pocket) (int, string) {
				tray := pad(p)
				tray.Layers[0].Thickness = c.thick
				if c.block {
					tray.Cut = job.Block
				}
				made, found := make1(t, bench(tray))
				hint := ""
				for _, f := range found {
					if f.Rule == "no-plug" || f.Rule == "blind-plug" {
						hint = f.Hint
					}
				}
				if len(made.Trays[0].Sheets) == 0 {
					return 0, hint
				}
				return made.Trays[0].Sheets[0].Plugs(), hint
			}
			_, hint := plugs(asked(c.pocket))
			assert.Contains(t, hint, "write `waste: clear`")
			assert.Contains(t, hint, c.says)
			if c.says == "" {
				assert.Regexp(t, "write `waste: clear`$", hint)
			}
			_, cleared := plugs(with(c.pocket, waste(job.ClearWaste)))
			assert.Empty(t, cleared)
			switch {
			case c.grow != nil:
				said := lengthsIn(t, hint[strings.Index(hint, "make it"):])[0]
				n, still := plugs(with(asked(c.pocket), func(p *job.Pocket) { c.grow(p, mm(said)) }))
				assert.Equal(t, 1, n, "%s, followed: %s", hint, still)
				n, _ = plugs(with(asked(c.pocket), func(p *job.Pocket) { c.grow(p, mm(said-0.2)) }))
				assert.Zero(t, n)
			case strings.Contains(hint, "take its `depth` out"):
				n, still := plugs(with(asked(c.pocket), func(p *job.Pocket) { p.Depth = 0 }))
				assert.Equal(t, 1, n, still)
			}
		})
	}
}

// A recipe that leaves no skin is named, and with a skin it has the plug; so has a pocket that nothing shares foam with.
func TestHintsOfPlugsInTheWayHold(t *testing.T) {
	wanted := with(rect(20, 20, 40, 30), waste(job.PlugWaste))
	run := func(skin, x float64) (int, finding.List) {
		in := input(t, bench(pad(wanted, with(rect(x, 25, 20, 20), depth(9)))), "bench-router")
		known := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := known(foam, tool)
			r.SkinMM.Value, r.TabCount.Value, r.TabWidthMM.Value, r.TabHeightMM.Value = skin, 4, 8, 3
			return r, ok
		}
		p, found := Make(in)
		return p.Trays[0].Sheets[0].Plugs(), found
	}
	n, found := run(0, 80)
	assert.Zero(t, n)
	assert.Equal(t, "write `waste: clear`, or a `skin_mm` in its recipe, thinner than the layer", only(t, found, "no-plug").Hint)
	n, found = run(0.6, 30)
	assert.Zero(t, n)
	assert.Equal(t, "write `waste: clear`, or move what shares its foam off it", only(t, found, "no-plug").Hint)
	n, found = run(0.6, 80)
	assert.Equal(t, 1, n, "%v", found)
}
