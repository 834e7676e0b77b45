package plan

import (
	"fmt"
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// Places beside the foam, at which a tool is changed and a program parks, count from each program's
// own zero. One that the machine does not reach from there is told once, of the machine, with the
// places that it reaches from every sheet: no program can be made for any.

// reachable is where from all sheets a machine reaches, in a program's own coordinates, mm.
type reachable struct {
	box  geometry.Box // what each sheet needs of X and Y, all together
	high float64      // of Z, the least; +Inf where nothing is lifted there
}

// checkAside holds change_at and park_at against the machine's travel.
func (m *maker) checkAside() {
	c := m.Machine.Controller
	if !m.built() || m.Machine.DrawingsOnly() {
		return
	}
	for _, place := range []struct {
		key, does, otherwise string
		at                   []float64
	}{{"change_at", "changes tools", "write tool_change: files", c.ChangeAt}, {"park_at", "parks", "take park_at out", c.ParkAt}} {
		if sheets := m.goingTo(place.key == "change_at"); len(place.at) == 3 && len(sheets) > 0 {
			m.tellAside(place.key, place.does, place.otherwise, place.at, m.reachable(sheets))
		}
	}
}

// goingTo are the sheets whose programs go to a place: each parks, and some change tools. A tray that is too large for
// the machine is told of by itself.
func (m *maker) goingTo(change bool) (list []*Sheet) {
	for _, b := range m.boards {
		for i := range b.Sheets {
			if s := &b.Sheets[i]; s.Edge.Tool.ID != "" && m.travels(b, s.Edge.Tool.DiameterMM.Value) && (!change || s.changesInside(m.Machine.Controller)) {
				list = append(list, s)
			}
		}
	}
	return list
}

func (m *maker) reachable(sheets []*Sheet) reachable {
	r := reachable{geometry.EmptyBox(), math.Inf(1)}
	scaleX, scaleY := m.Machine.Scale()
	for _, s := range sheets {
		b := s.Edge.Shape.Bounds().Grow(s.Edge.WidestMM() / 2)
		r.box = r.box.Union(geometry.Box{
			Min: geometry.Point{X: b.Min.X / scaleX, Y: b.Min.Y / scaleY}, Max: geometry.Point{X: b.Max.X / scaleX, Y: b.Max.Y / scaleY},
		})
		if m.Means.TakesHeight() {
			high := m.Machine.TravelMM[2].Value
			if s.On(m.Machine).ZZero != profiles.ZBed {
				high -= s.ThicknessMM()
			}
			r.high = min(r.high, high)
		}
	}
	return r
}

// tellAside refuses a place that is out of reach, with the least and the greatest that are not.
func (m *maker) tellAside(key, does, otherwise string, at []float64, r reachable) {
	travel := m.Machine.TravelMM
	low := geometry.Point{X: r.box.Max.X - travel[0].Value, Y: r.box.Max.Y - travel[1].Value}
	high := geometry.Point{X: r.box.Min.X + travel[0].Value, Y: r.box.Min.Y + travel[1].Value}
	slack := m.slackMM()
	if at[0] >= low.X-slack && at[0] <= high.X+slack && at[1] >= low.Y-slack && at[1] <= high.Y+slack && at[2] <= r.high+slack {
		return
	}
	const room = 5 // of a lead-in, and of a tool wider than its outline's: the hint is to do for all (judged, no source)
	up, down := func(x float64) float64 { return math.Ceil(x + room) }, func(x float64) float64 { return math.Floor(x - room) }
	hint := fmt.Sprintf("write [x, y, z] in mm with x from %g to %g, y from %g to %g", up(low.X), down(high.X), up(low.Y), down(high.Y))
	if !math.IsInf(r.high, 1) {
		hint += fmt.Sprintf(", z up to %g", math.Floor(r.high-1))
	}
	if key == "change_at" {
		hint += fmt.Sprintf(", %d mm or more beside the foam", changeRoomMM) // see ChangesOver
	}
	m.log.fail(place{text: "machine " + m.Machine.ID}, "aside-out-of-reach",
		fmt.Sprintf("%s at X %g, Y %g, Z %g mm from each program's zero (%s), and does not reach that from all sheets: it travels %g x %g x %g mm", does, at[0], at[1], at[2], key, travel[0].Value, travel[1].Value, travel[2].Value),
		hint+", as "+key+" in its controller; or "+otherwise)
}
