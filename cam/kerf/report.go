package kerf

import (
	"math"

	"traywright/cam/finding"
	"traywright/profiles"
)

// schemaVersion of the report. It grows when a key changes its meaning or goes.
const schemaVersion = 1

// Report is what `kerf` found: lengths in mm, names end in their unit.
type Report struct {
	SchemaVersion int             `json:"schema_version"`
	File          string          `json:"file"`
	Fits          []FitReport     `json:"fits"`
	Scales        []ScaleReport   `json:"scales"`
	Curves        []CurveReport   `json:"curves"`
	Ladders       []LadderReport  `json:"ladders"`
	Blocks        []BlockReport   `json:"blocks"`
	Checks        []CheckReport   `json:"checks"`
	Predicted     *PredictReport  `json:"predicted,omitempty"`
	Files         []WrittenReport `json:"files"`
	Findings      finding.List    `json:"findings"`
}

// FitReport is one subject's kerf; step is its number for --step.
type FitReport struct {
	Step         int          `json:"step"`
	Foam         string       `json:"foam"`
	Kind         string       `json:"kind"`
	ThicknessMM  float64      `json:"thickness_mm"`
	Machine      string       `json:"machine"`
	Tool         string       `json:"tool"`
	Setting      Setting      `json:"setting"`
	DensityKgM3  float64      `json:"density_kg_m3,omitempty"`
	KerfMM       Estimate     `json:"kerf_mm"`
	TopMM        *Estimate    `json:"top_mm,omitempty"`
	BottomMM     *Estimate    `json:"bottom_mm,omitempty"`
	TaperDegrees *Estimate    `json:"taper_degrees,omitempty"`
	DeviationMM  *float64     `json:"deviation_mm"`
	RoundingMM   float64      `json:"rounding_mm"` // what of the kerf's half-width is its last digit's
	Readings     int          `json:"readings"`
	DOF          int          `json:"degrees_of_freedom"`
	BeforeMM     float64      `json:"kerf_before_mm"` // of the recipe in force
	Pooled       PoolReport   `json:"pooled"`         // with earlier coupons
	Axes         []AxisReport `json:"axes"`
}

// PoolReport is the kerf that is saved, by all its coupons.
type PoolReport struct {
	KerfMM  Estimate               `json:"kerf_mm"`
	DOF     float64                `json:"degrees_of_freedom"`
	Apart   bool                   `json:"apart"` // they differ farther than chance explains, and are not saved
	RestsOn []profiles.KerfReading `json:"rests_on"`
}

// AxisReport is one axis of a fit.
type AxisReport struct {
	Axis        Axis          `json:"axis"`
	Scale       Estimate      `json:"scale"`
	KerfMM      Estimate      `json:"kerf_mm"`
	DeviationMM *float64      `json:"deviation_mm"`
	DOF         int           `json:"degrees_of_freedom"`
	Points      []PointReport `json:"points"`
}

// PointReport is one reading.
type PointReport struct {
	Line       int     `json:"line"`
	Part       Part    `json:"part"`
	Face       Face    `json:"face,omitempty"`
	SizeMM     float64 `json:"size_mm"`
	ReadMM     float64 `json:"read_mm"`
	FittedMM   float64 `json:"fitted_mm"`
	ResidualMM float64 `json:"residual_mm"`
	Deleted    float64 `json:"studentized_deleted_residual"`
	Outlier    bool    `json:"outlier"`
}

// ScaleReport is a machine's scale along an axis.
type ScaleReport struct {
	Machine     string                  `json:"machine"`
	Axis        Axis                    `json:"axis"`
	Measured    Estimate                `json:"measured"` // by this table alone, over what was in force
	InForce     float64                 `json:"in_force"`
	Pooled      Estimate                `json:"pooled"`     // by all coupons, 95 %
	Confidence  float64                 `json:"confidence"` // that it takes to apply it
	Sure        Estimate                `json:"sure"`       // the same, with that confidence
	Applied     bool                    `json:"applied"`
	Next        float64                 `json:"next"`       // what --save corrects programs for
	MovesMM     float64                 `json:"moves_mm"`   // how much too long the largest part would be without
	LongestMM   float64                 `json:"longest_mm"` // that part
	RestsOn     []profiles.ScaleReading `json:"rests_on"`
	Days        int                     `json:"days"`        // that these were measured on
	Significant bool                    `json:"significant"` // the table's own interval leaves 1 out
}

