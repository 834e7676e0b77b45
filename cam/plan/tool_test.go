package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/profiles"
)

// Tools as they ship: flat-3 has edges of 22 mm and stands 27 mm out of its collet, flat-6
// 52 and 55. Through 1 in of foam with 0.8 mm below it is 26.2 mm.
func TestCutsAreHeldAgainstTheToolsLength(t *testing.T) {
	catalog, err := shipped()
	require.NoError(t, err)
	run := func(thicknessMM float64, tool string, change func([]profiles.Tool)) (*Plan, string, string, string) {
		tray := pad(rect(20, 20, 30, 20))
		tray.Layers[0].Thickness, tray.Tool = mm(thicknessMM), tool
		tray.Layers = tray.Layers[:1]
		tray.Pockets[0].Through = true
		in := input(t, bench(tray), "bench-router")
		in.Machine, _ = catalog.Machine("bench-router")
		if change != nil {
			change(in.Machine.Tools)
		}
		p, found := Make(in)
		message, hint := "", ""
		for _, f := range found {
			if f.Rule == "beyond-flute" || f.Rule == "tool-too-short" {
				message, hint = f.Message, f.Hint
			}
		}
		return p, rules(found), message, hint
	}
	toolOf := func(p *Plan) string { return p.Trays[0].Sheets[0].Cuts[0].Tool.ID }

	p, found, _, _ := run(20, "", nil)
	assert.Equal(t, "flat-3", toolOf(p))
	assert.NotContains(t, found, "warning:beyond-flute")
	p, found, _, _ = run(25.4, "", nil) // flat-3 would reach, but with its shank in the foam
	assert.Equal(t, "flat-6", toolOf(p))
	assert.NotContains(t, found, "warning:beyond-flute")

	p, found, message, hint := run(25.4, "flat-3", nil)
	assert.Equal(t, "flat-3", toolOf(p))
	assert.Contains(t, found, "warning:beyond-flute")
	assert.Contains(t, message, "is cut 24.1 mm deep, and the edges of flat-3 are 22 mm long")
	assert.Equal(t, "write `tool: flat-6`, which goes so deep, or use thinner layers or a shallower pocket", hint)

	_, found, message, hint = run(30, "flat-3", nil)
	assert.Contains(t, found, "error:tool-too-short")
	assert.Equal(t, "is cut 28.7 mm deep, and the tool flat-3 reaches 27 mm: there its collet meets the foam", message)
	assert.Equal(t, "write `tool: flat-6`, which goes so deep, or use a layer of at most 25.4 mm", hint)

	_, found, message, hint = run(25.4, "flat-3", func(tools []profiles.Tool) { tools[0].ShankMM.Value = 6 })
	assert.Contains(t, found, "error:tool-too-short")
	assert.Equal(t, "is cut 24.1 mm deep, and the tool flat-3 reaches 22 mm: its shank is wider than its edges, and would rub the walls above them", message)
	assert.Equal(t, "write `tool: flat-6`, which goes so deep, or use a layer of at most 20 mm", hint)

	p, found, _, hint = run(25.4, "", func(tools []profiles.Tool) { tools[1].FluteMM.Value = 20 }) // no tool's edges are long enough
	assert.Equal(t, "flat-3", toolOf(p))
	assert.Contains(t, found, "warning:beyond-flute")
	assert.Equal(t, "use thinner layers or a shallower pocket, or take a cutter with longer edges", hint)
}

// A groove round a plug ends where its skin begins, 1.3 mm above the underside, and milling 0.8 mm below it: the warning has
// the depth that is cut (arithmetic).
func TestTheFluteIsHeldAgainstWhatIsCut(t *testing.T) {
	catalog, err := shipped()
	require.NoError(t, err)
	for deep, pockets := range map[string][]job.Pocket{
		"24.1 mm": {rect(20, 20, 40, 30)}, "26.2 mm": {rect(20, 20, 40, 12)},
	} {
		tray := pad(pockets...)
		tray.Layers, tray.Tool = tray.Layers[:1], "flat-3"
		in := input(t, bench(tray), "bench-router")
		in.Machine, _ = catalog.Machine("bench-router")
		p, found := Make(in)
		assert.Equal(t, deep == "24.1 mm", p.Trays[0].Sheets[0].Plugs() == 1)
		var told []string
		for _, f := range found {
			if f.Rule == "beyond-flute" && strings.Contains(f.Where, "pocket") {
				told = append(told, f.Message)
			}
		}
		if assert.Len(t, told, 1) {
			assert.Contains(t, told[0], "is cut "+deep+" deep, and the edges of flat-3 are 22 mm long")
		}
	}
}

// Less than half of what the chart has rubs, more than twice tears: see profiles.ChipsOf.
func TestChipsThatAreFarOffAreTold(t *testing.T) {
	for _, c := range []struct {
		feed float64
		want string
	}{{1800, ""}, {300, "the edges rub more than they cut, and the foam gets hot"}, {6000, "foam tears, and a thin cutter bends"}} {
		in := input(t, bench(pad(rect(20, 20, 30, 20), rect(60, 20, 30, 20))), "bench-router")
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.FeedMMPerMin.Value = c.feed
			return r, ok
		}
		_, found := Make(in)
		var told []string
		for _, f := range found {
			if f.Rule == "chip-load" && f.Where == "recipe for pe-30 on bench-router with flat-3" {
				told = append(told, f.Message)
			}
		}
		if c.want == "" {
			assert.Empty(t, told)
			continue
		}
		require.Len(t, told, 1)
		assert.Contains(t, told[0], c.want)
	}
}
