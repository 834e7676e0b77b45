package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// Reality is never the plan: foam is thicker or thinner than its label, zero is
// touched off by hand, a kerf has an interval, a cutter runs out. A corner is one way
// in which all of that comes together: each tolerance at its low or at its high end,
// 2^n corners of n tolerances.
//
// None of them is cut anew. What may fail is measured once, on the foam that was cut
// as planned, as a margin: how many mm are left until it fails. Every margin here
// moves in proportion with each tolerance, whatever the others are:
//
//	a tip that is z too high, in foam that is t thicker:  z + t less deep below it
//	a kerf that is k wider, a cutter that runs out by r:  a hole k + r wider, a wall k + r thinner
//
// so that in each corner it is the margin as planned and the sum of what the
// tolerances add, exactly; one that falls below 0 makes the corner unsafe. Where a
// Z zero is the bed, thicker foam has its top, and nothing else, t higher. What is
// not tried: how foam bends, and how thin walls between two parts of one hole are, unless foam comes free with them.

// Tolerance is what may be off.
type Tolerance int

const (
	Thickness Tolerance = iota // of the sheet, from its label or from what was measured
	Zero                       // of Z, above where it should be
	Kerf                       // of the width that is removed
	Runout                     // of a cutter: what it adds to that width
	tolerances
)

var toleranceNames = [...]string{"thickness", "zero", "kerf", "run-out"}

func (t Tolerance) String() string { return toleranceNames[t] }

// Range is how far something may be off, mm: from Low, which is not above 0, to High.
// The zero value is not known, or exact, and not tried.
type Range struct{ Low, High float64 }

func (r Range) applies() bool { return r.Low < r.High }

// Tolerances is how far reality may be from the plan.
type Tolerances struct {
	ThicknessMM, ZeroMM Range
	KerfMM, RunoutMM    map[int]Range // by tool number
	LeastLeftMM         float64       // a skin, tab, floor or wall thinner than this counts as gone
	BedMM               float64       // how deep a tool may cut into what the foam lies on; 0 is not known, and any
}

// Weakness is what fails.
type Weakness int

const (
	Loose    Weakness = iota // a part comes loose under a turning tool
	Skin                     // or is held by too little
	Bed                      // the tool cuts too deep into what the foam lies on
	RapidLow                 // a rapid passes through foam
	Uncut                    // what is to be cut through is not
	Floor                    // of a pocket, too thin
	Wall                     // too thin
	Standing                 // foam is left standing in a pocket
	Tight                    // a piece does not go in
	Rattles                  // a piece has too much play
	Proud                    // a piece stands out too far
	Bridge                   // of what would tip up, too thin
	Parted                   // the tabs that hold a tray are cut through from their sides
	Neck                     // or are too narrow to hold it
	Island                   // foam in a tray is cut round, and comes loose under a turning tool
)

// Weak is one thing that fails in some corner.
type Weak struct {
	What      Weakness
	Name      string // of the hole or the outline
	At        geometry.Point
	Tool      int
	Tolerance Tolerance           // that takes the most
	ValueMM   [tolerances]float64 // what each is in the worst corner; 0 of those that do not matter
	ShortMM   float64             // by how much it fails in the worst corner
	ShareMM   [tolerances]float64 // how much of what it lost each tolerance took
	Corners   int                 // in how many it fails
}

// AsPlanned reports whether it fails with nothing off as well, such as a piece that rattles.
func (w Weak) AsPlanned() bool {
	took := 0.0
	for _, mm := range w.ShareMM {
		took += mm
	}
	return w.ShortMM > took+failsMM
}

// Corners is what the corners of the tolerances showed.
type Corners struct {
	Tried, Safe int
	Weak        []Weak // the first to fail first; none when all are safe
}

// margin is one thing that may fail, and how far it is from failing.
type margin struct {
	Weak
	mm    float64
	shift [tolerances][2]float64 // what each tolerance adds at its low and its high end
}

// failsMM is how far below 0 a margin may be: what the rounding of printed heights and
// of a field's cells makes of none.
const failsMM = 0.001

