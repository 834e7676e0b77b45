package process

import (
	"fmt"
	"math"

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
	if !(m.ClearanceMM.Value > 0) {
		return nil, fmt.Errorf("machine %s: its clearance height is %v mm; it has to be above 0, or a rapid would cut", m.ID, m.ClearanceMM.Value)
	}
	return &router{sheet: sheet, machine: m, tol: tol, pocketsMade: map[string]pocketPlan{}}, nil
}

func (r *router) clearZ() float64 { return r.machine.ClearMM(r.sheet.ThicknessMM()) }

func (r *router) close(*Program) error { return nil }

func (r *router) newEmitter() *emitter {
	return &emitter{clearZ: r.clearZ(), clearance: r.machine.ClearanceMM.Value, sink: r.sinkMM(), tol: r.tol}
}

const (
	// leastSinkMM is how near to the foam a rapid straight down may come, and sinkShare how near as a
	// part of the clearance, which is larger where foam is known to be wavy: foam is never so flat
	// (both judged, no source).
	leastSinkMM, sinkShare = 1, 0.25
)

// sinkMM is how far above the foam's planned top a rapid straight down ends: what stands up of foam
// that is not flat, and above that all by which the top may be higher than planned: Z zero is off, and from
// the bed the sheet is thicker. Where nobody knows by how much, it ends at the clearance.
func (r *router) sinkMM() float64 {
	clearance := r.machine.ClearanceMM.Value
	off := r.machine.ZeroMM.Value
	if r.sheet.On(r.machine).ZZero == profiles.ZBed {
		for _, l := range r.sheet.Layers {
			_, thicker := l.MayBeOff()
			if off += thicker; thicker <= 0 {
				return clearance
			}
		}
	}
	return math.Min(clearance, math.Max(leastSinkMM+off, sinkShare*clearance))
}

// op is an operation with a cut's tool and the settings of the sheet's top layer.
func (r *router) op(kind OpKind, cut plan.Cut, moves []Move, passes int) Op {
	top := cut.Recipes[0]
	return Op{
		Kind: kind, Name: cut.Name, Tool: cut.Tool, RPM: top.RPM.Value, KerfMM: cut.KerfMM[0],
		Passes: passes, Moves: moves,
	}
}
