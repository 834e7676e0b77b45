package proof

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
		d.past = append(d.past, e.result.Motions...)
	}
}

// motionAt is the motion of that number, of this program or of an earlier one.
func (d *run) motionAt(motion int) Motion {
	if motion < -1 {
		return d.past[-2-motion]
	}
	return d.result.Motions[motion]
}

// removedBefore is what the earlier programs have removed, mm3.
func (d *run) removedBefore() float64 {
	if len(d.past) == 0 {
		return 0
	}
	f := newField(d.fieldBox(), d.setup.CellMM, d.outside)
	for i := range d.sweeps {
		if d.sweeps[i].motion < -1 {
			f.cut(&d.sweeps[i], 0, f.Rows)
		}
	}
	return f.volume(d.setup.ThicknessMM)
}
