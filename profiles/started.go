package profiles

// Started is the shipped recipe that every recipe of a foam under a process starts
// from, and the shipped machine that it is for: the foam's own, or, of a foam that
// does not ship, the one of its kind that does the least to a mm of its way. What a
// folder of profiles lays over it is not asked. False where none ships.
func (c *Catalog) Started(f Foam, p Process) (Recipe, Machine, bool) {
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
		if like && m.Process == p && (on.ID == "" || r.PassJPerMM(m)*r.Passes.Value < least.PassJPerMM(on)*least.Passes.Value) {
			least, on = r, m
		}
	}
	return least, on, on.ID != ""
}

// PassJPerMM is what a beam gives to a mm of its way in one pass, in J: 0 for a
// machine without a beam.
func (r Recipe) PassJPerMM(m Machine) float64 {
	if r.FeedMMPerMin.Value <= 0 {
		return 0
	}
	return m.PowerW.Value * r.PowerPercent.Value / 100 * 60 / r.FeedMMPerMin.Value
}
