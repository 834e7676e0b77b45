package profiles

import (
	"encoding/json"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const measuredRow = `
measured:
  - machine: bench-laser
    tool: beam
    source: my coupon
    foams:
      pe-30: {kerf_mm: 0.37, kerf_interval_mm: 0.02, feed_mm_per_min: 900, power_percent: 45, passes: 2, focus_step_mm: 5, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0.2}
scales:
  - {machine: bench-laser, scale_x: {value: 0.997, source: my coupon}}
`

// A measurement lies over a person's own row of the same folder, and over the
// machine without a copy of it.
func TestMeasuredLiesOverRecipes(t *testing.T) {
	c := shippedCatalog(t)
	before, _ := c.Machine("bench-laser")
	own := "recipes:\n  - {machine: bench-laser, tool: beam, source: mine, foams: {pe-30: {kerf_mm: 0.5, feed_mm_per_min: 900, power_percent: 45, passes: 2, focus_step_mm: 5, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0}}}\n"
	require.NoError(t, c.Add(fstest.MapFS{"z-mine.yaml": {Data: []byte(own)}, "kerf.yaml": {Data: []byte(measuredRow)}}))
	r, ok := c.Recipe("pe-30", "bench-laser", "beam")
	require.True(t, ok)
	assert.Equal(t, Number{0.37, "my coupon"}, r.KerfMM)
	assert.Equal(t, Number{0.02, "my coupon"}, r.KerfIntervalMM)
	assert.True(t, r.Measured())
	m, _ := c.Machine("bench-laser")
	x, y := m.Scale()
	assert.Equal(t, []float64{0.997, 1}, []float64{x, y})
	before.ScaleX = m.ScaleX
	assert.Equal(t, before, m, "nothing else of the machine has changed")

	unmeasured, _ := shippedCatalog(t).Recipe("pe-30", "bench-laser", "beam")
	assert.False(t, unmeasured.Measured())
}

// What nobody has measured is not in the JSON either.
func TestNothingMeasuredIsNotTold(t *testing.T) {
	m, _ := shippedCatalog(t).Machine("bench-laser")
	r, _ := shippedCatalog(t).Recipe("pe-30", "bench-laser", "beam")
	for _, v := range []any{m, r} {
		text, err := json.Marshal(v)
		require.NoError(t, err)
		assert.NotContains(t, string(text), "scale_x")
		assert.NotContains(t, string(text), "interval")
	}
	x, y := Machine{}.Scale()
	assert.Equal(t, []float64{1, 1}, []float64{x, y})
}

func TestBadMeasurements(t *testing.T) {
	for _, c := range []struct{ file, want string }{
		{"scales:\n  - {machine: bench-lasre, scale_x: {value: 1, source: s}}", "there is no machine \"bench-lasre\"\nhint: did you mean bench-laser?"},
		{"scales:\n  - {machine: bench-laser, scale_x: 0.997}", "has no source"},
		{"scales:\n  - {machine: bench-laser}", "neither scale_x nor scale_y"},
		{"scales:\n  - {machine: bench-laser, scale_x: {value: 0.5, source: s}}", "0.5 is not from 0.9 to 1.1"},
		{"scales:\n  - {machine: bench-laser, scale_x: {value: 1, source: s}}\n  - {machine: bench-laser, scale_y: {value: 1, source: s}}", "is there twice"},
		{measuredRow + "  - {machine: bench-laser, scale_y: {value: 1, source: s}}", "is there twice"},
		{"measured:\n  - {machine: bench-laser, tool: beam, source: s, foams: {pe-30: {kerf_mm: 0.4}}}", "feed_mm_per_min is missing"},
		{"scales:\n  - {machine: bench-laser, rests_on: [{coupon: c, axis: z, scale: 1, standard_error: 0.001, deviation_mm: 0.1, degrees_of_freedom: 6, lengths: 8}]}", "z"},
		{"scales:\n  - {machine: bench-laser, rests_on: [{coupon: c, axis: x, scale: 1, deviation_mm: 0.1, degrees_of_freedom: 6, lengths: 8}]}", "standard_error"},
		{"scales:\n  - {machine: bench-laser, rests_on: [{coupon: c, axis: x, scale: 1.2, standard_error: 0.001, deviation_mm: 0.1, degrees_of_freedom: 6, lengths: 8}]}", "1.2 is not from 0.9 to 1.1"},
		{"scales:\n  - {machine: bench-laser, rests_on: []}", "neither scale_x nor scale_y"},
		{"measured:\n  - {machine: bench-laser, tool: beam, source: s, foams: {pe-99: {kerf_mm: 0.4}}}", "there is no foam \"pe-99\""},
	} {
		assert.ErrorContains(t, shippedCatalog(t).Add(fstest.MapFS{"mine.yaml": {Data: []byte(c.file)}}), c.want)
	}
}

// What a scale rests on comes with the machine, also where it is not applied.
func TestScaleReadings(t *testing.T) {
	c := shippedCatalog(t)
	require.NoError(t, c.Add(fstest.MapFS{"s.yaml": {Data: []byte("scales:\n  - {machine: bench-laser, rests_on: [{coupon: mine, axis: y, scale: 1.001, standard_error: 0.0005, deviation_mm: 0.04, degrees_of_freedom: 6, lengths: 8}]}\n")}}))
	m, _ := c.Machine("bench-laser")
	assert.Equal(t, []ScaleReading{{"mine", "y", 1.001, 0.0005, 0.04, 6, 8}}, m.ScaleReadings)
	x, y := m.Scale()
	assert.Equal(t, []float64{1, 1}, []float64{x, y})
	text, err := json.Marshal(m)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"scale_readings":[{"coupon":"mine","axis":"y"`)
}

// One flute may lie on either side of the spindle's axis; of several the outer one cuts
// (geometry). A cutter whose flutes nobody has counted is taken for one with a single one.
func TestRunout(t *testing.T) {
	for flutes, narrowest := range map[int]float64{0: -0.05, 1: -0.05, 2: 0, 3: 0} {
		low, high := Tool{Flutes: flutes, RunoutMM: Number{Value: 0.05}}.Runout()
		assert.Equal(t, narrowest, low, flutes)
		assert.Equal(t, 0.05, high, flutes)
	}
}
