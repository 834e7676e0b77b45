package cam

import (
	"slices"

	"traywright/cam/gcode"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/profiles"
)

// A program for each tool: where most controllers stop for a tool they can neither jog nor
// set a zero, so that a sheet which takes several tools takes as many programs, each with a
// zero of its own, and each tried on the foam that those before it leave.

// part is one program of a sheet.
type part struct {
	program process.Program
	stats   process.Stats
	body    []byte
}

// divide prints the sheet's program, or its programs where each tool has its own.
func (w *sheetWork) divide(m profiles.Machine) error {
	w.parts, w.body = nil, nil
	for _, p := range byTool(w.program, m) {
		body, err := gcode.Body(p, m)
		if err != nil {
			return err
		}
		w.parts = append(w.parts, part{p, gcode.Reach(p, process.Measure(p), m), body})
		w.body = append(w.body, body...)
	}
	return nil
}

// ownFiles tells whether each tool has a program of its own on the machine.
func ownFiles(m profiles.Machine) bool { return m.Controller.ToolChange == profiles.OwnFiles }

// byTool is a program as it is, or one for each run of operations with one tool.
func byTool(p process.Program, m profiles.Machine) []process.Program {
	if !ownFiles(m) || len(p.Ops) == 0 {
		return []process.Program{p}
	}
	var list []process.Program
	for i, op := range p.Ops {
		if i == 0 || op.Tool.Number != p.Ops[i-1].Tool.Number {
			one := p
			one.Ops, one.SkinMM = nil, 0
			list = append(list, one)
		}
		last := &list[len(list)-1]
		last.Ops = append(last.Ops, op)
		if op.Kind == process.Outline {
			last.SkinMM = p.SkinMM
		}
	}
	return list
}

// eachTool makes a work of each program of each sheet.
func eachTool(works []*sheetWork) []*sheetWork {
	var list []*sheetWork
	for _, w := range works {
		list = append(list, w.programs()...)
	}
	return list
}

// programs are the sheet's, in the order of cutting.
func (w *sheetWork) programs() []*sheetWork {
	if len(w.parts) < 2 {
		return []*sheetWork{w}
	}
	var list []*sheetWork
	var before []proof.Earlier
	for i, p := range w.parts {
		one := *w
		one.k, one.of, one.program, one.body, one.stats = i+1, len(w.parts), p.program, p.body, p.stats
		one.before = slices.Clone(before)
		before = append(before, proof.Earlier{Text: p.body, Tool: p.program.Ops[0].Tool.Number})
		list = append(list, &one)
	}
	return list
}

// takesSeveral tells whether the sheet takes several programs.
func (w *sheetWork) takesSeveral(m profiles.Machine) bool {
	return ownFiles(m) && slices.ContainsFunc(w.sheet.All(), func(c plan.Cut) bool { return c.Tool.Number != w.sheet.Edge.Tool.Number })
}

// last tells whether all of the sheet is cut behind it.
func (w *sheetWork) last() bool { return w.k == w.of }

// soFar takes out of what is wanted all that later programs cut, and roughings that an
// earlier one has finished: what they left of the wall is gone.
func (w *sheetWork) soFar(want *proof.Wanted) {
	if w.k == 0 {
		return
	}
	done := map[process.OpKind]map[int]bool{process.Mark: {}, process.Pocket: {}, process.Outline: {}}
	for _, p := range w.parts[:w.k] {
		for _, op := range p.program.Ops {
			done[op.Kind][op.Tool.Number] = true
		}
	}
	if len(done[process.Mark]) == 0 {
		want.Marks, want.MarkDepthMM = []proof.WantedMark{}, 0
	}
	over := map[int]bool{}
	for _, c := range w.sheet.Cuts {
		for _, i := range c.After {
			over[i] = over[i] || w.sheet.Cuts[i].Rough && done[process.Pocket][c.Tool.Number]
		}
	}
	var cuts []proof.WantedCut
	for i, c := range w.sheet.Cuts {
		if done[process.Pocket][c.Tool.Number] && !over[i] {
			cuts = append(cuts, want.Cuts[i])
		}
	}
	want.Cuts = cuts
	if len(done[process.Outline]) == 0 {
		want.OutlineDepthMM = 0
	}
}
