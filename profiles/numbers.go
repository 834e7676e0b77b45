package profiles

import (
	"slices"

	"traywright/profiles/strict"
)

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
	means       string // for whoever writes the file
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
	{"density_kg_m3", 2, 600, true, func(f *Foam) *Number { return &f.DensityKgM3 }, "of the foam as bought"},
	{"least_wall_mm", 0.5, 100, true, func(f *Foam) *Number { return &f.LeastWallMM }, "the thinnest wall between two pockets"},
	{"least_edge_mm", 0.5, 100, true, func(f *Foam) *Number { return &f.LeastEdgeMM }, "the thinnest wall between a pocket and the rim"},
	{"loose_mm", 0, 50, true, func(f *Foam) *Number { return &f.LooseMM }, "a pocket this much larger than its piece lets it rattle"},
	{"thicker_mm", 0, 20, false, func(f *Foam) *Number { return &f.ThickerMM }, "how much thicker than its label a sheet may be; a measured one is off by what it is read to (0.1 mm below 10 mm, 0.2 to 100 mm; ISO 1923)"},
	{"thinner_mm", 0, 20, false, func(f *Foam) *Number { return &f.ThinnerMM }, "how much thinner than its label a sheet may be"},
	{"least_left_mm", 0, 20, false, func(f *Foam) *Number { return &f.LeastLeftMM }, "a skin, tab, floor or wall thinner than this counts as gone"},
}

var toolNumbers = []numberKey[Tool]{
	{"diameter_mm", 0.01, 100, true, func(t *Tool) *Number { return &t.DiameterMM }, "of the cutter, the beam's spot or the wire"},
	{"reach_mm", 0, 500, false, func(t *Tool) *Number { return &t.ReachMM }, "greatest depth below the top of the foam, where only that is known"},
	{"flute_mm", 0.1, 500, false, func(t *Tool) *Number { return &t.FluteMM }, "length of its cutting edges: a deeper cut is a warning, because the shank rubs above them and the foam gets hot"},
	{"stickout_mm", 0.1, 500, false, func(t *Tool) *Number { return &t.StickoutMM }, "from its tip to the collet: a deeper cut is refused, and the tool that would do is named"},
	{"shank_mm", 0, 100, false, func(t *Tool) *Number { return &t.ShankMM }, "diameter above the edges: where it is wider than the cutter, nothing is cut deeper than they are long"},
	{"collet_mm", 1, 200, false, func(t *Tool) *Number { return &t.ColletMM }, "diameter of the nut that turns with it, which has to pass by whatever holds the foam"},
	{"length_mm", 10, 10000, false, func(t *Tool) *Number { return &t.LengthMM }, "of a wire, between what holds it: its voltage, its stretch and its lag follow from it"},
	{"tension_n", 0.1, 500, false, func(t *Tool) *Number { return &t.TensionN }, "with which a spring or a weight pulls a wire: the less, the more it lags in the foam"},
	{"drag_n_per_m", 0.01, 1000, false, func(t *Tool) *Number { return &t.DragNPerM }, "with which each metre of wire in the foam is held back at the recipe's feed"},
	{"trail_mm", 0.05, 10, false, func(t *Tool) *Number { return &t.TrailMM }, "of a drag knife: how far its tip trails behind the axis that it swivels about. Paths are made for it: the tip follows the wanted line"},
	{"chord_mm", 0.3, 30, false, func(t *Tool) *Number { return &t.ChordMM }, "of a blade that the machine's A axis turns (tangential): how wide it is at its end, which is straight across, from its edge to its back, in the middle of which the axis stands"},
	{"slant_degrees", 0, 60, false, func(t *Tool) *Number { return &t.SlantDegrees }, "of a blade: how far its edge leans forward from upright. At the foam's top it cuts its depth times the tangent of that ahead of its tip, and so far past a corner"},
	{"gouge_mm", 0.01, 5, false, func(t *Tool) *Number { return &t.GougeMM }, "of a blade: how far it may cut beside a curve, for it is straight and ends ahead of its tip: tighter curves are refused, with the radius that would do. One that is turned is lifted to turn by more than asin(2 `gouge_mm` / `chord_mm`)"},
	{"runout_mm", 0, 2, false, func(t *Tool) *Number { return &t.RunoutMM }, "how far the cutter runs out, the full swing of a dial: with one flute it may cut wider or narrower by that, with several only wider"},
}

