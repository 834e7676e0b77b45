package page

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// foamWall is foam between two pockets, or between a pocket and the tray's edge.
type foamWall struct {
	mm     float64
	a, b   geometry.Point
	beside [2]geometry.Box // what it is between
	edge   bool
}

// middle is where the wall's width is written: half way across, and where the
// two sides run along each other in the middle of that stretch.
func (w foamWall) middle() geometry.Point { return w.along(0.5) }

// along is the place half way across, at a share of that stretch.
func (w foamWall) along(share float64) geometry.Point {
	m := w.a.Add(w.b).Scale(0.5)
	const straight = 1e-6 // mm out of line
	p, q := w.beside[0], w.beside[1]
	if low, high := math.Max(p.Min.X, q.Min.X), math.Min(p.Max.X, q.Max.X); math.Abs(w.a.X-w.b.X) < straight && low < high {
		m.X = low + share*(high-low)
	}
	if low, high := math.Max(p.Min.Y, q.Min.Y), math.Min(p.Max.Y, q.Max.Y); math.Abs(w.a.Y-w.b.Y) < straight && low < high {
		m.Y = low + share*(high-low)
	}
	return m
}

// widestWall is the widest wall, in mm, that gets its width written in: less
// where pockets are many and small, for each has more neighbours within it.
func widestWall(rim geometry.Box, pockets int) float64 {
	return math.Min(30, 1.5*math.Sqrt(rim.Width()*rim.Height()/float64(max(1, pockets))))
}

// walls are the tray's, narrowest first: from each pocket to the rim before ease, as the job counts its edge, and the
// gaps between pockets that are about the narrowest of one of the two.
func walls(t *plan.Tray) []foamWall {
	var contours []geometry.Contour
	var boxes []geometry.Box
	for _, k := range t.Pockets {
		if t.InEar(k) {
			continue
		}
		for _, c := range k.Design.Contours() {
			contours, boxes = append(contours, c), append(boxes, c.Bounds())
		}
	}
	rim := t.Rim.Bounds()
	limit := widestWall(rim, len(contours))
	gaps := slices.DeleteFunc(geometry.Gaps(contours, limit), func(g geometry.Gap) bool {
		return !foamSide(contours[g.I], g.OnJ) || !foamSide(contours[g.J], g.OnI)
	})
	least := make([]float64, len(contours))
	for i := range least {
		least[i] = math.Inf(1)
	}
	for _, g := range gaps {
		least[g.I], least[g.J] = math.Min(least[g.I], g.Distance), math.Min(least[g.J], g.Distance)
	}
	var list []foamWall
	for _, g := range gaps {
		if g.Distance <= 1.2*math.Max(least[g.I], least[g.J]) {
			list = append(list, foamWall{g.Distance, g.OnI, g.OnJ, [2]geometry.Box{boxes[g.I], boxes[g.J]}, false})
		}
	}
	for i, c := range contours {
		if t.Rim.Len() > 0 && c.Len() > 0 && c.Area() > 0 {
			d, a, b := geometry.Distance(c, t.Rim)
			list = append(list, foamWall{d, a, b, [2]geometry.Box{boxes[i], rim}, true})
		}
	}
	list = slices.DeleteFunc(list, func(w foamWall) bool { return !(w.mm > 0.05 && w.mm < limit) })
	slices.SortStableFunc(list, func(a, b foamWall) int { return cmp.Compare(a.mm, b.mm) })
	return list
}

// foamSide reports whether a place lies on that side of a pocket's contour where foam is: within what the pocket goes
// around, and outside all else. Between a ring's outside and its inside there is none.
func foamSide(c geometry.Contour, p geometry.Point) bool {
	return (c.Winding(p) != 0) == (c.Area() < 0)
}

// narrowest is the narrowest wall of a tray, or its narrowest edge; false for none.
func (v *overview) narrowest(i int, edge bool) (foamWall, bool) {
	at := slices.IndexFunc(v.walls[i], func(w foamWall) bool { return w.edge == edge })
	if at < 0 {
		return foamWall{}, false
	}
	return v.walls[i][at], true
}

