package profiles

import "math"

// Started is the shipped recipe that every recipe of a foam under a process starts
// from, and the shipped machine that it is for: the foam's own, or, of a foam that
// does not ship, the one of its kind that does the least to a mm of its way. What a
// folder of profiles lays over it is not asked. Its passes are those through foam
// so thick, in mm, and never more than through the thickest that it takes; through that
// one for 0. False where none ships.
func (c *Catalog) Started(f Foam, p Process, thicknessMM float64) (Recipe, Machine, bool) {
	if c.shipped == nil {
		return Recipe{}, Machine{}, false
	}
	_, own := c.shipped.foams[f.ID]
	var least Recipe
	var on Machine
	for _, r := range c.shipped.Recipes() {
		m := c.shipped.machines[r.Machine]
		like := c.shipped.foams[r.Foam].Kind == f.Kind
		if own {
			like = r.Foam == f.ID
		}
		through := r.MostMM.Value
		if thicknessMM > 0 && (through <= 0 || thicknessMM < through) {
			through = thicknessMM
		}
		r = r.Through(through)
		if like && m.Process == p && (on.ID == "" || r.heat(m) < least.heat(on)) {
			least, on = r, m
		}
	}
	return least, on, on.ID != ""
}

// heat is what compares two recipes of one process by what they do to a mm of foam.
func (r Recipe) heat(m Machine) float64 {
	if m.Process.Traits().Wire {
		t, _ := m.Tool(r.Tool)
		return r.MeltHeat(t)
	}
	return r.PassJPerMM(m) * r.Passes.Value
}

// PassJPerMM is what a beam gives to a mm of its way in one pass, in J: 0 for a
// machine without a beam.
func (r Recipe) PassJPerMM(m Machine) float64 {
	if r.FeedMMPerMin.Value <= 0 {
		return 0
	}
	return m.PowerW.Value * r.PowerPercent.Value / 100 * 60 / r.FeedMMPerMin.Value
}

// Through is the recipe with its passes decided for a layer so thick, in mm: as many
// as its depth of a pass asks for, and never fewer than it says itself. A recipe
// that only says passes makes them whatever the layer, and nobody knows whether
// they go through it.
func (r Recipe) Through(thicknessMM float64) Recipe {
	each := r.MMPerPass
	if each.Value <= 0 {
		return r
	}
	// A layer is as thick as its passes to a millionth: inches are sums of binary fractions.
	if n := math.Ceil(thicknessMM/each.Value - 1e-6); n > r.Passes.Value || r.Passes.Value == 0 {
		r.Passes = Number{math.Max(n, 1), each.Source}
	}
	return r
}
