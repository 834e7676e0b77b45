package kerf

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
)

// A blade takes nothing away: no kerf is one, and so is one below 0 by less than the blade's thickness.
// What is saved of it is the least that a recipe takes, and holds all of what was measured.
func TestKerfOfABladeMayBeNone(t *testing.T) {
	table := func(machine string, kerf float64) string {
		text := "foam,thickness,machine,axis,size,hole,plug\n"
		for i, size := range []float64{20, 40, 60, 20, 40, 60} {
			off := 0.02 * float64(i%2)
			text += fmt.Sprintf("pe-30,6,%s,%c,%g,%.2f,%.2f\n", machine, "xxxyyy"[i], size, size+kerf+off, size-kerf+off)
		}
		return text
	}
	for _, machine := range []string{"bench-knife", "bench-drag-knife"} {
		for kerf, want := range map[float64]struct {
			rule     string
			severity finding.Severity
		}{0: {"no-kerf", finding.Note}, -0.1: {"springs-back", finding.Warning}} {
			fits, found := analyse(t, table(machine, kerf))
			require.False(t, found.Failed(), "%v", found)
			list := of(found, want.rule)
			require.Len(t, list, 1, "%v", found)
			assert.Equal(t, want.severity, list[0].Severity)
			r := fits[0].measured("")
			k, off := fits[0].KerfMM, r.KerfIntervalMM.Value
			assert.InDelta(t, kerf, k.Value, 1e-9)
			assert.Equal(t, 0.01, r.KerfMM.Value)
			assert.LessOrEqual(t, 0.01-off, k.Value-k.HalfWidth+1e-9)
			files, _ := Profiles(fits, nil, "")
			require.NoError(t, catalog(t).Add(fstest.MapFS{"k.yaml": {Data: files[0].Data}}), "a recipe that can be read")
		}
		_, found := analyse(t, table(machine, -0.7))
		require.NotEmpty(t, of(found, "plug-larger-than-hole"), "thicker than the blade: no foam comes back so far")
		assert.Contains(t, of(found, "plug-larger-than-hole")[0].Hint, "--drop 2")
		fits, found := analyse(t, table(machine, 0.2))
		require.Empty(t, append(of(found, "no-kerf"), of(found, "springs-back")...))
		assert.InDelta(t, 0.2, fits[0].measured("").KerfMM.Value, 1e-9)
	}
	for _, machine := range []string{"bench-laser", "bench-hotwire"} {
		_, found := analyse(t, table(machine, 0))
		assert.NotEmpty(t, of(found, "plug-larger-than-hole"), "a beam and a wire take foam away")
	}
}
