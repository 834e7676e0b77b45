package proof

// span is from when to when, s from the program's start.
type span struct{ from, to float64 }

// part is the k-th of n equal parts.
func (s span) part(k, n int) span {
	at := func(k int) float64 { return s.from + (s.to-s.from)*float64(k)/float64(n) }
	if k+1 == n {
		return span{at(k), s.to}
	}
	return span{at(k), at(k + 1)}
}

// checkPauses: where a beam goes over a place again, it has stayed dark between as long as
// the recipe says, for heat gathers there. The end of a lap that runs on past its own
// start is none: it is shorter than two kerfs and what a slow power supply takes.
func (d *run) checkPauses() {
	if !d.beam {
		return
	}
	lit, again := d.litBy(), 0.0
	ends := make([]int, len(lit)) // of what each motion lit
	for i, first := range lit {
		ends[first] = i
	}
	for i, m := range d.result.Motions {
		if lit[i] == i {
			again = 0
		}
		pause, laid := d.pauseFor(i), d.laid[i]
		if pause == 0 || laid.pass == 0 {
			continue
		}
		width, _ := d.width(m.Tool)
		if again += laid.own; laid.own > 0 && again > 2*width+d.runOnMM(i) {
			d.tellNoPause(m, 0, pause)
			return
		}
		if laid.after < 0 {
			continue
		}
		if dark := d.took[lit[i]].from - d.took[ends[lit[laid.after]]].to; dark*exactly < pause {
			d.tellNoPause(m, dark, pause)
			return
		}
	}
}

// litBy is, of each motion, the one with which its beam was lit.
func (d *run) litBy() []int {
	list := make([]int, len(d.result.Motions))
	for i := range list {
		if list[i] = i; d.goesOn(i) {
			list[i] = list[i-1]
		}
	}
	return list
}

// litAt reports whether a motion is made with the beam on.
func (d *run) litAt(motion int) bool {
	m := d.result.Motions[motion]
	return m.On && !m.Rapid
}

// goesOn reports whether a motion follows one of the same lit beam, without a wait.
func (d *run) goesOn(motion int) bool {
	return motion > 0 && motion < len(d.took) && d.litAt(motion) && d.litAt(motion-1) && d.took[motion].from <= d.took[motion-1].to
}

// pauseFor is how long the limits of a motion want the beam dark, s.
func (d *run) pauseFor(motion int) float64 {
	list := d.limitsOf(motion)
	if d.want == nil {
		list = []Limits{d.setup.Recipe}
	}
	pause := 0.0
	for i, l := range list {
		if i == 0 || l.PauseS < pause {
			pause = l.PauseS
		}
	}
	return pause
}

func (d *run) tellNoPause(m Motion, dark, pause float64) {
	tell := d.warn
	if d.want != nil {
		tell = d.wrong
	}
	tell(m.Line, "no-pause", "goes over a place again %v s after the beam went dark there, and the recipe pauses for %v s: the heat gathers, and can set it on fire", number(dark), number(pause)).
		hint("write %v with the beam off before it", d.waitWord(pause))
}
