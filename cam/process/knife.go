package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// knifing is what a blade on a machine can do: it goes through whole layers, in passes one below
// the other. Its corners are sharp, and nothing turns that could throw what falls.
type knifing struct {
	turned bool // an axis turns the blade along its way, else it swivels by itself
}

func knifingOf(m profiles.Machine) knifing {
	_, turned := m.TurnedTool()
	return knifing{turned}
}

func (knifing) WholeLayers() bool  { return true }
func (knifing) RoundCorners() bool { return false }
func (knifing) TakesHeight() bool  { return true }

// Lacks names the first number of a recipe that is needed and not usable.
func (knifing) Lacks(r profiles.Recipe) string {
	return lacking([]needed{
		{"kerf_mm", r.KerfMM, math.Inf(1)},
		{"feed_mm_per_min", r.FeedMMPerMin, math.Inf(1)},
		{"plunge_mm_per_min", r.PlungeMMPerMin, math.Inf(1)},
		{"mm_per_pass", r.MMPerPass, math.Inf(1)},
	})
}

// Passes are equally deep; the last goes on into what the foam lies on.
func (knifing) Passes(fromMM, toMM float64, layers []plan.Bed) []plan.Pass {
	if len(layers) != 1 {
		return nil
	}
	n := math.Max(1, math.Ceil(layers[0].Recipe.Passes.Value))
	bottom := math.Min(layers[0].BottomMM, toMM)
	list := equalPasses(fromMM, bottom, (bottom-fromMM)/n, 0)
	if len(list) > 0 {
		list[len(list)-1].ToMM = toMM
	}
	return list
}

// Hold: what falls free lies where it was.
func (knifing) Hold(profiles.Recipe, float64) (plan.Hold, string) { return plan.Hold{}, "" }

// Bridges: a blade beside what has come free pushes it aside, and no head runs into it.
func (knifing) Bridges(geometry.Contour, profiles.Recipe, float64) ([]geometry.Point, float64, int) {
	return nil, 0, 0
}

// Marking scores the face, no deeper than the middle of the layer. A blade that is turned has a
// width, which no letter has room for: its marks are drawn with a pen.
func (k knifing) Marking(r profiles.Recipe, layerMM float64) (how profiles.Recipe, depthMM float64) {
	if k.turned {
		return byHand{}.Marking(r, layerMM)
	}
	depthMM = r.MarkDepthMM.Value
	if depthMM == 0 {
		depthMM = markShare * r.MMPerPass.Value
	}
	return r, math.Min(depthMM, layerMM/2)
}

func (knifing) Settings(r profiles.Recipe) []Setting {
	return []Setting{
		{Name: "feed", Number: r.FeedMMPerMin, Unit: PerMinute}, {Name: "passes", Number: r.Passes, Unit: PassCount},
		{Name: "deep in one pass at most", Number: r.MMPerPass, Unit: Millimetres}, {Name: "kerf", Number: r.KerfMM, Unit: Millimetres},
	}
}

func (k knifing) SetZero() string {
	if k.turned {
		return "Turn the blade with the machine's own keys until its edge points along X, to the right, and call that A0; then set the zero point with the axis that it turns about, in the middle of its width"
	}
	return "Turn the blade by hand until it points to the right, its tip trailing to the left, as if it had just cut along X; then set the zero point with the axis that it swivels about, not with its tip"
}
func (knifing) FitsTools() bool { return false }

func (k knifing) cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error) {
	if len(sheet.Layers) != 1 {
		return nil, fmt.Errorf("machine %s: a knife cuts one layer at a time and this sheet has %d; cut the tray in sheets", m.ID, len(sheet.Layers))
	}
	for _, c := range append(sheet.All(), sheet.Marking) {
		if len(c.KerfMM) > 0 && c.Tool.TrailMM.Value <= 0 && !c.Tool.Turned() {
			return nil, noPath("", "the tool "+c.Tool.ID+" of "+m.ID+" says neither how far its tip trails nor how wide its blade is",
				"write trail_mm, of a blade that swivels freely, or chord_mm, of one that an axis turns, into its row")
		}
	}
	if k.turned {
		return &steered{machine: m, sheet: sheet, tol: tol}, nil
	}
	return &knife{machine: m, sheet: sheet, tol: tol, heading: geometry.Point{X: 1}}, nil
}

