package stock

import (
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// The arrow. Where waste has room, a setup's program first engraves an arrow that points to the
// back: what lies on the machine, and the frame that is left of it, show by it which face was up
// and which edge was in front. An arrow and no letters, for the tool that cuts first makes it, and
// a wide cutter draws none.

const (
	// arrowMM is how long it is at least, arrowHeadMM how far each barb goes aside, and arrowAwayMM
	// how much foam stays between it and a cut (judged, no source).
	arrowMM     = 20
	arrowHeadMM = 5
	arrowAwayMM = 2
)

// point puts the arrow onto the setup's work order, which is not complete yet, where the machine
// engraves and waste has room: not in what stays as an offcut, and no nearer to the edge than
// outlines are cut.
func (s *Setup) point(l *layer, r room, sheet *plan.Sheet) error {
	m := l.Plan.Machine
	if !m.Engraves() || m.Process.Traits().Wire {
		return nil
	}
	if m.Process.Traits().Beam && len(m.Clamps) > 0 {
		return nil // a head that is not lifted might cross a clamp on its way from there
	}
	by := sheet.Marking
	if len(sheet.Marks) == 0 {
		first, err := firstCut(*sheet, l.Means)
		if err != nil {
			return err
		}
		by = plan.Cut{Tool: first.Tool, Recipes: first.Recipes}
	}
	how, _ := l.Means.Marking(by.Recipes[0], sheet.Layers[0].Thickness.MM())
	if c := m.Controller; m.Process.Traits().Beam && c.Written(how.PowerPercent.Value) < c.LeastWritten() {
		return nil // it would not show
	}
	groove := how.KerfMM.Value
	head, long := math.Max(arrowHeadMM, 1.1*groove), math.Max(arrowMM, 3*groove)
	clamped := s.clamped(m, by.Tool, groove)
	at, ok := s.spare(r, groove, 2*head, long, clamped)
	if !ok {
		at, ok = s.offOffcuts(r, groove, 2*head, long, clamped)
	}
	if !ok {
		return nil
	}
	on := at.Add(geometry.Point{X: head})
	s.Arrow = &on
	foot := on.Sub(geometry.Point{X: s.ZeroMM[0], Y: s.ZeroMM[1]})
	tip := foot.Add(geometry.Point{Y: long})
	corner := func(p geometry.Point) geometry.Vertex { return geometry.Vertex{Point: p} }
	sheet.Marks = append(sheet.Marks, geometry.NewPath(corner(foot), corner(tip)),
		geometry.NewPath(corner(tip.Sub(geometry.Point{X: head, Y: head})), corner(tip), corner(tip.Add(geometry.Point{X: head, Y: -head}))))
	sheet.Marking = by
	return nil
}

// firstCut is a cut of the tool that a sheet without marks begins with.
func firstCut(sheet plan.Sheet, means plan.Means) (plan.Cut, error) {
	sheet.Cuts = slices.Clone(sheet.Cuts)
	if err := sheet.Complete(means, toleranceMM); err != nil {
		return plan.Cut{}, err
	}
	for _, c := range sheet.Cuts {
		if c.Tool.Number == sheet.Turns[0] {
			return c, nil
		}
	}
	return sheet.Edge, nil
}

// clamped is where the clamps of the machine's profile keep the middle of a groove away: the nut
// above it, and what the zero may be off, pass by them.
func (s *Setup) clamped(m profiles.Machine, t profiles.Tool, groove float64) (taken []geometry.Box) {
	beside := max(groove, t.ColletMM.Value)/2 + profiles.ClampBesideMM + m.ZeroMM.Value
	for _, k := range m.Clamps {
		low := geometry.Point{X: k.XMM + s.ZeroMM[0], Y: k.YMM + s.ZeroMM[1]}
		taken = append(taken, geometry.Box{Min: low, Max: low.Add(geometry.Point{X: k.LengthMM, Y: k.WidthMM})}.Grow(beside))
	}
	return taken
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
