package process

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// noPath says why one cut of a sheet has no path, with numbers and units, and what to do.
func noPath(cut, problem, hint string) error {
	return finding.List{{Rule: "no-path", Where: cut, Message: problem, Hint: hint}}
}

// endsInside refuses a pocket that ends inside a layer, where somebody cuts whole layers.
func endsInside(cut plan.Cut, who string) error {
	return noPath(cut.Name, fmt.Sprintf("it ends %.3f mm down, inside a layer, and %s cuts whole layers", cut.DepthMM, who), "let the pocket end at a layer's bottom")
}

// wirePath is the way of a wire's middle along a cut.
func wirePath(cut plan.Cut, grown, tol float64, orElse string) (geometry.Region, error) {
	path, err := geometry.Offset(cut.Shape, grown, tol)
	if err != nil {
		return path, noPath(cut.Name, "it has no offset: "+err.Error(), "check its outline")
	}
	if path.Empty() {
		return path, noPath(cut.Name, fmt.Sprintf("the wire's kerf of %.3f mm does not fit into it", cut.KerfMM[0]), orElse)
	}
	return path, nil
}

// Make turns a sheet that is a whole work order (plan.Sheet.Complete) into the
// moves that cut it on the machine: marks first, then the pockets, the outline
// last. tol, in mm, is the distance under which
// two points of a path are one.
//
// The moves and Drawn are in the machine's own mm: where it makes a little more
// or less of a mm than one (profiles.Machine.Scale), they are as much shorter or
// longer. Finished is as the foam will be.
//
// Pockets are grouped by tool, in the order of the sheet's turns; within a group pockets come before registration
// holes and both before plugs, the way between them is short (see tour), and a pocket that overlaps a deeper one comes before it.
//
// It is an error when the machine's process is not built, and a
// finding when a cut has no path: passes that nobody decided, a tool that does
// not fit, a path that fails the check of its distance from the wall. There is no
// program then.
func Make(sheet plan.Sheet, m profiles.Machine, tol float64) (Program, error) {
	door, ok := On(m)
	if !ok {
		return Program{}, fmt.Errorf("machine %s, process %s: cutting paths for this process are not built yet; choose a router or by-hand", m.ID, m.Process)
	}
	cutter, err := door.cutter(sheet, m, tol)
	if err != nil {
		return Program{}, err
	}
	if err := checkPlaces(sheet); err != nil {
		return Program{}, err
	}
	b := &builder{cutter: cutter, marking: sheet.Marking, machine: m}
	if err := b.marks(sheet); err != nil {
		return Program{}, err
	}
	if err := b.pockets(sheet); err != nil {
		return Program{}, err
	}
	if err := b.outline(sheet.Edge); err != nil {
		return Program{}, err
	}
	if err := cutter.close(&b.program); err != nil {
		return Program{}, err
	}
	b.program.ThicknessMM, b.program.ClearZ = sheet.ThicknessMM(), cutter.clearZ()
	b.program.SkinMM = sheet.Edge.Hold.SkinMM
	for _, c := range sheet.All() {
		b.program.Bridges += len(c.Hold.Bridges)
		b.program.BridgeMM = math.Max(b.program.BridgeMM, c.Hold.BridgeMM)
		b.program.Left, b.program.LeftMM = b.program.Left+len(c.Left), b.program.LeftMM+c.LeftMM()
		b.program.BreakthroughMM = math.Max(b.program.BreakthroughMM, c.BelowMM)
	}
	return forMachine(b.program, m)
}

// checkPlaces refuses what is nowhere: cuts without a shape, and numbers that are
// not finite.
func checkPlaces(sheet plan.Sheet) error {
	for _, c := range sheet.Cuts {
		if !placed(c.Shape.Bounds()) {
			return noPath(c.Name, "it has no shape", "give it a size above 0")
		}
	}
	if !sheet.Edge.Shape.Empty() && !placed(sheet.Edge.Shape.Bounds()) {
		return noPath(sheet.Edge.Name, "its shape has no finite size", "check the tray's size")
	}
	for _, p := range sheet.Marks {
		if len(p.Vertices()) > 0 && !placed(p.Bounds()) {
			return noPath("marks", "a line of them has no finite place", "check the label")
		}
	}
	return nil
}

