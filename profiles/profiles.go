// Package profiles is what is known of foams, machines, tools, recipes and the
// safety of each foam under each process: data, with a source for every number.
//
// Lengths are mm, feeds mm/min, accelerations mm/s2, power per cent of the
// machine's full power, densities kg/m3; the unit is in each name.
package profiles

import (
	"encoding/json"

	"traywright/geometry/units"
)

// Number is a value and where it comes from: a standard, a handbook, "common
// practice, no source", or "starting value, measure your own".
type Number struct {
	Value  float64 `json:"value"`
	Source string  `json:"source"`
}

// Word is a word of a profile and where it comes from.
type Word struct {
	Value  string `json:"value"`
	Source string `json:"source"`
}

// OpenCells is the Value of Foam.Cells for a foam that marks do not hold in.
const OpenCells = "open"

// Foam is one foam as bought: a kind (its chemistry) and a density.
type Foam struct {
	ID          string            `json:"id"`
	Name        string            `json:"name"`
	Kind        string            `json:"kind"`            // a row of the safety table: pe, xpe, eva, pu, ... unknown
	Grain       bool              `json:"grain,omitempty"` // it has a way that it bends or tears along, or a pattern: no layer is turned on its sheet
	Cells       Word              `json:"cells"`           // open or closed; "" where nobody has said
	DensityKgM3 Number            `json:"density_kg_m3"`
	Thicknesses []units.Length    `json:"-"` // stock, thinnest first; in JSON thicknesses_mm
	Sizes       [][2]units.Length `json:"-"` // of the sheets that it is sold in, largest first; none where nobody has said; in JSON sizes_mm
	StockSource string            `json:"stock_source"`
	LeastWallMM Number            `json:"least_wall_mm"`
	LeastEdgeMM Number            `json:"least_edge_mm"`
	Fits        map[string]Number `json:"fits"`                   // fit name (tight, snug, easy) -> mm added to length and to width, may be negative
	LooseMM     Number            `json:"loose_mm"`               // a pocket this much larger than its piece lets it rattle
	ThickerMM   Number            `json:"thicker_mm,omitzero"`    // how much thicker than its label a sheet may be; not given is not known
	ThinnerMM   Number            `json:"thinner_mm,omitzero"`    // and how much thinner
	LeastLeftMM Number            `json:"least_left_mm,omitzero"` // the thinnest skin, tab, floor or wall that still holds; not given is any
	Notes       string            `json:"notes"`
	Source      string            `json:"source"` // of every number of the row that names none
}

// SizesMM are the sizes of the sheets that the foam is sold in, largest first.
func (f Foam) SizesMM() [][2]float64 {
	list := make([][2]float64, len(f.Sizes))
	for i, s := range f.Sizes {
		list[i] = [2]float64{s[0].MM(), s[1].MM()}
	}
	return list
}

// MarshalJSON writes thicknesses and sizes in mm.
func (f Foam) MarshalJSON() ([]byte, error) {
	type plain Foam
	stock := make([]float64, len(f.Thicknesses))
	for i, l := range f.Thicknesses {
		stock[i] = l.MM()
	}
	return json.Marshal(struct {
		plain
		ThicknessesMM []float64    `json:"thicknesses_mm"`
		SizesMM       [][2]float64 `json:"sizes_mm,omitempty"`
	}{plain(f), stock, f.SizesMM()})
}

// ZZero is where a program's Z is zero.
type ZZero string

const (
	ZTop ZZero = "top" // top of the foam
	ZBed ZZero = "bed" // the bed under it
)

// ZCounts is which way a machine's Z counts; "" is up.
type ZCounts string

const (
	ZUp   ZCounts = "up"   // a greater Z takes tool or head away from the foam
	ZDown ZCounts = "down" // a greater Z brings them together: of some lasers whose bed rises
)

// ACounts is which way the axis that turns a blade counts, seen from above; "" is counter-clockwise.
type ACounts string

const (
	ACounterclockwise ACounts = "ccw"
	AClockwise        ACounts = "cw"
)

// Helix is which way a cutter's edges throw what they cut; "" is not known.
type Helix string

const (
	HelixUp       Helix = "up"       // out of the cut: it lifts the foam
	HelixDown     Helix = "down"     // into the cut: it packs the chips below it
	HelixStraight Helix = "straight" // neither
)

