package proof

import (
	"math"

	"traywright/geometry"
)

// Tabs hold a tray whose outline a cutter cuts through. How many, how wide and how high the plan
// says; where they stand, its own way: along the kerf, a program leaves what that leaves.
type Tabs struct {
	Count           int
	WidthMM, HighMM float64
}

// tabRows are where in the kerf a tab is looked at, in radii from the tray: near either side of
// it, where a cut may come from, and where it is narrowest.
var tabRows = [...]float64{0.1, 1, 1.9}

// tabPlace is a place in the kerf where a tab is planned to stand, and how deep the plan's own
// way goes there.
type tabPlace struct {
	at   geometry.Point
	deep float64
}

// tab is one of them: where it meets the tray, and its rows.
type tab struct {
	edge []geometry.Point
	rows [len(tabRows)][]tabPlace
}

// judgeTabs: where a tab is to be, foam stands, as wide and as high as planned.
func (d *run) judgeTabs(x *index) {
	if !d.turning || d.want.Way == nil || d.want.OutlineDepthMM < d.throughMM() {
		return
	}
	own := newIndex(d.ownOutline())
	for _, c := range d.want.Outline.Contours() {
		for _, tab := range d.plannedTabs(own, c) {
			d.judgeTab(x, tab)
		}
	}
}

// ownOutline is how the plan's own way goes round the tray, and all that was cut before.
func (d *run) ownOutline() (list []sweep) {
	for _, s := range d.sweeps {
		if s.motion < -1 {
			list = append(list, s)
		}
	}
	e := d.outlineEdge()
	for m := range d.want.Way {
		if m.Rapid || m.lowest() >= 0 || m.To.Z > m.From.Z && m.flatLength() == 0 || d.want.Outline.Contains(m.middle()) {
			continue
		}
		first := len(list)
		list = appendSweeps(list, -1, m, e.radius, -m.From.Z, -m.To.Z)
		for i := first; i < len(list); i++ {
			list[i].edge = e
		}
	}
	return list
}

// plannedTabs are the rows of the tabs along a contour: each a stretch over which the plan's own
// way does not go through. It is taken for a little wider there than it is, which no rounding is.
func (d *run) plannedTabs(own *index, c geometry.Contour) (tabs []tab) {
	e := d.outlineEdge()
	deep := func(p geometry.Point) float64 {
		depth, _ := own.depthAt(p, 2*d.tolerance)
		return depth
	}
	stands := func(p geometry.Point) bool { return deep(p) < d.throughMM()-toleranceMM }
	probes := probesOf(c, stands)
	for _, run := range runs(len(probes), func(i int) bool { return stands(probes[i].at) }) {
		var t tab
		for _, i := range run {
			p := probes[i]
			t.edge = append(t.edge, p.at)
			for row, part := range tabRows {
				if at := p.at.Add(p.out.Scale(part * e.radius)); stands(at) {
					t.rows[row] = append(t.rows[row], tabPlace{at, deep(at)})
				}
			}
		}
		tabs = append(tabs, t)
	}
	return tabs
}

// judgeTab finds a tab of which less stands than planned.
func (d *run) judgeTab(x *index, t tab) {
	whole, left, high, by := math.Inf(1), math.Inf(1), 0.0, -1
	for _, row := range t.rows {
		planned, stands, last := 0.0, 0.0, false
		for i, p := range row {
			depth, motion := x.depthAt(p.at, d.tolerance)
			is := depth <= p.deep+toleranceMM
			if !is {
				by = max(by, motion)
			}
			if high = math.Max(high, d.throughMM()-p.deep); i > 0 {
				step := p.at.DistanceTo(row[i-1].at)
				if planned += step; is && last {
					stands += step
				}
			}
			last = is
		}
		whole, left = math.Min(whole, planned), math.Min(left, stands)
	}
	if by < 0 {
		return
	}
	d.wrong(d.lineOf(by), "tab-cut", "cuts the tab at %v, which holds the tray: of the %v that stand there as planned, %v high, %v are left", t.edge[len(t.edge)/2], length(whole), length(high), length(left)).
		hint("lift the tool to Z%v over all of it, or make the program again with `traywright cut`", d.word(d.zWord(high-d.throughMM())))
}
