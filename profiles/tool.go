package profiles

// Reach is how deep below the foam's top the tool may go, mm, before something other
// than its edges presses into the foam; 0 is no limit. It ends at what the row says,
// at the collet, or, where the shank is wider than the cutter, at the end of the flute.
func (t Tool) Reach() float64 {
	reach := 0.0
	least := func(n Number) {
		if n.Value > 0 && (reach == 0 || n.Value < reach) {
			reach = n.Value
		}
	}
	least(t.ReachMM)
	least(t.StickoutMM)
	if t.ShankMM.Value > t.DiameterMM.Value {
		least(t.FluteMM)
	}
	return reach
}

// BeyondFlute reports whether a cut so many mm deep is deeper than the tool's edges
// are long, as far as anybody has said how long they are.
func (t Tool) BeyondFlute(depthMM float64) bool {
	const rounding = 1e-3
	return t.FluteMM.Value > 0 && depthMM > t.FluteMM.Value+rounding
}
