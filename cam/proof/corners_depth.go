package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// What depth decides: through or not, into the bed or not, held or loose. Depths are
// below the planned top of the planned foam; `below` and `above` are how margins that
// want the tool deep, or want it high, move.

// below is how the depth under the real bottom moves.
func (t *trial) below() motionOf {
	if t.bed {
		return motionOf{Zero: -1}
	}
	return motionOf{Thickness: -1, Zero: -1}
}

// above is how the foam under a tool moves.
func (t *trial) above() motionOf {
	if t.bed {
		return motionOf{Zero: 1}
	}
	return motionOf{Thickness: 1, Zero: 1}
}

// depths measures all margins of depth. A beam has but one: that its passes go through.
func (t *trial) depths() {
	if t.wire {
		return
	}
	if t.beam {
		t.burntThrough()
		return
	}
	t.rapidHeight()
	t.intoBed()
	t.outline()
	for i := range t.cuts {
		if h := &t.cuts[i]; h.Through {
			t.through(i)
		} else {
			t.floor(*h)
		}
	}
}

// rapidHeight: rapids that end above the foam, aside or straight down to where it stands, stay above it. Where a tip
// has been lower there is none, whatever is off.
func (t *trial) rapidHeight() {
	lowest, at, tool := math.Inf(1), geometry.Point{}, 0
	for i, m := range t.result.Motions {
		if low := m.lowest(); m.Rapid && low >= 0 && (m.flatLength() > 0 || t.sunkOver[i]) && low < lowest {
			lowest, at, tool = low, m.From.Point, m.Tool
		}
	}
	moves := motionOf{Zero: 1}
	if t.bed {
		moves[Thickness] = -1
	}
	if !math.IsInf(lowest, 1) {
		t.add(RapidLow, "the way between cuts", at, tool, lowest, moves)
	}
}

// intoBed: no tool goes deeper below the foam than it may.
func (t *trial) intoBed() {
	if t.BedMM == 0 {
		return
	}
	deepest := map[int]*sweep{}
	var tools []int
	for i := range t.sweeps {
		s := &t.sweeps[i]
		tool := t.motionAt(s.motion).Tool
		if deepest[tool] == nil {
			tools = append(tools, tool)
		}
		if deepest[tool] == nil || s.deepest() > deepest[tool].deepest() {
			deepest[tool] = s
		}
	}
	for _, tool := range tools {
		s := deepest[tool]
		t.add(Bed, "the deepest cut", s.a, tool, t.BedMM-(s.deepest()-t.setup.ThicknessMM), t.above())
	}
}

// burntThrough: the passes of a beam together go through thicker foam as well, where a
// recipe says how deep one goes.
func (t *trial) burntThrough() {
	look := func(name string, shape geometry.Region, limits []Limits, held Bridges) {
		if !slices.ContainsFunc(limits, func(l Limits) bool { return l.MMPerPass > 0 }) {
			return
		}
		var seen lowHigh
		for _, c := range shape.Contours() {
			for _, p := range probesOf(c, nowhere) {
				if t.onBridge(t.index, held, p.at) {
					continue
				}
				depth, motion := t.burntAt(p.at)
				seen.see(depth, p.at, t.toolOf(motion))
			}
		}
		if seen.any {
			t.add(Uncut, name, seen.lowAt, seen.tool, seen.low-t.setup.ThicknessMM, motionOf{Thickness: -1})
		}
	}
	for _, h := range t.cuts {
		look(h.Name, h.Shape, h.Limits, h.Bridged)
	}
	look("the outline", t.want.Outline, t.want.OutlineLimits, t.want.OutlineBridged)
}

// burntAt is how deep the passes over a place go together, however thick the foam.
func (t *trial) burntAt(p geometry.Point) (depth float64, motion int) {
	motion = -1
	t.index.near(p, t.tolerance, func(s *sweep) bool {
		if mm := t.laid[s.motion].mm; mm > depth && s.distance(p, math.Inf(-1)) <= s.radius+t.tolerance {
			depth, motion = mm, s.motion
		}
		return true
	})
	return depth, motion
}

// lowHigh is the least and the greatest of depths, and where.
type lowHigh struct {
	low, high     float64
	lowAt, highAt geometry.Point
	tool          int
	any           bool
}

func (l *lowHigh) see(depth float64, at geometry.Point, tool int) {
	if !l.any || depth < l.low {
		l.low, l.lowAt, l.tool = depth, at, tool
	}
	if !l.any || depth > l.high {
		l.high, l.highAt = depth, at
	}
	l.any = true
}

