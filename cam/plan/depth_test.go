package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

// sheet is a job of one layer on the laser, with a pocket that goes through.
func sheet(foam string, thickness units.Length) *job.Job {
	hole := with(rect(20, 20, 40, 30), func(p *job.Pocket) { p.Depth, p.Through = thickness, true })
	return bench(job.Tray{
		ID: "pad", Length: mm(120), Width: mm(80), Layers: []job.Layer{layer(foam, thickness)}, Wall: mm(6), Edge: mm(10), Fit: "snug", Pockets: []job.Pocket{hole},
	})
}

// A beam's passes follow from the layer's thickness: 15 mm a pass of pe-30, 7 of
// eva-90, as they ship (arithmetic).
func TestPassesOfALayer(t *testing.T) {
	for _, c := range []struct {
		foam   string
		thick  float64
		passes int
	}{{"pe-30", 6.35, 1}, {"pe-30", 12.7, 1}, {"pe-30", 15, 1}, {"pe-30", 15.1, 2}, {"pe-30", 25.4, 2}, {"eva-90", 6.35, 1}, {"eva-90", 12.7, 2}} {
		p, found := Make(input(t, sheet(c.foam, mm(c.thick)), "bench-laser"))
		require.False(t, found.Failed(), "%v", found)
		s := p.Trays[0].Sheets[0]
		assert.Len(t, s.Cuts[0].Passes, c.passes, "%+v", c)
		assert.Len(t, s.Edge.Passes, c.passes, "%+v", c)
		assert.Equal(t, float64(c.passes), s.Edge.Recipes[0].Passes.Value)
	}
}

// Beyond what a recipe goes through it is refused, once, and the hint's own
// thickness is taken.
func TestTooThick(t *testing.T) {
	for foam, most := range map[string]float64{"pe-30": 25.4, "pe-45": 25.4, "eva-90": 12.7} {
		_, found := Make(input(t, sheet(foam, 2*mm(most)), "bench-laser"))
		f := only(t, found, "too-thick")
		assert.Contains(t, f.Message, "goes through "+mm(most).Format(units.Millimetre)+" at most")
		assert.Equal(t, "use layers of at most "+mm(most).Format(units.Millimetre)+", or choose another machine", f.Hint)
		_, found = Make(input(t, sheet(foam, mm(most)), "bench-laser"))
		assert.False(t, found.Failed(), "%v", found)
		_, found = Make(input(t, sheet(foam, mm(most)+100), "bench-laser"))
		only(t, found, "too-thick")
	}
}

// A recipe that only says passes makes them whatever the layer, and that is told.
func TestPassesAlone(t *testing.T) {
	in := input(t, sheet("pe-30", 2*inch), "bench-laser")
	whole := in.Recipe
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
		r, ok := whole(foam, tool)
		r.MMPerPass, r.MostMM, r.Passes.Value, r.FocusStepMM.Value = profiles.Number{}, profiles.Number{}, 3, 3
		return r, ok
	}
	p, found := Make(in)
	require.False(t, found.Failed(), "%v", found)
	f := only(t, found, "depth-unknown")
	assert.Equal(t, "recipe for pe-30 on bench-laser with beam", f.Where)
	assert.Contains(t, f.Hint, "write mm_per_pass")
	assert.Len(t, p.Trays[0].Sheets[0].Edge.Passes, 3)
}
