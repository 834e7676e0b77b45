package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// outline cuts around the tray, the tool outside it, against the clock so that
// it is climb cut. Each level goes down on a ramp along the way and then once
// around, which takes the ramp with it. It ends above a skin, or through the
// foam with tabs: the recipe of the bottom layer says which. With neither, the
// tray would fly loose at the last lap, and there is no path.
func (r *router) outline(edge plan.Cut, near geometry.Point) (finished, error) {
	edge, err := r.checkOutline(edge)
	if err != nil {
		return finished{}, err
	}
	kerf := kerfAt(edge.Recipes, len(edge.Recipes)-1)
	path, err := geometry.Offset(edge.Shape, kerf/2, r.tol)
	if err != nil {
		return finished{}, &CutError{edge.Name, "it has no offset: " + err.Error(), "check the tray's outline"}
	}
	e := r.newEmitter()
	var passes int
	for _, c := range path.Contours() {
		passes = r.outlineRun(edge, c.Reverse(), near, kerf).cut(e)
	}
	if err := keepsFrom(e.moves, edge, kerf/2, true); err != nil {
		return finished{}, err
	}
	return finished{r.op(Outline, edge, e.done(), passes), path}, nil
}

// outlineRun is one way around.
type outlineRun struct {
	router *router
	edge   plan.Cut
	levels []level
	track  track
	tabs   []tab
	tabTop float64 // height of the tabs' tops
}

// checkOutline gives the outline its depth, above the skin or below the foam.
func (r *router) checkOutline(edge plan.Cut) (plan.Cut, error) {
	if len(edge.Recipes) == 0 {
		return edge, r.check(edge)
	}
	bottom := edge.Recipes[len(edge.Recipes)-1]
	edge.Through = bottom.SkinMM.Value <= 0
	edge.DepthMM = r.thickness() - bottom.SkinMM.Value
	if !edge.Through && edge.DepthMM <= 0 {
		return edge, &CutError{edge.Name, fmt.Sprintf("a skin of %.2f mm is all of a sheet of %.2f mm", bottom.SkinMM.Value, r.thickness()),
			"make the recipe's skin_mm thinner"}
	}
	if edge.Through && !holdsByTabs(bottom, r.thickness()) {
		return edge, &CutError{edge.Name, fmt.Sprintf("the recipe for %s with %s leaves neither a skin nor tabs, and the tray would fly loose", bottom.Foam, bottom.Tool),
			"set skin_mm, or tab_count, tab_width_mm and a tab_height_mm below the sheet's thickness"}
	}
	return edge, r.check(edge)
}

func holdsByTabs(r profiles.Recipe, thickness float64) bool {
	return r.TabCount.Value >= 1 && r.TabWidthMM.Value > 0 && r.TabHeightMM.Value > 0 && r.TabHeightMM.Value < thickness
}

// outlineRun plans one way around.
func (r *router) outlineRun(edge plan.Cut, c geometry.Contour, near geometry.Point, kerf float64) outlineRun {
	bottom := edge.Recipes[len(edge.Recipes)-1]
	start := startPlaces(c, near, kerf)[0]
	run := outlineRun{
		router: r, edge: edge,
		levels: levels(0, r.depthOf(edge), r.layers, edge.Recipes),
		track:  newTrack(beginAt(c, start, r.tol)),
	}
	if edge.Through {
		run.tabTop = bottom.TabHeightMM.Value - r.thickness()
		run.tabs = placeTabs(run.track, int(bottom.TabCount.Value), bottom.TabWidthMM.Value+kerf)
	}
	return run
}

// cut goes around level by level and ends retracted. The result is the number
// of levels.
func (o outlineRun) cut(e *emitter) int {
	f := feedsOf(o.edge.Recipes[0], o.router.machine)
	e.hop(o.track.start(), 0, f.plunge)
	at := 0.0 // mm along the track
	for _, l := range o.levels {
		f = feedsOf(o.edge.Recipes[l.layer], o.router.machine)
		ramp := (l.above - l.z) / f.slope
		o.along(e, at, at+ramp, l.above, l.z, f.ramp, f)
		at += ramp
		o.along(e, at, at+o.track.length(), l.z, l.z, f.cut, f)
	}
	e.retract()
	return len(o.levels)
}

// along follows the track from one length to another while the height changes
// evenly, and steps over the tabs: straight up before, straight down behind.
func (o outlineRun) along(e *emitter, from, to, z0, z1, feed float64, f feeds) {
	height := func(s float64) float64 { return z0 + (z1-z0)*(s-from)/(to-from) }
	for _, p := range o.parts(from, to, height) {
		a, b := height(p.from), height(p.to)
		if p.over {
			a, b = math.Max(a, o.tabTop), math.Max(b, o.tabTop)
		}
		if a > e.at.Z {
			e.vertical(a, f.cut)
		} else {
			e.vertical(a, f.plunge)
		}
		e.ramp(o.track.part(p.from, p.to), p.to-p.from, b, feed)
	}
}
