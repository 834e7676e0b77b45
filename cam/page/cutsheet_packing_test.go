package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// What is packed is what holds something; how it lies and comes out is told in a few words, and of a piece that lies
// in two ways twice. The lengths are those given.
func TestPackingSaysHowPiecesLie(t *testing.T) {
	hole := func(name, access string, lies plan.Lying) plan.Pocket {
		return plan.Pocket{For: "token", Piece: "Flat token", Name: name, Access: access, Lies: lies, Packed: 1}
	}
	flat, side := plan.Lying{How: "as measured", HighMM: 3, OutMM: -27, PadMM: 27}, plan.Lying{How: "on its side", HighMM: 20}
	c := CutSheet{Unit: units.Millimetre, Plan: &plan.Plan{Job: &job.Job{Roster: []job.Piece{{ID: "token"}}}, Trays: []plan.Tray{{ID: "t", Pockets: []plan.Pocket{
		hole("pocket 1 (token) 1,1", "notch", flat), hole("pocket 1 (token) 2,1", "notch", flat), hole("pocket 2 (token)", "none", side),
		hole("pocket 3 (token)", "gap", side), hole("pocket 4 (token)", "lift", plan.Lying{How: "on end", HighMM: 30, OutMM: 5}),
		{Name: "pocket 5 (opening beside token) 1,1", Opening: true}, {Name: "pocket 6"}, {Name: "hole", Dowel: 8},
	}}}}}
	var got []string
	for _, row := range c.packing()["t"] {
		got = append(got, row.Piece)
		assert.Equal(t, row.pockets, row.Count)
	}
	assert.Equal(t, []string{
		"Flat token · token: as measured, 3 mm high, on foam 27 mm thick, out by the notch", "Flat token · token: on its side, 20 mm high, out by its top",
		"Flat token · token: on its side, 20 mm high, out by the opening", "Flat token · token: on end, 30 mm high, stands out 5 mm", "(no name)",
	}, got)
	alone := hole("pocket 7 (token)", "none", flat)
	alone.Holds = 2
	assert.Contains(t, c.lookPocket(alone, nil).Facts, [2]string{"count", "1 in this pocket, 0 on the roster"}, "and not what would go in")
	assert.Equal(t, "opening beside token", (*typesetter)(nil).called(&c.Plan.Trays[0].Pockets[5]), "in the order of cutting")
	assert.Equal(t, "pocket 6", (*typesetter)(nil).called(&c.Plan.Trays[0].Pockets[6]))
}
