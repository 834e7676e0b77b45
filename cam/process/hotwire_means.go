package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// wiring is what an upright hot wire can do that a machine moves: it goes once through whole
// layers, and whatever stands in its way it parts. What it cuts free lies where it was. It cannot
// engrave: marks are drawn with a pen.
type wiring struct{}

func (wiring) WholeLayers() bool                                            { return true }
func (wiring) RoundCorners() bool                                           { return false }
func (wiring) LeastRoundMM(profiles.Tool, profiles.Recipe, float64) float64 { return 0 }
func (wiring) TakesHeight() bool                                            { return false }

// Lacks names the first number of a recipe that is needed and not usable.
func (wiring) Lacks(r profiles.Recipe) string {
	return lacking([]needed{
		{"kerf_mm", r.KerfMM, math.Inf(1)}, {"feed_mm_per_min", r.FeedMMPerMin, math.Inf(1)},
		{"current_a", r.CurrentA, math.Inf(1)}, {"lead_in_mm", r.LeadInMM, math.Inf(1)},
	})
}

// Passes: a wire cuts all the height at once.
func (wiring) Passes(fromMM, toMM float64, layers []plan.Bed) []plan.Pass {
	if len(layers) != 1 {
		return nil
	}
	return []plan.Pass{{FromMM: fromMM, ToMM: toMM}}
}

// leadRoomMM beside the cut are 5 mm of foam to hold it by, 5 mm or a quarter inch in which its
// size is rounded up, and 3 mm of air before the wire comes to its edge (judged, no source).
const leadRoomMM = 15

func (wiring) Hold(profiles.Recipe, float64) (plan.Hold, string) { return plan.Hold{}, "" }

func (wiring) Bridges(geometry.Contour, profiles.Recipe, float64) ([]geometry.Point, float64, int) {
	return nil, 0, 0
}

// Marking is a pen's line.
func (wiring) Marking(r profiles.Recipe, layerMM float64) (how profiles.Recipe, depthMM float64) {
	return byHand{}.Marking(r, layerMM)
}

func (wiring) Settings(r profiles.Recipe) []Setting {
	return []Setting{
		{Name: "feed", Number: r.FeedMMPerMin, Unit: PerMinute}, {Name: "current", Number: r.CurrentA, Unit: Amperes},
		{Name: "kerf", Number: r.KerfMM, Unit: KerfMillimetres},
	}
}

func (wiring) SetZero() string { return "Set the zero point, and stand the wire beside the sheet" }
func (wiring) FitsTools() bool { return false }

func (wiring) cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error) {
	if len(sheet.Layers) != 1 {
		return nil, fmt.Errorf("machine %s: a hot wire cuts one layer at a time and this sheet has %d; cut the tray in sheets", m.ID, len(sheet.Layers))
	}
	for _, r := range sheet.Edge.Recipes {
		if err := cornersAt(feedsOf(r, m).cut, m); err != nil {
			return nil, err
		}
		if least := r.KerfMM.Value + leadRoomMM; r.LeadInMM.Value < least {
			return nil, noPath(plan.OutlineName, fmt.Sprintf("a way in of %.3g mm does not begin beside the foam, whose edge lies up to %.3g mm from the tray", r.LeadInMM.Value, least-5),
				fmt.Sprintf("set lead_in_mm to %.3g or more", least))
		}
	}
	if at := m.Controller.ParkAt; len(at) > 0 {
		return nil, noPath(plan.OutlineName, "the controller's park_at would take the hot wire there straight through whatever lies in its way", "take park_at out of the controller of "+m.ID)
	}
	return &hotWire{sheet: sheet, machine: m, tol: tol, feeds: map[string]float64{}}, nil
}
