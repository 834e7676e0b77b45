package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// What width decides: whether walls are left, whether pieces go in and do not
// rattle, whether a narrower cut leaves foam standing between its laps.

// Seat is a piece in a hole of the plan, and how far the hole may be off, mm.
type Seat struct {
	Name      string
	At        geometry.Point
	TighterMM float64 // narrower by more than this, and the piece does not go in
	LooserMM  float64 // wider by more than this, and it rattles; +Inf where nobody minds
	HigherMM  float64 // shallower by more than this, and it stands out too far; +Inf where its depth is decided elsewhere
}

// wider is how a hole's width moves, in parts.
func wider(part float64) motionOf { return motionOf{Kerf: part, Runout: part} }

// seats: every piece goes in, and does not rattle.
func (t *trial) seats() {
	for _, h := range t.cuts {
		tool := h.tool()
		for _, s := range h.Seats {
			t.add(Tight, s.Name, s.At, tool, s.TighterMM, wider(1))
			if !math.IsInf(s.LooserMM, 1) {
				t.add(Rattles, s.Name, s.At, tool, s.LooserMM, wider(-1))
			}
			if !math.IsInf(s.HigherMM, 1) {
				t.add(Proud, s.Name, s.At, tool, s.HigherMM, t.deeper(h.Through))
			}
		}
	}
}

// deeper is how the depth of a hole below the real top moves.
func (t *trial) deeper(through bool) motionOf {
	switch {
	case through:
		return motionOf{Thickness: 1}
	case t.bed:
		return motionOf{Thickness: 1, Zero: -1}
	}
	return motionOf{Zero: -1}
}

// walls: foam is left between two holes, and between a hole and the outline. Only
// walls that could be gone are measured.
func (t *trial) walls() {
	reach := t.LeastLeftMM + t.mostWider()
	order := make([]int, len(t.cuts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return sign(t.cuts[a].box.Min.X - t.cuts[b].box.Min.X) })
	for k, i := range order {
		t.wall(t.cuts[i], t.want.Outline, "the wall between "+t.cuts[i].Name+" and the outline", t.want.edgeTool(), reach)
		for _, j := range order[k+1:] {
			if t.cuts[j].box.Min.X > t.cuts[i].box.Max.X+reach {
				break
			}
			name := "the wall between " + t.cuts[i].Name + " and " + t.cuts[j].Name
			if t.cuts[i].Name == t.cuts[j].Name {
				name = "the wall between two parts of " + t.cuts[i].Name
			}
			t.wall(t.cuts[i], t.cuts[j].Shape, name, t.cuts[j].tool(), reach)
		}
	}
}

// edgeTool is what the outline is cut with.
func (w *Wanted) edgeTool() int {
	if len(w.OutlineLimits) == 0 {
		return 0
	}
	return w.OutlineLimits[0].Tool
}

// mostWider is the most by which any cut may be wider.
func (t *trial) mostWider() float64 {
	most := 0.0
	for _, byTool := range [2]map[int]Range{t.KerfMM, t.RunoutMM} {
		widest := 0.0
		for _, r := range byTool {
			widest = math.Max(widest, r.High)
		}
		most += widest
	}
	return most
}

// wall files the thinnest foam between a hole and what another tool cuts, as if both
// were off by the more inexact tool's tolerances.
func (t *trial) wall(h hole, other geometry.Region, name string, otherTool int, reach float64) {
	thinnest, at := reach, geometry.Point{}
	for _, c := range h.Shape.Contours() {
		for _, o := range other.Contours() {
			if boxesApart(c.Bounds(), o.Bounds()) >= thinnest {
				continue
			}
			if gap, p, _ := geometry.Distance(c, o); gap > besideMM && gap < thinnest {
				thinnest, at = gap, p
			}
		}
	}
	if thinnest >= reach {
		return
	}
	tool := h.tool()
	if t.mostOf(otherTool) > t.mostOf(tool) {
		tool = otherTool
	}
	t.add(Wall, name, at, tool, thinnest-t.LeastLeftMM, wider(-1))
}

// standing: a narrower cut leaves no foam between the laps that clear a pocket. That
// follows from no single distance, so the foam is cut once more, as narrow as can be;
// only where something stands then is it found how narrow is too narrow.
func (t *trial) standing() {
	if !t.turning {
		return
	}
	narrow := map[int]float64{} // by tool, of the radius
	most := 0.0
	for tool := range t.edges {
		narrow[tool] = -(t.KerfMM[tool].Low + t.RunoutMM[tool].Low) / 2
		most = math.Max(most, narrow[tool])
	}
	if most <= 0 {
		return
	}
	left := t.leftBy(narrow, 1)
	if left == nil {
		return
	}
	low, high := 0.0, 1.0
	for range 6 {
		middle := (low + high) / 2
		if found := t.leftBy(narrow, middle); found != nil {
			left, high = found, middle
		} else {
			low = middle
		}
	}
	h := t.cuts[left.hole]
	t.add(Standing, h.Name, left.at, h.tool(), 2*low*narrow[h.tool()], wider(1))
}

// left is foam that stands where none should.
type left struct {
	hole int
	at   geometry.Point
}

// leftBy cuts the floors of all holes with tools whose radius is less by a part of
// narrow, and finds foam that stands in a hole, farther from its walls than they move.
func (t *trial) leftBy(narrow map[int]float64, part float64) *left {
	f := t.result.Field
	f.uncut()
	least := math.Inf(1)
	for i := range t.cuts {
		least = math.Min(least, t.cuts[i].depth)
	}
	for _, s := range t.sweeps {
		if s.deepest() >= least-toleranceMM {
			s.narrow(part * narrow[t.motionAt(s.motion).Tool])
			f.cut(&s, 0, f.Rows)
		}
	}
	for i := range t.cuts {
		if t.cuts[i].Plug { // one way round, and what is left of it stands on a plug
			continue
		}
		if at, found := t.standsIn(&f, i, part*narrow[t.cuts[i].tool()]); found {
			return &left{i, at}
		}
	}
	return nil
}

// narrow takes something off the radius, in every layer.
func (s *sweep) narrow(by float64) {
	s.radius -= by
	s.layers = slices.Clone(s.layers)
	for i := range s.layers {
		s.layers[i].radius -= by
	}
}

// standsIn looks for foam above a hole's floor, farther from all walls than they may be.
func (t *trial) standsIn(f *Field, i int, moved float64) (at geometry.Point, found bool) {
	h := t.cuts[i]
	fillRegion(f, h.Shape, func(row, c0, c1 int) {
		for c := c0; c < c1 && !found; c++ {
			if float64(f.DepthMM[row*f.Columns+c]) >= h.depth-toleranceMM {
				continue
			}
			p := f.center(c, row)
			if !t.deeperHole(t.cuts, i, p) && h.away(p, moved+t.wallMM()) && t.clearBy(p, h.others, moved) {
				at, found = p, true
			}
		}
	})
	return at, found
}

// clearBy reports whether a place is farther from the walls of some holes than they
// are off when they move.
func (t *trial) clearBy(p geometry.Point, some []int, moved float64) bool {
	for _, i := range some {
		if reach := t.wallMM() + moved; inBox(p, t.cuts[i].box, reach) && !t.cuts[i].away(p, reach) {
			return false
		}
	}
	return true
}
