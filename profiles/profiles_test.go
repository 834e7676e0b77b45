package profiles

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func shippedCatalog(t *testing.T) *Catalog {
	t.Helper()
	c, err := Shipped()
	require.NoError(t, err)
	return c
}

func TestShippedHasWhatTheDocumentsName(t *testing.T) {
	c := shippedCatalog(t)
	for _, id := range []string{"pe-30", "pe-45", "xpe-33", "eva-90", "pu-30", "xps-32", "eps-20", "epp-30", "pvc-60", "cr-150", "melamine-10"} {
		_, ok := c.Foam(id)
		assert.True(t, ok, id)
	}
	for _, id := range []string{"bench-router", "bench-laser", "bench-knife", "bench-hotwire"} {
		_, ok := c.Machine(id)
		assert.True(t, ok, id)
	}
}

func TestBenchRouter(t *testing.T) {
	m, _ := shippedCatalog(t).Machine("bench-router")
	assert.Equal(t, []float64{400, 300, 80}, []float64{m.TravelMM[0].Value, m.TravelMM[1].Value, m.TravelMM[2].Value})
	require.Len(t, m.Tools, 2)
	assert.Equal(t, 3.175, m.Tools[0].DiameterMM.Value)
	assert.Equal(t, 38.0, m.Tools[0].ReachMM.Value)
	assert.Equal(t, 6.0, m.Tools[1].DiameterMM.Value)
	assert.Equal(t, 60.0, m.Tools[1].ReachMM.Value)
}

// A recipe exists wherever the table lets the router or the laser cut, and
// nowhere else.
func TestRecipesFollowTheSafetyTable(t *testing.T) {
	c := shippedCatalog(t)
	for _, m := range c.Machines() {
		if m.Process != Router && m.Process != Laser {
			continue
		}
		for _, f := range c.Foams() {
			for _, tool := range m.Tools {
				_, ok := c.Recipe(f.ID, m.ID, tool.ID)
				assert.Equal(t, c.Safety(f.Kind, m.Process).Answer != Refused, ok, "%s on %s with %s", f.ID, m.ID, tool.ID)
			}
		}
	}
}

// Within one kind a denser foam takes no deeper a step.
func TestStepdownFollowsDensityWithinAKind(t *testing.T) {
	c := shippedCatalog(t)
	for _, a := range c.Recipes() {
		for _, b := range c.Recipes() {
			fa, _ := c.Foam(a.Foam)
			fb, _ := c.Foam(b.Foam)
			if a.Machine == b.Machine && a.Tool == b.Tool && fa.Kind == fb.Kind && fa.DensityKgM3.Value < fb.DensityKgM3.Value {
				assert.GreaterOrEqual(t, a.StepdownMM.Value, b.StepdownMM.Value, "%s and %s", a.Foam, b.Foam)
			}
		}
	}
}

func TestBadProfiles(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"unknown key", "foams: [{id: x, colour: red}]", `x.yaml:1:17: unknown field "colour"`},
		{"no source", "foams: [{id: x, kind: pe, density_kg_m3: 30}]", "density_kg_m3: has no source"},
		{"not a number", "foams: [{id: x, kind: pe, source: s, density_kg_m3: .nan}]", "is not between"},
		{"bad id", "foams: [{id: ../x, kind: pe}]", "an id is made of"},
		{"bad length", "foams: [{id: x, kind: pe, thicknesses: [1 ell]}]", "there is no unit"},
		{"bad recipe key", "recipes: [{machine: bench-router, tool: flat-3, foams: {pe-30: {stepdwn_mm: 3}}}]", `there is no key "stepdwn_mm"`},
		{"unknown tool", "recipes: [{machine: bench-router, tool: drill, source: s, foams: {pe-30: {kerf_mm: 3}}}]", "has no such tool"},
		{"absurd", "recipes: [{machine: bench-router, tool: flat-3, source: s, foams: {pe-30: {kerf_mm: 1e9}}}]", "kerf_mm: 1e+09 is not between"},
		{"safety", "safety: [{kind: pvc, laser: {answer: allowed, reason: hm}}]", "the safety table cannot be changed"},
		{"not YAML", "foams: [", "x.yaml"},
	}
	for _, c := range cases {
		err := shippedCatalog(t).Add(fstest.MapFS{"x.yaml": {Data: []byte(c.text)}})
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func TestAddReplacesByKey(t *testing.T) {
	c := shippedCatalog(t)
	text := "recipes: [{machine: bench-router, tool: flat-3, source: cut in June, foams: {pe-30: {kerf_mm: 3.3, feed_mm_per_min: 1500," +
		" plunge_mm_per_min: 300, stepdown_mm: 6, stepover: 0.5, rpm: 12000, ramp_degrees: 5}}}]"
	require.NoError(t, c.Add(fstest.MapFS{"mine.yaml": {Data: []byte(text)}}))
	r, ok := c.Recipe("pe-30", "bench-router", "flat-3")
	require.True(t, ok)
	assert.Equal(t, Number{3.3, "cut in June"}, r.KerfMM)
	assert.Equal(t, "cut in June", r.Source)
}

func TestZeroCatalogRefuses(t *testing.T) {
	var c Catalog
	assert.Equal(t, Refused, c.Safety("pe", Knife).Answer)
	_, ok := c.Foam("pe-30")
	assert.False(t, ok)
}

func FuzzAdd(f *testing.F) {
	for _, name := range []string{"foams.yaml", "machines.yaml", "recipes.yaml"} {
		text, err := shipped.ReadFile("data/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := Shipped()
		require.NoError(t, err)
		before := c.Foams()
		if c.Add(fstest.MapFS{"x.yaml": {Data: text}}) != nil {
			assert.Equal(t, before, c.Foams())
		}
	})
}
