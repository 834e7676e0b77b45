package proof

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// A beam burns by the clock: where the machine slows down for a corner, or trembles about one place, the foam gets more
// than length over feed says. What it gets beside that is added up in a small window, in mm of one whole cut. A controller
// that lowers its beam's power with its speed gives no more.

// lingers is how many times the heat of the plan's cuts there, or of one that goes straight through, a beam may give by
// standing: with the cut itself as much as tooHotSpot.
const lingers = tooHotSpot - 1

// checkLingering finds where a beam stays too long. Without a plan it is held against the program's usual cut.
func (d *run) checkLingering(stood sums, wanted *sums, whole float64) {
	clear(stood.of)
	for i, m := range d.result.Motions {
		if d.litAt(i) {
			stood.layStanding(m, d.stoodMM(i), d.acceleration(), energy(m)/whole)
		}
	}
	stood.addUp()
	cells := gatherWindows[0]
	least := lingers * float64(cells) * stood.CellMM
	worst, at := 0.0, geometry.Point{}
	for r := range stood.Rows {
		for c := range stood.Columns {
			g := stood.in(c, r, cells)
			if g <= least {
				continue
			}
			share := g / (least / lingers)
			if wanted != nil {
				share = g / wanted.allowed(c, r, cells)
			}
			if share > worst {
				worst, at = share, stood.center(c, r)
			}
		}
	}
	if worst <= lingers {
		return
	}
	tell := d.warn
	if wanted != nil {
		tell = d.wrong
	}
	hint := "take out the lines that go to and fro or stop there"
	by := d.result.Motions[d.lingersBy(at)]
	if most := math.Floor(d.setup.Machine.MostBeamFeed()); by.Feed > most {
		hint = fmt.Sprintf("the machine gains %.4g mm/s2 alone, and slows down long before corners: lower F to %.4g or less, and S as much", d.acceleration(), most)
	}
	tell(by.Line, "beam-lingers", "the beam stays around %v so long that the foam there gets %v times the heat of a cut: it melts wide, and can catch fire", at, number(math.Round(10*(1+worst))/10)).
		hint("%v", hint)
}

// lingersAtCorners reports whether the beam keeps its power where the machine slows down, and it is known how long that takes.
func (d *run) lingersAtCorners() bool {
	return !math.IsInf(d.setup.Machine.MostBeamFeed(), 1) && len(d.took) >= len(d.result.Motions)
}

// stoodMM is how much farther than a motion the beam would have gone at its feed in the time that it took.
func (d *run) stoodMM(motion int) float64 {
	m, took := d.result.Motions[motion], d.took[motion]
	return math.Max(0, (took.to-took.from)*m.Feed/60-m.length())
}

// layStanding lays what a motion gives beside its way, mm mm of a cut: along an arc alike, and at both ends of a straight one
// as it gains speed, by the time that each place takes beyond its length.
func (s *sums) layStanding(m Motion, mm, acceleration, each float64) {
	length := m.flatLength()
	if mm <= 0 || length <= 0 {
		return
	}
	speed := m.Feed / 60
	reach := math.Min(length/2, speed*speed/(2*acceleration))
	if m.Arc || length < s.CellMM/4 {
		s.lay(m, each*mm/length)
		return
	}
	gone := func(x float64) float64 {
		x = math.Min(1, math.Max(0, x)/reach)
		return 2*math.Sqrt(x) - x
	}
	x := 0.0
	s.visit(m, func(column, row int, way float64) {
		share := gone(x+way) - gone(x) + gone(length-x) - gone(length-x-way)
		x += way
		s.of[(row+1)*(s.Columns+1)+column+1] += each * mm / 2 * share
	})
}

// lingersBy is the motion that stays longest around a place.
func (d *run) lingersBy(at geometry.Point) (motion int) {
	most, reach := -1.0, float64(gatherWindows[0])*gatherCellMM
	for i, m := range d.result.Motions {
		if d.litAt(i) && (m.From.DistanceTo(at) < reach || m.To.DistanceTo(at) < reach) && d.stoodMM(i) > most {
			most, motion = d.stoodMM(i), i
		}
	}
	return motion
}

// lingersUnplanned is the same without a plan.
func (d *run) lingersUnplanned() {
	if !d.beam || d.wire || d.want != nil || !d.lingersAtCorners() {
		return
	}
	if whole := d.usual() * float64(d.passes()); whole > 0 {
		d.checkLingering(d.heatSums(geometry.EmptyBox()), nil, whole)
	}
}