// Tool is a cutter, a blade, a wire or the beam. A beam has no length: Reach is 0.
type Tool struct {
	ID           string `json:"id"`
	Number       int    `json:"number"` // T word
	Name         string `json:"name"`
	DiameterMM   Number `json:"diameter_mm"`          // of the cutter, the beam's spot or the wire
	ReachMM      Number `json:"reach_mm,omitzero"`    // greatest depth below the top of the foam, where only that is known; see Reach
	FluteMM      Number `json:"flute_mm,omitzero"`    // length of its cutting edges; not given is not known
	StickoutMM   Number `json:"stickout_mm,omitzero"` // from its tip to the collet that holds it; not given is not known
	ShankMM      Number `json:"shank_mm,omitzero"`    // diameter above its flute; not given is that of the flute
	ColletMM     Number `json:"collet_mm,omitzero"`   // diameter of the nut that turns with it; not given is not known
	Flutes       int    `json:"flutes"`
	Helix        Helix  `json:"helix,omitempty"`
	LengthMM     Number `json:"length_mm,omitzero"`     // of a wire between what holds it; not given is not known
	TensionN     Number `json:"tension_n,omitzero"`     // with which a wire is pulled by its spring or weight; not given is not known
	DragNPerM    Number `json:"drag_n_per_m,omitzero"`  // with which a metre of foam holds a wire back; not given is not known
	TrailMM      Number `json:"trail_mm,omitzero"`      // of a drag knife: how far its tip trails behind the axis that it swivels about; not given of any other
	ChordMM      Number `json:"chord_mm,omitzero"`      // of a blade that an axis turns: how wide it is, from its edge to its back; not given of any other
	SlantDegrees Number `json:"slant_degrees,omitzero"` // of a blade: how far its edge leans forward from upright; not given is upright
	GougeMM      Number `json:"gouge_mm,omitzero"`      // of a blade: how far it may cut beside a curve, for it is straight and longer than its tip
	RunoutMM     Number `json:"runout_mm,omitzero"`     // of a cutter in its spindle, full swing of the dial; not given is not known
	// Process is by what it cuts where that is not its machine's process: a hot wire in a hand.
	// It cuts only where a job names it.
	Process Process `json:"process,omitempty"`
}

// ClampZone is a part of the bed that no tool or beam may cross, from the bed's lower-left corner.
type ClampZone struct {
	Name     string  `json:"name"`
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
}

// Machine is one machine and the tools that belong to it, in order of preference.
type Machine struct {
	ID                  string         `json:"id"`
	Name                string         `json:"name"`
	Process             Process        `json:"process"`
	TravelMM            [3]Number      `json:"travel_mm"` // X, Y, Z
	RapidMMPerMin       Number         `json:"rapid_mm_per_min"`
	MaxFeedMMPerMin     Number         `json:"max_feed_mm_per_min"`
	AccelerationMMPerS2 Number         `json:"acceleration_mm_per_s2"`
	CornerMM            Number         `json:"corner_mm"`    // junction deviation: how far a corner may be rounded to keep speed; 0 stops at corners
	ClearanceMM         Number         `json:"clearance_mm"` // of a rapid that goes aside, above the top of the foam
	ZZero               ZZero          `json:"z_zero"`
	ZCounts             ZCounts        `json:"z_counts,omitempty"`
	ACounts             ACounts        `json:"a_counts,omitempty"`
	TurnRPM             Number         `json:"turn_rpm,omitzero"`    // of the axis that turns a blade; not given of a machine that turns none
	PowerW              Number         `json:"power_w"`              // laser
	WavelengthNM        Number         `json:"wavelength_nm"`        // laser
	StandoffMM          Number         `json:"standoff_mm,omitzero"` // laser: from nozzle to foam where the beam is focused on its top; not given is not known
	RiseS               Number         `json:"rise_s,omitzero"`      // laser: until the beam has its power, from the word that lights it; not given is at once
	MaxRPM              Number         `json:"max_rpm"`              // router
	ZeroMM              Number         `json:"zero_mm,omitzero"`     // how far off a Z zero may be that was touched off by hand, either way; not given is not known
	BedCutMM            Number         `json:"bed_cut_mm,omitzero"`  // how deep a tool may cut into what the foam lies on; not given is any
	ScaleX              Number         `json:"scale_x,omitzero"`     // what the machine makes of a programmed mm, measured; not given is 1: see Scale
	ScaleY              Number         `json:"scale_y,omitzero"`
	ScaleReadings       []ScaleReading `json:"scale_readings,omitempty"` // the coupons that a measured scale rests on
	Controller          Controller     `json:"controller"`
	Tools               []Tool         `json:"tools"`
	Clamps              []ClampZone    `json:"clamps"`
	DXFColours          DXFColours     `json:"dxf_colours,omitzero"`
	Notes               string         `json:"notes"`
	Source              string         `json:"source"` // of every number of the row that names none
}

