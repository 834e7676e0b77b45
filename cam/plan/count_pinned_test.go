package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// A pinned pocket stays whatever the count on the roster is, so the hint says which one is to go.
func TestPinnedPocketsTooManyAreNamed(t *testing.T) {
	hint := func(pin bool) string {
		pocket := func(x float64, line int, pin bool) job.Pocket {
			return with(rect(x, 24, 31, 21), func(p *job.Pocket) {
				p.For, p.Depth, p.Pin, p.Position = "crab", mm(20), pin, finding.Position{File: "arrangement.yaml", Line: line, Column: 9}
			})
		}
		_, found := Make(input(t, bench(pad(pocket(20, 30, false), pocket(80, 31, pin)), piece("crab", 1, 30, 20, 20)), "bench-router"))
		at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "more-pockets-than-pieces" })
		require.GreaterOrEqual(t, at, 0, "%v", found)
		return found[at].Hint
	}
	assert.Equal(t, "take pockets out, one that is pinned first (arrangement.yaml:31:9): `arrange` leaves it there, or correct the count", hint(true))
	assert.Equal(t, "take pockets out, or correct the count", hint(false))
}

// A label with the case's name on a tray that several cases share: what to write is the tray's own key, or, of one
// that was chosen and stands in no job, the whole tray.
func TestOneTrayForEachCase(t *testing.T) {
	tray := job.Tray{ID: "cover", Label: "{case}", Layers: []job.Layer{{Foam: "pe-45", Thickness: 10 * units.Length(1e6)}}}
	assert.Equal(t, "write `each: case` on the tray, or take {case} out of its label", oneForEach(&tray))
	tray.Chosen = true
	assert.Equal(t, "write it under `trays`, `- {id: cover, each: case, label: \"{case}\", layers: [{foam: pe-45, thickness: 10 mm}]}`, and arrange again with --force", oneForEach(&tray))
	tray.Pockets = []job.Pocket{{}}
	assert.Equal(t, "write `each: case` under `tray_defaults`, or take {case} out of the label there, where one stands", oneForEach(&tray))
}
