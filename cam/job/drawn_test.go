package job_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

const heldTray = "units: mm\nroster: roster.csv\ntrays:\n  - id: a\n    size: [100, 80]\n    layers: [{foam: pe-30, thickness: 25.4}]\n"

// A piece has its drawing from the roster's column or from an entry of `holds`, and a pocket without a shape takes it.
func TestDrawnPieces(t *testing.T) {
	j := mustLoad(t, folder("job.yaml", heldTray+"    holds: [{piece: ray, outline: art/ray.svg}, crab]\n    pockets: [{for: crab, at: [9, 9]}]\n",
		"roster.csv", "id,count,length,width,height,outline\nray,1,30,20,10,\ncrab,2,31.5,20,10,crab.dxf\n"))
	assert.Equal(t, "art/ray.svg", j.Roster[0].Outline)
	assert.Equal(t, "crab.dxf", j.Roster[1].Outline)
	assert.Equal(t, []string{"ray", "crab"}, j.Trays[0].Holds)
	assert.Equal(t, job.OutlineShape, j.Trays[0].Pockets[0].Shape)
	assert.Equal(t, "crab.dxf", j.Trays[0].Pockets[0].OutlineFile)
}

// What arrange may turn is said of a piece, of a group, of a tray and of a pocket that has its place, which lies as drawn till then.
func TestTurns(t *testing.T) {
	const roster = "id,count,length,width,height,group\nray,1,30,20,10,fish\neel,1,30,5,10,fish\ncrab,2,31.5,20,10,\n"
	j := mustLoad(t, folder("job.yaml", heldTray+"    turn: any\n    holds: [{piece: fish, turn: any}, {piece: crab, turn: quarter, outline: crab.svg}]\n    pockets: [{for: crab, at: [9, 9], turn: any}, {at: [50, 9], size: [9, 9], turn: -30}]\n", "roster.csv", roster))
	assert.Equal(t, [3]job.Turns{job.AnyTurns, job.AnyTurns, job.QuarterTurns}, [3]job.Turns{j.Roster[0].Turns, j.Roster[1].Turns, j.Roster[2].Turns})
	assert.Equal(t, job.AnyTurns, j.Trays[0].Habits.Turns)
	assert.Equal(t, [2]any{true, 0.0}, [2]any{j.Trays[0].Pockets[0].AnyTurn, j.Trays[0].Pockets[0].Turn})
	assert.Equal(t, [2]any{false, -30.0}, [2]any{j.Trays[0].Pockets[1].AnyTurn, j.Trays[0].Pockets[1].Turn})
	found, _ := complaints(t, folder("job.yaml", heldTray+"    holds: [{piece: ray, turn: any}, {piece: fish, turn: quarter}]\n", "roster.csv", roster))
	if assert.Len(t, found, 1) {
		assert.Equal(t, "two-turns", found[0].Rule)
	}
}

func TestWrongDrawings(t *testing.T) {
	const roster = "id,count,length,width,height,outline,group\nray,1,30,20,10,,fish\ncrab,2,31.5,20,10,crab.dxf,\n"
	for _, c := range []struct{ holds, rule, message, hint string }{
		{"{piece: fish, outline: a.svg}", "outline-of-group", "is a group", "an entry for each"},
		{"{piece: crab, outline: a.svg}", "two-outlines", "has the outline crab.dxf already", "one in the whole job"},
		{"{piece: ary, outline: a.svg}", "unknown-piece", "no piece and no group", "did you mean ray?"},
		{"{piece: ray}", "held-without", "neither outline nor turn", "{piece: ID, outline: FILE}"},
		{"{piece: ray, outline: ../a.svg}", "outside-folder", "", ""},
	} {
		t.Run(c.holds, func(t *testing.T) {
			found, _ := complaints(t, folder("job.yaml", heldTray+"    holds: ["+c.holds+"]\n", "roster.csv", roster))
			if assert.NotEmpty(t, found) {
				assert.Contains(t, found[0].Message, c.message)
				assert.Contains(t, found[0].Hint, c.hint)
				if c.message != "" {
					assert.Equal(t, c.rule, found[0].Rule)
				}
			}
		})
	}
}
