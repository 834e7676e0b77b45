package arrange

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// twoCases is a job with a case for crabs, one for masts of another height, and a tray of the job for buoys.
func twoCases() *job.Job {
	j := bench(piece("crab", "a", 6, 30, 25, 20, job.Upright), piece("mast", "b", 4, 80, 25, 20, job.Upright), piece("buoy", "c", 3, 20, 20, 20, job.Upright))
	j.Trays = []job.Tray{tray("stores", "buoy")}
	j.Cases = []job.Case{{Name: "Gull", Copies: 1, Inside: inside(3 * inch), Holds: []string{"crab"}}, {Name: "Reef", Copies: 1, Inside: inside(4 * inch), Holds: []string{"mast"}}}
	return j
}

// A case or a tray that alone is new and like one that alone is gone is that one under another name: its pins stay, and
// that is told. Where two may be meant it is not certain, and the pins are told with what to write.
func TestWhatWasRenamedKeepsItsPins(t *testing.T) {
	for name, c := range map[string]struct {
		piece, tray string // whose pocket is pinned, and the tray that it is in then
		rename      func(*job.Job)
		says        string // of what it is taken for; "" where that is not certain
	}{
		"a case":            {"crab", "tern-tray-1", func(j *job.Job) { j.Cases[0].Name = "Tern" }, `case "Tern" is taken for Gull`},
		"both, unlike":      {"crab", "tern-tray-1", func(j *job.Job) { j.Cases[0].Name, j.Cases[1].Name = "Tern", "Rock" }, `case "Tern" is taken for Gull`},
		"a tray":            {"buoy", "stock", func(j *job.Job) { j.Trays[0].ID = "stock" }, "tray stock is taken for stores"},
		"for other pieces":  {"crab", "", func(j *job.Job) { j.Cases[0].Name, j.Cases[0].Holds = "Tern", []string{"mast"} }, ""},
		"of another height": {"crab", "", func(j *job.Job) { j.Cases[0].Name, j.Cases[0].Inside.Height = "Tern", 5*inch }, ""},
		"two that are alike": {"crab", "", func(j *job.Job) {
			j.Cases[0].Name, j.Cases[0].Holds = "Tern", nil
			j.Cases = append(j.Cases, job.Case{Name: "Rock", Copies: 1, Inside: inside(3 * inch)})
		}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			j := twoCases()
			first := run(t, j)
			require.NotNil(t, first.Job, "%v", first.Findings)
			tray, n := pocketFor(first.Job, c.piece)
			placed := pinAt(first.Job, tray, n, func(p *job.Pocket) { p.Turn = 90 })
			want := pinsOf(placed, tray)
			now := copyOf(j)
			c.rename(now)
			r := run(t, now, func(in *Input) { in.Previous = placed })
			if c.says == "" {
				require.Nil(t, r.Job)
				f := r.Findings[0]
				assert.Equal(t, "pinned-elsewhere", f.Rule)
				assert.Equal(t, `no case is called "Gull" any more: give the one that it was that name in job.yaml again, and its pins stay; or take its line out here, and `+"`arrange` finds its piece a place", f.Hint)
				return
			}
			require.NotNil(t, r.Job, "%v", r.Findings)
			assert.Equal(t, want, pinsOf(r.Job, c.tray))
			at := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.Rule == "taken-for" })
			require.GreaterOrEqual(t, at, 0, "%v", r.Findings)
			assert.Equal(t, finding.Note, r.Findings[at].Severity)
			assert.Contains(t, r.Findings[at].Message, c.says)
			assert.Zero(t, r.Moved.Pockets)
		})
	}
}
