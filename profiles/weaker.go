package profiles

import (
	"cmp"
	"fmt"
	"math"
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
	offBeam        // another one for a beam or a wire, which burns or does not go through, and higher for what turns or cuts
	offTenth       // more than a tenth away: another cutter, or a kerf that nobody has measured (judged, no source)
	offQuarter     // more than a quarter away: another foam; one weighs some more or less than its name (judged, no source)
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
	case offTenth:
		return math.Abs(now-old) > 0.1*old
	case offQuarter:
		return math.Abs(now-old) > 0.25*old
	}
	return false
}

var foamGuards = map[string]way{
	"density_kg_m3": offQuarter,
	"least_wall_mm": lower, "least_edge_mm": lower, "least_left_mm": lower, "thicker_mm": lower, "thinner_mm": lower,
}

var toolGuards = map[string]way{
	"reach_mm": unlimited, "flute_mm": unlimited, "stickout_mm": unlimited, "shank_mm": lower, "collet_mm": lower, "runout_mm": lower,
	"length_mm": lower, "tension_n": anyOther, "drag_n_per_m": anyOther, // the shorter, the fewer volts; slack lags, and what is too tight whips
	"diameter_mm": offTenth, "gouge_mm": higher, "chord_mm": anyOther, "trail_mm": anyOther, "slant_degrees": anyOther,
}

var machineGuards = map[string]way{
	"rapid_mm_per_min": higher, "max_feed_mm_per_min": higher, "acceleration_mm_per_s2": offBeam, "max_rpm": unlimited,
	"clearance_mm": lower, "wavelength_nm": anyOther, "standoff_mm": unlimited, "rise_s": lower, "zero_mm": lower, "bed_cut_mm": unlimited,
}

