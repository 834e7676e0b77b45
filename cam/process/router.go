package process

import (
	"fmt"

	"traywright/cam/plan"
	"traywright/profiles"
)

// router cuts with a turning tool that is moved in X, Y and Z. The spindle turns
// clockwise, and every lap along a wall is climb cut, unless the plan wants it the
// other way round: the foam lies to the right of travel, so that a tooth enters at
// full chip and leaves at none, and foam is pressed against the sheet instead of
// being torn out of it.
type router struct {
	sheet       plan.Sheet
	machine     profiles.Machine
	tol         float64
	pocketsMade map[string]pocketPlan
}

func newRouter(sheet plan.Sheet, m profiles.Machine, tol float64) (*router, error) {
	if len(sheet.Layers) == 0 {
		return nil, fmt.Errorf("machine %s: the sheet has no layers", m.ID)
	}
	return &router{sheet: sheet, machine: m, tol: tol, pocketsMade: map[string]pocketPlan{}}, nil
}

func (r *router) clearZ() float64 { return r.machine.ClearMM(r.sheet.ThicknessMM()) }

func (r *router) close(*Program) error { return nil }

func (r *router) newEmitter() *emitter {
	return &emitter{clearZ: r.clearZ(), clearance: r.machine.ClearanceMM.Value, sink: sinkMM(r.sheet, r.machine), tol: r.tol}
}

// op is an operation with a cut's tool and the settings of the sheet's top layer.
func (r *router) op(kind OpKind, cut plan.Cut, moves []Move, passes int) Op {
	top := cut.Recipes[0]
	return Op{
		Kind: kind, Name: cut.Name, Tool: cut.Tool, RPM: top.RPM.Value, KerfMM: cut.KerfMM[0],
		Passes: passes, Moves: moves,
	}
}