// markNarrowest points from both sides at the tray's narrowest wall and edge, for the words
// below the tray say how thin they are and not where; no number stands there as well.
func (v *overview) markNarrowest(i int, on view, claims *claims) {
	for _, edge := range []bool{false, true} {
		w, ok := v.narrowest(i, edge)
		if !ok {
			continue
		}
		a, b, room := v.pinched(w, 0.5, on)
		for _, share := range []float64{0.25, 0.75, 0.1, 0.9} { // beside the names, where there is room
			if claims.free(room) {
				break
			}
			if c, d, other := v.pinched(w, share, on); claims.free(other) {
				a, b, room = c, d, other
			}
		}
		v.c.pinch(a, b, !edge)
		claims.take(room)
	}
}

// pinched is where a wall's two sides are pointed at, at a share of its stretch, and what of the
// page that takes.
func (v *overview) pinched(w foamWall, share float64, on view) (a, b geometry.Point, room rect) {
	aside := w.along(share).Sub(w.a.Add(w.b).Scale(0.5))
	a, b = on.at(w.a.Add(aside)), on.at(w.b.Add(aside))
	const arm, half = 2 * pinchPX, 8
	reach := geometry.Point{}
	if d := b.Sub(a); d.Norm() > 0 {
		reach = d.Scale(arm / d.Norm())
	}
	from, to := a.Sub(reach), b
	if !w.edge {
		to = b.Add(reach)
	}
	return a, b, rect{math.Min(from.X, to.X) - half, math.Min(from.Y, to.Y) - half, math.Abs(from.X-to.X) + 2*half, math.Abs(from.Y-to.Y) + 2*half}
}

// mostAlike is how many walls of one width get it written in: a calm picture
// says it a few times, not fifty.
const mostAlike = 3

// labelWalls writes the widths of walls into them, where the number has room
// and does not touch a pocket.
func (v *overview) labelWalls(i int, on view, claims *claims) {
	for _, k := range v.p.Trays[i].Pockets {
		claims.take(boxOn(on, k.Box).inset(2))
	}
	for _, k := range v.p.Trays[i].Marks {
		claims.take(boxOn(on, k.Box))
	}
	alike := map[string]int{}
	for _, w := range v.walls[i] {
		text := bare(w.mm, v.o.Unit)
		a, b := on.at(w.a), on.at(w.b)
		wide, high := v.typesetter.width(text, smallType), smallType.capHeight()
		if alike[text] == mostAlike || math.Abs(a.X-b.X) < wide+6 && math.Abs(a.Y-b.Y) < high+10 {
			continue
		}
		m := on.at(w.middle())
		if _, ok := claims.place(on.on(), centred(m.X, m.Y, wide+2, high+2)); ok {
			alike[text]++
			v.measureLine(on, w, math.Abs(a.X-b.X), wide, high)
			v.c.text(m.X, m.Y+high/2, text, smallType, softInk, 0.5)
		}
	}
}

// measureLine draws from side to side of a wall what its number measures, open where that stands.
func (v *overview) measureLine(on view, w foamWall, across, wide, high float64) {
	aside := w.along(0.5).Sub(w.a.Add(w.b).Scale(0.5))
	a, b := on.at(w.a.Add(aside)), on.at(w.b.Add(aside))
	d := b.Sub(a).Scale(1 / b.Sub(a).Norm())
	gap := high/2 + 4
	if across >= wide+6 {
		gap = wide/2 + 4
	}
	half := (b.Sub(a).Norm() - 2*gap) / 2
	line := pen{width: 1.5, col: softInk}
	for _, end := range []struct{ at, in geometry.Point }{{a, d}, {b, d.Scale(-1)}} {
		to := end.at.Add(end.in.Scale(math.Max(0, half)))
		v.c.line(end.at.X, end.at.Y, to.X, to.Y, line)
		v.c.line(end.at.X+5*d.Y, end.at.Y-5*d.X, end.at.X-5*d.Y, end.at.Y+5*d.X, line)
	}
}
