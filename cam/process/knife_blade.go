package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// A drag knife's blade swivels freely about the machine's axis, and its tip trails e behind it: the
// tip always moves the way that the blade points, like a trailing wheel. The program moves the
// axis. So that the tip follows a wanted way, the axis goes
//
//	on a straight line: on the same line, e ahead
//	on an arc of radius R: on one of radius sqrt(R² + e²), about the same centre and as far round,
//	  e ahead along the tangent
//	at a corner: on an arc of radius e about the tip, which stands meanwhile
//
// With the blade on its line at the start these are exact (derived; a simulation of the trailing
// wheel agrees to 1e-9 mm). Where it is not, the error falls with exp(-s/e).
type blade struct {
	pivot, tip *emitter
	heading    geometry.Point // of length 1
	trail      float64        // e
	name       string         // of the cut
	tool       profiles.Tool
	recipe     profiles.Recipe
	feeds      feeds
	kerf       float64
	deepest    float64 // of all passes, mm below the foam's top
}

func (k *knife) newBlade(cut plan.Cut) *blade {
	b := &blade{
		pivot: &emitter{clearZ: k.clearZ(), sink: sinkMM(k.sheet, k.machine), tol: k.tol}, tip: &emitter{tol: k.tol}, heading: k.heading, trail: cut.Tool.TrailMM.Value,
		name: cut.Name, tool: cut.Tool, recipe: cut.Recipes[0], feeds: feedsOf(cut.Recipes[0], k.machine), kerf: cut.KerfMM[0],
	}
	for _, p := range cut.Passes {
		b.deepest = math.Max(b.deepest, p.ToMM)
	}
	return b
}

// ahead is where the axis is while the tip stands at a place.
func (b *blade) ahead(tip geometry.Point) geometry.Point { return tip.Add(b.heading.Scale(b.trail)) }

// enter goes over a place, the blade as it was, and plunges its tip there.
func (b *blade) enter(tip geometry.Point, z float64) {
	b.pivot.over(b.ahead(tip), b.pivot.sink)
	b.pivot.vertical(z, b.feeds.plunge)
	b.tip.rapid(Point{tip, z})
}

func (b *blade) lift() { b.pivot.retract() }

// along takes the tip along s, from where it is.
func (b *blade) along(s geometry.Segment) {
	if s.Length() < b.tip.tol {
		return
	}
	b.swivel(s.Tangent(0))
	z := b.pivot.at.Z
	b.tip.segment(s, z, b.feeds.cut)
	b.heading = s.Tangent(1)
	way := geometry.Segment{A: b.pivot.at.Point, B: b.ahead(s.B), Bulge: s.Bulge}
	b.pivot.segment(way, z, b.feeds.cut)
}

// swivel turns the blade about its standing tip, the short way.
func (b *blade) swivel(to geometry.Point) {
	turn := math.Atan2(b.heading.Cross(to), b.heading.Dot(to))
	tip := b.pivot.at.Point.Sub(b.heading.Scale(b.trail))
	if b.tip.at.DistanceTo(tip) < 1e-3 {
		tip = b.tip.at.Point // rounding does not add up
	}
	b.heading = to
	b.pivot.segment(geometry.Segment{A: b.pivot.at.Point, B: b.ahead(tip), Bulge: math.Tan(turn / 4)}, b.pivot.at.Z, b.feeds.cut)
}

// settled is the way, in trails, after which a blade that stood up to 150 degrees off its line is
// within a degree of it: ln(tan 75° / tan 0.5°), by the tractrix.
const settled = 6.07

// turnIn is what a blade needs to turn into a line on a quarter circle, mm.
type turnIn struct {
	turning float64 // from where it plunges to the wall
	least   float64 // the circle's radius
	round   float64 // with which it fits into the smallest round hole
	hole    float64 // how wide that is, without the kerf
}

func turningIn(trail, chord float64) turnIn {
	t := turnIn{turning: math.Max(trail, chord)}
	t.least = math.Max(settled*trail/(math.Pi/2), t.turning)
	t.round = math.Max(t.least, t.turning*(1+math.Sqrt2/2))
	t.hole = (2*t.round*t.round - t.turning*t.turning) / (t.round - t.turning)
	return t
}

// entry is a lap along a contour, entered on a quarter circle that is long enough for the blade to
// be on its line when it comes to the wall, with room about where it plunges to turn there.
func (b *blade) entry(waste room, c geometry.Contour, near geometry.Point) (lap, error) {
	const rounding = 1e-9 // mm
	in := turningIn(b.trail, b.chord())
	turning, least := in.turning, in.least
	vertices := c.Vertices()
	for _, radius := range []float64{math.Max(least, leadRadius(b.recipe)), in.round, least} {
		// What is nearest may lie in an acute corner, where there is no room; middles are far from all.
		for _, p := range append(startPlaces(c, near, radius+turning), startPlaces(c, near, math.Inf(1))...) {
			first := firstFrom(vertices, p, b.tip.tol)
			l := lap{beginAt(c, p, b.tip.tol), radius}
			if waste.depth(middleAt(first.A, first.Tangent(0), radius)) >= radius-rounding && waste.depth(l.from()) >= turning-rounding {
				return l, nil
			}
		}
	}
	wide, long, hole := 2*least+b.kerf, 2*(least+turning)+b.kerf, in.hole+b.kerf
	hint := fmt.Sprintf("make it wider than %.2f mm along a straight side of more than %.2f mm, or than %.2f mm where it is round, or take a blade that trails less", wide, long, hole)
	return lap{}, noPath(b.name, fmt.Sprintf("there is no room beside its edge for a blade whose tip trails %.2f mm to turn into its line", b.trail), hint)
}

// chord is how far ahead of its tip a slanted edge cuts at the foam's top.
func (b *blade) chord() float64 {
	return b.deepest * math.Tan(b.tool.SlantDegrees.Value*math.Pi/180)
}

// fits refuses a contour with an inside curve that is too tight: on an arc of radius R the part of
// the blade that is c ahead of its tip, along the tangent, is sqrt(R²+c²)-R outside of it, which is
// in the wall where the waste is inside. What turns as tightly as a kerf is a corner.
func (b *blade) fits(c geometry.Contour) error {
	chord, gouge := b.chord(), b.tool.GougeMM.Value
	for s := range c.Segments() {
		r := s.Radius()
		if s.Bulge <= 0 || r <= b.kerf || gouge == 0 || math.Hypot(r, chord)-r <= gouge+1e-9 {
			continue
		}
		least := (chord*chord-gouge*gouge)/(2*gouge) + b.kerf/2
		hint := fmt.Sprintf("give it a radius of %.2f mm or more, or sharp corners", math.Ceil(least*100)/100)
		if thin := math.Sqrt(gouge*gouge+2*gouge*r)/math.Tan(b.tool.SlantDegrees.Value*math.Pi/180) - b.recipe.BreakthroughMM.Value; thin > 0 {
			hint += fmt.Sprintf("; or take foam of at most %.2f mm", math.Floor(thin*100)/100)
		}
		at := s.At(0.5)
		return noPath(b.name, fmt.Sprintf("has an inside curve of radius %.2f mm at X%.2f Y%.2f: at the foam's top the blade cuts %.2f mm ahead of its tip, there %.2f mm beside the curve, and %.2f mm is allowed (gouge_mm)",
			r+b.kerf/2, at.X, at.Y, chord, math.Hypot(r, chord)-r, gouge), hint)
	}
	return nil
}
