package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// A cut along a line takes nothing off for the kerf: the tool's centre or the
// beam runs on the line itself, as a coupon wants it, and as the plug of a pocket
// has it. What the line goes around is measured afterwards, or lifted out, so it
// must not fly; see router.groove.

// along goes around the line with the beam, which comes in from inside it.
func (l *laser) along(cut plan.Cut, _ geometry.Point) (finished, error) {
	path := geometry.NewRegion(cut.Along)
	return l.contours(Pocket, cut, newRoom(path, false), path.Contours(), path, startOf(cut.Along))
}

// groove cuts a groove around the line, level by level as the outline is cut,
// climbing on what is to be used: the wall around a plug, else what is inside. It
// has to end above the sheet's bottom: the skin holds the plug.
func (r *router) groove(cut plan.Cut, near geometry.Point) (finished, error) {
	if cut.Through {
		return finished{}, noPath(cut.Name, fmt.Sprintf("cut through %.2f mm, the plug inside it would fly loose", r.sheet.ThicknessMM()),
			"leave a skin under it")
	}
	kerf := cut.WidestMM()
	e := r.newEmitter()
	way := cut.Along.Reverse()
	start := startPlaces(way, startOf(cut.Along), kerf)[0]
	if cut.Plug {
		way = cut.Along
		start = r.closingStraight(cut, way, near)
	}
	passes := r.outlineRun(cut, beginAt(way, start, r.tol), kerf).cut(e)
	if err := keepsFrom(e.moves, cut, kerf/2, false); err != nil {
		return finished{}, err
	}
	op := r.op(Pocket, cut, e.done(), passes)
	if cut.Plug {
		op.PlugSkinMM = r.sheet.ThicknessMM() - cut.DepthMM
	}
	return finished{op, geometry.NewRegion(cut.Along)}, nil
}

// closingLooks is at how many places of a straight part it is looked whether the groove may end there.
const closingLooks = 8

// closingStraight is where a groove begins that ends on a straight part, a kerf from both its ends or in its
// middle: in a turn, the last foam that the cutter takes would be a large corner of a plug that only the skin
// holds by then. Of straight parts at least half as long as the longest it is where it begins nearest.
func (r *router) closingStraight(cut plan.Cut, way geometry.Contour, near geometry.Point) place {
	t := newTrack(way)
	run := 0.0
	for _, l := range r.levels(cut, t.length()) {
		run += l.ramp + l.flat
	}
	straight := func(s geometry.Segment) float64 {
		if s.IsArc() {
			return s.Length() / 1000 // only where there is nothing straight
		}
		return s.Length()
	}
	longest := 0.0
	for _, s := range t.segments {
		longest = math.Max(longest, straight(s))
	}
	best, least := t.start(), math.Inf(1)
	for i, s := range t.segments {
		if straight(s) < longest/2-tieMM {
			continue
		}
		room := math.Max(0, s.Length()/2-cut.WidestMM())
		for k := range closingLooks + 1 {
			end := t.ends[i] - s.Length()/2 + room*float64(2*k-closingLooks)/closingLooks
			if d := t.at(end - run).DistanceTo(near); d < least-tieMM {
				best, least = t.at(end-run), d
			}
		}
	}
	return nearestOn(way, best)
}

func startOf(c geometry.Contour) geometry.Point { return c.Vertices()[0].Point }
