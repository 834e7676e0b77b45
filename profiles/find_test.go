package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name that nobody knows is an input that cannot be read, and the nearest is
// offered only where it is near (contract: an unknown machine, foam or file).
func TestFind(t *testing.T) {
	c := shippedCatalog(t)
	m, unknown := c.FindMachine("bench-router", "")
	assert.Empty(t, unknown)
	assert.Equal(t, "bench-router", m.ID)
	f, unknown := c.FindFoam("pe-30", "")
	assert.Empty(t, unknown)
	assert.Equal(t, "pe-30", f.ID)

	_, unknown = c.FindMachine("bench-ruoter", "job.yaml:3:10")
	require.Len(t, unknown, 1)
	assert.True(t, unknown.Unread())
	assert.EqualError(t, unknown, "error: job.yaml:3:10: there is no machine \"bench-ruoter\"\n"+
		"hint: did you mean bench-router? `traywright profiles` lists the machines; --profiles adds your own")
	for process, machines := range map[string]string{"knife": "bench-drag-knife or bench-knife", "Hand": "by-hand", "hot-wire": "bench-hotwire"} {
		_, unknown = c.FindMachine(process, "")
		assert.Equal(t, "did you mean "+machines+"? `traywright profiles` lists the machines; --profiles adds your own", unknown[0].Hint)
	}
	for name, hint := range map[string]string{
		"pe30": "did you mean pe-30? `traywright", "ep-45": "did you mean pe-45? `traywright", "PE-30": "did you mean pe-30?", "granite": "`traywright profiles` lists the foams",
	} {
		_, unknown = c.FindFoam(name, "--foam")
		require.Len(t, unknown, 1, name)
		assert.True(t, unknown.Unread(), name)
		assert.Equal(t, "unknown-foam", unknown[0].Rule)
		assert.Equal(t, hint, unknown[0].Hint[:len(hint)])
	}
}
