package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// A tool is changed 20 mm beside the foam or farther (changeRoomMM: judged, no source).
func TestChangesOverFoamAtItsEdges(t *testing.T) {
	foam := geometry.Box{Max: geometry.Point{X: 200, Y: 100}}
	s := Sheet{Edge: Cut{Tool: profiles.Tool{ID: "flat", Number: 1}}}
	for _, c := range []struct {
		at   []float64
		over bool
	}{
		{[]float64{-19.9, 50, 5}, true}, {[]float64{-20.1, 50, 5}, false}, {[]float64{219.9, 50, 5}, true}, {[]float64{220.1, 50, 5}, false},
		{[]float64{100, -19.9, 5}, true}, {[]float64{100, -20.1, 5}, false}, {[]float64{100, 119.9, 5}, true}, {[]float64{100, 120.1, 5}, false},
		{[]float64{100, 50, 500}, true}, {[]float64{5, 150, 50}, false}, {nil, false},
	} {
		assert.Equal(t, c.over, s.ChangesOver(profiles.Controller{ToolChange: profiles.ByItself, ChangeAt: c.at}, foam), c.at)
	}
	assert.False(t, s.ChangesOver(profiles.Controller{ToolChange: profiles.ByHand, ChangeAt: []float64{100, 50, 5}}, foam), "one tool is not changed")
}

// As many dowels as one tray takes, 20 mm longer than the thickest that has that diameter (dowelGrip: judged, no
// source), up to the next half mm.
func TestDowelsOfAPlan(t *testing.T) {
	mm := func(x float64) units.Length { l, _ := units.FromMM(x); return l }
	tray := func(thick float64, dowels ...float64) Tray {
		made := Tray{Layers: []Layer{{Thickness: mm(thick)}, {Thickness: mm(6.35)}}, Pockets: []Pocket{{For: "keg"}}}
		for _, d := range dowels {
			made.Pockets = append(made.Pockets, Pocket{Dowel: mm(d)})
		}
		return made
	}
	p := &Plan{Job: &job.Job{Units: units.Millimetre}, Trays: []Tray{tray(25.4, 8, 8), tray(50.8, 8), tray(12.7, 6, 6, 6), tray(10)}}
	assert.Equal(t, []DowelNeed{{mm(6), mm(39.5), 3}, {mm(8), mm(77.5), 2}}, p.Dowels()) // 12.7 + 6.35 + 20 = 39.05; 50.8 + 6.35 + 20 = 77.15
	assert.Empty(t, (&Plan{Job: p.Job, Trays: p.Trays[3:]}).Dowels())
}

func TestPiecesInWords(t *testing.T) {
	assert.Equal(t, []string{"a piece that is", "2 pieces that are", "11 pieces that are"}, []string{pieces(1), pieces(2), pieces(11)})
}
