package process

import (
	"fmt"

	"traywright/cam/plan"
	"traywright/geometry"
)

// pocketPlan is the path of the first pocket with its shape, depth and recipe.
// The others have the same, elsewhere.
type pocketPlan struct {
	corner geometry.Point // lower left, of the shape's box
	moves  []Move
	walls  geometry.Region
	passes int
	// straightMM is Op.StraightMM.
	straightMM float64
}

// op is the pocket's operation, its path shifted.
func (p pocketPlan) op(r *router, cut plan.Cut, by geometry.Point) Op {
	op := r.op(Pocket, cut, moved(p.moves, by), p.passes)
	op.StraightMM = p.straightMM
	return op
}

// clear clears a hole level by level. Each level ends with its finish pass:
// what is under the wall still holds it then, while one pass at full depth may
// bend soft foam away from the tool instead of cutting it. Where the plan wants
// that (plan/walls.go), only the last level has one.
func (r *router) clear(cut plan.Cut, _ geometry.Point) (finished, error) {
	corner := cut.Shape.Bounds().Min
	key := r.pocketKey(cut, corner)
	if first, made := r.pocketsMade[key]; made {
		by := corner.Sub(first.corner)
		walls := first.walls.Transform(geometry.Translate(by.X, by.Y))
		return finished{first.op(r, cut, by), walls}, nil
	}
	p, err := r.planPocket(cut)
	if err != nil {
		return finished{}, err
	}
	p.corner = corner
	r.pocketsMade[key] = p
	return finished{p.op(r, cut, geometry.Point{}), p.walls}, nil
}

// moved is the moves, shifted.
func moved(moves []Move, by geometry.Point) []Move {
	list := make([]Move, len(moves))
	for i, m := range moves {
		m.To.Point = m.To.Add(by)
		if m.Kind == CW || m.Kind == CCW {
			m.Center = m.Center.Add(by)
		}
		list[i] = m
	}
	return list
}

// pocketKey is the same for pockets that have the same path: it holds all that
// planPocket reads.
func (r *router) pocketKey(cut plan.Cut, corner geometry.Point) string {
	settings := []float64{cut.WallOnceMM}
	for _, p := range cut.Passes {
		settings = append(settings, p.FromMM, p.ToMM, float64(p.Layer))
	}
	for i, recipe := range cut.Recipes {
		settings = append(settings,
			cut.KerfMM[i], cut.SureMM[i], recipe.FeedMMPerMin.Value, recipe.PlungeMMPerMin.Value, recipe.Stepover.Value, recipe.FinishMM.Value, recipe.RampDegrees.Value)
	}
	return shapeKey(cut.Shape, corner, settings...) + shapeKey(cut.Roughed, corner)
}

// planPocket makes the path of a pocket and checks it.
func (r *router) planPocket(cut plan.Cut) (pocketPlan, error) {
	if cut.Through && hasIsland(cut.Shape) {
		return pocketPlan{}, noPath(cut.Name, "cut through, the foam in its middle would fly loose",
			"end the pocket above the sheet's bottom or remove the island")
	}
	plans, err := r.clearings(cut)
	if err != nil {
		return pocketPlan{}, err
	}
	run := pocketRun{emitter: r.newEmitter(), once: cut.WallOnceMM > 0, top: -cut.Passes[0].FromMM, bottom: -cut.Passes[len(cut.Passes)-1].ToMM}
	passes := cut.Passes
	if plans[0].wallAlone(cut) {
		for _, v := range plans[0].visits {
			r.winds(run.emitter, cut, v.lap)
		}
		passes = nil
	}
	for i, p := range passes {
		run.clearing, run.sure = plans[i], cut.SureMM[p.Layer]/2
		run.over, run.feeds = run.feeds, feedsOf(cut.Recipes[p.Layer], r.machine)
		if i == 0 {
			run.over = run.feeds
		}
		run.pass(-p.FromMM, -p.ToMM)
	}
	run.retract()
	least := cut.WallMM(cut.Passes[0].Layer) / 2
	if err := keepsFrom(run.moves, cut, least, false); err != nil {
		return pocketPlan{}, err
	}
	return pocketPlan{moves: run.done(), walls: plans[0].room.region, passes: len(cut.Passes), straightMM: run.straightMM}, nil
}

