package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// A tray is judged with the machine as it is with the tools that cut it: a hot wire that it names,
// its own knife where it or something in it names none or that.
func TestProcessesOfATray(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, known := c.Machine("by-hand")
	require.True(t, known)
	of := func(tray job.Tray) (list []profiles.Process) {
		for _, m := range processesOf(tray, m) {
			list = append(list, m.Process)
		}
		return list
	}
	both := []profiles.Process{profiles.Hand, profiles.HotWire}
	assert.Equal(t, both[:1], of(job.Tray{}))
	assert.Equal(t, both[1:], of(job.Tray{Tool: "bow", Pockets: []job.Pocket{{}}, Labels: []job.Label{{}}}))
	assert.Equal(t, both, of(job.Tray{Pockets: []job.Pocket{{Tool: "bow"}}}), "the outline")
	assert.Equal(t, []profiles.Process{profiles.HotWire, profiles.Hand}, of(job.Tray{Tool: "bow", Pockets: []job.Pocket{{Tool: "knife"}}}))
	assert.Equal(t, both, of(job.Tray{Pockets: []job.Pocket{{Tool: "knife"}, {Tool: "bow"}}}))
}

// Cells under a line are cut, and no others: worked out by hand.
func TestScratch(t *testing.T) {
	f := proof.Field{CellMM: handCellMM, Columns: 4, Rows: 3, DepthMM: make([]float32, 12)}
	scratch(f, geometry.Segment{A: geometry.Point{X: 0.1, Y: 0.3}, B: geometry.Point{X: 0.6, Y: 0.3}}, 5)
	assert.Equal(t, []float32{0, 0, 0, 0, 5, 5, 5, 0, 0, 0, 0, 0}, f.DepthMM)
	rows := rowsOf(geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: 0.2, Y: 0.2}, Max: geometry.Point{X: 0.8, Y: 0.5}}, 0)), f)
	assert.Equal(t, map[int][]float64{1: {0.8, 0.2}}, rows)
	assert.Equal(t, 1, columnOf(f, 0.2))
}
