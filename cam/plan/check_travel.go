package plan

import (
	"fmt"
	"math"

	"traywright/cam/job"
	"traywright/profiles"
)

// manyTimes too large for its machine is a tray whose unit is asked about before anything
// else (judged, no source; an inch is 25.4 mm).
const manyTimes = 5

// checkTravel holds each sheet against the machine: the outline with the tool
// all around it, and for a router the foam's height with the clearance above.
func (m *maker) checkTravel(b *board) {
	if !m.built() || m.Machine.Process.Traits().ByHand {
		return
	}
	diameter := 0.0
	for _, s := range b.Sheets {
		diameter = max(diameter, s.Edge.Tool.DiameterMM.Value)
	}
	length, width := m.around(b, diameter)
	x, y := m.Machine.TravelMM[0].Value, m.Machine.TravelMM[1].Value
	if length > x || width > y {
		hint := "use a larger machine, or make it smaller"
		half, short := max(length, width)/2+diameter, min(length, width)
		switch {
		case b.source.Chosen:
			hint = "use a larger machine, or a smaller case"
		case b.source.Halves != 2 && half <= max(x, y) && short <= min(x, y):
			hint = "use a larger machine, or cut it as two with `halves: 2`"
		}
		if larger := max(length/x, width/y); larger > manyTimes {
			hint = "look first whether its unit is the one that is meant: " + hint
		}
		if length <= y && width <= x {
			hint = "give its length and width the other way round, so that it lies along the machine"
		}
		m.log.fail(b.at, "tray-too-large",
			fmt.Sprintf("needs %s with the tool around it; %s travels %s", m.size(length, width), m.Machine.ID, m.size(x, y)), hint)
	}
	m.checkHeight(b)
}

// travels reports whether the machine goes around a tray with a tool so wide.
func (m *maker) travels(b *board, diameterMM float64) bool {
	x, y := m.around(b, diameterMM)
	return x <= m.Machine.TravelMM[0].Value && y <= m.Machine.TravelMM[1].Value
}

// around is the travel that a tray takes with a tool all around it, mm of the machine's own.
func (m *maker) around(b *board, diameterMM float64) (x, y float64) {
	box := b.cutRound().Bounds()
	scaleX, scaleY := m.Machine.Scale()
	return (box.Width() + 2*diameterMM) / scaleX, (box.Height() + 2*diameterMM) / scaleY
}

func (m *maker) checkHeight(b *board) {
	z := m.Machine.TravelMM[2].Value
	if !m.Means.TakesHeight() {
		return
	}
	for _, s := range b.Sheets {
		up := s.ThicknessMM() + m.Machine.ClearMM(s.ThicknessMM())
		needed := up
		for _, c := range s.All() {
			needed = max(needed, up+c.BelowMM)
		}
		switch over := up - s.ThicknessMM() - m.Machine.ClearanceMM.Value; {
		case needed > z && over > 0:
			m.log.fail(b.at, "tray-too-high", fmt.Sprintf("needs %s of height with the way over its clamps; %s travels %s", m.more(needed), m.Machine.ID, m.most(z)),
				"use lower clamps, and write their height_mm into the machine's clamps")
			return
		case needed > z:
			m.log.fail(b.at, "tray-too-high", fmt.Sprintf("needs %s of height with the clearance; %s travels %s", m.more(needed), m.Machine.ID, m.most(z)),
				m.lower(b, z-needed))
			return
		}
	}
}

// lower is what to do about a sheet for which the machine's height is short by so much, left being less than 0.
func (m *maker) lower(b *board, left float64) string {
	hint := "use thinner layers"
	if b.source.Cut == job.Block && len(b.source.Layers) > 1 {
		hint = "cut it as `sheets`, or " + hint
	}
	if most := math.Floor(10*(m.Machine.ClearanceMM.Value+left)) / 10; most >= profiles.LeastAboveMM {
		hint = fmt.Sprintf("set clearance_mm of %s to %g or less, or %s", m.Machine.ID, most, hint)
	}
	return hint
}
