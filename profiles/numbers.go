package profiles

import "slices"

// Named is one number of a profile with the key that it has in the file. The
// key ends in its unit.
type Named struct {
	Key string `json:"key"`
	Number
}

// numberKey is a number that a row of type T may have: its key in the file,
// the range beyond which it is a slip of the pen, and where it is kept.
type numberKey[T any] struct {
	key         string
	least, most float64
	needed      bool // of every row
	in          func(*T) *Number
}

// longestMM is beyond any machine and any sheet that this program is for.
const longestMM = 10000

// A machine whose steps are farther off than this is broken, or its coupon was
// measured wrong.
const (
	leastScale = 0.9
	mostScale  = 1.1
)

var foamNumbers = []numberKey[Foam]{
	{"density_kg_m3", 2, 600, true, func(f *Foam) *Number { return &f.DensityKgM3 }},
	{"least_wall_mm", 0.5, 100, true, func(f *Foam) *Number { return &f.LeastWallMM }},
	{"least_edge_mm", 0.5, 100, true, func(f *Foam) *Number { return &f.LeastEdgeMM }},
	{"loose_mm", 0, 50, true, func(f *Foam) *Number { return &f.LooseMM }},
	{"thicker_mm", 0, 20, false, func(f *Foam) *Number { return &f.ThickerMM }},
	{"thinner_mm", 0, 20, false, func(f *Foam) *Number { return &f.ThinnerMM }},
	{"least_left_mm", 0, 20, false, func(f *Foam) *Number { return &f.LeastLeftMM }},
}

var toolNumbers = []numberKey[Tool]{
	{"diameter_mm", 0.01, 100, true, func(t *Tool) *Number { return &t.DiameterMM }},
	{"reach_mm", 0, 500, false, func(t *Tool) *Number { return &t.ReachMM }},
	{"flute_mm", 0.1, 500, false, func(t *Tool) *Number { return &t.FluteMM }},
	{"stickout_mm", 0.1, 500, false, func(t *Tool) *Number { return &t.StickoutMM }},
	{"shank_mm", 0, 100, false, func(t *Tool) *Number { return &t.ShankMM }},
	{"collet_mm", 1, 200, false, func(t *Tool) *Number { return &t.ColletMM }},
	{"runout_mm", 0, 2, false, func(t *Tool) *Number { return &t.RunoutMM }},
}

var machineNumbers = []numberKey[Machine]{
	{"rapid_mm_per_min", 10, 200000, true, func(m *Machine) *Number { return &m.RapidMMPerMin }},
	{"max_feed_mm_per_min", 10, 200000, true, func(m *Machine) *Number { return &m.MaxFeedMMPerMin }},
	{"acceleration_mm_per_s2", 1, 100000, true, func(m *Machine) *Number { return &m.AccelerationMMPerS2 }},
	{"corner_mm", 0, 5, true, func(m *Machine) *Number { return &m.CornerMM }},
	{"clearance_mm", 0, 200, true, func(m *Machine) *Number { return &m.ClearanceMM }},
	{"power_w", 0.1, 10000, false, func(m *Machine) *Number { return &m.PowerW }},
	{"wavelength_nm", 180, 20000, false, func(m *Machine) *Number { return &m.WavelengthNM }},
	{"standoff_mm", 0.1, 500, false, func(m *Machine) *Number { return &m.StandoffMM }},
	{"rise_s", 0, 0.5, false, func(m *Machine) *Number { return &m.RiseS }},
	{"max_rpm", 100, 200000, false, func(m *Machine) *Number { return &m.MaxRPM }},
	{"zero_mm", 0, 10, false, func(m *Machine) *Number { return &m.ZeroMM }},
	{"bed_cut_mm", 0, 100, false, func(m *Machine) *Number { return &m.BedCutMM }},
	{"scale_x", leastScale, mostScale, false, func(m *Machine) *Number { return &m.ScaleX }},
	{"scale_y", leastScale, mostScale, false, func(m *Machine) *Number { return &m.ScaleY }},
}