var machineNumbers = []numberKey[Machine]{
	{"rapid_mm_per_min", 10, 200000, true, func(m *Machine) *Number { return &m.RapidMMPerMin }, "speed of its rapids"},
	{"max_feed_mm_per_min", 10, 200000, true, func(m *Machine) *Number { return &m.MaxFeedMMPerMin }, "the fastest that it cuts"},
	{"acceleration_mm_per_s2", 1, 100000, true, func(m *Machine) *Number { return &m.AccelerationMMPerS2 }, "how fast it gains speed"},
	{"corner_mm", 0, 5, true, func(m *Machine) *Number { return &m.CornerMM }, "how far a corner may be rounded to keep speed (junction deviation); 0 stops at corners"},
	{"clearance_mm", 0, 200, true, func(m *Machine) *Number { return &m.ClearanceMM }, "of rapids that go aside, above the top of the foam; straight down they go on to a quarter of it, and no nearer than 1 mm and what zero and, from the bed, thickness may be off"},
	{"power_w", 0.1, 10000, false, func(m *Machine) *Number { return &m.PowerW }, "of a laser, which needs it"},
	{"wavelength_nm", 180, 20000, false, func(m *Machine) *Number { return &m.WavelengthNM }, "of the light of a laser, which needs it"},
	{"standoff_mm", 0.1, 500, false, func(m *Machine) *Number { return &m.StandoffMM }, "from nozzle to foam where the beam is in focus on its top. Passes lower the head by `focus_step_mm` each: less than 2 mm above the foam is refused, with the step that would do, by `cut` and by `dryrun`; where nobody has said, `cut` refuses any such pass"},
	{"rise_s", 0, 0.5, false, func(m *Machine) *Number { return &m.RiseS }, "how long the power supply takes from the word that lights the beam to its power: each lap runs past its start by as much as the beam goes in that time, and a kerf at least, so that nothing is left hanging. The dry run takes that for no second pass"},
	{"max_rpm", 100, 200000, false, func(m *Machine) *Number { return &m.MaxRPM }, "greatest speed of the spindle of a router, which needs it; above 1000, for no more is what a beam's power counts to"},
	{"turn_rpm", 0.1, 1000, false, func(m *Machine) *Number { return &m.TurnRPM }, "how fast the A axis turns a blade, which a machine with such a blade needs"},
	{"zero_mm", 0, 10, false, func(m *Machine) *Number { return &m.ZeroMM }, "how far off Z zero may be, either way"},
	{"bed_cut_mm", 0, 100, false, func(m *Machine) *Number { return &m.BedCutMM }, "how deep a tool may cut into what the foam lies on"},
	{"scale_x", leastScale, mostScale, false, func(m *Machine) *Number { return &m.ScaleX }, "what the machine makes of a programmed mm along X, measured"},
	{"scale_y", leastScale, mostScale, false, func(m *Machine) *Number { return &m.ScaleY }, "what the machine makes of a programmed mm along Y, measured"},
}

