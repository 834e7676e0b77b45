package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// free cuts around the tray, the tool outside it, against the clock so that
// it is climb cut. Each level goes down on a ramp along the way, see levels, and the
// last one once around, which takes the ramp with it. It ends above a skin, or through the
// foam with tabs: the recipe of the bottom layer says which. With neither, the
// tray would fly loose at the last lap, and there is no path.
func (r *router) free(edge plan.Cut, near geometry.Point) (finished, error) {
	if edge.Through && edge.Hold.Tabs == 0 {
		return finished{}, noPath(edge.Name, "nothing holds the tray, and it would fly loose", "leave a skin under it, or tabs")
	}
	kerf := edge.WidestMM()
	path, err := geometry.Offset(edge.Shape, kerf/2, r.tol)
	if err != nil {
		return finished{}, noPath(edge.Name, "it has no offset: "+err.Error(), "check the tray's outline")
	}
	e := r.newEmitter()
	var passes int
	for _, c := range orderRims(near, path.Contours(), edge.Hold) {
		way := c.Reverse()
		passes = r.outlineRun(edge, beginAt(way, startPlaces(way, near, kerf)[0], r.tol), kerf).cut(e)
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
	track  track
	tabs   []tab
	tabTop float64 // height of the tabs' tops
	over   float64 // feed over them: of the layer that they end in
}

// outlineRun plans one way around, from the contour's first vertex.
func (r *router) outlineRun(edge plan.Cut, c geometry.Contour, kerf float64) outlineRun {
	run := outlineRun{router: r, edge: edge, track: newTrack(c)}
	if hold := edge.Hold; hold.Tabs > 0 {
		run.tabTop = hold.TabHighMM - r.sheet.ThicknessMM()
		run.tabs = placeTabs(run.track, hold.Tabs, hold.TabMM+kerf, 0)
		for _, p := range edge.Passes {
			if p.FromMM < -run.tabTop-tieMM {
				run.over = feedsOf(edge.Recipes[p.Layer], r.machine).cut
			}
		}
	}
	return run
}

// level is one pass of a way around: down on a ramp of some length, and on at its depth.
type level struct {
	pass       plan.Pass
	feeds      feeds
	ramp, flat float64 // mm along
}

// levels are the passes of a way around of that length. The last goes once around at its depth.
// One that the next one follows in the same layer ends where its ramp began: there the next ramp
// sets in, as steep as the one that it follows, and so takes a step at a time all the way.
func (r *router) levels(cut plan.Cut, around float64) []level {
	list := make([]level, len(cut.Passes))
	for i, p := range cut.Passes {
		f := feedsOf(cut.Recipes[p.Layer], r.machine)
		l := level{pass: p, feeds: f, ramp: (p.ToMM - p.FromMM) / f.slope, flat: around}
		if i+1 < len(cut.Passes) && cut.Passes[i+1].Layer == p.Layer {
			l.flat = max(0, around-l.ramp)
		}
		list[i] = l
	}
	return list
}

// cut goes around level by level and ends retracted. The result is the number
// of passes.
func (o outlineRun) cut(e *emitter) int {
	levels := o.router.levels(o.edge, o.track.length())
	e.hop(o.track.start(), 0, levels[0].feeds.plunge)
	o.wind(e, levels)
	e.retract()
	return len(levels)
}

// wind goes around level by level, from the track's start at the height of the first.
func (o outlineRun) wind(e *emitter, levels []level) {
	at := 0.0 // mm along the track
	for _, l := range levels {
		above, z := -l.pass.FromMM, -l.pass.ToMM
		o.along(e, at, at+l.ramp, above, z, l.feeds.ramp, l.feeds)
		at += l.ramp
		if l.flat > 0 {
			o.along(e, at, at+l.flat, z, z, l.feeds.cut, l.feeds)
			at += l.flat
		}
	}
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
		if p.over && b == o.tabTop {
			e.ramp(o.track.part(p.from, p.to), p.to-p.from, b, o.over)
			continue
		}
		e.ramp(o.track.part(p.from, p.to), p.to-p.from, b, feed)
	}
}
