package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// The corners of a drawn pocket that a round tool leaves are told, with how much stays there: of a square corner (√2 - 1)
// of the tool's radius, by hand 1.24 mm of 3 mm, 0.049 in.
func TestRoundCornersOfADrawingAreTold(t *testing.T) {
	for _, c := range []struct {
		corner float64
		relief job.Relief
		told   bool
	}{{0, job.NoRelief, true}, {8, job.NoRelief, false}, {0, job.Dogbone, false}} {
		j := three()
		j.Roster = []job.Piece{{ID: "a", Count: 1, Length: mm(39), Width: mm(29), Height: mm(12), Pose: job.Upright}}
		j.Trays[1].Pockets = []job.Pocket{{X: mm(60), Y: mm(60), Shape: job.OutlineShape, OutlineFile: "a.svg", For: "a", Depth: mm(12), Columns: 1, Rows: 1,
			Relief: c.relief, Tool: "flat-6"}}
		in := input(t, j, "bench-router")
		in.Outlines = map[string]geometry.Region{"a.svg": geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 40, Y: 30}}, c.corner))}
		_, found := Make(in)
		told := finding.List{}
		for _, f := range found {
			if f.Rule == "round-corners" {
				told = append(told, f)
			}
		}
		if !c.told {
			assert.Empty(t, told)
			continue
		}
		assert.Contains(t, only(t, told, "round-corners").Message, "keeps 4 corners of its drawing round, because the tool flat-6 is: up to 0.049 in stays there")
	}
}
