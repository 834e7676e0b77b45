package proof

import (
	"math"
	"slices"
	"strconv"
)

// A beam goes as deep as the energy that it gives to a mm of its way: power by
// feed. Its recipe says how deep one pass goes at the recipe's own energy; less
// goes as much less deep, and more is not believed to go deeper, for nobody has
// tried it. Passes over one path add up: see passes.go. What has no more energy
// than a mark only darkens the face and removes nothing.
//
// Where nobody knows the recipe, a move with much less than the program's usual
// energy is such a mark, and all others are passes that go through together.

// markShare is the part of the usual energy below which a move only marks, where
// no recipe is known.
const markShare = 0.75

// passMM is how deep one pass of a motion goes, mm; 0 for what does not cut.
func (d *run) passMM(motion int) float64 {
	m := d.result.Motions[motion]
	if m.Rapid || !m.On {
		return 0
	}
	list := d.limitsOf(motion)
	switch {
	case len(list) > 0 && d.marksOnly(m):
		return 0
	case len(list) > 0:
		if deep := d.deepest(m, list); deep > 0 {
			return deep
		}
		return d.deepest(m, d.planned) // too strong a mark cuts as well
	case d.setup.Recipe.MMPerPass > 0:
		if d.likeAMark(m) {
			return 0
		}
		return d.deepest(m, []Limits{d.setup.Recipe})
	}
	if energy(m) < markShare*d.usual() {
		return 0
	}
	return d.throughMM() / float64(d.passes())
}

// marksOnly reports whether a motion has no more energy than the plan's marks.
func (d *run) marksOnly(m Motion) bool {
	return slices.ContainsFunc(d.planned, func(l Limits) bool { return l.Passes == 0 && d.share(m, l) <= 1+nearly })
}

// likeAMark reports whether a motion without a plan is one that marks: it has no
// more energy than the recipe's marks, and in a program of ours its operation says
// so too.
func (d *run) likeAMark(m Motion) bool {
	return d.share(m, d.setup.Recipe) <= d.setup.MarkShare*(1+nearly) && (!d.ours || m.Op == marksOp)
}

// deepest is how deep a pass goes by that of the limits which takes it deepest.
func (d *run) deepest(m Motion, list []Limits) float64 {
	deepest := 0.0
	for _, l := range list {
		if l.Passes == 0 {
			continue
		}
		each := l.MMPerPass
		if each == 0 {
			each = d.throughMM() / float64(l.Passes)
		}
		share := d.share(m, l)
		if share >= 1-nearly {
			share = 1
		}
		deepest = math.Max(deepest, each*share)
	}
	return deepest
}

// share is the energy of a motion as a part of a recipe's; 1 where either is not known.
func (d *run) share(m Motion, l Limits) float64 {
	if m.Power == 0 || l.PowerPercent == 0 || l.FeedMMPerMin == 0 {
		return 1
	}
	return energy(m) / (d.setup.Machine.Controller.Written(l.PowerPercent) / within(l.FeedMMPerMin, d.setup.Machine.MaxFeedMMPerMin.Value))
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
