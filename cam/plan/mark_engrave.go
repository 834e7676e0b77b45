package plan

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/profiles"
)

// marking is how a tray's marks are engraved: with one tool for all of them.
type marking struct {
	tool    profiles.Tool
	recipes []profiles.Recipe
	depthMM float64
}

// engrave sets all that is engraved for the first tool that can do all of it.
// Where none can, it is set for the tool that can do most, and what is too fine
// for that is reported.
func (m *maker) engrave(b *board) {
	var list []*mark
	t := task{at: b.at, layers: b.Layers[:1]}
	for _, k := range b.marks {
		if k.Make == job.Cut {
			continue
		}
		list = append(list, k)
		switch name := k.making.Tool; {
		case name == "" || name == t.tool:
		case t.tool == "":
			t.tool, t.at = name, k.at
		default:
			m.log.fail(k.at, "two-tools", fmt.Sprintf("is to be engraved with the tool %s, and another mark of the tray with %s", name, t.tool), "name one tool for all that is engraved on a tray")
		}
	}
	if len(list) == 0 {
		return
	}
	tools, no := m.candidates(t)
	if no != nil {
		m.refused(t, no)
		return
	}
	best := m.bestMarking(t, tools, list)
	if best == nil {
		return
	}
	b.marking = &best.marking
	for i, k := range list {
		m.take(k, best.done[i], best.marking)
	}
	m.checkCells(b, list[0])
}

// engraving is what one tool makes of a tray's marks.
type engraving struct {
	marking
	done []engraved
}

// faults are how many marks it fails at, how many have points that it rounds, and how wide it is then.
func (e engraving) faults() []float64 {
	var failed, blunt, wide float64
	for _, d := range e.done {
		switch {
		case d.no != nil || d.thin != nil:
			failed++
		case d.blunt.blunt > 0:
			blunt, wide = blunt+1, e.groove()
		}
	}
	return []float64{failed, blunt, wide}
}

func (m *maker) bestMarking(t task, tools []profiles.Tool, list []*mark) *engraving {
	var best *engraving
	var why *refusal
	for _, tool := range tools {
		recipes, no := m.recipes(t, tool)
		if no != nil {
			why = no
			continue
		}
		how, depth := m.Means.Marking(recipes[0], t.layers[0].Thickness.MM())
		if no := m.weakMark(recipes[0], how); no != nil {
			why = no
			continue
		}
		m.tellDim(how, "engraves", "the mark_share that would do")
		recipes = slices.Clone(recipes)
		recipes[0].KerfMM = how.KerfMM // a pen's, where nothing is engraved
		e := engraving{marking: marking{tool, recipes, depth}}
		for _, k := range list {
			e.done = append(e.done, m.engraveOne(k, e.marking))
		}
		if best == nil || slices.Compare(e.faults(), best.faults()) < 0 {
			best = &e
		}
		if e.faults()[0]+e.faults()[1] == 0 {
			break
		}
	}
	if best == nil {
		m.refused(t, why)
	}
	return best
}

// groove is how wide the marking's tool engraves, and ridge the least foam that
// it may leave between two grooves: as wide as they are deep, or as a beam.
func (k marking) groove() float64 { return 2 * radius(k.recipes) }
func (k marking) ridge() float64 {
	if k.depthMM > 0 {
		return k.depthMM
	}
	return k.groove()
}

// engraved is a mark as a tool would engrave it.
type engraved struct {
	line   lettering.Line
	design geometry.Region
	paths  []geometry.Path
	thin   *finding.Finding // worst place, too fine
	blunt  carved           // points that come out round
	full   bool             // an outline that leaves nothing standing inside some part
	no     *refusal
}

func (m *maker) engraveOne(k *mark, by marking) engraved {
	var e engraved
	e.design = k.drawn
	if k.label != nil {
		if e.line, e.no = m.set(k, spread{grooveMM: by.groove(), gapMM: by.ridge()}); e.no != nil {
			return e
		}
		if strokes := e.line.Strokes(); len(strokes) > 0 {
			e.paths = strokes
			e.thin = m.thinStrokes(k, e.line, by)
			return e
		}
		var err error
		if e.design, err = e.line.Region(m.TolMM); err != nil {
			e.no = badShape(err)
			return e
		}
	}
	f, err := m.carve(e.design, by.groove()/2, k.label == nil)
	switch e.blunt = f; {
	case err != nil:
		e.no = badShape(err)
	case f.fine:
		e.thin = m.tooFine(k, e.line, e.design, f.at, by.tool, by.groove()/2)
	default:
		e.thin = m.thinGap(k, e.line, e.design, by.ridge())
		e.paths, e.no = m.fill(f.shape, k.Make == job.Marked, by)
		e.full = k.Make == job.Outlined && m.fillsUp(f.shape, by)
	}
	return e
}

