package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// steered cuts with a blade that an axis turns along its way. The blade is straight and as wide as
// its chord, w, with the axis in its middle. So
//
//	plunged, it cuts w at once: along a side it comes down w/2 from a corner and stops w/2 short
//	on a curve of radius R its ends are sqrt(R² + w²/4) - R outside: no tighter than
//	  (w²/4 - g²) / 2g where foam stands there, g its gouge
//	turned in one place its ends sweep w/2 sin aside: beyond asin(2g/w) it is lifted to turn
//
// (derived, each number simulated). Kerf, k, is how thick it cuts: its middle goes k/2 beside the
// wall, and with both ends rounded as thick as that the line reaches (w - k)/2 ahead and behind.
// Where its way turns round a sharp corner of foam it runs on into the waste, so that both cuts
// meet behind the corner.
type steered struct{ bladed }

// marks are drawn with a pen, by hand.
func (k *steered) marks([]geometry.Path) (Op, error) {
	return Op{Kind: Mark, Tool: k.sheet.Marking.Tool}, nil
}

// contours cuts one contour after the other, each in all of its passes; each has the waste on its
// left.
func (k *steered) contours(kind OpKind, cut plan.Cut, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error) {
	b := k.newSteering(cut)
	for _, c := range list {
		ways, err := b.strokes(c, near)
		if err != nil {
			return finished{}, err
		}
		for _, pass := range cut.Passes {
			for _, w := range ways {
				b.cut(w, -pass.ToMM)
			}
		}
		near = b.out.at.Point
	}
	b.out.retract()
	if err := b.keeps(cut, kind == Outline); err != nil {
		return finished{}, err
	}
	op := Op{Kind: kind, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: len(cut.Passes), Moves: b.done()}
	return finished{op, path}, nil
}

// least is the least time of a cut whose blade runs along those walls, of each side without what
// the chord takes at once.
func (k *steered) least(_ OpKind, cut plan.Cut, walls geometry.Region) float64 {
	mm := walls.Length()
	for _, c := range walls.Contours() {
		mm -= float64(c.Len()) * cut.Tool.ChordMM.Value
	}
	return 60 * math.Max(0, mm) / feedsOf(cut.Recipes[0], k.machine).cut * float64(len(cut.Passes))
}

// steering makes the moves of one cut.
type steering struct {
	out, middle *emitter // the axis, and the middle of what is cut
	stamped     int      // of the moves of out, those whose heading is set
	heading     float64
	reach       float64 // of the blade, ahead and behind
	half        float64 // from the axis to its edge where that is farthest ahead
	name        string
	tool        profiles.Tool
	recipe      profiles.Recipe
	feeds       feeds
	turning     float64 // degrees a minute
	kerf        float64
	left        []geometry.Path // what the plan leaves to a hand
	leaves      bool            // what it does not fit is left, and gathered in unfitting
	unfitting   []geometry.Path
}

func (k *steered) newSteering(cut plan.Cut) *steering {
	kerf, deepest := cut.KerfMM[0], 0.0
	for _, p := range cut.Passes {
		deepest = math.Max(deepest, p.ToMM)
	}
	return &steering{
		out: &emitter{clearZ: k.clearZ(), tol: k.tol}, middle: &emitter{tol: k.tol}, reach: math.Max(0, (cut.Tool.ChordMM.Value-kerf)/2),
		name: cut.Name, tool: cut.Tool, recipe: cut.Recipes[0], feeds: feedsOf(cut.Recipes[0], k.machine),
		half: cut.Tool.AheadMM(deepest), turning: 360 * k.machine.TurnRPM.Value, kerf: kerf,
		left: cut.Left, leaves: cut.LeaveTight && cut.Left == nil,
	}
}

func (b *steering) done() []Move {
	b.stamp()
	return b.out.done()
}

// stamp writes the heading into the moves that have been added.
func (b *steering) stamp() {
	for ; b.stamped < len(b.out.moves); b.stamped++ {
		b.out.moves[b.stamped].Heading = b.heading
	}
}

// cut plunges at the beginning of a stroke, the blade along it, and follows it.
func (b *steering) cut(w stroke, z float64) {
	inner := w.inner(b.reach)
	b.out.retract()
	b.stamp()
	b.heading = b.startOf(inner)
	over := Point{inner[0].A, b.out.clearZ}
	b.out.moves, b.out.at = append(b.out.moves, Move{Kind: Rapid, To: over}), over // where it is there already it turns
	b.out.vertical(z, b.feeds.plunge)
	b.stamp()
	for _, s := range inner {
		b.along(s, z)
	}
	b.middle.rapid(Point{w.way[0].A, z})
	for _, s := range w.way {
		b.middle.segment(s, z, b.feeds.cut)
	}
}

// along takes the axis along s, the blade along with it.
func (b *steering) along(s geometry.Segment, z float64) {
	if s.Length() < b.out.tol {
		return
	}
	if turn := math.Remainder(angleOf(s.Tangent(0))-b.heading, 2*math.Pi); math.Abs(turn) > 1e-9 {
		b.heading += turn
		b.out.moves = append(b.out.moves, Move{Kind: Line, To: b.out.at, FeedMMPerMin: b.turning})
		b.stamp()
	}
	halves := []geometry.Segment{s}
	if math.Abs(s.Bulge) > 1 {
		halves = []geometry.Segment{s.Part(0, 0.5), s.Part(0.5, 1)}
	}
	for _, h := range halves {
		b.heading += h.Sweep()
		b.out.segment(h, z, b.feeds.cut)
		b.stamp()
	}
}

func angleOf(p geometry.Point) float64 { return math.Atan2(p.Y, p.X) }

// startOf is where the blade points at the beginning of a way: of all that point there the one
// with which it turns as far to both sides of A0.
func (b *steering) startOf(way []geometry.Segment) float64 {
	total, at := 0.0, angleOf(way[0].Tangent(0))
	for _, s := range way {
		total += math.Remainder(angleOf(s.Tangent(0))-at-total, 2*math.Pi) + s.Sweep()
	}
	start := math.Remainder(at+total/2, 2*math.Pi) - total/2
	if math.Abs(start) > 2*math.Pi { // no axis is asked to begin more than a turn away
		start -= math.Copysign(2*math.Pi, start)
	}
	return start
}
