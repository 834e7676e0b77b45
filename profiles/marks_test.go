package profiles

import (
	"cmp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every foam that ships says whether its cells are open; polyurethane and
// melamine foams are (from memory).
func TestCells(t *testing.T) {
	for _, f := range shippedCatalog(t).Foams() {
		want := "closed"
		if f.Kind == "pu" || f.Kind == "melamine" {
			want = OpenCells
		}
		assert.Equal(t, want, f.Cells.Value, f.ID)
		assert.NotEmpty(t, f.Cells.Source, f.ID)
	}
	c, err := with(t, foam("kind: pe,", "kind: pe, cells: open,"))
	require.NoError(t, err)
	f, _ := c.Foam("x")
	assert.Equal(t, Word{OpenCells, "s"}, f.Cells)
	for _, bad := range []struct{ cells, want string }{
		{"half", "foams[1].cells"}, {"{value: open}", "source is missing"}, {"[open]", "foams[1].cells"},
	} {
		_, err := with(t, foam("kind: pe,", "kind: pe, cells: "+bad.cells+","))
		assert.ErrorContains(t, err, bad.want)
	}
}

// A mark is far from cutting through: at most half a step down, at most half
// the power.
func TestMarksStayMarks(t *testing.T) {
	c := shippedCatalog(t)
	for _, r := range c.Recipes() {
		m, _ := c.Machine(r.Machine)
		if m.Process == Laser {
			assert.Positive(t, r.MarkShare.Value)
			assert.LessOrEqual(t, r.MarkShare.Value, 0.5)
			continue
		}
		if tool, _ := m.Tool(r.Tool); m.Process == Hand || m.Process == HotWire || tool.Turned() { // marks are drawn with a pen
			assert.Zero(t, r.MarkDepthMM.Value+r.MarkShare.Value)
			continue
		}
		assert.Positive(t, r.MarkDepthMM.Value)
		assert.LessOrEqual(t, r.MarkDepthMM.Value, cmp.Or(r.StepdownMM.Value, r.MMPerPass.Value)/2, keyOf(r).String())
	}
	_, err := with(t, recipe("ramp_degrees: 5", "ramp_degrees: 5, mark_share: 0.6"))
	assert.ErrorContains(t, err, "mark_share")
}
