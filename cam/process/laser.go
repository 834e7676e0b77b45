package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// laser cuts along the edges with a beam, kerf taken off. What falls out is
// waste, and every contour begins there: the beam runs in on a quarter circle of
// the recipe's lead-in length that touches the wall, so that neither piercing
// nor speeding up marks it, and runs past its start, so that nothing is
// left hanging where a controller lights or douses the beam late, or its power
// supply is slow.
//
// All passes of a contour are cut before the next contour is begun, each but the
// first after a pause in the dark, because heat gathers where one ends. Between its
// passes the waste stays where it is; a neighbour's pass in between would give
// it time to cool, shrink and shift, and the second pass would miss the first.
type laser struct {
	machine profiles.Machine
	sheet   plan.Sheet
	tol     float64
	paths   map[string]beamPath
}

func newLaser(sheet plan.Sheet, m profiles.Machine, tol float64) (*laser, error) {
	if len(sheet.Layers) != 1 {
		return nil, fmt.Errorf("machine %s: a laser cuts one layer at a time and this sheet has %d; cut the tray in sheets", m.ID, len(sheet.Layers))
	}
	return &laser{machine: m, sheet: sheet, tol: tol, paths: map[string]beamPath{}}, nil
}

// hasZ: a machine that moves no Z has its focus set by hand and stays there.
func (l *laser) hasZ() bool { return l.machine.MovesZ() }

func (l *laser) clearZ() float64 {
	if !l.hasZ() {
		return 0
	}
	return math.Max(0, l.machine.ClearanceMM.Value)
}

func (l *laser) close(*Program) error { return nil }

func (l *laser) op(kind OpKind, cut plan.Cut, moves []Move, passes int) Op {
	return Op{Kind: kind, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: passes, Moves: moves}
}

func (l *laser) newEmitter() *emitter {
	return &emitter{clearZ: l.clearZ(), clearance: l.clearZ(), tol: l.tol}
}

// marks engraves in one pass.
func (l *laser) marks(paths []geometry.Path) (Op, error) {
	cut := l.sheet.Marking
	if len(cut.KerfMM) == 0 {
		return Op{}, unplanned(cut)
	}
	recipe := cut.Recipes[0]
	e := l.newEmitter()
	e.power = recipe.PowerPercent.Value
	feed := feedsOf(recipe, l.machine).cut
	for _, p := range paths {
		l.over(e, p.Vertices()[0].Point, 0)
		for s := range p.Segments() {
			e.segment(s, 0, feed)
		}
	}
	l.leave(e, paths[len(paths)-1].Vertices()[0].Point)
	return l.op(Mark, cut, e.moves, 1), nil
}

// pocket cuts along the edges of a hole: islands first, the outer edge last,
// each from inside the hole.
func (l *laser) pocket(cut plan.Cut, near geometry.Point) (finished, error) {
	if !cut.Through {
		return finished{}, endsInside(cut, "a laser")
	}
	path, err := l.pocketPath(cut)
	if err != nil {
		return finished{}, err
	}
	waste := newRoom(path, false)
	contours := insideFirst(path.Contours())
	return l.contours(Pocket, cut, waste, contours, path, near)
}

// beamPath is a beam's way along a hole's edges, with the lower left corner of
// the hole's box. Holes of one shape share it.
type beamPath struct {
	corner geometry.Point
	path   geometry.Region
}

func (l *laser) pocketPath(cut plan.Cut) (geometry.Region, error) {
	corner := cut.Shape.Bounds().Min
	kerf := cut.KerfMM[0]
	key := shapeKey(cut.Shape, corner, kerf)
	if first, made := l.paths[key]; made {
		by := corner.Sub(first.corner)
		return first.path.Transform(geometry.Translate(by.X, by.Y)), nil
	}
	path, err := geometry.Offset(cut.Shape, -kerf/2, l.tol)
	if err != nil {
		return path, noPath(cut.Name, "it has no offset: "+err.Error(), "check the pocket's outline")
	}
	if path.Empty() {
		return path, noPath(cut.Name, fmt.Sprintf("the beam's kerf of %.3f mm does not fit into it", kerf), "make the pocket larger")
	}
	l.paths[key] = beamPath{corner, path}
	return path, nil
}

// outline cuts the tray free from outside it.
func (l *laser) outline(edge plan.Cut, near geometry.Point) (finished, error) {
	path, err := geometry.Offset(edge.Shape, edge.KerfMM[0]/2, l.tol)
	if err != nil {
		return finished{}, noPath(edge.Name, "it has no offset: "+err.Error(), "check the tray's outline")
	}
	var contours []geometry.Contour
	for _, c := range orderRims(near, path.Contours(), edge.Hold) {
		contours = append(contours, c.Reverse()) // the waste, outside, on the left
	}
	return l.contours(Outline, edge, newRoom(path, true), contours, path, near)
}

// contours cuts one contour after the other; each has the waste on its left.
func (l *laser) contours(kind OpKind, cut plan.Cut, waste room, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error) {
	recipe := cut.Recipes[0]
	e := l.newEmitter()
	e.power = recipe.PowerPercent.Value
	for _, c := range list {
		if t := newTrack(c); len(stretches(t, c, cut.Hold, cut.KerfMM[0])) > 0 {
			l.bridged(e, c, cut, near)
			near = e.at.Point
			continue
		}
		lap := waste.wallLap(c, near, leadRadius(recipe), l.tol)
		for _, pass := range cut.Passes {
			l.over(e, lap.from(), -pass.FocusMM)
			e.wait(pass.PauseS)
			l.lap(e, lap, recipe, cut.KerfMM[0])
		}
		l.leave(e, lap.from())
		near = e.at.Point
	}
	if err := keepsFrom(e.moves, cut, cut.KerfMM[0]/2, kind == Outline); err != nil {
		return finished{}, err
	}
	return finished{l.op(kind, cut, e.done(), len(cut.Passes)), path}, nil
}

// leadRadius makes a quarter circle as long as the lead-in.
func leadRadius(r profiles.Recipe) float64 { return r.LeadInMM.Value / (math.Pi / 2) }

// lap cuts one pass, and past its start: a kerf, or as far as a slow power supply takes
// until the beam has its power.
func (l *laser) lap(e *emitter, lap lap, recipe profiles.Recipe, kerf float64) {
	feed, z := feedsOf(recipe, l.machine).cut, e.at.Z
	e.segment(lap.in(), z, feed)
	t := newTrack(lap.contour)
	past := math.Min(math.Max(kerf, l.machine.RunOnMM(feed)), t.length()/2)
	for _, s := range t.part(0, t.length()+past) {
		e.segment(s, z, feed)
	}
}

// over goes over a place with the beam off, then to the focus height of a pass.
func (l *laser) over(e *emitter, to geometry.Point, z float64) {
	if !l.hasZ() {
		e.rapid(Point{to, 0})
		return
	}
	e.retract()
	e.rapid(Point{to, e.clearZ})
	e.rapid(Point{to, z})
}

// leave ends a contour with the beam off: up, or, where there is no up, back
// into the waste.
func (l *laser) leave(e *emitter, waste geometry.Point) {
	if e.at.Z < e.clearZ {
		e.retract()
		return
	}
	e.rapid(Point{waste, e.clearZ})
}
