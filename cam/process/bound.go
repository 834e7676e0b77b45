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
//   - lines, grooves and outlines: their length at the cutting feed, in every pass, and the last
//     pass's way down at the plunge feed: those before may go down on their laps, see levels;
//   - a cleared pocket: the foam that is still there, less what the finishing laps take, over
//     width, step-down, step-over and feed; those laps, one a pass or, where the plan has it so,
//     one in all; and the way down, where no other tool has been before;
//   - a beam's contours in every pass, and its planned waits;
//
// and of the whole the spindle's running up, one approach and one lift, and a least tree through
// the places where operations begin, at the rapid.

// LeastSeconds is how long a program takes at least on a machine.
func LeastSeconds(p Program, m profiles.Machine) float64 {
	var places []geometry.Point
	seconds := 0.0
	if m.Process.Traits().Turning {
		seconds = m.Controller.SpinUpS
	}
	for _, op := range p.Ops {
		seconds += op.LeastS
		places = append(places, op.Moves[0].To.Point)
	}
	if rapid := m.RapidMMPerMin.Value; rapid > 0 && !m.Process.Traits().Wire { // whose way is one
		seconds += 60 * (treeMM(places) + 2*p.ClearZ) / rapid
	}
	return seconds
}

// treeMM is the length of a least spanning tree, after Prim.
func treeMM(places []geometry.Point) float64 {
	near := make([]float64, len(places))
	for i := range near {
		near[i] = math.Inf(1)
	}
	sum, at := 0.0, 0
	for range len(places) - 1 {
		next := -1
		near[at] = -1 // in the tree
		for i, p := range places {
			if near[i] < 0 {
				continue
			}
			if near[i] = math.Min(near[i], p.DistanceTo(places[at])); next < 0 || near[i] < near[next] {
				next = i
			}
		}
		sum, at = sum+near[next], next
	}
	return sum
}

// leastMarks is the least time of lines that are engraved, each entered at the plunge feed.
func leastMarks(cut plan.Cut, m profiles.Machine, paths []geometry.Path) float64 {
	f := feedsOf(cut.Recipes[0], m)
	seconds := 0.0
	for _, p := range paths {
		for s := range p.Segments() {
			seconds += 60 * s.Length() / f.cut
		}
		if cut.DepthMM > 0 {
			seconds += 60 * cut.DepthMM / f.plunge
		}
	}
	return seconds
}

// least is the least time of a cut whose tool's centre runs along those walls.
func (r *router) least(kind OpKind, cut plan.Cut, walls geometry.Region) float64 {
	clears := kind == Pocket && cut.Along.Len() == 0
	seconds := 0.0
	for i, p := range cut.Passes {
		recipe := cut.Recipes[p.Layer]
		f, high := feedsOf(recipe, r.machine), p.ToMM-p.FromMM
		if last := i == len(cut.Passes)-1; cut.Roughed.Empty() && (clears || last) {
			seconds += 60 * high / f.plunge
		}
		if !clears {
			seconds += 60 * walls.Length() / f.cut
			continue
		}
		finish := recipe.FinishMM.Value
		if once := cut.WallOnceMM > 0; (finish > 0 || !cut.Roughed.Empty()) && (!once || i == len(cut.Passes)-1) {
			seconds += 60 * walls.Length() / f.cut
		}
		left, foam := cut.Shape.Area()-walls.Length()*finish, math.Min(p.ToMM, r.sheet.ThicknessMM())-p.FromMM
		if left > 0 && cut.Roughed.Empty() {
			seconds += 60 * left * foam / (cut.KerfMM[p.Layer] * recipe.Stepover.Value * recipe.StepdownMM.Value * f.cut)
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