var recipeNumbers = []numberKey[Recipe]{
	{"kerf_mm", 0.01, 50, false, func(r *Recipe) *Number { return &r.KerfMM }, "width of foam removed; for a cutter its diameter until it is measured"},
	{"kerf_interval_mm", 0, 10, false, func(r *Recipe) *Number { return &r.KerfIntervalMM }, "half of the 95 % interval of a measured kerf"},
	{"kerf_off_mm", 0, 10, false, func(r *Recipe) *Number { return &r.KerfOffMM }, "how far off the kerf may be, either way, until a coupon's `kerf_interval_mm` takes its place"},
	{"feed_mm_per_min", 1, 100000, false, func(r *Recipe) *Number { return &r.FeedMMPerMin }, "of cutting"},
	{"plunge_mm_per_min", 1, 100000, false, func(r *Recipe) *Number { return &r.PlungeMMPerMin }, "of a cutter or a blade going down"},
	{"stepdown_mm", 0.05, 200, false, func(r *Recipe) *Number { return &r.StepdownMM }, "a cutter's greatest depth of one pass"},
	{"stepover", 0.01, 0.95, false, func(r *Recipe) *Number { return &r.Stepover }, "part of the kerf between clearing passes"},
	{"rpm", 100, 200000, false, func(r *Recipe) *Number { return &r.RPM }, "of the spindle"},
	{"finish_mm", 0, 10, false, func(r *Recipe) *Number { return &r.FinishMM }, "left on the wall for the last pass of a cutter"},
	{"breakthrough_mm", 0, 10, false, func(r *Recipe) *Number { return &r.BreakthroughMM }, "below the foam when cutting through"},
	{"skin_mm", 0, 10, false, func(r *Recipe) *Number { return &r.SkinMM }, "left under the outline by a cutter, so that nothing flies loose; 0 is cut through with tabs"},
	{"tab_count", 0, 100, false, func(r *Recipe) *Number { return &r.TabCount }, "holding tabs around an outline that is cut through; under a beam the bridges of a piece that would tip, 2 where left out"},
	{"tab_width_mm", 0, 100, false, func(r *Recipe) *Number { return &r.TabWidthMM }, "of a tab, along the outline"},
	{"tab_height_mm", 0, 100, false, func(r *Recipe) *Number { return &r.TabHeightMM }, "of a tab"},
	{"ramp_degrees", 0.1, 89, false, func(r *Recipe) *Number { return &r.RampDegrees }, "a cutter's steepest way down"},
	{"power_percent", 0.1, 100, false, func(r *Recipe) *Number { return &r.PowerPercent }, "of a beam"},
	{"mm_per_pass", 0.1, 200, false, func(r *Recipe) *Number { return &r.MMPerPass }, "foam that one pass of a beam or a blade goes through at this power and feed"},
	{"most_mm", 0.1, 500, false, func(r *Recipe) *Number { return &r.MostMM }, "the thickest layer that it goes through: a thicker one is refused"},
	{"passes", 1, 100, false, func(r *Recipe) *Number { return &r.Passes }, "of a beam, at least so many"},
	{"focus_step_mm", 0, 50, false, func(r *Recipe) *Number { return &r.FocusStepMM }, "how much lower the focus of each pass is"},
	{"pause_s", 0, 600, false, func(r *Recipe) *Number { return &r.PauseS }, "stays dark so long before it goes over a place again, because heat gathers where one pass ends and the next begins. Times count it; `dryrun` refuses a program of the job that goes over a place sooner, and warns of any other"},
	{"lead_in_mm", 0, 50, false, func(r *Recipe) *Number { return &r.LeadInMM }, "a beam's run-up in the waste, or a blade's, which turns into its line there: at least 6.1 times its trail"},
	{"overcut_mm", 0, 20, false, func(r *Recipe) *Number { return &r.OvercutMM }, "how far a blade runs on past where its cut began, so that nothing is left hanging there"},
	{"corner_radius_mm", 0, 50, false, func(r *Recipe) *Number { return &r.CornerRadiusMM }, "least inside corner radius, so that foam does not tear"},
	{"current_a", 0.01, 50, false, func(r *Recipe) *Number { return &r.CurrentA }, "through a hot wire, rms where AC, for which its kerf holds; one that cuts by a program needs it"},
	{"taper_degrees", 0, 45, false, func(r *Recipe) *Number { return &r.TaperDegrees }, "half angle of the cut that a beam makes; 0 is not known"},
	{"mark_depth_mm", 0.05, 20, false, func(r *Recipe) *Number { return &r.MarkDepthMM }, "how deep a cutter engraves a label, or a blade scores it: no more than one pass takes"},
	{"mark_share", 0.005, 0.5, false, func(r *Recipe) *Number { return &r.MarkShare }, "power of the one pass that engraves, as a part of the cutting power"},
}

// rowsOf are the numbers as keys of a file: each alone, or with a source of its own.
func rowsOf[T any](numbers []numberKey[T]) []strict.Row {
	list := make([]strict.Row, len(numbers))
	for i, n := range numbers {
		list[i] = strict.Row{Key: n.key, Form: sourced(strict.ANumber(n.least, n.most).In(UnitOf(n.key))), Means: n.means}
		if n.needed {
			list[i].Default = strict.Needed
		}
	}
	return list
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
		if m.Process.Traits().ByHand {
			break
		}
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
