package proof

import (
	"math"

	"traywright/geometry"
)

// A beam narrows on its way through the foam by an angle on either side. Walls
// are compared at the underside, where the kerf is measured; what the lean
// takes from a wall at the face is told apart, as a warning with the thinnest
// wall's thickness there. The angle is taken to be the same all the way down
// and for every pass, which a beam with its focus in the foam only roughly is.

// lean is how much farther the beam reaches to a side, mm for each mm above the
// foam's underside.
func (d *run) lean() float64 {
	if !d.beam {
		return 0
	}
	return math.Tan(math.Min(math.Max(d.setup.TaperDegrees, 0), mostTaper) * math.Pi / 180)
}

// mostTaper is the greatest half angle that is taken for a beam's, degrees.
const mostTaper = 45

// flareMM is how much farther a cut reaches to a side at the face than at the
// underside.
func (d *run) flareMM() float64 { return d.lean() * d.throughMM() }

// flankOver is how deep a beam that leans opens the foam over p: all of its
// depth within its radius, and less towards the edge of its flare.
func (s *sweep) flankOver(p geometry.Point) (float64, bool) {
	beyond := s.distance(p, math.Inf(-1)) - s.radius
	if beyond <= 0 {
		return s.depthA, true
	}
	depth := math.Min(s.depthA, (s.flare-beyond)/s.lean)
	return depth, depth > 0
}

// judgeTaper tells what a leaning beam makes of the walls.
func (d *run) judgeTaper(cuts []hole) {
	flare := d.flareMM()
	if flare <= d.tolerance || len(d.sweeps) == 0 {
		return
	}
	line := d.lineOf(d.sweeps[0].motion)
	wall, names := thinnestWall(cuts, d.want.Outline)
	switch left := wall - 2*flare; {
	case math.IsInf(wall, 1):
		d.warn(line, "tapered-walls", "the beam leans %v degrees a side, so at the foam's face the cut is %v wider a side than underneath, where the kerf holds", number(d.setup.TaperDegrees), length(flare)).
			hint("measure what was cut at its underside")
	case left <= 0:
		d.wrong(line, "tapered-walls", "the beam leans %v degrees a side and reaches %v farther at the foam's face than underneath: nothing is left there of the wall of %v %v", number(d.setup.TaperDegrees), length(flare), length(wall), names).
			hint("leave a thicker wall")
	default:
		d.warn(line, "tapered-walls", "the beam leans %v degrees a side, so at the foam's face every hole is %v wider a side than planned; the thinnest wall, %v, is %v there and not %v", number(d.setup.TaperDegrees), length(flare), names, length(left), length(wall)).
			hint("leave a thicker wall where that is too thin")
	}
}

// thinnestWall is the least planned foam between two holes, or a hole and the
// outline, and what it stands between. +Inf where there is none.
func thinnestWall(cuts []hole, outline geometry.Region) (least float64, between string) {
	least = math.Inf(1)
	consider := func(a, b geometry.Region, names string) {
		for _, c := range a.Contours() {
			for _, o := range b.Contours() {
				if boxesApart(c.Bounds(), o.Bounds()) >= least {
					continue
				}
				if gap, _, _ := geometry.Distance(c, o); gap > besideMM && gap < least {
					least, between = gap, names
				}
			}
		}
	}
	for i := range cuts {
		consider(cuts[i].Shape, outline, "between "+cuts[i].Name+" and the outline")
		for j := range i {
			consider(cuts[i].Shape, cuts[j].Shape, "between "+cuts[j].Name+" and "+cuts[i].Name)
		}
	}
	return least, between
}

// boxesApart is the distance of two boxes; 0 where they meet.
func boxesApart(a, b geometry.Box) float64 {
	x := math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X))
	y := math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
	return math.Hypot(x, y)
}