// Recipe is the settings for one foam on one machine with one tool.
type Recipe struct {
	Foam    string `json:"foam"`
	Machine string `json:"machine"`
	Tool    string `json:"tool"`

	KerfMM         Number `json:"kerf_mm"`                   // width of foam removed; for a cutter its diameter until measured
	KerfIntervalMM Number `json:"kerf_interval_mm,omitzero"` // half of the 95 % interval of a measured kerf; not given until it is
	KerfOffMM      Number `json:"kerf_off_mm,omitzero"`      // how far off an unmeasured kerf may be, either way; not given is not known
	FeedMMPerMin   Number `json:"feed_mm_per_min"`
	PlungeMMPerMin Number `json:"plunge_mm_per_min"` // router, knife
	StepdownMM     Number `json:"stepdown_mm"`       // router: greatest depth of one pass
	Stepover       Number `json:"stepover"`          // router: part of the kerf between clearing passes, 0..1
	RPM            Number `json:"rpm"`               // router
	FinishMM       Number `json:"finish_mm"`         // router: left on the wall for the last pass
	BreakthroughMM Number `json:"breakthrough_mm"`   // below the foam when cutting through
	SkinMM         Number `json:"skin_mm"`           // router: left under the outline so that nothing flies loose; 0 is cut through with tabs
	TabCount       Number `json:"tab_count"`         // holding tabs around an outline that is cut through; laser: bridges of a piece that would tip, 2 where not given
	TabWidthMM     Number `json:"tab_width_mm"`
	TabHeightMM    Number `json:"tab_height_mm"`
	RampDegrees    Number `json:"ramp_degrees"`        // router: steepest entry
	PowerPercent   Number `json:"power_percent"`       // laser
	MMPerPass      Number `json:"mm_per_pass"`         // laser, knife: foam that one pass goes through at this power and feed
	MostMM         Number `json:"most_mm"`             // the thickest layer that it goes through; not given is not known
	Passes         Number `json:"passes"`              // laser: at least so many; see Through
	FocusStepMM    Number `json:"focus_step_mm"`       // laser: focus lowered per pass
	PauseS         Number `json:"pause_s,omitzero"`    // laser: stays dark before it goes over a place again; not given is not at all
	LeadInMM       Number `json:"lead_in_mm"`          // laser, knife: run-up in the waste
	OvercutMM      Number `json:"overcut_mm,omitzero"` // knife: how far it runs on past where its cut began; not given is not at all
	CornerRadiusMM Number `json:"corner_radius_mm"`    // least inside corner radius, so that foam does not tear
	CurrentA       Number `json:"current_a,omitzero"`  // hot wire: rms where AC; the kerf holds for this current and this feed
	TaperDegrees   Number `json:"taper_degrees"`       // laser: half angle of the beam, 0 unknown
	MarkDepthMM    Number `json:"mark_depth_mm"`       // router, knife: how deep a label is engraved
	MarkShare      Number `json:"mark_share"`          // laser: power of a label's one pass, as a part of the cutting power

	CutDirection Direction `json:"cut_direction,omitempty"` // router: which way round its laps go
	WallLap      WallLap   `json:"wall_lap,omitempty"`      // router: how often the lap goes that finishes a pocket's wall

	Tested     TestedKerfs `json:"tested,omitempty"`      // hot wire: every kerf that its coupon gave; see AsTested
	MeasuredIn KerfsIn     `json:"measured_in,omitempty"` // in how thick foam its kerf was measured, and which it had in others; see In
	Coupons    int         `json:"-"`                     // that the kerf which In took rests on; 0 where nobody wrote them down

	Source string `json:"source"` // of the recipe as a whole: whose numbers, when
}
