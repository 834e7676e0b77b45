package proof

import (
	"slices"
	"strconv"
)

// A beam cuts through the whole sheet, but only after all of its passes, and
// only with the power and feed that cutting takes. So a beam's move removes
// foam as deep as the passes over its very path make it: the k-th of n passes
// reaches k/n of the thickness. How many there are to be, and with what energy to
// the mm, its limits say. Without them, a move with much less than the program's
// usual is a mark on the surface and removes nothing.

// markShare is the part of the energy of cutting below which a move only marks.
const markShare = 0.75

// beamDepths is how deep the foam is cut after each motion, along its path.
func (d *run) beamDepths() []float64 {
	depths := make([]float64, len(d.result.Motions))
	for i := range depths {
		if n, cuts := d.cutsThrough(i); cuts {
			depths[i] = d.throughMM() * float64(min(d.passOf[i], n)) / float64(n)
		}
	}
	return depths
}

// cutsThrough tells whether a motion of the beam cuts, and how many passes go
// through.
func (d *run) cutsThrough(motion int) (passes int, cuts bool) {
	m := d.result.Motions[motion]
	if m.Rapid || !m.On {
		return 0, false
	}
	if len(d.limits[motion]) == 0 {
		if d.usual == 0 {
			d.usual = d.usualEnergy()
		}
		return d.passes(), energy(m) >= markShare*d.usual
	}
	for _, list := range [2][]Limits{d.limits[motion], d.planned} { // too strong a mark cuts as well
		for _, l := range list {
			if m.Power == 0 || l.FeedMMPerMin == 0 || energy(m) >= markShare*l.PowerPercent/within(l.FeedMMPerMin, d.setup.Machine.MaxFeedMMPerMin.Value) {
				passes = max(passes, l.Passes)
			}
		}
		if passes > 0 {
			return passes, true
		}
	}
	return 0, false
}

// passes that cut through: as set up, else as the program's header says, else 1.
func (d *run) passes() int {
	if d.setup.Passes > 0 {
		return d.setup.Passes
	}
	n, err := strconv.Atoi(d.result.Header["passes"])
	if err != nil || n < 1 {
		return 1
	}
	return n
}

// throughMM is the foam's thickness; 1 where it is not known, for the picture.
func (d *run) throughMM() float64 {
	if d.setup.ThicknessMM > 0 {
		return d.setup.ThicknessMM
	}
	return 1
}

// energy is what the beam gives to a mm of its way, in per cent of full power
// by mm/min.
func energy(m Motion) float64 {
	power := m.Power
	if power == 0 {
		power = 1 // no scale is known, so all that is on is alike
	}
	return power / m.Feed
}

// usualEnergy is the median over the length that the lit beam goes, but for the
// operation that engraves: a picture may be longer than all that is cut.
func (d *run) usualEnergy() float64 {
	type share struct{ energy, length float64 }
	var shares []share
	total := 0.0
	for _, m := range d.result.Motions {
		if !m.Rapid && m.On && m.Op != marksOp {
			shares = append(shares, share{energy(m), m.flatLength()})
			total += m.flatLength()
		}
	}
	slices.SortFunc(shares, func(a, b share) int { return sign(a.energy - b.energy) })
	for _, s := range shares {
		if total -= 2 * s.length; total <= 0 {
			return s.energy
		}
	}
	return 0
}
