package proof

import (
	"slices"
	"strconv"
)

// A beam cuts through the whole sheet, but only after all of its passes, and
// only with the power and feed that cutting takes. So a beam's move removes
// foam as deep as the passes over its very path make it: the k-th of n passes
// reaches k/n of the thickness. A pass repeats the one before exactly, since
// both were printed from the same numbers. A move with much less energy to the
// mm than the program's usual is a mark on the surface and removes nothing.
//
// A ladder of settings has no usual energy. Its setup says which operations are
// believed to cut through and in how many passes.

// markShare is the part of the usual energy below which a move only marks.
const markShare = 0.75

// beamDepths is how deep the foam is cut after each motion, along its path.
func (d *run) beamDepths() []float64 {
	thickness := d.throughMM()
	passes := d.passesOf()
	seen := map[Motion]int{}
	depths := make([]float64, len(d.result.Motions))
	for i, m := range d.result.Motions {
		if m.Rapid || !m.On {
			continue
		}
		n, cuts := passes(m)
		if !cuts {
			continue
		}
		key := pathOf(m)
		seen[key]++
		depths[i] = thickness * float64(min(seen[key], n)) / float64(n)
	}
	return depths
}

// passesOf tells of a motion of the lit beam whether it cuts, and how many
// passes go through.
func (d *run) passesOf() func(Motion) (int, bool) {
	if ops := d.setup.PassesByOp; ops != nil {
		return func(m Motion) (int, bool) { n, cuts := ops[m.Op]; return max(n, 1), cuts }
	}
	passes, usual := d.passes(), d.usualEnergy()
	return func(m Motion) (int, bool) { return passes, energy(m) >= markShare*usual }
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

// pathOf is where a motion goes and nothing else, the same for both directions.
func pathOf(m Motion) Motion {
	p := Motion{Arc: m.Arc, CCW: m.CCW, From: m.From, To: m.To}
	if m.Arc {
		p.Center = m.Center
	}
	p.From.Z, p.To.Z = 0, 0
	if p.To.X < p.From.X || p.To.X == p.From.X && p.To.Y < p.From.Y {
		p.From, p.To, p.CCW = p.To, p.From, m.Arc && !m.CCW
	}
	return p
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