// knife cuts along the edges with a blade that trails, kerf taken off. It plunges in what falls
// out as waste, turns there, and comes to the edge on an arc that touches it: by then it is on its
// line, whichever way it stood. All passes of a contour are cut before the next is begun, each
// deeper, and each runs on past where it began.
type knife struct {
	machine profiles.Machine
	sheet   plan.Sheet
	tol     float64
	heading geometry.Point // of the blade, of length 1: it stays as the last cut has left it
}

func (k *knife) clearZ() float64 {
	return k.machine.ClearMM(k.sheet.ThicknessMM())
}

func (k *knife) close(*Program) error { return nil }

func (k *knife) op(kind OpKind, cut plan.Cut, b *blade, passes int) Op {
	k.heading = b.heading
	return Op{Kind: kind, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: passes, Moves: b.pivot.done()}
}

// marks scores lines in one pass, each from its own beginning.
func (k *knife) marks(paths []geometry.Path) (Op, error) {
	cut := k.sheet.Marking
	if len(cut.KerfMM) == 0 {
		return Op{}, unplanned(cut)
	}
	b := k.newBlade(cut)
	for _, p := range paths {
		b.enter(p.Vertices()[0].Point, -cut.DepthMM)
		for s := range p.Segments() {
			b.along(s)
		}
	}
	b.lift()
	return k.op(Mark, cut, b, 1), nil
}

func (k *knife) pocket(cut plan.Cut, near geometry.Point) (finished, error) {
	if !cut.Through {
		return finished{}, noPath(cut.Name, fmt.Sprintf("it ends %.3f mm down, inside a layer, and a knife cuts whole layers", cut.DepthMM),
			"let the pocket end at a layer's bottom")
	}
	path, err := offsetFor(cut, -cut.KerfMM[0]/2, k.tol)
	if err != nil {
		return finished{}, err
	}
	return k.contours(Pocket, cut, newRoom(path, false), insideFirst(path.Contours()), path, near)
}

// along goes round a line from inside it, its tip on the line.
func (k *knife) along(cut plan.Cut, _ geometry.Point) (finished, error) {
	path := geometry.NewRegion(cut.Along)
	return k.contours(Pocket, cut, newRoom(path, false), path.Contours(), path, startOf(cut.Along))
}

// outline cuts the tray free from outside it.
func (k *knife) outline(edge plan.Cut, near geometry.Point) (finished, error) {
	path, err := offsetFor(edge, edge.KerfMM[0]/2, k.tol)
	if err != nil {
		return finished{}, err
	}
	var contours []geometry.Contour
	for _, c := range insideFirst(path.Contours()) {
		contours = append(contours, c.Reverse()) // the waste, outside, on the left
	}
	return k.contours(Outline, edge, newRoom(path, true), contours, path, near)
}

// offsetFor is the way of a blade's middle, or of its tip.
func offsetFor(cut plan.Cut, by, tol float64) (geometry.Region, error) {
	path, err := geometry.Offset(cut.Shape, by, tol)
	switch {
	case err != nil:
		return path, noPath(cut.Name, "it has no offset: "+err.Error(), "check its outline")
	case path.Empty():
		return path, noPath(cut.Name, fmt.Sprintf("the blade's kerf of %.3f mm does not fit into it", -2*by), "make the pocket larger")
	}
	return path, nil
}

// contours cuts one contour after the other; each has the waste on its left.
func (k *knife) contours(kind OpKind, cut plan.Cut, waste room, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error) {
	b := k.newBlade(cut)
	for _, c := range list {
		if err := b.fits(c); err != nil {
			return finished{}, err
		}
		lap, err := b.entry(waste, c, near)
		if err != nil {
			return finished{}, err
		}
		t := newTrack(lap.contour)
		for _, pass := range cut.Passes {
			b.enter(lap.from(), -pass.ToMM)
			b.along(lap.in())
			for _, s := range t.part(0, t.length()+math.Min(b.recipe.OvercutMM.Value, t.length()/2)) {
				b.along(s)
			}
		}
		b.lift()
		near = b.tip.at.Point
	}
	if err := keepsFrom(b.tip.moves, cut, cut.KerfMM[0]/2, kind == Outline); err != nil {
		return finished{}, err
	}
	return finished{k.op(kind, cut, b, len(cut.Passes)), path}, nil
}

// least is the least time of a cut whose tip runs along those walls.
func (k *knife) least(_ OpKind, cut plan.Cut, walls geometry.Region) float64 {
	f := feedsOf(cut.Recipes[0], k.machine)
	return 60 * walls.Length() / f.cut * float64(len(cut.Passes))
}
