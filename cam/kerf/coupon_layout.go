package kerf

import (
	"context"
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// Distances of a layout, mm. Foam as thin as a pocket's wall may be bends under a
// caliper's jaws, so the squares stand farther apart. Common practice, no source.
const (
	leastWallMM = 8
	leastEdgeMM = 10
	gridMM      = 0.5 // of places, so that they can be read off
)

// patch is a rectangle of the coupon: its size, and what stands in it when its
// lower-left corner is known.
type patch struct {
	width, height float64
	place         func(at geometry.Point)
}

// onGrid rounds a length up to the grid.
func onGrid(mm float64) float64 { return math.Ceil(mm/gridMM-1e-9) * gridMM }

func (d *designer) wallMM() float64 {
	return d.standing(leastWallMM, d.coupon.Foam.LeastWallMM.Value)
}

func (d *designer) edgeMM() float64 {
	return d.standing(leastEdgeMM, d.coupon.Foam.LeastEdgeMM.Value)
}

// standing is foam beside a square that does not bend away under the cutter either: what bends is measured as kerf.
func (d *designer) standing(least, asked float64) float64 {
	return onGrid(max(least, asked, plan.StandsMM(d.coupon.Foam, d.Thickness.MM())))
}

// row joins patches side by side, their lower edges in line.
func (d *designer) row(patches []patch) patch {
	width, height := -d.wallMM(), 0.0
	for _, p := range patches {
		width += d.wallMM() + p.width
		height = math.Max(height, p.height)
	}
	return patch{width, height, func(at geometry.Point) {
		for _, p := range patches {
			p.place(at)
			at.X += p.width + d.wallMM()
		}
	}}
}

// shelves lays the patches out in rows no wider than width, in their order, the
// first row at the top.
func (d *designer) shelves(width float64) layout {
	var size geometry.Point
	places := make([]geometry.Point, len(d.patches))
	x, top, height := 0.0, 0.0, 0.0
	for i, p := range d.patches {
		if x > 0 && x+p.width > width {
			x, top, height = 0, top+height+d.wallMM(), 0
		}
		places[i] = geometry.Point{X: x, Y: -top - p.height}
		size.X = math.Max(size.X, x+p.width)
		height = math.Max(height, p.height)
		x += p.width + d.wallMM()
	}
	size.Y = top + height
	for i := range places {
		places[i].Y += size.Y
	}
	return layout{size, places}
}

// lay chooses the row width that takes least foam and fits the machine, places
// every patch, and makes the job.
func (d *designer) lay() {
	edge := d.edgeMM()
	room := d.roomMM()
	var best, least layout
	for _, l := range append(d.rows(), d.packed()...) {
		l.size = l.size.Add(geometry.Point{X: 2 * edge, Y: 2 * edge})
		if l.better(least) {
			least = l
		}
		if l.size.X <= room.X && l.size.Y <= room.Y && l.better(best) {
			best = l
		}
	}
	if best.places == nil {
		d.fail("coupon-too-large",
			fmt.Sprintf("it takes %s x %s of foam, and %s travels %s x %s with the tool around it", d.mm(least.size.X), d.mm(least.size.Y),
				d.Machine.ID, d.mm(room.X), d.mm(room.Y)),
			"choose smaller or fewer sizes, steps, slots or pieces, or make it two coupons (--no-squares)")
		return
	}
	for i, p := range d.patches {
		p.place(best.places[i].Add(geometry.Point{X: edge, Y: edge}))
	}
	d.makeJob(best.size)
}

// layout is where the patches are, and the size of it all.
type layout struct {
	size   geometry.Point
	places []geometry.Point
}

// better prefers what an offcut is likelier to have room for: less area, and of
// two areas the one that is nearer to a square.
func (l layout) better(m layout) bool {
	cost := func(l layout) float64 {
		long, short := math.Max(l.size.X, l.size.Y), math.Min(l.size.X, l.size.Y)
		return long * math.Sqrt(long*short)
	}
	return m.places == nil || cost(l) < cost(m)
}

// roomMM is the travel, in true mm, less the tool on both sides.
func (d *designer) roomMM() geometry.Point {
	around := 2 * math.Max(d.coupon.Tool.DiameterMM.Value, d.kerfMM())
	x, y := d.Machine.Scale()
	return geometry.Point{X: x*d.Machine.TravelMM[0].Value - around, Y: y*d.Machine.TravelMM[1].Value - around}
}

// rows are the layouts in rows: as wide as every run of patches from the first.
func (d *designer) rows() []layout {
	var list []layout
	x := -d.wallMM()
	for _, p := range d.patches {
		x += d.wallMM() + p.width
		list = append(list, d.shelves(x), d.shelves(p.width))
	}
	return list
}

// packSteps of a search for one strip: some hundredths of a second.
const packSteps = 100_000

// packed are layouts without rows, for pieces of many sizes: strips of several
// lengths about the square root of the area, and as long as the machine.
func (d *designer) packed() []layout {
	if len(d.FitStrip) == 0 {
		return nil
	}
	items := make([]pack.Item, len(d.patches))
	area := 0.0
	for i, p := range d.patches {
		items[i] = pack.Item{Length: steps(p.width), Width: steps(p.height), Fixed: true}
		area += (p.width + d.wallMM()) * (p.height + d.wallMM())
	}
	var list []layout
	for _, length := range []float64{0.8 * math.Sqrt(area), math.Sqrt(area), 1.25 * math.Sqrt(area), d.roomMM().X - 2*d.edgeMM()} {
		r, err := pack.Strip(context.Background(), items, steps(length), pack.Options{Spacing: steps(d.wallMM()), Steps: packSteps})
		if err == nil {
			list = append(list, d.layoutOf(r.Placements))
		}
	}
	return list
}

// steps is a length in steps of the grid, which every patch is a multiple of.
func steps(mm float64) int64 { return int64(math.Round(mm / gridMM)) }

func (d *designer) layoutOf(placements []pack.Placement) layout {
	l := layout{places: make([]geometry.Point, len(d.patches))}
	for _, p := range placements {
		at := geometry.Point{X: float64(p.X) * gridMM, Y: float64(p.Y) * gridMM}
		l.places[p.Item] = at
		l.size.X = math.Max(l.size.X, at.X+d.patches[p.Item].width)
		l.size.Y = math.Max(l.size.Y, at.Y+d.patches[p.Item].height)
	}
	return l
}

// makeJob is the coupon as a job of one tray.
func (d *designer) makeJob(size geometry.Point) {
	c, here := &d.coupon, finding.Position{File: CouponID}
	tray := job.Tray{
		Position: here, ID: CouponID, Label: c.title(), Length: length(size.X), Width: length(size.Y),
		Layers: []job.Layer{{Position: here, Foam: d.Foam, Thickness: d.Thickness}},
		Wall:   length(c.Foam.LeastWallMM.Value), Edge: length(c.Foam.LeastEdgeMM.Value),
		Halves: 1, Tool: d.CouponSpec.Tool, Pockets: milled(d.pockets),
	}
	if tray.Tool == "" {
		tray.Tool = c.Tool.ID
	}
	c.Job = &job.Job{File: CouponID, Units: d.Units, Machine: d.Machine.ID, Roster: d.pieces, Trays: []job.Tray{tray}}
}

// length is mm to the nanometre. What is laid out here fits a machine or is
// refused before, so it is within what a Length holds.
func length(mm float64) units.Length { return units.Length(math.Round(mm * 1e6)) }

// milled are pockets without a plug, as the coupon's words have them.
func milled(pockets []job.Pocket) []job.Pocket {
	for i := range pockets {
		pockets[i].Waste = job.ClearWaste
	}
	return pockets
}
