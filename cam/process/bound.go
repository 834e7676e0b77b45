package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// The least time of a program: what its geometry, tools and recipes allow, whatever the paths.
// The formula stands in DEVELOPERS.md. Of each operation it counts
//
//   - lines, grooves and outlines: their length at the cutting feed, in every pass, and the way down.
//     Into lines it is at the plunge feed, once for those that may meet. Grooves and outlines are gone
//     down into on the recipe's ramp: n passes of a step s to a depth d take in each place n goes at
//     d-(n-1)s or deeper, and before the first of those the ramp has gone down as far;
//   - a cleared pocket: the foam that is still there, less what the finishing laps take, over
//     width, step-down, step-over and feed; those laps, one a pass or, where the plan has it so,
//     one in all; and the way down, at the plunge feed, where no other tool has been before;
//   - a beam's contours in every pass, and its planned waits;
//
// and of the whole the spindle's running up, one approach and one lift, and a least tree through
// the places where operations begin, and the boxes that lines lie in, at the rapid.

// LeastSeconds is how long a program takes at least on a machine.
func LeastSeconds(p Program, m profiles.Machine) float64 {
	var places []geometry.Box
	seconds := 0.0
	if m.Process.Traits().Turning {
		seconds = m.Controller.SpinUpS
	}
	for _, op := range p.Ops {
		seconds += op.LeastS
		if begin := op.Moves[0].To.Point; len(op.Strokes) == 0 {
			places = append(places, geometry.Box{Min: begin, Max: begin})
		}
		places = append(places, op.Strokes...)
	}
	if rapid := m.RapidMMPerMin.Value; rapid > 0 && !m.Process.Traits().Wire { // whose way is one
		way, _ := spanning(places)
		seconds += 60 * (way + 2*p.ClearZ) / rapid
	}
	return seconds
}

// spanning is the length of a least spanning tree through places, after Prim, and how many of its ways go anywhere.
func spanning(places []geometry.Box) (mm float64, ways int) {
	near := make([]float64, len(places))
	for i := range near {
		near[i] = math.Inf(1)
	}
	at := 0
	for range len(places) - 1 {
		next := -1
		near[at] = -1 // in the tree
		for i, p := range places {
			if near[i] < 0 {
				continue
			}
			if near[i] = math.Min(near[i], boxesApart(p, places[at])); next < 0 || near[i] < near[next] {
				next = i
			}
		}
		if mm, at = mm+near[next], next; near[next] > 0 {
			ways++
		}
	}
	return mm, ways
}

// boxesApart is how far two boxes are apart: nothing in one is nearer to anything in the other.
func boxesApart(a, b geometry.Box) float64 {
	return math.Hypot(math.Max(0, math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X)), math.Max(0, math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)))
}

// mostStrokes are looked at each by itself; of more only all together.
const mostStrokes = 2_000

// strokeBoxes are the boxes that lines lie in.
func strokeBoxes(paths []geometry.Path) (list []geometry.Box) {
	if len(paths) > mostStrokes {
		return nil
	}
	for _, p := range paths {
		list = append(list, p.Bounds())
	}
	return list
}

// leastMarks is the least time of lines that are engraved, entered at the plunge feed: those whose boxes meet in one.
func leastMarks(cut plan.Cut, m profiles.Machine, paths []geometry.Path) float64 {
	f := feedsOf(cut.Recipes[0], m)
	seconds := 0.0
	for _, p := range paths {
		seconds += 60 * p.Length() / f.cut
	}
	if cut.DepthMM > 0 {
		_, ways := spanning(strokeBoxes(paths))
		seconds += float64(1+ways) * 60 * cut.DepthMM / f.plunge
	}
	return seconds
}

// bed is a cut's part in one layer.
type bed struct {
	layer, passes  int
	highMM, foamMM float64 // of its passes, and of the foam in them
	last           bool
}

// beds are the layers that a cut goes through.
func (r *router) beds(cut plan.Cut) (list []bed) {
	for _, p := range cut.Passes {
		if n := len(list); n == 0 || list[n-1].layer != p.Layer {
			list = append(list, bed{layer: p.Layer})
		}
		b := &list[len(list)-1]
		b.passes++
		b.highMM += p.ToMM - p.FromMM
		b.foamMM += math.Max(0, math.Min(p.ToMM, r.sheet.ThicknessMM())-p.FromMM)
	}
	if n := len(list); n > 0 {
		list[n-1].last = true
	}
	return list
}

// least is the least time of a cut whose tool's centre runs along those walls.
func (r *router) least(kind OpKind, cut plan.Cut, walls geometry.Region) float64 {
	seconds := 0.0
	for _, b := range r.beds(cut) {
		recipe := cut.Recipes[b.layer]
		f, step := feedsOf(recipe, r.machine), recipe.StepdownMM.Value
		round, laps := 60*walls.Length()/f.cut, float64(b.passes)
		if kind != Pocket || cut.Along.Len() > 0 {
			seconds += laps * round
			if down := b.foamMM - (laps-1)*step; b.last && down > 0 {
				seconds += 60 * down * math.Hypot(1, f.slope) / f.slope / f.ramp
			}
			continue
		}
		if cut.WallOnceMM > 0 { // which a cut of one layer alone has
			laps = 1
		}
		if finish := recipe.FinishMM.Value; finish > 0 || !cut.Roughed.Empty() {
			seconds += laps * round
		}
		if !cut.Roughed.Empty() {
			continue
		}
		seconds += 60 * b.highMM / f.plunge
		if left := cut.Shape.Area() - walls.Length()*recipe.FinishMM.Value; left > 0 {
			seconds += 60 * left * b.foamMM / (cut.KerfMM[b.layer] * recipe.Stepover.Value * step * f.cut)
		}
	}
	return seconds
}

// least is the least time of a cut whose beam runs along those walls.
func (l *laser) least(_ OpKind, cut plan.Cut, walls geometry.Region) float64 {
	seconds := 0.0
	for _, p := range cut.Passes {
		seconds += 60*walls.Length()/feedsOf(cut.Recipes[0], l.machine).cut + p.PauseS*float64(len(walls.Contours()))
	}
	return seconds
}
