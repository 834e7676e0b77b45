package proof

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// What of the sheet is to stay beside all that is cut out of it, and goes back into the rack. All foam
// beside the parts is waste to the other rules; into these rectangles nothing may be cut.

// Offcut is such a rectangle, by the name that is written on it.
type Offcut struct {
	geometry.Box
	Name string // "" where nobody has given one
}

// judgeOffcuts finds what this program, of its setup's, cuts of each of them.
func (d *run) judgeOffcuts() {
	for _, o := range d.want.Offcuts {
		var in miss
		deep := 0.0
		for i := range d.sweeps {
			s := &d.sweeps[i]
			if s.motion < 0 || s.deepest() <= faceMM || !s.near(o.Box) {
				continue
			}
			by, at := s.into(o.Box)
			if by > d.tolerance {
				deep = max(deep, s.deepest())
			}
			in.worse(by, at, s.motion)
		}
		if in.by <= d.tolerance {
			continue
		}
		if r := &d.result; in.by > r.WorstOvercutMM {
			r.WorstOvercutMM, r.WorstOvercutAt = in.by, in.at
		}
		name := ""
		if o.Name != "" {
			name = fmt.Sprintf(" %q", o.Name)
		}
		d.wrong(d.lineOf(in.motion), "offcut-cut", "cuts %v into the offcut%s of %v x %v that is to stay, %v deep, at %v", length(in.by), name, length(o.Width()), length(o.Height()), length(deep), in.at).
			hint("take that cut out, or make the program again with `traywright cut`; where it has run already, measure anew what is left before it goes into the rack")
	}
}

// near reports whether the disc may touch a box on its way.
func (s *sweep) near(o geometry.Box) bool {
	path, o := s.bounds(), o.Grow(s.radius)
	return path.Min.X < o.Max.X && o.Min.X < path.Max.X && path.Min.Y < o.Max.Y && o.Min.Y < path.Max.Y
}

// into is how far what the sweep removes reaches into a box, and the place of its middle there. How far
// a place is from a box, or less than 0 inside it, has one lowest run along a line; an arc is taken as
// lines.
func (s *sweep) into(o geometry.Box) (by float64, at geometry.Point) {
	from, to, ok := s.deepPart(faceMM)
	if !ok {
		return 0, s.a
	}
	const chordMM, halvings = 1e-3, 60
	n := 1.0
	if s.arc && s.r > chordMM {
		n = math.Max(1, math.Ceil((to-from)*math.Abs(s.turn)/(2*math.Acos(1-chordMM/s.r))))
	}
	outside := func(t float64) float64 { return outOf(s.at(t), o) }
	least := math.Inf(1)
	for k := range int(n) {
		low, high := from+(to-from)*float64(k)/n, from+(to-from)*float64(k+1)/n
		for range halvings {
			third := (high - low) / 3
			if outside(low+third) < outside(high-third) {
				high -= third
			} else {
				low += third
			}
		}
		if t := (low + high) / 2; outside(t) < least {
			least, at = outside(t), s.at(t)
		}
	}
	return s.radius - least, at
}

// outOf is how far a place is from a box; inside it, less than 0 by how far it is from its sides.
func outOf(p geometry.Point, o geometry.Box) float64 {
	x, y := math.Max(o.Min.X-p.X, p.X-o.Max.X), math.Max(o.Min.Y-p.Y, p.Y-o.Max.Y)
	if x > 0 && y > 0 {
		return math.Hypot(x, y)
	}
	return math.Max(x, y)
}
