package profiles

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// limitedRecipe is a whole recipe of the bench router with three of its numbers.
func limitedRecipe(feed, plunge, rpm float64) fstest.MapFS {
	return fstest.MapFS{"mine.yaml": {Data: fmt.Appendf(nil, `recipes:
  - {machine: bench-router, tool: flat-3, source: mine, foams: {pe-30: {kerf_mm: 3.175, feed_mm_per_min: %v, plunge_mm_per_min: %v, rpm: %v,
      stepdown_mm: 8, stepover: 0.5, finish_mm: 0.2, breakthrough_mm: 1, skin_mm: 0.8, ramp_degrees: 10, corner_radius_mm: 0}}}
`, feed, plunge, rpm)}}
}

// A recipe may ask for all that its machine can, and for nothing beyond: the
// shipped router goes 3000 mm/min and 24000 rpm.
func TestRecipeWithinTheMachine(t *testing.T) {
	require.NoError(t, shippedCatalog(t).Add(limitedRecipe(3000, 3000, 24000)))
	for _, c := range []struct {
		feed, plunge, rpm float64
		says              string
	}{
		{3000.5, 400, 18000, "feed_mm_per_min of 3000.5 is more than the machine's 3000"},
		{1800, 3000.5, 18000, "plunge_mm_per_min of 3000.5 is more than the machine's 3000"},
		{1800, 400, 24000.5, "rpm of 24000.5 is more than the machine's 24000"},
	} {
		assert.ErrorContains(t, shippedCatalog(t).Add(limitedRecipe(c.feed, c.plunge, c.rpm)), c.says)
	}
}

// A kerf is the work of a cutter within 1 mm of its diameter, and from half of it to twice, all ends
// included (a bound against slips, judged, no source).
func TestKerfOfCutterAtItsEnds(t *testing.T) {
	for kerf, want := range map[float64]bool{2: true, 4: true, 1.9999: false, 4.0001: false, 3: true} {
		assert.Equal(t, want, KerfOfCutter(kerf, 3), kerf)
	}
	for kerf, want := range map[float64]bool{0.4: true, 1.6: true, 0.3999: false, 1.6001: false} {
		assert.Equal(t, want, KerfOfCutter(kerf, 0.8), kerf)
	}
}