// CurveReport is kerf against density.
type CurveReport struct {
	Kind        string       `json:"kind"`
	Machine     string       `json:"machine"`
	Tool        string       `json:"tool"`
	ThicknessMM float64      `json:"thickness_mm"`
	Setting     Setting      `json:"setting"`
	Nodes       []NodeReport `json:"nodes"`
}

// NodeReport is a measured density.
type NodeReport struct {
	DensityKgM3 float64  `json:"density_kg_m3"`
	Weighed     bool     `json:"weighed"`
	KerfMM      Estimate `json:"kerf_mm"`
}

// LadderReport is the kerf over one setting.
type LadderReport struct {
	Foam    string       `json:"foam"`
	Machine string       `json:"machine"`
	Tool    string       `json:"tool"`
	Rung    string       `json:"rung"`
	Unit    string       `json:"unit"`
	Steps   []RungReport `json:"steps"`
}

// RungReport is a step of a ladder.
type RungReport struct {
	Step   int      `json:"step"`
	Value  float64  `json:"value"`
	KerfMM Estimate `json:"kerf_mm"`
}

// BlockReport is a weighed block.
type BlockReport struct {
	Foam        string   `json:"foam"`
	Line        int      `json:"line"`
	DensityKgM3 Estimate `json:"density_kg_m3"`
}

// CheckReport is cut pockets against the kerf in force.
type CheckReport struct {
	Foam        string            `json:"foam"`
	ThicknessMM float64           `json:"thickness_mm"`
	Machine     string            `json:"machine"`
	Tool        string            `json:"tool"`
	Setting     Setting           `json:"setting"`
	KerfMM      Estimate          `json:"kerf_mm"` // in force
	Measured    bool              `json:"measured"`
	Coupons     int               `json:"coupons"` // that it rests on; 0 where nobody wrote them down
	OffMM       Estimate          `json:"off_mm"`  // how much wider than wanted holes are
	MayMM       float64           `json:"may_mm"`  // and may be, by the intervals of kerf and pockets
	NextMM      float64           `json:"next_mm"`
	DeviationMM float64           `json:"deviation_mm"`
	DOF         int               `json:"degrees_of_freedom"`
	Held        bool              `json:"held"`
	Axes        []CheckAxisReport `json:"axes"`
}

// CheckAxisReport is one axis of a check.
type CheckAxisReport struct {
	Axis   Axis          `json:"axis"`
	OffMM  Estimate      `json:"off_mm"`
	Points []PointReport `json:"points"`
}

// PredictReport is a kerf read from a curve.
type PredictReport struct {
	Foam        string   `json:"foam"`
	DensityKgM3 float64  `json:"density_kg_m3"`
	KerfMM      Estimate `json:"kerf_mm"`
	Beyond      bool     `json:"beyond"`
}

// WrittenReport is a file that was written.
type WrittenReport struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"` // of the file, in hex
	Kind   string `json:"kind"`
}