// trial is the corners of a program under way.
type trial struct {
	*run
	Tolerances
	index   *index
	cuts    []hole
	bed     bool // where the Z zero is
	margins []margin
}

// tryCorners tries the corners of a program that is right as planned.
func (d *run) tryCorners(x *index, cuts []hole) {
	if d.setup.Tolerances == nil || d.result.Findings.Failed() {
		return
	}
	t := trial{run: d, Tolerances: *d.setup.Tolerances, index: x, cuts: cuts, bed: d.top > 0}
	t.depths()
	t.walls()
	t.bridges()
	t.seats()
	t.standing()
	t.islands()
	d.result.Corners = t.judge()
}

// add files a margin of a tool's work.
func (t *trial) add(w Weakness, name string, at geometry.Point, tool int, mm float64, moved motionOf) {
	m := margin{Weak: Weak{What: w, Name: name, At: at, Tool: tool}, mm: mm}
	for i, r := range t.ranges(tool) {
		m.shift[i] = [2]float64{moved[i] * r.Low, moved[i] * r.High}
	}
	t.margins = append(t.margins, m)
}

// motionOf is how a margin moves with each tolerance: mm for each mm.
type motionOf [tolerances]float64

// ranges are the tolerances of a tool's work.
func (t *trial) ranges(tool int) [tolerances]Range {
	return [tolerances]Range{Thickness: t.ThicknessMM, Zero: t.ZeroMM, Kerf: t.KerfMM[tool], Runout: t.RunoutMM[tool]}
}

// applying are the tolerances that anything may be off by.
func (t *trial) applying() []Tolerance {
	some := [tolerances]bool{Thickness: t.ThicknessMM.applies(), Zero: t.ZeroMM.applies()}
	for i, byTool := range map[Tolerance]map[int]Range{Kerf: t.KerfMM, Runout: t.RunoutMM} {
		for _, r := range byTool {
			some[i] = some[i] || r.applies()
		}
	}
	var list []Tolerance
	for i, applies := range some {
		if applies {
			list = append(list, Tolerance(i))
		}
	}
	return list
}

// judge goes through all corners.
func (t *trial) judge() *Corners {
	tolerances := t.applying()
	c := &Corners{Tried: 1 << len(tolerances)}
	for corner := range c.Tried {
		safe := true
		for i := range t.margins {
			m := &t.margins[i]
			left := m.mm
			for bit, tol := range tolerances {
				left += m.shift[tol][corner>>bit&1]
			}
			if left < -failsMM {
				m.Corners++
				safe = false
			}
			m.ShortMM = math.Max(m.ShortMM, -left)
		}
		if safe {
			c.Safe++
		}
	}
	c.Weak = t.weak()
	return c
}

// weak is the margins that fail in some corner, the first to fail first: the one that
// does so at the smallest part of what the tolerances allow.
func (t *trial) weak() []Weak {
	var list []Weak
	var soon []float64
	for _, m := range t.margins {
		if m.Corners == 0 {
			continue
		}
		m.blame(t.ranges(m.Tool))
		share := math.Max(0, m.mm) / (math.Max(0, m.mm) + m.ShortMM)
		at := 0
		for at < len(list) && (soon[at] < share || soon[at] == share && list[at].What <= m.What) {
			at++
		}
		list, soon = slices.Insert(list, at, m.Weak), slices.Insert(soon, at, share)
	}
	return list
}

// blame finds what each tolerance takes in the worst corner, and the one that takes
// the most.
func (m *margin) blame(ranges [tolerances]Range) {
	for i, s := range m.shift {
		switch m.ShareMM[i] = math.Max(0, -math.Min(s[0], s[1])); {
		case m.ShareMM[i] == 0:
		case s[0] < s[1]:
			m.ValueMM[i] = ranges[i].Low
		default:
			m.ValueMM[i] = ranges[i].High
		}
		if m.ShareMM[i] > m.ShareMM[m.Tolerance] {
			m.Tolerance = Tolerance(i)
		}
	}
}
