package cam

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/proof"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Whatever machine: the air cut is made, passes the dry run, stays within the travel and
// at or above Z zero; nothing is on in the first program, and nothing is removed.
func TestMeetAnyMachine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := profiles.Shipped()
		require.NoError(t, err)
		o := profiles.Own{ID: "own", Process: profiles.Router, MaxFeedMMPerMin: rapid.Float64Range(100, 20000).Draw(t, "feed"),
			MaxRPM: rapid.Float64Range(1001, 60000).Draw(t, "rpm"), ZZero: rapid.SampledFrom([]profiles.ZZero{profiles.ZTop, profiles.ZBed}).Draw(t, "zero"),
			Tools: []profiles.OwnTool{{DiameterMM: 3, ReachMM: 20, Flutes: 1}}}
		for i, least := range []float64{50, 50, 10} {
			o.TravelMM[i] = rapid.Float64Range(least, 2000).Draw(t, "travel")
		}
		switch o.Process = rapid.SampledFrom([]profiles.Process{profiles.Router, profiles.Laser, profiles.Knife, profiles.HotWire}).Draw(t, "process"); o.Process {
		case profiles.Laser:
			o.MaxRPM, o.PowerW, o.WavelengthNM, o.PowerScale, o.ZZero = 0, 40, 10600, 255, profiles.ZTop // a laser's alone
		case profiles.HotWire:
			o.MaxRPM, o.ZZero = 0, profiles.ZTop
		case profiles.Knife:
			o.MaxRPM = 0
		}
		o.Controller = rapid.SampledFrom([]profiles.Class{profiles.PC, profiles.Small, profiles.Printer}).Draw(t, "class")
		require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: c.OwnFile(o)}}))
		m, _ := c.Machine("own")
		if rapid.Bool().Draw(t, "clamps") && o.Process == profiles.Router { // less than half as high as the head goes, so that there is a way over them
			m.Clamps = []profiles.ClampZone{{Name: "front", LengthMM: 40, WidthMM: 40, HeightMM: o.TravelMM[2] * rapid.Float64Range(0.01, 0.45).Draw(t, "height")}}
		}
		r, err := Meet(m, c, units.Millimetre)
		require.NoError(t, err)
		require.False(t, r.Report.Findings.Failed(), "%v", r.Report.Findings)
		for i, run := range r.Report.DryRun {
			assert.True(t, run.OK)
			assert.Zero(t, run.RemovedMM3)
			for axis, most := range o.TravelMM {
				assert.GreaterOrEqual(t, run.MinMM[axis], 0.0)
				assert.LessOrEqual(t, run.MaxMM[axis], most+1e-4)
			}
			if !o.Process.Traits().Upright {
				assert.Greater(t, run.MinMM[2], 2.0, "off the bed")
				room := o.TravelMM[2]
				if o.ZZero == profiles.ZTop {
					room /= 2
				}
				assert.LessOrEqual(t, run.MaxMM[2], (room+run.MinMM[2])/2+1e-4, "half of what is left above stays free")
			}
			assert.True(t, i > 0 || o.Process == profiles.Knife || run.OnSeconds == 0) // of a knife it is the time of its program
		}
		for _, f := range r.Files {
			if strings.HasSuffix(f.Path, "."+m.Controller.Extension) {
				assert.Equal(t, strings.Contains(f.Path, "spindle"), strings.Contains(string(f.Data), "M3"))
				assert.Equal(t, strings.Contains(f.Path, "spindle"), strings.Contains(string(f.Data), "\nS") || strings.Contains(string(f.Data), " S"))
				header := proof.Header(f.Data)
				assert.Equal(t, "own", header["machine"])
			}
		}
		assert.Len(t, r.Report.DryRun, map[bool]int{true: 2, false: 1}[o.Process == profiles.Router])
	})
}