func hasIsland(shape geometry.Region) bool {
	for _, c := range shape.Contours() {
		if c.Area() < 0 {
			return true
		}
	}
	return false
}

// clearings are the plans of the passes; passes with the same settings share one.
func (r *router) clearings(cut plan.Cut) ([]*clearing, error) {
	list := make([]*clearing, len(cut.Passes))
	made := map[clearingWidths]*clearing{}
	for i, p := range cut.Passes {
		recipe, kerf := cut.Recipes[p.Layer], cut.KerfMM[p.Layer]
		w := clearingWidths{wall: cut.WallMM(p.Layer), kerf: kerf, sure: cut.SureMM[p.Layer], step: recipe.Stepover.Value * kerf, finish: recipe.FinishMM.Value}
		if made[w] == nil {
			c, err := planClearing(cut.Shape, cut.Roughed, w, r.tol)
			if err != nil {
				return nil, noPath(cut.Name, "it has no offset: "+err.Error(), "check the pocket's outline")
			}
			if len(c.visits) == 0 {
				return nil, noPath(cut.Name, fmt.Sprintf("a tool that cuts %.3f mm wide does not fit into it", w.wall),
					"choose a smaller tool or make the pocket larger")
			}
			made[w] = &c
		}
		list[i] = made[w]
	}
	return list, nil
}

// pocketRun cuts a pocket, one level after the other.
type pocketRun struct {
	*emitter
	*clearing
	feeds
	over        feeds   // of the level above, over whose floor it goes to where it goes down
	sure        float64 // half of what is lost at least
	once        bool    // its laps along the wall are the last level's alone
	top, bottom float64
}

// pass clears from one height to another.
func (p *pocketRun) pass(above, z float64) {
	for i, v := range p.visits {
		above := above
		if v.wall && p.once { // where it goes, what the laps before left still stands to the top
			above = p.top
			if z > p.bottom {
				continue
			}
		}
		open := p.open(v)
		switch {
		case i == 0 && open && p.gone != nil:
			p.reach(v.from(), above, true)
			p.vertical(z, p.plunge)
		case i == 0:
			p.descend(v.lap, above, z, true)
		case v.lift && open:
			p.hop(v.from(), p.known(above, z), p.plunge)
			p.vertical(z, p.plunge)
		case v.lift:
			v.lap.radius = 0
			p.descend(v.lap, above, z, false)
		case v.glide.no():
			p.line(Point{v.from(), z}, p.feeds.cut)
		}
		p.cutLap(v)
	}
}

// open reports whether no foam is under the tool where a lap along a wall is come to: behind the clearing laps there is
// room to go down in, if the lead-in starts at least as far from every wall as they came. Beside a corner it may be
// nearer to the other wall, and in a chamber that is too small for a clearing lap nothing is cleared.
func (c *clearing) open(v visit) bool {
	if !v.wall || v.lap.radius == 0 {
		return false
	}
	if c.gone != nil {
		return c.gone.depth(v.from()) >= 0
	}
	return c.room.depth(v.from()) >= c.first
}

// known is the floor of which the program's own cuts tell: what another program has roughed is
// gone down into at the plunge feed, so that no rapid meets foam where it was forgotten.
func (p *pocketRun) known(above, z float64) float64 {
	if p.gone != nil {
		return above
	}
	return z
}

// descend gets to the lap's start.
func (p *pocketRun) descend(to lap, above, z float64, first bool) {
	d := p.descent(to, p.sure, above-z, p.slope)
	p.reach(d.start(), above, first)
	d.cut(p.emitter, z, p.feeds)
}

// reach gets to where a way down begins, on the floor of the level above. From that level it
// goes straight there over the floor, where nothing stands.
func (p *pocketRun) reach(to geometry.Point, above float64, first bool) {
	if first && len(p.moves) > 0 && p.room.holds(p.at.Point, to) {
		p.line(Point{to, above}, p.over.cut)
	} else {
		p.hop(to, above, p.over.plunge)
	}
}

func (p *pocketRun) cutLap(v visit) {
	z, feed := p.at.Z, p.feeds.cut
	way := v.glide[:]
	if v.glide.no() {
		way = []geometry.Segment{v.in()}
	}
	for _, s := range way {
		p.segment(s, z, feed)
	}
	for s := range v.contour.Segments() {
		p.segment(s, z, feed)
	}
	p.segment(v.out(), z, feed)
}
