package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// router cuts with a turning tool that is moved in X, Y and Z. The spindle turns
// clockwise, and every lap along a wall is climb cut: the foam lies to the right
// of travel, so that a tooth enters at full chip and leaves at none, and foam is
// pressed against the sheet instead of being torn out of it.
type router struct {
	sheet        plan.Sheet
	machine      profiles.Machine
	tol          float64
	layers       []layer
	breakthrough float64 // deepest so far, mm below the sheet
	pocketsMade  map[string]pocketPlan
}

func newRouter(sheet plan.Sheet, m profiles.Machine, tol float64) (*router, error) {
	if len(sheet.Layers) == 0 {
		return nil, fmt.Errorf("machine %s: the sheet has no layers", m.ID)
	}
	if !(m.ClearanceMM.Value > 0) {
		return nil, fmt.Errorf("machine %s: its clearance height is %v mm; it has to be above 0, or a rapid would cut", m.ID, m.ClearanceMM.Value)
	}
	return &router{sheet: sheet, machine: m, tol: tol, layers: layersOf(sheet), pocketsMade: map[string]pocketPlan{}}, nil
}

func (r *router) limits() (clearZ, breakthroughMM, skinMM float64) {
	if n := len(r.sheet.Edge.Recipes); n > 0 && !r.sheet.Edge.Shape.Empty() {
		skinMM = r.sheet.Edge.Recipes[n-1].SkinMM.Value
	}
	return r.machine.ClearanceMM.Value, r.breakthrough, skinMM
}

func (r *router) newEmitter() *emitter {
	return &emitter{clearZ: r.machine.ClearanceMM.Value, clearance: r.machine.ClearanceMM.Value, tol: r.tol}
}

// thickness of the sheet in mm.
func (r *router) thickness() float64 { return r.layers[len(r.layers)-1].bottom }

// depthOf is how far below the top a cut goes: through cuts end below the foam.
func (r *router) depthOf(cut plan.Cut) float64 {
	if !cut.Through {
		return cut.DepthMM
	}
	below := cut.Recipes[len(cut.Recipes)-1].BreakthroughMM.Value
	r.breakthrough = math.Max(r.breakthrough, below)
	return r.thickness() + below
}

// kerfAt is the compensated width in a layer: the widest kerf from the top down
// to it. A path laid out for a narrower one would cut into the wall of the foam above.
func kerfAt(recipes []profiles.Recipe, layer int) float64 {
	widest := 0.0
	for _, recipe := range recipes[:layer+1] {
		widest = math.Max(widest, recipe.KerfMM.Value)
	}
	return widest
}

// check refuses what a path cannot be made from.
func (r *router) check(cut plan.Cut) error {
	refuse := func(hint, format string, values ...any) error {
		return &CutError{Cut: cut.Name, Problem: fmt.Sprintf(format, values...), Hint: hint}
	}
	if len(cut.Recipes) != len(r.layers) {
		return refuse("give every layer a recipe", "%d recipes for %d layers", len(cut.Recipes), len(r.layers))
	}
	for _, recipe := range cut.Recipes {
		if name := missingForRouter(recipe); name != "" {
			return refuse("set "+name+" in the recipe", "the recipe for %s with %s has no usable %s", recipe.Foam, recipe.Tool, name)
		}
	}
	depth := r.depthOf(cut)
	if !(depth > 0) || !cut.Through && depth > r.thickness()+r.tol {
		return refuse("choose a depth within the sheet, or cut through", "a depth of %.3f mm in a sheet of %.3f mm", depth, r.thickness())
	}
	if reach := cut.Tool.ReachMM.Value; reach > 0 && depth > reach+r.tol {
		return refuse("choose a longer tool or a thinner sheet", "tool %s reaches %.2f mm down and the cut goes to %.2f mm", cut.Tool.ID, reach, depth)
	}
	return nil
}

// missingForRouter names the first number of a recipe that is needed and not usable.
func missingForRouter(r profiles.Recipe) string {
	for _, n := range []struct {
		name  string
		value float64
		below float64
	}{
		{"kerf_mm", r.KerfMM.Value, math.Inf(1)},
		{"feed_mm_per_min", r.FeedMMPerMin.Value, math.Inf(1)},
		{"plunge_mm_per_min", r.PlungeMMPerMin.Value, math.Inf(1)},
		{"stepdown_mm", r.StepdownMM.Value, math.Inf(1)},
		{"stepover", r.Stepover.Value, 1},
		{"ramp_degrees", r.RampDegrees.Value, 90},
	} {
		if !(n.value > 0 && n.value < n.below) {
			return n.name
		}
	}
	return ""
}

// op is an operation with a cut's tool and the settings of the sheet's top layer.
func (r *router) op(kind OpKind, cut plan.Cut, moves []Move, passes int) Op {
	top := cut.Recipes[0]
	return Op{
		Kind: kind, Name: cut.Name, Tool: cut.Tool, RPM: top.RPM.Value, KerfMM: top.KerfMM.Value,
		Passes: passes, Moves: moves,
	}
}

// marks engraves at one depth. The tool goes straight in, at the plunge feed.
func (r *router) marks(paths []geometry.Path) (Op, error) {
	cut := markingOf(r.sheet)
	if len(cut.Recipes) > 0 {
		cut.DepthMM, cut.Through = markDepth(cut, r.layers[0].bottom), false
	}
	if err := r.check(cut); err != nil {
		return Op{}, err
	}
	f := feedsOf(cut.Recipes[0], r.machine)
	e := r.newEmitter()
	for _, p := range paths {
		e.hop(p.Vertices()[0].Point, 0, f.plunge)
		e.vertical(-cut.DepthMM, f.plunge)
		for s := range p.Segments() {
			e.segment(s, -cut.DepthMM, f.cut)
		}
	}
	e.retract()
	return r.op(Mark, cut, e.moves, 1), nil
}
