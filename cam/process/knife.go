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
	turned  bool   // an axis turns the blade along its way, else it swivels by itself
	machine string // its id
}

func knifingOf(m profiles.Machine) knifing {
	_, turned := m.TurnedTool()
	return knifing{turned, m.ID}
}

func (knifing) WholeLayers() bool  { return true }
func (knifing) RoundCorners() bool { return false }
func (knifing) TakesHeight() bool  { return true }

// LeastRoundMM: the edge, ahead of its tip or its axis, cuts no more than its gouge into the foam around the hole, and a
// blade that trails has room to turn into its line.
func (knifing) LeastRoundMM(t profiles.Tool, r profiles.Recipe, deepMM float64) float64 {
	ahead, wide := t.AheadMM(deepMM), 0.0
	if t.GougeMM.Value > 0 {
		wide = 2 * t.LeastRadiusMM(ahead)
	}
	if t.TrailMM.Value > 0 {
		wide = math.Max(wide, turningIn(t.TrailMM.Value, ahead).hole)
	}
	return (wide + r.KerfMM.Value) / 2
}

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
		{Name: "deep in one pass at most", Number: r.MMPerPass, Unit: Millimetres}, {Name: "kerf", Number: r.KerfMM, Unit: KerfMillimetres},
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
		if err := k.known(c); err != nil {
			return nil, err
		}
	}
	if k.turned {
		s := &steered{bladed{machine: m, sheet: sheet, tol: tol}}
		s.round = s.contours
		return s, nil
	}
	s := &knife{bladed{machine: m, sheet: sheet, tol: tol}, geometry.Point{X: 1}}
	s.round = s.contours
	return s, nil
}

// known refuses a blade of which nobody has said how it goes along its line.
func (k knifing) known(c plan.Cut) error {
	if len(c.KerfMM) == 0 || c.Tool.TrailMM.Value > 0 || c.Tool.Turned() {
		return nil
	}
	return noPath("", "the tool "+c.Tool.ID+" of "+k.machine+" says neither how far its tip trails nor how wide its blade is",
		"write trail_mm, of a blade that swivels freely, or chord_mm, of one that an axis turns, into its row")
}

// Left is what a blade that is turned is too wide for. One that swivels goes round everything or nothing.
func (k knifing) Left(c plan.Cut, outline bool, tol float64) (left []geometry.Path, err error) {
	if err := k.known(c); err != nil {
		return nil, err
	}
	way := &bladed{tol: tol}
	way.round = func(_ OpKind, cut plan.Cut, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error) {
		if !k.turned {
			return finished{}, (&knife{*way, geometry.Point{X: 1}}).roundAll(cut, list, newRoom(path, outline), near)
		}
		for _, contour := range list {
			more, err := (&steered{*way}).newSteering(cut).unfit(contour)
			if err != nil {
				return finished{}, err
			}
			left = append(left, more...)
		}
		return finished{}, nil
	}
	edge := way.pocket
	if outline {
		edge = way.outline
	}
	_, err = edge(c, geometry.Point{})
	return left, err
}

// roundAll reports why a blade that swivels cannot go round one of a cut's contours.
func (k *knife) roundAll(cut plan.Cut, list []geometry.Contour, waste room, near geometry.Point) error {
	b := k.newBlade(cut)
	for _, c := range list {
		if err := b.fits(c); err != nil {
			return err
		}
		if _, err := b.entry(waste, c, near); err != nil {
			return err
		}
	}
	return nil
}

// knife cuts along the edges with a blade that trails, kerf taken off. It plunges in what falls
// out as waste, turns there, and comes to the edge on an arc that touches it: by then it is on its
// line, whichever way it stood. All passes of a contour are cut before the next is begun, each
// deeper, and each runs on past where it began.
type knife struct {
	bladed
	heading geometry.Point // of the blade, of length 1: it stays as the last cut has left it
}

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

// contours cuts one contour after the other; each has the waste on its left.
func (k *knife) contours(kind OpKind, cut plan.Cut, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error) {
	b, waste := k.newBlade(cut), newRoom(path, kind == Outline)
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
