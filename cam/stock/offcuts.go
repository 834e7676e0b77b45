package stock

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// What of a sheet stays: the largest rectangle that meets no part and no cut around one, then the
// largest of what is left beside it, as long as it is of use.

// An offcut of use is at least so wide and so large; judged, no source.
const (
	leastOffcutMM  = 60
	leastOffcutMM2 = 15_000
)

// mostBoxes on a sheet: of more, no offcuts are looked for.
const mostBoxes = 300

// offcuts are the setup's, the largest first; around is the width of the cut around parts, and of what
// a beam burns as it comes in. A wire comes in from the left and goes from part to part through the foam
// between them.
func (s *Setup) offcuts(around float64, wire bool) []Rect {
	return offcutsOf(s.SizeMM, s.taken(around, wire))
}

// whole is the largest rectangle inside it whose edges are where a knife cuts it out of a sheet, in steps from its corner: those that
// are the sheet's own are not cut.
func (r Rect) whole(size [2]float64, step float64) Rect {
	const rounding = 1e-6
	side := func(at, long, of float64) (float64, float64) {
		low, high := at, at+long
		if low > rounding {
			low = math.Ceil(low/step-rounding) * step
		}
		if high < of-rounding {
			high = math.Floor(high/step+rounding) * step
		}
		return low, high - low
	}
	x, length := side(r.XMM, r.LengthMM, size[0])
	y, width := side(r.YMM, r.WidthMM, size[1])
	return Rect{x, y, length, width}
}

// outMM is how finely an offcut is measured: whole mm, or 32nds of an inch, which lose as little.
func outMM(u units.Unit) float64 {
	if u == units.Inch {
		return units.InchMM / 32
	}
	return 1
}

// Kept are the offcuts as the setup's program counts.
func (s *Setup) Kept() (list []geometry.Box) {
	for _, o := range s.Offcuts {
		list = append(list, moved(o.box(), geometry.Translate(-s.ZeroMM[0], -s.ZeroMM[1])))
	}
	return list
}

// taken is what no offcut may meet.
func (s *Setup) taken(around float64, wire bool) (taken []geometry.Box) {
	all := geometry.EmptyBox()
	for _, p := range s.Parts {
		taken = append(taken, p.Sheet.Edge.Shape.Transform(p.to).Bounds().Grow(around))
		all = all.Union(taken[len(taken)-1])
	}
	if wire {
		all.Min.X = math.Min(all.Min.X, 0)
		taken = []geometry.Box{all}
	}
	return taken
}

func offcutsOf(size [2]float64, taken []geometry.Box) (list []Rect) {
	for len(taken) <= mostBoxes {
		r := largestFree(size, taken)
		if min(r.LengthMM, r.WidthMM) < leastOffcutMM || r.LengthMM*r.WidthMM < leastOffcutMM2 {
			break
		}
		list = append(list, r)
		taken = append(taken, geometry.Box{Min: geometry.Point{X: r.XMM, Y: r.YMM}, Max: geometry.Point{X: r.XMM + r.LengthMM, Y: r.YMM + r.WidthMM}})
	}
	return list
}

// largestFree is the largest rectangle of a sheet whose inside meets no box: its left and right
// are edges of boxes or of the sheet, and between them it is the widest gap. Of equal ones it is
// the lowest at the left.
func largestFree(size [2]float64, boxes []geometry.Box) Rect {
	xs := []float64{0, size[0]}
	boxes = slices.Clone(boxes)
	slices.SortFunc(boxes, func(a, b geometry.Box) int { return cmp.Compare(a.Min.Y, b.Min.Y) })
	for _, b := range boxes {
		for _, x := range [2]float64{b.Min.X, b.Max.X} {
			if x > 0 && x < size[0] {
				xs = append(xs, x)
			}
		}
	}
	slices.Sort(xs)
	xs = slices.Compact(xs)
	var best Rect
	for i, x0 := range xs {
		for _, x1 := range xs[i+1:] {
			if (x1-x0)*size[1] <= best.LengthMM*best.WidthMM {
				continue
			}
			low := 0.0
			gap := func(high float64) {
				if (x1-x0)*(high-low) > best.LengthMM*best.WidthMM+1e-6 {
					best = Rect{x0, low, x1 - x0, high - low}
				}
			}
			for _, b := range boxes {
				if b.Max.X > x0+1e-9 && b.Min.X < x1-1e-9 {
					gap(math.Min(b.Min.Y, size[1]))
					low = math.Max(low, b.Max.Y)
				}
			}
			gap(size[1])
		}
	}
	return best
}

