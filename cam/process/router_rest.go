package process

import (
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// Finishing what a larger tool has roughed. Its own tool goes along every wall; of the laps that
// would clear the whole pocket it makes only those that come near to anything which neither
// the roughing nor the lap along the wall takes. As the laps together clear all of the pocket,
// those clear all that is left of it.

// keepRest leaves out the laps that have nothing to clear, and is where the tool's centre may
// be without touching foam.
func (c *clearer) keepRest(wall, roughed geometry.Region) (*room, error) {
	free, err := geometry.Offset(roughed, -c.radius, c.tol)
	if err != nil {
		return nil, err
	}
	inside, err := geometry.Offset(wall, -c.sure, c.tol)
	if err != nil {
		return nil, err
	}
	rest, err := geometry.Difference(inside, roughed, c.tol)
	if err != nil {
		return nil, err
	}
	var near []geometry.Box
	for _, piece := range rest.Pieces() {
		near = append(near, piece.Bounds().Grow(c.radius))
	}
	c.keep(func(lap geometry.Contour) bool { return comesInto(lap, near) })
	gone := newRoom(free, false)
	return &gone, nil
}

// wallAlone reports whether nothing but the wall is left of a cut, on several levels of one foam.
func (c *clearing) wallAlone(cut plan.Cut) bool {
	return c.gone != nil && len(cut.Passes) > 1 && len(cut.Recipes) == 1 &&
		!slices.ContainsFunc(c.visits, func(v visit) bool { return !v.wall || v.lap.radius == 0 })
}

// winds goes down along a wall from level to level on the recipe's ramp, as a groove does, and once around at the floor:
// quicker than straight down at the plunge feed at each level, and into no more foam where the roughing was forgotten. It
// ends where the lap begins, which leaves the wall on a quarter circle.
func (r *router) winds(e *emitter, cut plan.Cut, l lap) {
	track := newTrack(l.contour)
	levels, run := r.levels(cut, track.length()), 0.0
	for _, level := range levels {
		run += level.ramp + level.flat
	}
	begin := nearestOn(l.contour, track.at(-run))
	way := outlineRun{router: r, edge: cut, track: newTrack(beginAt(l.contour, begin, r.tol))}
	e.hop(way.track.start(), -cut.Passes[0].FromMM, levels[0].feeds.plunge)
	way.wind(e, levels)
	e.segment(l.out(), e.at.Z, levels[0].feeds.cut)
}

// keep leaves out every lap that is not wanted.
func (c *clearer) keep(wanted func(geometry.Contour) bool) {
	at := make([]int, len(c.contours))
	kept := clearer{radius: c.radius, sure: c.sure, step: c.step, tol: c.tol}
	for i, lap := range c.contours {
		if at[i] = -1; wanted(lap) {
			at[i] = len(kept.contours)
			kept.contours, kept.rings = append(kept.contours, lap), append(kept.rings, c.rings[i])
		}
	}
	for i := range c.contours {
		if at[i] < 0 {
			continue
		}
		var after []int
		for _, j := range c.after[i] {
			if at[j] >= 0 {
				after = append(after, at[j])
			}
		}
		kept.after = append(kept.after, after)
	}
	*c = kept
}

// comesInto reports whether a lap may come into one of the boxes.
func comesInto(lap geometry.Contour, boxes []geometry.Box) bool {
	for s := range lap.Segments() {
		box := geometry.Box{Min: s.A, Max: s.A}.Union(geometry.Box{Min: s.B, Max: s.B}).Grow(math.Abs(s.Bulge) * s.Chord() / 2)
		for _, b := range boxes {
			if box.Min.X <= b.Max.X && b.Min.X <= box.Max.X && box.Min.Y <= b.Max.Y && b.Min.Y <= box.Max.Y {
				return true
			}
		}
	}
	return false
}
