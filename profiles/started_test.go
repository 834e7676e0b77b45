package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a folder lays over a recipe, its machine or its foam does not move the start.
func TestTheStartIsWhatShips(t *testing.T) {
	c := shippedCatalog(t)
	pe, _ := c.Foam("pe-30")
	before, on, ok := c.Started(pe, Laser)
	require.True(t, ok)
	assert.Equal(t, "pe-30", before.Foam)
	assert.Equal(t, "bench-laser", on.ID)
	require.NoError(t, c.Add(folderOf(`recipes:
- {machine: bench-laser, tool: beam, source: mine, common: {kerf_mm: 0.4, feed_mm_per_min: 1, power_percent: 100, passes: 99, focus_step_mm: 0, lead_in_mm: 0, corner_radius_mm: 0, taper_degrees: 0}, foams: {pe-30: {}}}
`)))
	now, _ := c.Recipe("pe-30", "bench-laser", "beam")
	assert.Equal(t, 1.0, now.FeedMMPerMin.Value)
	after, on, ok := c.Started(pe, Laser)
	assert.True(t, ok)
	assert.Equal(t, before, after)
	assert.Equal(t, 40.0, on.PowerW.Value)
}

func TestNoStart(t *testing.T) {
	c := shippedCatalog(t)
	pvc, _ := c.Foam("pvc-60")
	_, _, ok := c.Started(pvc, Laser)
	assert.False(t, ok)
	_, _, ok = (&Catalog{}).Started(pvc, Laser)
	assert.False(t, ok)
	assert.Equal(t, 0.0, Recipe{}.PassJPerMM(Machine{}))
}
