package stock

import (
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// The arrow. A setup's program first engraves an arrow that points to the back: what lies on the machine, and the
// frame that is left of it, show by it which face was up and which edge was in front. It lies in waste beside the
// parts, or, where that has no room, in foam that comes out of one of them later. An arrow and no letters, for
// the tool that cuts first makes it, and a wide cutter draws none.

// Arrow is where it lies.
type Arrow struct {
	FootMM [2]float64 // from the sheet's lower-left corner
	In     string     // the pocket whose foam it lies in; "" for waste beside the parts
	Plug   bool       // and comes out whole, instead of being milled away
}

const (
	// arrowMM is how long it is at least, arrowHeadMM how far each barb goes aside, arrowAwayMM how much foam
	// stays between it and a cut, and arrowDeeperMM how much deeper and wider than it a pocket is that takes
	// it away (judged, no source).
	arrowMM       = 20
	arrowHeadMM   = 5
	arrowAwayMM   = 2
	arrowDeeperMM = 0.5
)

// point puts the arrow onto the setup's work order, which is not complete yet, where the machine
// engraves and waste has room: not in what stays as an offcut, and no nearer to the edge than
// outlines are cut.
func (s *Setup) point(l *layer, r room, sheet *plan.Sheet) error {
	m := l.Plan.Machine
	if !m.Engraves() || m.Process.Traits().Wire {
		return nil
	}
	by, ready := sheet.Marking, *sheet
	ready.Cuts = slices.Clone(sheet.Cuts)
	if err := ready.Complete(l.Means, toleranceMM); err != nil {
		return err
	}
	if len(sheet.Marks) == 0 {
		first := firstCut(ready)
		by = plan.Cut{Tool: first.Tool, Recipes: first.Recipes}
	}
	how, deep := l.Means.Marking(by.Recipes[0], sheet.Layers[0].Thickness.MM())
	if c := m.Controller; m.Process.Traits().Beam && c.Written(how.PowerPercent.Value) < c.LeastWritten() {
		return nil // it would not show
	}
	groove := how.KerfMM.Value
	head, long := math.Max(arrowHeadMM, 1.1*groove), math.Max(arrowMM, 3*groove)
	clamped := slices.Concat(s.clamped(m, by.Tool, groove), l.pastArrow(s), l.beyond(s, groove))
	at, ok := s.spare(r, groove, 2*head, long, clamped)
	if !ok {
		at, ok = s.offOffcuts(r, groove, 2*head, long, clamped)
	}
	var in plan.Cut
	if !ok {
		at, in, ok = s.inPocket(r, ready, m.Process.Traits().Beam, groove, deep, 2*head, long, clamped)
	}
	if !ok {
		return nil
	}
	on := at.Add(geometry.Point{X: head})
	s.Arrow = &Arrow{[2]float64{on.X, on.Y}, in.Name, in.Plug || m.Process.Traits().Beam}
	foot := on.Sub(geometry.Point{X: s.ZeroMM[0], Y: s.ZeroMM[1]})
	tip := foot.Add(geometry.Point{Y: long})
	corner := func(p geometry.Point) geometry.Vertex { return geometry.Vertex{Point: p} }
	sheet.Marks = append([]geometry.Path{geometry.NewPath(corner(foot), corner(tip)),
		geometry.NewPath(corner(tip.Sub(geometry.Point{X: head, Y: head})), corner(tip), corner(tip.Add(geometry.Point{X: head, Y: -head})))}, sheet.Marks...)
	sheet.First = 2
	sheet.Marking = by
	return nil
}

// firstCut is a cut of the tool that a sheet without marks, completed, begins with.
func firstCut(sheet plan.Sheet) plan.Cut {
	for _, c := range sheet.Cuts {
		if c.Tool.Number == sheet.Turns[0] {
			return c
		}
	}
	return sheet.Edge
}

// inPocket is where in foam that comes out of a pocket later the middles of a groove's lines have room for their
// box: in the middle of a plug, which lies where it is until all is cut, or of a pocket that is milled away deeper
// than the groove and, as far as the tools' turns tell, late; of several the one nearest to the front left.
func (s *Setup) inPocket(r room, sheet plan.Sheet, beam bool, groove, deep, wide, high float64, clamped []geometry.Box) (at geometry.Point, in plan.Cut, ok bool) {
	zero, best := geometry.Point{X: s.ZeroMM[0], Y: s.ZeroMM[1]}, []float64(nil)
	for _, c := range sheet.Cuts {
		if c.Rough || c.Dowel || len(c.Pockets) == 0 || !c.Through && c.DepthMM < deep+arrowDeeperMM {
			continue
		}
		waste, away := c.Shape, groove/2+arrowDeeperMM
		if c.Plug {
			waste, away = plugOf(c), groove/2+arrowAwayMM
		} else if beam {
			away = groove/2 + arrowAwayMM + r.kerf + r.lead
		}
		box := waste.Bounds()
		low := box.Min.Add(box.Max).Scale(0.5).Sub(geometry.Point{X: wide / 2, Y: high / 2})
		arrow := geometry.Box{Min: low, Max: low.Add(geometry.Point{X: wide, Y: high})}
		left, err := geometry.Difference(geometry.NewRegion(geometry.Rectangle(arrow.Grow(away), 0)), waste, toleranceMM)
		laid := moved(arrow, geometry.Translate(zero.X, zero.Y))
		if err != nil || !left.Empty() || slices.ContainsFunc(clamped, meets(laid)) {
			continue
		}
		rank := []float64{float64(-c.Step()), float64(-slices.Index(sheet.Turns, c.Tool.Number)), low.Y, low.X}
		if best == nil || slices.Compare(rank, best) < 0 {
			best, at, in, ok = rank, laid.Min, c, true
		}
	}
	return at, in, ok
}

// plugOf is what a groove goes round.
func plugOf(c plan.Cut) geometry.Region {
	var list []geometry.Contour
	for _, k := range c.Shape.Contours() {
		if k.Area() < 0 {
			list = append(list, k.Reverse())
		}
	}
	return geometry.NewRegion(list...)
}

// spare is where in the sheet the middles of a groove's lines have room for their box, off what is
// taken: the place nearest to the front, of several the leftmost.
func (s *Setup) spare(r room, groove, wide, high float64, taken []geometry.Box) (at geometry.Point, ok bool) {
	in := s.within(r)
	taken = append(taken, s.taken(r.kerf+r.lead+arrowAwayMM+groove/2, false)...)
	for _, o := range s.Offcuts {
		taken = append(taken, o.box().Grow(groove/2))
	}
	if len(taken) > mostBoxes {
		return at, false
	}
	xs, ys := []float64{in.Min.X}, []float64{in.Min.Y}
	for _, b := range taken {
		xs, ys = append(xs, b.Max.X), append(ys, b.Max.Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	for _, y := range ys {
		for _, x := range xs {
			box := geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + wide, Y: y + high}}
			if in.Union(box) == in && !slices.ContainsFunc(taken, meets(box)) {
				return box.Min, true
			}
		}
	}
	return at, false
}

// within is where the middles of a groove's lines may lie: no nearer to the edge than outlines are cut.
func (s *Setup) within(r room) geometry.Box {
	return geometry.Box{Max: geometry.Point{X: s.SizeMM[0], Y: s.SizeMM[1]}}.Grow(r.kerf/2 - s.MarginMM)
}

// offOffcuts is a place in the corner of an offcut, where offcuts take all the waste: of all corners the one
// that leaves most of them, as many as there were.
func (s *Setup) offOffcuts(r room, groove, wide, high float64, clamped []geometry.Box) (at geometry.Point, ok bool) {
	in, most, kept := s.within(r), 0.0, s.Offcuts
	away := append(clamped, s.taken(r.kerf+r.lead+arrowAwayMM+groove/2, false)...)
	for _, o := range s.Offcuts {
		b := o.box().Grow(-groove/2 - arrowAwayMM)
		x0, y0 := math.Max(b.Min.X, in.Min.X), math.Max(b.Min.Y, in.Min.Y)
		x1, y1 := math.Min(b.Max.X, in.Max.X)-wide, math.Min(b.Max.Y, in.Max.Y)-high
		if x1 < x0 || y1 < y0 {
			continue
		}
		for _, p := range [4]geometry.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x0, Y: y1}, {X: x1, Y: y1}} {
			arrow := geometry.Box{Min: p, Max: p.Add(geometry.Point{X: wide, Y: high})}
			list := offcutsOf(s.SizeMM, append(s.taken(r.kerf+r.lead, false), arrow.Grow(groove/2)))
			if area := areaOf(list); area > most && len(list) >= len(s.Offcuts) && !slices.ContainsFunc(away, meets(arrow)) {
				at, ok, most, kept = p, true, area, list
			}
		}
	}
	s.Offcuts = kept
	return at, ok
}

// meets reports for a box whether another shares more than an edge with it.
func meets(box geometry.Box) func(geometry.Box) bool {
	return func(b geometry.Box) bool {
		return box.Min.X < b.Max.X && b.Min.X < box.Max.X && box.Min.Y < b.Max.Y && b.Min.Y < box.Max.Y
	}
}

func (r Rect) box() geometry.Box {
	return geometry.Box{Min: geometry.Point{X: r.XMM, Y: r.YMM}, Max: geometry.Point{X: r.XMM + r.LengthMM, Y: r.YMM + r.WidthMM}}
}

func areaOf(list []Rect) (sum float64) {
	for _, r := range list {
		sum += r.LengthMM * r.WidthMM
	}
	return sum
}
