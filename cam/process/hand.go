package process

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// byHand is what a person can do along a printed line, with a blade or with a hot wire in a
// bow: cut through whole layers, blade or wire upright, in as many passes as the foam's
// thickness takes. There is no program, and nobody knows how long it takes.
type byHand struct{}

func (byHand) WholeLayers() bool                                            { return true }
func (byHand) RoundCorners() bool                                           { return false }
func (byHand) LeastRoundMM(profiles.Tool, profiles.Recipe, float64) float64 { return 0 }
func (byHand) TakesHeight() bool                                            { return false }

// Lacks: a hot wire's kerf is asked for where recipes are read.
func (byHand) Lacks(r profiles.Recipe) string {
	return lacking([]needed{{"mm_per_pass", r.Passes, math.Inf(1)}})
}

// Passes are equally deep. Each begins at the top again, in the cut that the one before has left.
func (byHand) Passes(fromMM, toMM float64, layers []plan.Bed) []plan.Pass {
	if len(layers) != 1 {
		return nil
	}
	n := max(1, math.Ceil(layers[0].Recipe.Passes.Value))
	list := make([]plan.Pass, int(n))
	for k := range list {
		list[k] = plan.Pass{FromMM: fromMM + (toMM-fromMM)*float64(k)/n, ToMM: fromMM + (toMM-fromMM)*float64(k+1)/n}
	}
	return list
}

// Hold: what falls free lies where it was, or in the other hand.
func (byHand) Hold(profiles.Recipe, float64) (plan.Hold, string) { return plan.Hold{}, "" }

func (byHand) Bridges(geometry.Contour, profiles.Recipe, float64) ([]geometry.Point, float64, int) {
	return nil, 0, 0
}

// penMM is how wide a fine pen draws what others engrave (from memory).
const penMM = 0.5

// Marking is a pen's line.
func (byHand) Marking(r profiles.Recipe, _ float64) (how profiles.Recipe, depthMM float64) {
	r.KerfMM = profiles.Number{Value: penMM, Source: "the line of a fine pen, from memory"}
	return r, 0
}

func (byHand) Settings(r profiles.Recipe) []Setting {
	list := []Setting{{Name: "passes", Number: r.Passes, Unit: PassCount}, {Name: "deep in one pass at most", Number: r.MMPerPass, Unit: Millimetres}}
	if r.KerfMM.Value > 0 {
		list = append(list, Setting{Name: "kerf", Number: r.KerfMM, Unit: KerfMillimetres})
	}
	return list
}

func (byHand) SetZero() string { return "Lay the template on the foam" }
func (byHand) FitsTools() bool { return false }

func (byHand) cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error) {
	if len(sheet.Layers) != 1 {
		return nil, fmt.Errorf("machine %s: a hand cuts one layer at a time and this sheet has %d; cut the tray in sheets", m.ID, len(sheet.Layers))
	}
	return &hand{sheet: sheet, machine: m, tol: tol}, nil
}

// hand lays out the lines that a blade follows, or the middle of a wire, half its kerf inside
// of what falls out. Its moves are those lines, at no speed.
type hand struct {
	sheet   plan.Sheet
	machine profiles.Machine
	tol     float64
}

func (h *hand) clearZ() float64 { return 0 }

func (h *hand) least(OpKind, plan.Cut, geometry.Region) float64 { return 0 }

// marks are drawn with a pen.
func (h *hand) marks(paths []geometry.Path) (Op, error) {
	cut := h.sheet.Marking
	if len(cut.KerfMM) == 0 {
		return Op{}, unplanned(cut)
	}
	e := &emitter{tol: h.tol}
	for _, p := range paths {
		e.rapid(Point{p.Vertices()[0].Point, 0})
		for s := range p.Segments() {
			e.segment(s, 0, 0)
		}
	}
	return Op{Kind: Mark, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: 1, Moves: e.done()}, nil
}

func (h *hand) pocket(cut plan.Cut, _ geometry.Point) (finished, error) {
	if !cut.Through {
		return finished{}, endsInside(cut, "a hand")
	}
	return h.lines(Pocket, cut, -cut.KerfMM[0]/2)
}

func (h *hand) along(cut plan.Cut, near geometry.Point) (finished, error) { return h.pocket(cut, near) }

func (h *hand) outline(edge plan.Cut, _ geometry.Point) (finished, error) {
	return h.lines(Outline, edge, edge.KerfMM[0]/2)
}

// lines are a cut's, inside ones first, each begun in a corner where it has one: a blade that
// begins and ends on a straight part leaves a step there.
func (h *hand) lines(kind OpKind, cut plan.Cut, grown float64) (finished, error) {
	path, err := wirePath(cut, grown, h.tol, "make the pocket larger, or cut it with the knife")
	if err != nil {
		return finished{}, err
	}
	var list []geometry.Contour
	e := &emitter{tol: h.tol}
	for _, c := range insideFirst(path.Contours()) {
		c = c.StartAt(cornerOf(c))
		list = append(list, c)
		e.rapid(Point{newTrack(c).start(), 0})
		for s := range c.Segments() {
			e.segment(s, -h.sheet.ThicknessMM(), 0)
		}
	}
	op := Op{Kind: kind, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: len(cut.Passes), Moves: e.done()}
	return finished{op, geometry.NewRegion(list...)}, nil
}

// cornerOf is the number of the vertex at which a contour turns the most.
func cornerOf(c geometry.Contour) int {
	n, i, best, most := c.Len(), 0, 0, 0.0
	vertices := c.Vertices()
	for s := range c.Segments() {
		a, b := segmentFrom(vertices, i+n-1).Tangent(1), s.Tangent(0)
		if turn := math.Abs(math.Atan2(a.Cross(b), a.Dot(b))); turn > most+1e-6 {
			best, most = i, turn
		}
		i++
	}
	return best
}

// close joins the contours that a wire cuts by slits, in whose order they are then cut: what is
// entered from another hole is cut after it.
func (h *hand) close(p *Program) error {
	var contours []geometry.Contour
	var of []int // in p.Drawn
	for i, d := range p.Drawn {
		if d.Kind == Outline || d.Kind == Pocket && h.machine.With(d.Tool).Process.Traits().Wire {
			contours, of = append(contours, d.Contour), append(of, i)
		}
	}
	rim := slices.IndexFunc(of, func(i int) bool { return p.Drawn[i].Kind == Outline })
	if rim < 0 || len(of) < 2 {
		return nil
	}
	rank := make([]int, len(p.Drawn))
	thin := func(a, b int) float64 { return thinBetween(h.sheet, p.Drawn[of[a]], p.Drawn[of[b]]) }
	for n, s := range leastSlits(contours, rim, thin) {
		d := &p.Drawn[of[s.contour]]
		d.Contour = beginAt(d.Contour, nearestOn(d.Contour, s.to), h.tol)
		d.Slit = geometry.NewPath(geometry.Vertex{Point: s.from}, geometry.Vertex{Point: s.to})
		rank[of[s.contour]] = n + 1
	}
	first := map[string]int{} // of all that one cut makes
	for i, d := range p.Drawn {
		if r, known := first[d.Name]; !known || rank[i] < r {
			first[d.Name] = rank[i]
		}
	}
	slices.SortStableFunc(p.Drawn, func(a, b Drawn) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(first[a.Name], first[b.Name]))
	})
	return nil
}
