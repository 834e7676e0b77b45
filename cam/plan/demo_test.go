package plan

import (
	"os"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// example is a job with all that a job may hold; its stack is a sum of common practice.
const example = `
game: Tidewrack
units: mm
roster: roster.csv
machine: bench-router
case:
  inside: [250, 190, 5 in]
  corner: 8
  ease: 1
tray_defaults:
  layers:
    - {foam: pe-30, thickness: 1 in}
    - {foam: pe-45, thickness: 1/4 in}
  wall: 6
  edge: 10
  fit: snug
trays:
  - id: stores
    label: "{game} stores"
    layers: [{foam: pe-30, thickness: 2 in}, {foam: pe-45, thickness: 1/4 in}]
    cut: sheets
    pockets:
      - {for: logbook, at: [12, 12], size: [74, 105], depth: 20, notch: ends}
      - {for: dice, at: [100, 12], size: [66, 34], depth: through, relief: dogbone}
      - {at: [12, 130], round: 25.75, depth: 12, grid: [6, 2], pitch: [32, 32]}
      - {for: kraken, at: [180, 60], outline: kraken.dxf, turn: 15}
  - id: crew
    pockets: [{for: deckhand, at: [20, 20], relief: tbone, grid: [2, 1], pitch: [60, 0]}]
  - {id: riders, layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]}
  - {id: cover, layers: [{foam: pe-45, thickness: 1/4 in}]}
cases:
  - name: Gull Watch
    copies: 1
    stack: [cover, riders, crew, stores]
`

const exampleRoster = `id,count,length,width,height
logbook,1,74,105,9
dice,8,16,16,16
kraken,1,60,40,30
deckhand,2,30,25,25
`

func load(t *testing.T, fsys fstest.MapFS) *job.Job {
	t.Helper()
	j, found, err := job.Load(fsys, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	return j
}

// A job as a user writes it, from the files to the findings with their places.
func TestExample(t *testing.T) {
	j := load(t, fstest.MapFS{"job.yaml": {Data: []byte(example)}, "roster.csv": {Data: []byte(exampleRoster)}})
	plan, found := make1(t, j)
	assert.Equal(t, finding.Finding{
		Severity: finding.Error, Rule: "outline-not-read", Where: "job.yaml:26:9: tray stores, pocket 4 (kraken)",
		Message: "the outline kraken.dxf has not been read", Hint: "put the drawing into the job's folder",
	}, only(t, found, "outline-not-read"))
	// A notch at the logbook's end reaches to 2 mm from the rim; the upper row of
	// coins, from y 162 on, ends 2.25 mm from it.
	assert.Equal(t, "error:outline-not-read error:edge-too-thin error:edge-too-thin error:wall-too-thin", refusals(found))
	assert.Equal(t, "job.yaml:23:9: tray stores, pocket 1 (logbook)", found[1].Where)
	assert.Equal(t, "leaves 2 mm of foam to the rim, less than the edge of 10 mm", found[1].Message)
	assert.Equal(t, "job.yaml:25:9: tray stores, pocket 3 1,2", found[2].Where)
	assert.Equal(t, "leaves 2.25 mm of foam to the rim, less than the edge of 10 mm (and 5 more like it)", found[2].Text())

	stores := plan.Trays[0]
	assert.Equal(t, 5*inch, plan.Cases[0].Height)
	assert.Len(t, stores.Pockets, 14)
	assert.Equal(t, "pocket 3 6,2", stores.Pockets[13].Name)
	// Logbook and dice go with the cutters that reach: the dice through 2 in of foam, and so through the base.
	assert.Equal(t, "flat-3", stores.Sheets[0].Cuts[0].Tool.ID)
	assert.Equal(t, "flat-6", stores.Sheets[0].Cuts[1].Tool.ID)
	assert.Equal(t, "flat-6", stores.Sheets[1].Cuts[0].Tool.ID)
}

// refusals are the rules that refuse the job.
func refusals(found finding.List) string {
	return rules(slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool { return f.Severity != finding.Error }))
}

func demo(t testing.TB, name, machine string) (*Plan, finding.List) {
	t.Helper()
	j, found, err := job.Load(os.DirFS("../../testdata/tidewrack"), name)
	require.NoError(t, err)
	require.Empty(t, found)
	return Make(input(t, j, machine))
}

// The demo is a thing to carry: every piece of the roster has its pocket, and
// there is nothing to say about it.
func TestDemo(t *testing.T) {
	plan, found := demo(t, "job.yaml", "bench-router")
	assert.Empty(t, rules(found), "%v", found)
	for _, c := range plan.Cases {
		assert.Zero(t, c.Room, c.Name)
		pieces := map[string]bool{}
		for _, i := range c.Stack {
			for _, p := range plan.Trays[i].Pockets {
				pieces[p.For] = true
			}
		}
		count := 0
		for _, p := range plan.Job.Roster {
			if pieces[p.ID] {
				count += p.Count
			}
		}
		assert.True(t, 40 <= count && count <= 70, "case %s carries %d pieces", c.Name, count)
	}

	plan, found = demo(t, "laser.yaml", "bench-laser")
	assert.Equal(t, "warning:least-power-unknown note:group-without-pockets note:group-without-pockets", rules(found), "the other crews, and its lantern is engraved at 4.5 %%: %v", found)
	assert.Zero(t, plan.Cases[0].Room)
}

func BenchmarkDemo(b *testing.B) {
	j, _, err := job.Load(os.DirFS("../../testdata/tidewrack"), "job.yaml")
	require.NoError(b, err)
	in := input(b, j, "bench-router")
	for b.Loop() {
		Make(in)
	}
}
