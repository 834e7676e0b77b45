package proof

import (
	"traywright/geometry"
)

// A beam is lit where the plan lights it, in the waste, as often as the plan does, and goes on to
// where the plan puts it out. Lit anywhere else it pierces in a wall and burns on; put out short
// of its own start it leaves a bridge where the power supply is slow.

// litMM is how far from their places it may be lit and put out: arcs in chords and rounding make
// a tenth of that.
const litMM = 0.05

// spots are places with how often something is done there, by the cells of a grid.
type spots map[geometry.Point][]spot

type spot struct {
	at    geometry.Point
	times int
}

// find is the spot at a place; nil where there is none.
func (s spots) find(at geometry.Point) *spot {
	cell := plungeCell(at)
	for i := range 9 {
		beside := s[cell.Add(geometry.Point{X: float64(i%3 - 1), Y: float64(i/3 - 1)})]
		for k := range beside {
			if beside[k].at.DistanceTo(at) <= litMM {
				return &beside[k]
			}
		}
	}
	return nil
}

func (s spots) add(at geometry.Point) {
	if known := s.find(at); known != nil {
		known.times++
		return
	}
	s[plungeCell(at)] = append(s[plungeCell(at)], spot{at, 1})
}

// plannedLighting is where the plan lights its beam, and where it puts it out.
func (d *run) plannedLighting() (lit, out spots) {
	lit, out = spots{}, spots{}
	var last Motion
	on := false
	for m := range d.want.Way {
		now := !m.Rapid && m.Power > 0
		if now && !on {
			lit.add(m.From.Point)
		}
		if on && !now {
			out.add(last.To.Point)
		}
		last, on = m, now
	}
	if on {
		out.add(last.To.Point)
	}
	return lit, out
}

// checkLighting holds where the beam is lit and put out against the plan.
func (d *run) checkLighting() {
	if !d.beam || d.want == nil || d.want.Way == nil {
		return
	}
	planned, outs := d.plannedLighting()
	on, ends, dark := false, 0.0, false
	var last Motion
	for i, m := range d.result.Motions {
		dark = dark || d.moods[i].relit
		if m.length() == 0 {
			continue // it says where it is, and takes no time
		}
		lit, goesOn := d.litAt(i), d.took[i].from <= ends && !dark
		dark = false
		if on && !(lit && goesOn) && d.tellOut(last, outs) || lit && !(on && goesOn) && d.tellLit(m, planned) {
			return
		}
		on, ends, last = lit, d.took[i].to, m
	}
	if on && d.trace.Unfollowed == 0 {
		d.tellOut(last, outs)
	}
}

// tellLit finds a beam that is lit with a motion, and not where the plan does it or more often.
func (d *run) tellLit(m Motion, planned spots) bool {
	s := planned.find(m.From.Point)
	if s == nil {
		d.wrong(m.Line, "lit-elsewhere", "lights the beam at %v, where the plan does not: it pierces and burns there", m.From.Point).hint("begin where the plan does, and go on without putting it out")
		return true
	}
	if s.times--; s.times < 0 {
		d.wrong(m.Line, "lit-again", "lights the beam at %v more often than the plan does: the heat adds up, and can set the foam on fire", m.From.Point).hint("take it out")
	}
	return s.times < 0
}

// tellOut finds a beam that goes out behind a motion, and not where the plan puts it out.
func (d *run) tellOut(m Motion, outs spots) bool {
	elsewhere := outs.find(m.To.Point) == nil
	if elsewhere {
		d.wrong(m.Line, "out-elsewhere", "puts the beam out at %v, where the plan does not: what it leaves there holds, or is burnt when it is lit again", m.To.Point).hint("go on to where the plan ends")
	}
	return elsewhere
}
