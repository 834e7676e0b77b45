package stock

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
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
	var taken []geometry.Box
	all := geometry.EmptyBox()
	for _, p := range s.Parts {
		taken = append(taken, p.Sheet.Edge.Shape.Transform(p.to).Bounds().Grow(around))
		all = all.Union(taken[len(taken)-1])
	}
	if wire {
		all.Min.X = math.Min(all.Min.X, 0)
		taken = []geometry.Box{all}
	}
	return offcutsOf(s.SizeMM, taken)
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

// rest are the panels of a sheet that nothing lies on: the rest of the strip that was begun, and
// all strips behind it in one piece. In the sheet as it lies.
func (o opened) rest() (list []Rect) {
	k := o.kind
	columns, rows := o.used/k.grid[1], o.used%k.grid[1]
	if rows > 0 {
		y := float64(rows) * k.panel[1]
		list = append(list, Rect{float64(columns) * k.panel[0], y, k.panel[0], k.whole[1] - y})
		columns++
	}
	if columns < k.grid[0] {
		x := float64(columns) * k.panel[0]
		list = append(list, Rect{x, 0, k.whole[0] - x, k.whole[1]})
	}
	return slices.DeleteFunc(list, func(r Rect) bool { return min(r.LengthMM, r.WidthMM) < leastOffcutMM })
}

// finish sums up what is bought, what is wasted and what goes back into the rack.
func (l *layer) finish() {
	volume, lost := 0.0, 0.0
	bought := make([]int, len(l.stock.Sheets))
	for _, o := range l.cut {
		if k := o.kind; k.grid != [2]int{1, 1} {
			l.Parted = append(l.Parted, Parted{o.name, o.label, o.key.foam, o.key.sold.MM(), k.whole, k.grid, k.panel, o.used, o.rest()})
		}
		area, kept := o.kind.whole[0]*o.kind.whole[1], o.kept
		for _, r := range o.rest() {
			kept += r.LengthMM * r.WidthMM
		}
		volume += area * o.key.sold.MM()
		lost += (area - o.parts - kept) * o.key.sold.MM()
		if !o.kind.sheet.AtHand() {
			bought[o.kind.row]++
		}
	}
	if volume > 0 {
		l.WasteShare = lost / volume
	}
	for row, n := range bought {
		if s := l.stock.Sheets[row]; n > 0 {
			p := Purchase{Foam: s.Foam, ThicknessMM: s.Thickness.MM(), SizeMM: [2]float64{s.Length.MM(), s.Width.MM()}, Count: n, Price: s.Price}
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
		keep := func(list []Rect) {
			for _, r := range list {
				r = r.Whole(l.Plan.Job.Units)
				l.Left = append(l.Left, job.StockSheet{Name: name(o.name + " rest"), Foam: o.key.foam, Thickness: o.key.sold, Length: lengthOf(r.LengthMM), Width: lengthOf(r.WidthMM), Count: 1})
			}
		}
		for _, s := range l.Setups {
			if s.cut == i {
				keep(s.Offcuts)
			}
		}
		keep(o.rest())
	}
}
