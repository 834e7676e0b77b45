package proof

import (
	"cmp"
	"math"
)

// What the programs before this one in its setup have cut: with a tool a program, each is
// tried on the foam that those before it leave.

// Earlier is a program that has run in the same setup, and the tool that was in the spindle
// where it does not say.
type Earlier struct {
	Text []byte
	Tool int
}

// cutEarlier begins the sweeps with those of the earlier programs. Their motions are counted
// down from -2, so that they come before all of this one's and are none of them.
func (d *run) cutEarlier() {
	for _, p := range d.setup.Before {
		s := d.setup
		s.Before, s.Tool = nil, p.Tool
		e := newRun("", p.Text, s, d.want)
		e.motions()
		e.takeScale()
		e.limits = e.rulings()
		e.makeSweeps()
		for _, cut := range e.sweeps {
			cut.motion, cut.most = -2-len(d.past)-cut.motion, 0 // how much it took was its own dry run's to judge
			d.sweeps = append(d.sweeps, cut)
		}
		for i, m := range e.result.Motions {
			with, _ := e.edgeIn(i)
			d.past = append(d.past, passed{m, with})
		}
	}
}

// motionAt is the motion of that number, of this program or of an earlier one.
func (d *run) motionAt(motion int) Motion {
	if motion < -1 {
		return d.past[-2-motion].Motion
	}
	return d.result.Motions[motion]
}

// passed is a motion of an earlier program, and what it cut with.
type passed struct {
	Motion
	edge
}

// edgeAt is what the motion of that number cuts with.
func (d *run) edgeAt(motion int) edge {
	if motion < -1 {
		return d.past[-2-motion].edge
	}
	e, _ := d.edgeIn(motion)
	return e
}

// removedMM3 is the foam that this program takes from what those before it leave.
func (d *run) removedMM3() float64 {
	after, before := d.result.Field, 0.0
	if d.setup.CountMM > 0 {
		after = d.counted(math.MaxInt)
		for _, h := range d.fallen {
			after.drop(h)
		}
	}
	if len(d.past) > 0 {
		earlier := d.counted(-1)
		before = earlier.volume(d.setup.ThicknessMM)
	}
	return after.volume(d.setup.ThicknessMM) - before
}

// counted is the foam after the motions below that number, in the cells that are counted.
func (d *run) counted(end int) Field {
	f := newField(d.fieldBox(), cmp.Or(d.setup.CountMM, d.setup.CellMM), d.outside)
	for i := 0; i < len(d.sweeps) && d.sweeps[i].motion < end; i++ {
		f.cut(&d.sweeps[i], 0, f.Rows)
	}
	return f
}