func (t *trial) toolOf(motion int) int {
	if motion == -1 {
		return 0
	}
	return t.motionAt(motion).Tool
}

// through: all of a hole, its walls and what is between them, is cut through.
func (t *trial) through(i int) {
	h := &t.cuts[i]
	var seen lowHigh
	for _, c := range h.Shape.Contours() {
		for _, p := range probesOf(c, nowhere) {
			if depthBehind(t.cuts, i, p) >= h.depth || t.onBridge(t.index, h.Bridged, p.at) {
				continue
			}
			depth, motion := t.index.depthAt(p.at, t.tolerance)
			seen.see(depth, p.at, t.toolOf(motion))
		}
	}
	if between := h.shallow; between.any && (!seen.any || between.low < seen.low-failsMM) {
		seen.see(between.low, between.lowAt, h.tool())
	}
	if seen.any {
		t.add(Uncut, h.Name, seen.lowAt, seen.tool, seen.low-t.setup.ThicknessMM, t.below())
	}
}

func nowhere(geometry.Point) bool { return false }

// floor: what a blind hole leaves under it holds. Where an island or a plug stands on it,
// it is all that holds that.
func (t *trial) floor(h hole) {
	left := t.setup.ThicknessMM - h.depth
	if h.Plug {
		t.add(Loose, "the plug in "+h.Name, middleOf(h.box), h.tool(), left, t.above())
		t.add(Skin, "the skin under the plug in "+h.Name, middleOf(h.box), h.tool(), left-t.LeastLeftMM, t.above())
		return
	}
	for _, c := range h.Shape.Contours() {
		if c.Area() < 0 {
			t.add(Loose, "the island in "+h.Name, c.Vertices()[0].Point, h.tool(), left, t.above())
		}
	}
	t.add(Floor, h.Name, middleOf(h.box), h.tool(), left-t.LeastLeftMM, t.above())
}

func middleOf(b geometry.Box) geometry.Point { return b.Min.Add(b.Max).Scale(0.5) }

// tool that the plan has a hole cut with; 0 where it does not say.
func (c WantedCut) tool() int {
	if len(c.Limits) == 0 {
		return 0
	}
	return c.Limits[0].Tool
}

// outline: the tray is held by a skin all around or by tabs, and cut through where it
// is not.
func (t *trial) outline() {
	for _, c := range t.want.Outline.Contours() {
		t.held(t.heights(c))
	}
}

// heights is how deep the outline is cut at each of its probes, and with what.
func (t *trial) heights(c geometry.Contour) (probes []probe, depths []float64, tool int) {
	probes = probesOf(c, nowhere)
	for _, p := range probes {
		depth, motion := t.index.depthAt(p.at, t.tolerance)
		depths = append(depths, depth)
		tool = max(tool, t.toolOf(motion))
	}
	return probes, depths, tool
}

// held looks at what holds the tray: the skin where nothing is cut through, else the
// tabs, which are the runs of probes that are not.
func (t *trial) held(probes []probe, depths []float64, tool int) {
	var skin, open lowHigh
	thickness := t.setup.ThicknessMM
	for i, depth := range depths {
		if depth < thickness-toleranceMM {
			skin.see(depth, probes[i].at, tool)
		} else {
			open.see(depth, probes[i].at, tool)
		}
	}
	if !t.turning { // nothing holds it, and nothing has to
		t.add(Uncut, "the outline", open.lowAt, tool, open.low-thickness, t.below())
		return
	}
	if !skin.any {
		return
	}
	if !open.any {
		t.add(Loose, "the tray", skin.lowAt, tool, thickness-skin.low, t.above())
		t.add(Skin, "the skin under the outline", skin.highAt, tool, thickness-skin.high-t.LeastLeftMM, t.above())
		return
	}
	t.add(Uncut, "the outline", open.lowAt, tool, open.low-thickness, t.below())
	t.add(Loose, "the tray", skin.lowAt, tool, thickness-skin.low, t.above())
	if width := t.want.Tabs.WidthMM; width > 0 { // judgeTabs has found them as wide
		t.add(Parted, "the tray", skin.lowAt, tool, width, wider(-1))
		t.add(Neck, "a tab of the outline", skin.lowAt, tool, width-t.LeastLeftMM, wider(-1))
	}
	for _, run := range runs(len(depths), func(i int) bool { return depths[i] < thickness-toleranceMM }) {
		var tab lowHigh
		for _, i := range run {
			tab.see(depths[i], probes[i].at, 0)
		}
		t.add(Skin, "a tab of the outline", tab.lowAt, tool, thickness-tab.low-t.LeastLeftMM, t.above())
	}
}