var recipeGuards = map[string]way{
	"feed_mm_per_min": offBeam, "plunge_mm_per_min": higher, "stepdown_mm": higher, "stepover": higher, "rpm": higher,
	"breakthrough_mm": higher, "skin_mm": lower, "tab_count": lower, "tab_width_mm": lower, "tab_height_mm": lower, "ramp_degrees": higher,
	"power_percent": anyOther, "mm_per_pass": higher, "most_mm": unlimited, "passes": higher, "pause_s": lower, "lead_in_mm": lower,
	"corner_radius_mm": lower, "mark_share": higher, "kerf_off_mm": lower,
	"kerf_mm": offTenth, "focus_step_mm": anyOther, "current_a": higher, "mark_depth_mm": higher,
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

// Below are the catalogs that folders of profiles were laid over, the shipped one first;
// none where there was no folder.
func (c *Catalog) Below() []*Catalog { return slices.Clone(c.below) }

// WeakerFoam lists what a foam's row makes less careful than the catalog's own of its name;
// none where it has no such foam.
func (c *Catalog) WeakerFoam(f Foam) []string {
	old, ok := c.foams[f.ID]
	if !ok {
		return nil
	}
	list := weaker(old, f, foamNumbers, foamGuards, false)
	if old.Cells.Value == OpenCells && f.Cells.Value != OpenCells {
		list = append(list, fmt.Sprintf("cells %s -> %s", old.Cells.Value, cmp.Or(f.Cells.Value, "not known")))
	}
	return list
}

// WeakerRecipe lists what a recipe makes less careful than the catalog's own for the same
// foam and machine with that tool, whatever m, the machine as it is now, calls it. A kerf that
// was measured, and how far off it may be, are not asked.
func (c *Catalog) WeakerRecipe(r Recipe, m Machine) []string {
	known := c.machines[r.Machine]
	key := keyOf(r)
	if t, ok := m.Tool(r.Tool); ok {
		key.tool = known.wasCalled(t, m).ID
	}
	old, ok := c.recipes[key]
	if !ok {
		return nil
	}
	if r.Measured() {
		old.KerfOffMM, old.KerfMM = r.KerfOffMM, r.KerfMM
	}
	is := known.Process.Traits()
	return weaker(old.bridged(is.Beam), r.bridged(is.Beam), recipeNumbers, recipeGuards, is.Beam || is.Wire)
}

// What holds a piece that would tip under a beam, where a recipe does not say (judged, no source).
const (
	UsualBridges  = 2
	UsualBridgeMM = 1.0
)

// bridged is a beam's recipe with the bridges that it gets where it names none.
func (r Recipe) bridged(beam bool) Recipe {
	if beam {
		r.TabCount.Value = cmp.Or(r.TabCount.Value, UsualBridges)
		r.TabWidthMM.Value = cmp.Or(r.TabWidthMM.Value, UsualBridgeMM)
	}
	return r
}

// wasCalled is the tool of a machine as it was known that one of it as it is now stands for:
// of its name or, where that is new and another has gone, the one of its number or else of
// its diameter; the zero Tool for none.
func (m Machine) wasCalled(t Tool, now Machine) Tool {
	if known, ok := m.Tool(t.ID); ok {
		return known
	}
	var like Tool
	for _, known := range m.Tools {
		switch _, still := now.Tool(known.ID); {
		case still:
		case known.Number == t.Number:
			return known
		case known.DiameterMM.Value == t.DiameterMM.Value:
			like = known
		}
	}
	return like
}

// WeakerMachine lists what a machine, its controller, its tools and its clamps make less
// careful than the catalog's own of its name.
func (c *Catalog) WeakerMachine(m Machine) []string {
	old, ok := c.machines[m.ID]
	if !ok {
		return nil
	}
	var list []string
	for i, axis := range [3]string{"X", "Y", "Z"} {
		if a, b := old.TravelMM[i].Value, m.TravelMM[i].Value; b > a {
			list = append(list, became("travel_mm "+axis, a, b))
		}
	}
	list = append(list, weaker(old, m, machineNumbers, machineGuards, old.Process.Traits().Beam)...)
	list = append(list, otherMoves(old, m)...)
	if m.ZZero != old.ZZero { // who knows the name touches off there
		list = append(list, fmt.Sprintf("z_zero %s -> %s", old.ZZero, m.ZZero))
	}
	list = append(list, weakerController(old.Controller, m.Controller)...)
	for _, t := range m.Tools {
		if known := old.wasCalled(t, m); known.ID != "" {
			list = append(list, weakerTool(known, t)...)
		}
	}
	return append(list, fewerClamps(old, m)...)
}

// farScale is how far a scale that no coupon gave may be from the one before (judged, no source: a machine that is
// built right is truer).
const farScale = 0.01

// otherMoves are what makes the same program go another way.
func otherMoves(old, m Machine) (list []string) {
	x, y := m.Scale()
	oldX, oldY := old.Scale()
	for _, s := range []struct {
		key      string
		old, now float64
	}{{"scale_x", oldX, x}, {"scale_y", oldY, y}} {
		if math.Abs(s.now-s.old) > farScale && len(m.ScaleReadings) == 0 {
			list = append(list, became(s.key, s.old, s.now))
		}
	}
	words := func(key, old, now, unsaid string) {
		if old, now = cmp.Or(old, unsaid), cmp.Or(now, unsaid); old != now {
			list = append(list, fmt.Sprintf("%s %s -> %s", key, old, now))
		}
	}
	words("z_counts", string(old.ZCounts), string(m.ZCounts), string(ZUp))
	words("a_counts", string(old.ACounts), string(m.ACounts), string(ACounterclockwise))
	words("laser_on", old.Controller.LaserOn, m.Controller.LaserOn, "not said")
	return list
}

// weakerTool: another number puts another tool into the spindle, and another helix is held
// down in another way.
func weakerTool(known, t Tool) []string {
	list := weaker(known, t, toolNumbers, toolGuards, false)
	if t.ID != known.ID {
		list = append(list, "name "+known.ID+" -> "+t.ID)
	}
	if t.Name != known.Name { // by which a hand takes it
		list = append(list, fmt.Sprintf("name %q -> %q", known.Name, t.Name))
	}
	if t.Number != known.Number {
		list = append(list, fmt.Sprintf("number %d -> %d", known.Number, t.Number))
	}
	if t.Process != known.Process {
		list = append(list, fmt.Sprintf("process %s -> %s", cmp.Or(known.Process, "its machine's"), cmp.Or(t.Process, "its machine's")))
	}
	if known.Helix != "" && t.Helix != known.Helix {
		list = append(list, fmt.Sprintf("helix %s -> %s", known.Helix, cmp.Or(t.Helix, "not known")))
	}
	for i := range list {
		list[i] = t.ID + ": " + list[i]
	}
	return list
}

// fewerClamps are the clamps that a machine's row no longer keeps the tool away from.
func fewerClamps(old, now Machine) []string {
	var list []string
	for _, k := range old.Clamps {
		covered := func(n ClampZone) bool {
			return n.XMM <= k.XMM && n.YMM <= k.YMM && n.XMM+n.LengthMM >= k.XMM+k.LengthMM && n.YMM+n.WidthMM >= k.YMM+k.WidthMM && n.HeightMM >= k.HeightMM
		}
		if !slices.ContainsFunc(now.Clamps, covered) {
			list = append(list, fmt.Sprintf("clamp %s, %.6g x %.6g mm at %.6g, %.6g and %.6g high -> not there", k.Name, k.LengthMM, k.WidthMM, k.XMM, k.YMM, k.HeightMM))
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
