package plan

import (
	"cmp"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/profiles"
)

// MarksName is what all marks of a sheet together are called.
const MarksName = "marks"

// A sheet's work order. When it is known what every cut looks like and with
// which tool and recipes it is made, this decides the rest, so that nothing that
// comes later has to ask a recipe again:
//
//  1. which cuts come before a cut, in which order the tools take their turns, and how much
//     of a cut's foam has gone with earlier ones;
//  2. what holds that which the outline cuts free;
//  3. the kerf in each layer, the passes, which way round laps go and how often along a wall;
//  4. the bridges that keep what comes free from tipping;
//  5. what a blade is too wide for, and leaves to a hand;
//  6. how lines are engraved.

// Complete makes the sheet a whole work order for a way of cutting. A cut without
// a recipe for every layer stays as it is. It is an error when shapes cannot be
// compared, and when nothing would hold what the outline cuts free. tol is the
// distance, mm, under which two points are one.
func (s *Sheet) Complete(means Means, tol float64) error {
	if no := s.complete(means, tol); no != nil {
		return finding.List{{Rule: no.rule, Where: no.cut, Message: no.message, Hint: no.hint}}
	}
	return nil
}

func (s *Sheet) complete(means Means, tol float64) *refusal {
	if no := s.precede(tol); no != nil {
		return no
	}
	if no := s.holdEdge(means); no != nil {
		return no
	}
	for i := range s.Cuts {
		s.layOut(&s.Cuts[i], means)
		s.bridge(&s.Cuts[i], means)
		if err := s.finishWall(&s.Cuts[i], tol); err != nil {
			no := badShape(err)
			no.cut, no.at = s.Cuts[i].Name, s.Cuts[i].At
			return no
		}
		if no := s.Cuts[i].leave(means, false, tol); no != nil {
			return no
		}
	}
	s.layOut(&s.Edge, means)
	s.bridge(&s.Edge, means)
	if no := s.Edge.leave(means, true, tol); no != nil {
		return no
	}
	s.orderMarking(means)
	return nil
}

// precede finds the cuts that share foam, or of which one lies in another's
// island. Of two, the shallower comes first, so that the deeper one finds its
// upper part gone; of two equally deep, the smaller, which may lie inside the
// other. Between tools their turns rule.
func (s *Sheet) precede(tol float64) *refusal {
	shapes := make([]geometry.Region, len(s.Cuts))
	for i := range s.Cuts {
		shapes[i] = s.Cuts[i].Shape
		s.Cuts[i].After, s.Cuts[i].ClearedMM = nil, 0
	}
	for _, pair := range nesting(shapes, tol) {
		first, then := inOrder(s.Cuts, pair[0], pair[1])
		s.Cuts[then].After = append(s.Cuts[then].After, first)
	}
	s.takeTurns()
	for i := range s.Cuts {
		c := &s.Cuts[i]
		for _, first := range c.After {
			if s.turn(s.Cuts[first]) > s.turn(*c) {
				continue
			}
			if no := c.clearedBy(s.Cuts[first], tol); no != nil {
				return no
			}
		}
	}
	return nil
}

func inOrder(cuts []Cut, i, j int) (first, then int) {
	area := func(c Cut) float64 {
		box := c.Shape.Bounds()
		return box.Width() * box.Height()
	}
	if cmp.Or(cmp.Compare(cuts[i].DepthMM, cuts[j].DepthMM), cmp.Compare(area(cuts[i]), area(cuts[j])), cmp.Compare(i, j)) > 0 {
		return j, i
	}
	return i, j
}

// clearedBy notes that an earlier cut takes the upper part of all of c.
func (c *Cut) clearedBy(earlier Cut, tol float64) *refusal {
	if earlier.DepthMM <= c.ClearedMM || earlier.DepthMM >= c.DepthMM {
		return nil
	}
	outside, err := geometry.Difference(c.Shape, earlier.Shape, tol)
	if err != nil {
		return &refusal{rule: "bad-shape", message: c.Name + " cannot be compared with " + earlier.Name + ": " + err.Error(),
			hint: "change the size, turn or place of one of them a little"}
	}
	if outside.Empty() {
		c.ClearedMM = earlier.DepthMM
	}
	return nil
}

