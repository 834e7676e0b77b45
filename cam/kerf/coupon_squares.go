package kerf

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// usualSizes of squares: well apart, so that a machine's scale shows, and from 10
// to 100 mm, where soft foam is read to 0.1 mm (ISO 1923, after its Chinese
// adoption GB/T 6342).
func usualSizes(ladder bool, u units.Unit) []units.Length {
	const mm, quarter units.Length = 1_000_000, 6_350_000
	switch {
	case ladder && u == units.Inch:
		return []units.Length{6 * quarter, 3 * quarter}
	case ladder:
		return []units.Length{40 * mm, 20 * mm}
	case u == units.Inch:
		return []units.Length{10 * quarter, 7 * quarter, 5 * quarter, 3 * quarter}
	}
	return []units.Length{60 * mm, 45 * mm, 30 * mm, 20 * mm}
}

// leastPlugMM is the smallest plug that a caliper's jaws can hold without
// crushing it. Common practice, no source.
const leastPlugMM = 8

// blocks makes the patches of the coupon and the pockets that stand in them.
func (d *designer) blocks() {
	d.squares()
	d.comb()
	d.fitStrip()
}

func (d *designer) squares() {
	if d.NoSquares {
		return
	}
	d.checkAlike()
	sizes := slices.Clone(d.Sizes)
	if len(sizes) == 0 {
		sizes = usualSizes(d.Ladder.Key != "", d.Units)
	}
	slices.SortStableFunc(sizes, func(a, b units.Length) int { return int(min(max(b-a, -1), 1)) })
	if least := leastPlugMM + d.kerfMM(); sizes[len(sizes)-1].MM() < least {
		d.fail("square-too-small", fmt.Sprintf("a square of %s leaves a plug of %s, too small to measure", d.length(sizes[len(sizes)-1]),
			d.mm(math.Max(0, sizes[len(sizes)-1].MM()-d.kerfMM()))), "choose sizes from "+d.mm(least)+" on")
		return
	}
	if t := d.Thickness.MM(); d.grooves() && 2*d.coupon.SkinMM() > t {
		d.fail("foam-too-thin", fmt.Sprintf("a skin of %s under the squares is most of %s of foam", d.mm(d.coupon.SkinMM()), d.length(d.Thickness)),
			"use thicker foam, or a recipe with a thinner skin")
		return
	}
	for i, s := range d.coupon.Groups {
		var group []patch
		for k, size := range sizes {
			group = append(group, d.square(i, s, size, repeats(sizes[:k], size)))
		}
		if s.Letter == "" {
			d.patches = append(d.patches, group...)
			continue
		}
		d.patches = append(d.patches, d.row(group))
	}
}

func repeats(list []units.Length, size units.Length) int {
	n := 0
	for _, l := range list {
		if l == size {
			n++
		}
	}
	return n
}

// square is a square with the foam that its kerf takes, its label below it.
func (d *designer) square(setting int, s Group, size units.Length, again int) patch {
	side, margin := size.MM(), onGrid(d.kerfMM()/2)
	text := size.Bare(d.Units)
	if s.Letter != "" {
		text = s.Letter + " " + text
	}
	if again > 0 {
		text += fmt.Sprintf("-%d", again+1)
	}
	below := d.labelRoom()
	width := onGrid(side) + 2*margin
	return patch{width, width + below, func(at geometry.Point) {
		corner := at.Add(geometry.Point{X: margin, Y: margin + below})
		d.coupon.Squares = append(d.coupon.Squares, Square{Label: text, Size: size, At: corner, Group: setting})
		d.pockets = append(d.pockets, d.squarePocket(corner, side))
		d.labelUnder(at, width, text, s.Letter)
		plug := geometry.Box{Min: corner, Max: corner.Add(geometry.Point{X: side, Y: side})}.Grow(-d.kerfMM() / 2)
		d.labelIn(plug, text, s.Letter)
	}}
}

// squarePocket is the hole that a square leaves, as a pocket of the job: so it
// is checked against its neighbours, the machine and the tool.
func (d *designer) squarePocket(corner geometry.Point, side float64) job.Pocket {
	kerf := d.kerfMM()
	return job.Pocket{
		Shape: job.SizeShape, X: length(corner.X - kerf/2), Y: length(corner.Y - kerf/2), Length: length(side + kerf), Width: length(side + kerf),
		Corner: d.cornerOf(), Through: true, Columns: 1, Rows: 1,
	}
}

// cornerOf is the least radius that the tool leaves in a corner, a nanometre
// generous for the rounding.
func (d *designer) cornerOf() units.Length {
	return length(math.Max(d.kerfMM()/2, d.coupon.Recipe.CornerRadiusMM.Value)) + 1
}