// Describe is the report of fits and what they make.
func Describe(file string, fits []Fit, scales []Scale, found finding.List) Report {
	r := Report{
		SchemaVersion: schemaVersion, File: file, Findings: found,
		Fits: []FitReport{}, Scales: []ScaleReport{}, Curves: []CurveReport{}, Ladders: []LadderReport{}, Blocks: []BlockReport{}, Checks: []CheckReport{}, Files: []WrittenReport{},
	}
	for i, f := range fits {
		r.Fits = append(r.Fits, describeFit(i+1, f))
	}
	for _, s := range scales {
		r.Scales = append(r.Scales, describeScale(s))
	}
	for _, c := range Curves(fits) {
		report := CurveReport{Kind: c.Kind, Machine: c.Machine, Tool: c.Tool, ThicknessMM: c.Thickness.MM(), Setting: c.Setting}
		for _, n := range c.Nodes {
			report.Nodes = append(report.Nodes, NodeReport{n.DensityKgM3, n.Weighed, n.KerfMM})
		}
		r.Curves = append(r.Curves, report)
	}
	for _, l := range Ladders(fits) {
		report := LadderReport{Foam: l.Foam, Machine: l.Machine, Tool: l.Tool, Rung: l.Rung, Unit: l.Unit}
		for _, s := range l.Steps {
			report.Steps = append(report.Steps, RungReport{s.Fit + 1, s.Value, s.KerfMM})
		}
		r.Ladders = append(r.Ladders, report)
	}
	return r
}

func describeFit(step int, f Fit) FitReport {
	r := FitReport{
		Step: step, Foam: f.Subject.Foam, Kind: f.Foam.Kind, ThicknessMM: f.Thickness.MM(), Machine: f.Subject.Machine, Tool: f.Tool,
		Setting: f.Setting, DensityKgM3: f.DensityKgM3, KerfMM: f.KerfMM, TopMM: f.TopMM, BottomMM: f.BottomMM, TaperDegrees: f.TaperDegrees,
		DeviationMM: finite(f.DeviationMM), RoundingMM: roundTo(f.RoundingMM, 1e-7), Readings: f.Readings(), DOF: f.DOF, BeforeMM: f.Recipe.KerfMM.Value,
		Pooled: PoolReport{f.Pooled.KerfMM, roundTo(f.Pooled.DOF, 1e-4), f.Pooled.Apart, append([]profiles.KerfReading{}, f.Pooled.RestsOn...)},
	}
	for _, a := range f.Axes {
		axis := AxisReport{Axis: a.Axis, Scale: a.Scale, KerfMM: a.KerfMM, DeviationMM: finite(a.DeviationMM), DOF: a.DOF}
		axis.Points = describePoints(a.Points)
		r.Axes = append(r.Axes, axis)
	}
	return r
}

func describePoints(points []Point) (list []PointReport) {
	for _, p := range points {
		list = append(list, PointReport{
			p.Line, p.Part, p.Face, p.SizeMM, p.ReadMM, roundTo(p.FittedMM, 1e-6), roundTo(p.ResidualMM, 1e-6), roundTo(p.Deleted, 1e-4), p.Outlier,
		})
	}
	return list
}

// Describe is the check for a report.
func (p PocketCheck) Describe() CheckReport {
	r := CheckReport{
		Foam: p.Foam, ThicknessMM: p.Thickness.MM(), Machine: p.Subject.Machine, Tool: p.Tool, Setting: p.Setting, KerfMM: p.KerfMM, Measured: p.Recipe.Measured(), Coupons: p.Recipe.Coupons,
		OffMM: p.OffMM, MayMM: roundTo(p.MayMM, 1e-7), NextMM: roundTo(p.NextMM, 1e-7), DeviationMM: roundTo(p.SpreadMM, 1e-7), DOF: p.DOF, Held: p.Held,
	}
	for _, a := range p.Axes {
		r.Axes = append(r.Axes, CheckAxisReport{a.Axis, a.OffMM, describePoints(a.Points)})
	}
	return r
}

func describeScale(s Scale) ScaleReport {
	return ScaleReport{
		Machine: s.Machine, Axis: s.Axis, Measured: s.Measured, InForce: s.InForce, Pooled: s.Pooled, Confidence: s.Confidence, Sure: s.Sure,
		Applied: s.Applied, Next: roundTo(s.Next, 1e-7), MovesMM: roundTo(s.MovesMM, 1e-4), LongestMM: s.LongestMM,
		RestsOn: append([]profiles.ScaleReading{}, s.RestsOn...), Days: s.Days, Significant: math.Abs(s.Measured.Value-1) > s.Measured.HalfWidth,
	}
}

// finite is a number, or nil where there is none.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	v = roundTo(v, 1e-7)
	return &v
}