// holdEdge decides what holds the tray when its outline is cut.
func (s *Sheet) holdEdge(means Means) *refusal {
	n := len(s.Edge.Recipes)
	if n == 0 || s.Edge.Shape.Empty() {
		return nil
	}
	hold, loose := means.Hold(s.Edge.Recipes[n-1], s.ThicknessMM())
	if loose != "" {
		return &refusal{rule: "nothing-holds", message: loose,
			hint: "set skin_mm in the recipe, less than the sheet, or tab_count, tab_width_mm and tab_height_mm, no more than half of it"}
	}
	s.Edge.Hold = hold
	s.Edge.DepthMM, s.Edge.Through = s.ThicknessMM()-hold.SkinMM, hold.SkinMM == 0
	return nil
}

// layOut gives a cut its kerfs and its passes.
func (s *Sheet) layOut(c *Cut, means Means) {
	if len(c.Recipes) == 0 || len(c.Recipes) != len(s.Layers) {
		return
	}
	c.KerfMM, c.SureMM = kerfs(c.Recipes), sureKerfs(c.Recipes, c.Tool)
	c.Conventional = c.Recipes[0].CutDirection == profiles.Conventional
	depth := c.DepthMM
	if c.BelowMM = 0; c.Through {
		c.BelowMM = c.Recipes[len(c.Recipes)-1].BreakthroughMM.Value
		depth = s.ThicknessMM() + c.BelowMM
	}
	c.Passes = means.Passes(c.ClearedMM, depth, s.beds(c.Recipes))
}

// orderMarking decides how lines are engraved: with the tool that they were set
// for, else with the outline's.
func (s *Sheet) orderMarking(means Means) {
	if len(s.Marks) == 0 {
		return
	}
	if len(s.Marking.Recipes) == 0 {
		s.Marking = Cut{Tool: s.marker(), Recipes: s.Edge.Recipes}
	}
	k := &s.Marking
	if k.Name = MarksName; len(k.Recipes) == 0 {
		return
	}
	k.Recipes = slices.Clone(k.Recipes)
	k.Recipes[0], k.DepthMM = means.Marking(k.Recipes[0], s.Layers[0].Thickness.MM())
	k.KerfMM = kerfs(k.Recipes)
}

// marker is the tool that lines are engraved with.
func (s *Sheet) marker() profiles.Tool {
	if len(s.Marking.Recipes) > 0 {
		return s.Marking.Tool
	}
	return s.Edge.Tool
}

// beds are the sheet's layers with the recipe in each.
func (s Sheet) beds(recipes []profiles.Recipe) []Bed {
	list := make([]Bed, len(s.Layers))
	depth := s.Layers[0].Top
	for i, l := range s.Layers {
		list[i] = Bed{TopMM: (depth - s.Layers[0].Top).MM(), Recipe: recipes[i]}
		depth += l.Thickness
		list[i].BottomMM = (depth - s.Layers[0].Top).MM()
	}
	return list
}

// kerfs is the width that is removed in each layer.
func kerfs(recipes []profiles.Recipe) []float64 {
	list := make([]float64, len(recipes))
	for i, r := range recipes {
		list[i] = r.KerfMM.Value
	}
	return list
}

// sureKerfs is the part of each kerf that is removed whatever its tolerance and the
// cutter's run-out take; at least half of it.
func sureKerfs(recipes []profiles.Recipe, tool profiles.Tool) []float64 {
	list := kerfs(recipes)
	narrower, _ := tool.Runout()
	for i, r := range recipes {
		list[i] = max(list[i]-r.KerfOff().Value+narrower, list[i]/2)
	}
	return list
}

// WallMM is the widest kerf from the top down to a layer: a path that is laid out
// for a narrower one would cut into the wall of the foam above.
func (c Cut) WallMM(layer int) float64 { return slices.Max(c.KerfMM[:layer+1]) }

// WidestMM is the widest kerf of all layers.
func (c Cut) WidestMM() float64 { return slices.Max(c.KerfMM) }