func placed(b geometry.Box) bool {
	size := b.Width() + b.Height() + b.Min.Norm()
	return size >= 0 && !math.IsInf(size, 1)
}

// builder adds one operation after another and knows where the last one ended;
// the machine starts at the tray's lower-left corner.
type builder struct {
	cutter  cutter
	marking plan.Cut
	machine profiles.Machine
	program Program
	at      geometry.Point
}

func (b *builder) add(op Op) {
	if len(op.Moves) == 0 {
		return
	}
	b.program.Ops = append(b.program.Ops, op)
	b.at = op.Moves[len(op.Moves)-1].To.Point
}

func (b *builder) addCut(f finished, cut plan.Cut) {
	f.op.LeastS = b.cutter.least(f.op.Kind, cut, f.walls)
	b.add(f.op)
	depth := 0.0
	if f.op.Kind == Pocket && !cut.Through {
		depth = cut.DepthMM
	}
	for _, c := range insideFirst(f.walls.Contours()) {
		ways := append(bridgedWays(c, cut), cutWays(c, cut)...)
		for _, way := range ways {
			b.program.Drawn = append(b.program.Drawn, Drawn{Kind: f.op.Kind, Name: cut.Name, Tool: cut.Tool, Path: way})
		}
		if len(ways) == 0 {
			b.program.Drawn = append(b.program.Drawn, Drawn{Kind: f.op.Kind, Name: cut.Name, Tool: cut.Tool, DepthMM: depth, Contour: c})
		}
	}
	if cut.Rough {
		return // what it leaves of the wall another takes
	}
	shape, depth := cut.Shape.Contours(), depth
	if cut.Plug {
		shape, depth = shape[:1], 0
	}
	for _, c := range shape {
		b.program.Finished = append(b.program.Finished, Finished{depth, c})
	}
}

func (b *builder) marks(sheet plan.Sheet) error {
	paths, home := sheet.Marks[:sheet.First:sheet.First], b.at
	if n := len(paths); n > 0 {
		home = endOf(paths[n-1])
	}
	cost := apart
	if j, ok := b.cutter.(joiner); ok {
		cost = j.between
	}
	paths = append(paths, orderPaths(home, sheet.Marks[sheet.First:], cost)...)
	if len(paths) == 0 {
		return nil
	}
	op, err := b.cutter.marks(paths)
	if err != nil {
		return err
	}
	op.LeastS, op.Strokes = leastMarks(b.marking, b.machine, paths), strokeBoxes(paths)
	b.add(op)
	for _, p := range paths {
		b.program.Drawn = append(b.program.Drawn, Drawn{Kind: Mark, Tool: op.Tool, Path: p})
	}
	return nil
}

// pockets cuts the holes, one tool after the other.
func (b *builder) pockets(sheet plan.Sheet) error {
	for _, c := range sheet.Cuts {
		if !slices.Contains(sheet.Turns, c.Tool.Number) {
			return unplanned(c)
		}
	}
	for _, group := range groupByTool(sheet.Cuts, sheet.Turns) {
		for _, i := range orderGroup(b.at, sheet.Cuts, group) {
			f, err := b.hole(sheet.Cuts[i])
			if err != nil {
				return err
			}
			b.addCut(f, sheet.Cuts[i])
		}
	}
	return nil
}

// hole cuts one of them, along its own line where it has one.
func (b *builder) hole(cut plan.Cut) (finished, error) {
	if len(cut.Passes) == 0 {
		return finished{}, unplanned(cut)
	}
	if cut.Along.Len() > 0 {
		return b.cutter.along(cut, b.at)
	}
	return b.cutter.pocket(cut, b.at)
}

// unplanned is the error of a cut that the plan has not laid out.
func unplanned(cut plan.Cut) error {
	return noPath(cut.Name, "the plan has no passes for it", "this is a fault of the program: please report it with the job file")
}

// outline is left out for a sheet that has none.
func (b *builder) outline(edge plan.Cut) error {
	if edge.Shape.Empty() {
		return nil
	}
	if len(edge.Passes) == 0 {
		return unplanned(edge)
	}
	f, err := b.cutter.outline(edge, b.at)
	if err != nil {
		return err
	}
	b.addCut(f, edge)
	return nil
}
