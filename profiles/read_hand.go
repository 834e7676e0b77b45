package profiles

import (
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// machineOnly are the keys that a hand has nothing of.
var machineOnly = []string{"travel_mm", "z_zero", "z_counts", "a_counts", "controller", "clamps", "dxf_colours"}

// readByHand refuses the keys of a machine in a row that has none. What is cut by hand is
// taken from drawings.
func readByHand(m strict.Map, source string, into *Machine) {
	for _, n := range machineNumbers {
		if v := m.Get(n.key); v.Present() {
			v.Fail("is a machine's, and this is a hand's row", "take "+n.key+" out")
		}
	}
	for _, key := range machineOnly {
		if v := m.Get(key); v.Present() {
			v.Fail("is a machine's, and this is a hand's row", "take "+key+" out")
		}
	}
	if source == "" {
		m.Get("process").Fail("has no source", "write a source for the whole row")
	}
	for _, t := range m.Get("tools").List() {
		if !t.IsMap() {
			continue
		}
		t.Each(func(key string, v strict.Value) {
			if key == "flutes" {
				v.Fail("are a cutter's, and nothing turns in a hand", "take flutes out")
			}
		})
	}
	into.ZZero, into.Controller = ZTop, classNamed(string(Drawing))
}

// handRecipe are the keys of a recipe that a hand can follow: nothing moves or turns at a speed.
var handRecipe = []string{"kerf_mm", "kerf_off_mm", "kerf_interval_mm", "mm_per_pass", "most_mm", "passes"}

// handFaults is what is wrong with the numbers of a recipe for a hand's tool: a blade takes no
// foam away, and what does is a hot wire, to be judged as one.
func handFaults(r Recipe, t Tool) []string {
	for _, n := range r.Numbers() {
		if !slices.Contains(handRecipe, n.Key) {
			return []string{n.Key + " is a machine's, and a hand's recipe has only " + strings.Join(handRecipe, ", ")}
		}
	}
	switch {
	case t.Process == HotWire && r.KerfMM.Value == 0:
		return []string{"kerf_mm is missing: a hot wire melts more than its own width"}
	case t.Process == HotWire && r.KerfMM.Value < t.DiameterMM.Value:
		return []string{"kerf_mm is less than the wire's own diameter, which no wire cuts"}
	case t.Process == "" && r.KerfMM.Value > 0:
		return []string{"kerf_mm is no blade's, which parts foam and takes none away; a tool that does is a hot wire: write process: hot-wire into its row"}
	case t.Process == "" && r.MMPerPass.Value == 0:
		return []string{"mm_per_pass is missing: how deep the blade goes in one pass"}
	}
	return nil
}
