package profiles

import (
	"fmt"
	"slices"
)

// What a row of one's own that has the name of a shipped one makes less careful: every
// number that keeps people, the machine or the foam from harm, and which way is the less
// careful one. The numbers that only shape what is cut are not among them.

// way is the direction in which a number is less careful.
type way int

const (
	lower      way = iota + 1
	higher         // than it was
	unlimited      // higher, or not given where it was: not given is any
	anyOther       // than it was
	higherBeam     // higher for a beam, and lower for what turns or cuts
	offBeam        // another one for a beam, which burns or does not go through, and higher for what turns or cuts
)

// less reports whether a number that was old is less careful as now.
func (w way) less(old, now float64, beam bool) bool {
	switch w {
	case lower:
		return now < old
	case higher:
		return now > old
	case unlimited:
		return old > 0 && (now > old || now == 0)
	case anyOther:
		return now != old
	case higherBeam:
		return beam == (now > old) && now != old
	case offBeam:
		return now > old || beam && now < old
	}
	return false
}

var foamGuards = map[string]way{
	"least_wall_mm": lower, "least_edge_mm": lower, "least_left_mm": lower, "thicker_mm": lower, "thinner_mm": lower,
}

var toolGuards = map[string]way{
	"reach_mm": unlimited, "flute_mm": unlimited, "stickout_mm": unlimited, "shank_mm": lower, "collet_mm": lower, "runout_mm": lower,
}

var machineGuards = map[string]way{
	"rapid_mm_per_min": higher, "max_feed_mm_per_min": higher, "acceleration_mm_per_s2": higher, "max_rpm": unlimited,
	"clearance_mm": lower, "wavelength_nm": anyOther, "standoff_mm": unlimited, "rise_s": lower, "zero_mm": lower, "bed_cut_mm": unlimited,
}

var recipeGuards = map[string]way{
	"feed_mm_per_min": offBeam, "plunge_mm_per_min": higher, "stepdown_mm": higher, "stepover": higher, "rpm": higher,
	"breakthrough_mm": higher, "skin_mm": lower, "tab_count": lower, "tab_width_mm": lower, "tab_height_mm": lower, "ramp_degrees": higher,
	"power_percent": anyOther, "mm_per_pass": higher, "most_mm": unlimited, "passes": higher, "pause_s": lower, "lead_in_mm": lower,
	"corner_radius_mm": lower, "mark_share": higher, "kerf_off_mm": lower,
}

// weaker lists the guarding numbers of a row that are less careful than they were, as
// "key old -> new".
func weaker[T any](old, now T, keys []numberKey[T], guards map[string]way, beam bool) []string {
	var list []string
	for _, k := range keys {
		if a, b := *k.in(&old), *k.in(&now); guards[k.key].less(a.Value, b.Value, beam) {
			list = append(list, became(k.key, a.Value, b.Value))
		}
	}
	return list
}

func became(key string, old, now float64) string {
	return fmt.Sprintf("%s %.6g -> %.6g", key, old, now)
}

// WeakerFoam lists what a foam's row makes less careful than the shipped one of its name; none
// where that ships no such foam.
func (c *Catalog) WeakerFoam(f Foam) []string {
	if c.shipped == nil {
		return nil
	}
	old, ok := c.shipped.foams[f.ID]
	if !ok {
		return nil
	}
	return weaker(old, f, foamNumbers, foamGuards, false)
}

// WeakerRecipe lists what a recipe makes less careful than the shipped one for the same foam,
// machine and tool. How far off a measured kerf may be is not asked.
func (c *Catalog) WeakerRecipe(r Recipe) []string {
	if c.shipped == nil {
		return nil
	}
	old, ok := c.shipped.recipes[keyOf(r)]
	if !ok {
		return nil
	}
	if r.Measured() {
		old.KerfOffMM = r.KerfOffMM
	}
	m := c.shipped.machines[r.Machine]
	return weaker(old, r, recipeNumbers, recipeGuards, m.Process.Traits().Beam)
}

// WeakerMachine lists what a machine, its controller and its tools make less careful than the
// shipped one of its name.
func (c *Catalog) WeakerMachine(m Machine) []string {
	if c.shipped == nil {
		return nil
	}
	old, ok := c.shipped.machines[m.ID]
	if !ok {
		return nil
	}
	var list []string
	for i, axis := range [3]string{"X", "Y", "Z"} {
		if a, b := old.TravelMM[i].Value, m.TravelMM[i].Value; b > a {
			list = append(list, became("travel_mm "+axis, a, b))
		}
	}
	list = append(list, weaker(old, m, machineNumbers, machineGuards, false)...)
	list = append(list, weakerController(old.Controller, m.Controller)...)
	for _, t := range m.Tools {
		if known, ok := old.Tool(t.ID); ok {
			for _, change := range weaker(known, t, toolNumbers, toolGuards, false) {
				list = append(list, t.ID+": "+change)
			}
		}
	}
	return list
}

func weakerController(old, now Controller) []string {
	var list []string
	for _, n := range []struct {
		key      string
		way      way
		old, now float64
	}{
		{"spin_up_s", lower, old.SpinUpS, now.SpinUpS},
		{"least_power_percent", lower, old.LeastPowerPercent, now.LeastPowerPercent},
		{"path_tolerance_mm", higher, old.PathToleranceMM, now.PathToleranceMM},
		{"Z of park_at", lower, height(old.ParkAt), height(now.ParkAt)},
		{"Z of change_at", lower, height(old.ChangeAt), height(now.ChangeAt)},
	} {
		if n.way.less(n.old, n.now, false) {
			list = append(list, became(n.key, n.old, n.now))
		}
	}
	for _, w := range []struct {
		key      string
		old, now []string
	}{{"air", old.Air, now.Air}, {"dust", old.Dust, now.Dust}} {
		if len(w.old) > 0 && !slices.Equal(w.old, w.now) {
			list = append(list, fmt.Sprintf("%s %v -> %v", w.key, w.old, w.now))
		}
	}
	return list
}

// height is the Z of a place, 0 of none.
func height(at []float64) float64 {
	if len(at) < 3 {
		return 0
	}
	return at[2]
}