// mostFilled bounds the lines and arcs of a shape that is engraved all over.
const mostFilled = 60_000

// fill is the way of a tool that engraves a shape: along its edge, and then
// inward in laps, as far apart as the recipe's step, until nothing is left.
func (m *maker) fill(design geometry.Region, all bool, by marking) ([]geometry.Path, *refusal) {
	r := by.groove() / 2
	step := 2 * r
	if s := by.recipes[0].Stepover.Value; s > 0 {
		step *= s
	}
	var paths []geometry.Path
	count := 0
	for d := r; ; d += step {
		lap, err := geometry.Offset(design, -d, m.TolMM)
		switch {
		case err != nil:
			return nil, badShape(err)
		case lap.Empty() && d == r:
			return nil, m.tooNarrow(by.tool, r, middle(design.Bounds()))
		case lap.Empty():
			return paths, nil
		}
		for _, c := range lap.Contours() {
			paths = append(paths, closedPath(c))
			count += c.Len()
		}
		if !all {
			return paths, nil
		}
		if count > mostFilled {
			return nil, &refusal{rule: "mark-too-long", message: fmt.Sprintf("takes more than %d lines to engrave all over", mostFilled),
				hint: "write `make: outline`, make it smaller, or take a simpler picture"}
		}
	}
}

// fillsUp reports whether the groove along a part's edge leaves less foam inside
// it than a ridge is wide.
func (m *maker) fillsUp(design geometry.Region, by marking) bool {
	for _, piece := range design.Pieces() {
		inside, err := geometry.Offset(piece, -by.groove()-by.ridge()/2, m.TolMM)
		if err == nil && inside.Empty() {
			return true
		}
	}
	return false
}

// closedPath is a contour as a path that ends where it begins.
func closedPath(c geometry.Contour) geometry.Path {
	v := c.Vertices()
	return geometry.NewPath(append(v, geometry.Vertex{Point: v[0].Point})...)
}

// take takes over what the chosen tool makes of a mark, and reports what is
// wrong with it.
func (m *maker) take(k *mark, e engraved, by marking) {
	if e.no != nil {
		m.refused(task{at: k.at}, e.no)
		return
	}
	if e.thin != nil {
		m.log.fail(k.at, e.thin.Rule, e.thin.Message, e.thin.Hint)
	}
	m.tellBlunt(k, e.blunt.blunt, e.blunt.at, by.tool, by.groove()/2)
	if e.full {
		m.log.warn(k.at, "outline-fills-up", fmt.Sprintf("is engraved along its edge, and the tool %s, which cuts %s wide, leaves nothing standing inside some part of it", by.tool.ID, m.mm(by.groove())),
			"write `make: mark`, make it larger, or engrave it with a thinner tool (`tool:`)")
	}
	k.line, k.Design, k.Paths, k.WidthMM, k.HeightMM = e.line, e.design, e.paths, by.groove(), e.line.HeightMM
	if len(k.Paths) == 0 {
		return
	}
	k.contours = k.Design.Contours()
	if k.Design.Empty() {
		k.reachMM = by.groove() / 2
		for _, p := range k.Paths {
			k.contours = append(k.contours, thereAndBack(p))
		}
	}
	k.settleBox()
}

// settleBox finds the box of all that goes.
func (k *mark) settleBox() {
	box := geometry.EmptyBox()
	for _, c := range k.contours {
		box = box.Union(c.Bounds())
	}
	k.Box = box.Grow(k.reachMM)
}

// checkCells warns of marks in open cells.
func (m *maker) checkCells(b *board, first *mark) {
	if foam := b.topFoam(); foam.Cells.Value == profiles.OpenCells {
		m.log.warn(first.at, "mark-in-open-cells", "is engraved into "+foam.ID+", whose open cells hold no line",
			"cut it through, engrave it into a closed-cell sheet, or write it on paper")
	}
}