// rest is what nothing lies on of a parted sheet: what is behind the panels of a strip, and all that is
// beside the strips. In the sheet as it lies.
func (o opened) rest() (list []Rect) {
	for _, p := range pack.Rests(o.panels, o.size[0], o.size[1]) {
		if r := o.rect(p); min(r.LengthMM, r.WidthMM) >= leastOffcutMM {
			list = append(list, r)
		}
	}
	return list
}

// finish sums up what is bought, what is wasted and what goes back into the rack.
func (l *layer) finish() {
	volume, lost := 0.0, 0.0
	bought := make([][]string, len(l.stock.Sheets))
	for _, o := range l.cut {
		size := o.sizeMM()
		if o.parted() {
			p := Parted{Sheet: o.name, Label: o.label, Foam: o.key.foam, Layer: o.key.sold.MM(), SizeMM: size, Rest: o.rest()}
			for _, panel := range o.panels {
				p.Panels = append(p.Panels, o.rect(panel))
			}
			l.Parted = append(l.Parted, p)
		}
		area, kept := size[0]*size[1], o.kept
		for _, r := range o.rest() {
			kept += r.LengthMM * r.WidthMM
		}
		volume += area * o.key.sold.MM()
		lost += (area - o.parts - kept) * o.key.sold.MM()
		if !o.kind.sheet.AtHand() {
			bought[o.kind.row] = append(bought[o.kind.row], o.name)
		}
	}
	if volume > 0 {
		l.WasteShare = lost / volume
	}
	for row, names := range bought {
		if s, n := l.stock.Sheets[row], len(names); n > 0 {
			p := Purchase{Foam: s.Foam, ThicknessMM: s.Thickness.MM(), SizeMM: [2]float64{s.Length.MM(), s.Width.MM()}, Count: n, Price: s.Price, Called: names}
			l.Buy = append(l.Buy, p)
			l.Cost += s.Price * float64(n)
		}
	}
	l.left()
}

// left is the stock as it is when all is cut: what is not cut up, the offcuts, and the rows that
// can be bought.
func (l *layer) left() {
	for i, s := range l.stock.Sheets {
		if s.Count > 0 {
			if s.Count = l.free[i]; s.Count == 0 {
				continue
			}
		}
		l.Left = append(l.Left, s)
	}
	name := l.rackNames()
	for i, o := range l.cut {
		keep := func(list []Rect) (called []string) {
			for _, r := range list {
				called = append(called, name(o.name+" rest"))
				l.Left = append(l.Left, job.StockSheet{Name: called[len(called)-1], Foam: o.key.foam, Thickness: o.key.sold, Length: lengthOf(r.LengthMM), Width: lengthOf(r.WidthMM), Count: 1})
			}
			return called
		}
		for _, s := range l.Setups {
			if s.cut == i {
				for _, r := range s.Offcuts {
					s.Out = append(s.Out, r.whole(s.SizeMM, outMM(l.Plan.Job.Units)))
				}
				s.Called = keep(s.Out)
			}
		}
		beside := keep(o.rest())
		for k := range l.Parted {
			if p := &l.Parted[k]; p.Sheet == o.name {
				p.Called = beside
			}
		}
	}
}
