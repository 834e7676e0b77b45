package plan

import (
	"fmt"

	"traywright/cam/job"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// shapeCut makes the holes of a label or an emblem that is cut: letters as far
// apart, and islands on bridges as wide, as the foam holds.
func (m *maker) shapeCut(b *board, k *mark) {
	whole := b.Thickness()
	k.Depth = b.inFoam(k.Depth)
	switch {
	case k.Through:
		k.Depth = whole
	case k.Depth > whole:
		m.log.fail(k.at, "mark-too-deep", fmt.Sprintf("is %s deep, %s more than the tray's %s", m.length(k.Depth), m.length(k.Depth-whole), m.length(whole)),
			"make it shallower, or write `make: through`")
		return
	case k.Depth == whole:
		k.Through = true
	}
	_, least := strictest(b, k.Depth, leastWall)
	bridge := 0.0
	if m.cutsThrough(b, k.Depth) {
		bridge = least
	}
	var no *refusal
	if k.label != nil {
		no = m.cutLetters(k, spread{gapMM: least, bridgeMM: bridge})
	} else {
		no = m.cutEmblem(k, bridge)
	}
	if no != nil {
		m.refused(task{at: k.at}, no)
		return
	}
	k.contours = k.Design.Contours()
	k.settleBox()
	m.checkFoamIn(b, k, least)
}

// cutsThrough reports whether a hole of this depth goes through a sheet, so
// that its islands would come loose.
func (m *maker) cutsThrough(b *board, depth units.Length) bool {
	if b.source.Cut == job.Block {
		return depth == b.Thickness()
	}
	return depth >= b.Layers[0].Thickness
}

func (m *maker) cutLetters(k *mark, s spread) *refusal {
	var no *refusal
	if k.line, no = m.set(k, s); no != nil {
		return no
	}
	if len(k.line.Strokes()) > 0 {
		return &refusal{rule: "strokes-have-no-area", message: "is to be cut, and the font strokes has lines without a width", hint: "take `font: go-bold`, or write `make: mark`"}
	}
	k.HeightMM = k.line.HeightMM
	for _, l := range k.line.Letters {
		k.Bridges += len(l.Bridges)
	}
	var err error
	if k.Design, err = k.line.Region(m.TolMM); err != nil {
		return badShape(err)
	}
	return nil
}

func (m *maker) cutEmblem(k *mark, bridge float64) *refusal {
	if bridge == 0 {
		k.Design = k.drawn
		return nil
	}
	design, bridges, err := lettering.Stencil(k.drawn, lettering.StencilOptions{BridgeMM: bridge}, m.TolMM)
	if err != nil {
		return unset(err)
	}
	k.Design, k.Bridges = design, len(bridges)
	return nil
}

// checkFoamIn warns of foam in the mark that is thinner than the foam holds.
func (m *maker) checkFoamIn(b *board, k *mark, least float64) {
	if thin := m.thinGap(k, k.line, k.Design, least); thin != nil {
		m.log.warn(k.at, thin.Rule, thin.Message, thin.Hint)
	}
	if b.topFoam().Cells.Value == profiles.OpenCells && !m.cutsThrough(b, k.Depth) {
		m.checkCells(b, k)
	}
}

// cutMarks are the slab's holes that labels and emblems make, each letter by
// itself.
func (m *maker) cutMarks(b *board, s slab) []Cut {
	var cuts []Cut
	for _, k := range b.marks {
		if k.Make == job.Cut {
			cuts = append(cuts, m.cutMark(b, k, s)...)
		}
	}
	return cuts
}

func (m *maker) cutMark(b *board, k *mark, s slab) []Cut {
	depth := max(0, min(k.Depth, s.bottom)-s.top)
	if depth == 0 || k.outside {
		return nil
	}
	if m.wholeLayers() && depth < s.bottom-s.top {
		m.log.fail(k.at, "depth-off-layer", fmt.Sprintf("is %s deep, and a %s cuts whole layers", m.length(k.Depth), m.Machine.Process),
			"make it "+m.boundaries(b, k.Depth)+" deep, where a layer ends, or write `make: mark`")
		return nil
	}
	t := task{at: k.at, tool: k.making.Tool, layers: s.layers, depthMM: depth.MM(), through: depth == s.bottom-s.top}
	if t.tool == "" {
		t.tool = b.source.Tool
	}
	c, no := m.chooseMark(k, t)
	if no != nil {
		m.refused(t, no)
		return nil
	}
	if s.top == 0 {
		k.Design = c.reached.shape
	}
	var cuts []Cut
	for _, piece := range c.reached.shape.Pieces() {
		cuts = append(cuts, Cut{
			Name: k.Name, Design: piece, Shape: piece, DepthMM: t.depthMM, Through: t.through, Tool: c.tool, Recipes: c.recipes,
		})
	}
	return cuts
}

// tryMark holds a tool against a mark. Its corners come out as round as the
// foam likes them or, where that takes too much off, as the tool makes them. Pointed says that points may come out round.
func (m *maker) tryMark(k *mark, tool profiles.Tool, recipes []profiles.Recipe, pointed bool) (choice, *refusal) {
	f, err := m.carve(k.Design, cornerRadius(recipes), pointed)
	if r := radius(recipes); err == nil && f.fine && r < cornerRadius(recipes) {
		f, err = m.carve(k.Design, r, pointed)
	}
	switch {
	case err != nil:
		return choice{}, badShape(err)
	case f.fine:
		thin := m.tooFine(k, k.line, k.Design, f.at, tool, radius(recipes))
		return choice{}, &refusal{rule: thin.Rule, message: thin.Message, hint: thin.Hint}
	}
	return choice{design: k.Design, reached: reached{shape: f.shape, over: f.blunt, at: f.at}}, nil
}

// removed is the volume that a mark takes out of a layer, in mm3.
func (k *mark) removed(l Layer) float64 {
	if k.Make != job.Cut {
		return 0
	}
	depth := max(0, min(k.Depth, l.Top+l.Thickness)-l.Top)
	return depth.MM() * k.Design.Area()
}
