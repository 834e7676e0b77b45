package job_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

// How fingers are to get in is what the pocket says itself, in whatever order, and else what its tray says.
func TestAccessOfAPocket(t *testing.T) {
	for _, c := range []struct {
		tray, pocket string
		want         job.Access
		notch        job.Side
		told         string
	}{
		{"", "notch: e, access: none", job.NoAccess, job.East, ""},
		{"", "access: none, notch: e", job.NoAccess, job.East, ""},
		{"access: lift, ", "notch: e", job.AnyAccess, job.East, ""},
		{"notch: e, ", "access: none", job.NoAccess, 0, ""},
		{"", "access: lift, proud: 4", job.LiftAccess, 0, ""},
		{"access: lift, ", "proud: 4", job.LiftAccess, 0, ""},
		{"", "access: none, proud: 4", job.NoAccess, 0, ""}, // as an arrangement may have it
		{"proud: 4, ", "access: gap", job.GapAccess, 0, ""},
		{"", "proud: 4", job.AnyAccess, 0, "proud-without-lift"},
		{"", "notch: e, proud: 4", job.AnyAccess, job.East, "proud-without-lift"},
	} {
		text := "units: mm\ntrays:\n  - {id: a, size: [100, 80], layers: [{foam: pe-30, thickness: 30}], " + c.tray + "pockets: [{at: [20, 20], round: 20, " + c.pocket + "}]}\n"
		j, found, err := job.Load(folder("job.yaml", text), "job.yaml")
		require.NoError(t, err, text)
		require.False(t, found.Failed(), "%v", found)
		p := j.Trays[0].Pockets[0]
		assert.Equal(t, c.want, p.Access, text)
		assert.Equal(t, c.notch, p.Notch, text)
		told := ""
		for _, f := range found {
			told += f.Rule
		}
		assert.Equal(t, c.told, told, text)
	}
}