var recipeNumbers = []numberKey[Recipe]{
	{"kerf_mm", 0.01, 50, false, func(r *Recipe) *Number { return &r.KerfMM }},
	{"kerf_interval_mm", 0, 10, false, func(r *Recipe) *Number { return &r.KerfIntervalMM }},
	{"kerf_off_mm", 0, 10, false, func(r *Recipe) *Number { return &r.KerfOffMM }},
	{"feed_mm_per_min", 1, 100000, false, func(r *Recipe) *Number { return &r.FeedMMPerMin }},
	{"plunge_mm_per_min", 1, 100000, false, func(r *Recipe) *Number { return &r.PlungeMMPerMin }},
	{"stepdown_mm", 0.05, 200, false, func(r *Recipe) *Number { return &r.StepdownMM }},
	{"stepover", 0.01, 0.95, false, func(r *Recipe) *Number { return &r.Stepover }},
	{"rpm", 100, 200000, false, func(r *Recipe) *Number { return &r.RPM }},
	{"finish_mm", 0, 10, false, func(r *Recipe) *Number { return &r.FinishMM }},
	{"breakthrough_mm", 0, 10, false, func(r *Recipe) *Number { return &r.BreakthroughMM }},
	{"skin_mm", 0, 10, false, func(r *Recipe) *Number { return &r.SkinMM }},
	{"tab_count", 0, 100, false, func(r *Recipe) *Number { return &r.TabCount }},
	{"tab_width_mm", 0, 100, false, func(r *Recipe) *Number { return &r.TabWidthMM }},
	{"tab_height_mm", 0, 100, false, func(r *Recipe) *Number { return &r.TabHeightMM }},
	{"ramp_degrees", 0.1, 89, false, func(r *Recipe) *Number { return &r.RampDegrees }},
	{"power_percent", 0.1, 100, false, func(r *Recipe) *Number { return &r.PowerPercent }},
	{"mm_per_pass", 0.1, 200, false, func(r *Recipe) *Number { return &r.MMPerPass }},
	{"most_mm", 0.1, 500, false, func(r *Recipe) *Number { return &r.MostMM }},
	{"passes", 1, 100, false, func(r *Recipe) *Number { return &r.Passes }},
	{"focus_step_mm", 0, 50, false, func(r *Recipe) *Number { return &r.FocusStepMM }},
	{"pause_s", 0, 600, false, func(r *Recipe) *Number { return &r.PauseS }},
	{"lead_in_mm", 0, 50, false, func(r *Recipe) *Number { return &r.LeadInMM }},
	{"corner_radius_mm", 0, 50, false, func(r *Recipe) *Number { return &r.CornerRadiusMM }},
	{"taper_degrees", 0, 45, false, func(r *Recipe) *Number { return &r.TaperDegrees }},
	{"mark_depth_mm", 0.05, 20, false, func(r *Recipe) *Number { return &r.MarkDepthMM }},
	{"mark_share", 0.005, 0.5, false, func(r *Recipe) *Number { return &r.MarkShare }},
}

// numbers lists those of a row that the file gave.
func numbers[T any](row T, keys []numberKey[T]) []Named {
	var list []Named
	for _, k := range keys {
		if n := *k.in(&row); n.Source != "" {
			list = append(list, Named{k.key, n})
		}
	}
	return list
}

// Numbers lists the foam's numbers, fits last and by name.
func (f Foam) Numbers() []Named {
	list := numbers(f, foamNumbers)
	for _, name := range sortedKeys(f.Fits) {
		list = append(list, Named{"fit " + name + "_mm", f.Fits[name]})
	}
	return list
}

// Numbers lists the machine's numbers, without those of its tools.
func (m Machine) Numbers() []Named {
	var list []Named
	for i, key := range []string{"travel_x_mm", "travel_y_mm", "travel_z_mm"} {
		list = append(list, Named{key, m.TravelMM[i]})
	}
	return append(list, numbers(m, machineNumbers)...)
}

// Numbers lists the tool's numbers.
func (t Tool) Numbers() []Named { return numbers(t, toolNumbers) }

// Numbers lists the recipe's numbers; those that its process has no use for
// are left out.
func (r Recipe) Numbers() []Named { return numbers(r, recipeNumbers) }

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
