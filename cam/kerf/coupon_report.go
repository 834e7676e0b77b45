package kerf

// Report is the coupon in report.json: lengths in mm.
type CouponReport struct {
	Foam        string             `json:"foam" means:"that it is cut from; where it is several pieces, the first; settings have each"`
	ThicknessMM float64            `json:"thickness_mm" means:"of the sheet"`
	Tool        string             `json:"tool" means:"that it is cut with"`
	KerfMM      float64            `json:"kerf_mm" means:"believed; taken off slots and pockets, not off squares"`
	SkinMM      float64            `json:"skin_mm" means:"under a cutter's grooves"`
	Settings    []SettingReport    `json:"settings" means:"tried on it"`
	Squares     []SquareReport     `json:"squares" means:"to measure kerf and scale on"`
	Slots       []SlotReport       `json:"slots" means:"of a comb"`
	Trials      []TrialReport      `json:"trials" means:"pockets of a fit strip"`
	Offcuts     []TestOffcutReport `json:"offcuts,omitempty" means:"that the pieces of a job's coupon are cut from"`
}

// TestOffcutReport is foam that pieces are cut from, one after the other.
type TestOffcutReport struct {
	Foam        string        `json:"foam" means:"that it is of"`
	ThicknessMM float64       `json:"thickness_mm" means:"of it"`
	SizeMM      [2]float64    `json:"size_mm" means:"at least, X and Y"`
	Pieces      []PlaceReport `json:"pieces" means:"in the order of cutting"`
}

// PlaceReport is where a piece lies on its offcut.
type PlaceReport struct {
	Path string  `json:"path" means:"its program, or the drawing that stands in its place"`
	XMM  float64 `json:"x_mm" means:"of its X0 Y0 from the foam's left edge"`
	YMM  float64 `json:"y_mm" means:"of that from the front edge"`
}

// SettingReport is what one group of squares is cut with.
type SettingReport struct {
	Letter       string  `json:"letter" means:"that stands on it"`
	Foam         string  `json:"foam" means:"of its piece"`
	ThicknessMM  float64 `json:"thickness_mm" means:"of that"`
	Tool         string  `json:"tool" means:"that cuts it"`
	FeedMMPerMin float64 `json:"feed_mm_per_min" means:"of cutting"`
	PowerPercent float64 `json:"power_percent" means:"of a beam"`
	CurrentA     float64 `json:"current_a,omitempty" means:"through a hot wire"`
	Passes       float64 `json:"passes" means:"of a beam"`
	StepdownMM   float64 `json:"stepdown_mm" means:"of a cutter"`
}

// SquareReport is one square: x_mm and y_mm are the lower-left corner of its
// nominal line.
type SquareReport struct {
	Label   string  `json:"label" means:"that stands on it"`
	SizeMM  float64 `json:"size_mm" means:"programmed"`
	XMM     float64 `json:"x_mm" means:"lower-left corner"`
	YMM     float64 `json:"y_mm" means:"the same, along Y"`
	Setting string  `json:"setting" means:"its letter"`
}

// SlotReport is one slot of the comb.
type SlotReport struct {
	Label   string   `json:"label" means:"that stands on it"`
	WidthMM float64  `json:"width_mm" means:"of the slot"`
	Fits    []string `json:"fits" means:"that it stands for"`
}

// TrialReport is one pocket of the fit strip; depth_mm is 0 for through.
type TrialReport struct {
	Label    string   `json:"label" means:"that stands on it"`
	Pieces   []string `json:"pieces" means:"that it is for"`
	XMM      float64  `json:"x_mm" means:"of its box's lower-left corner"`
	YMM      float64  `json:"y_mm" means:"the same, along Y"`
	LengthMM float64  `json:"length_mm" means:"along X"`
	WidthMM  float64  `json:"width_mm" means:"along Y"`
	DepthMM  float64  `json:"depth_mm" means:"from the top"`
	Shape    string   `json:"shape" means:"rect or round" one:"rect|round"`
	Proud    bool     `json:"proud" means:"the piece stands out of it"`
}

// Report describes the coupon for another program. Empty lists are [], never null.
// More are the other pieces of the same coupon, which differ in the settings and labels of their squares alone.
func (c *Coupon) Report(more ...*Coupon) CouponReport {
	r := CouponReport{
		Foam: c.Foam.ID, ThicknessMM: c.Spec.Thickness.MM(), Tool: c.Tool.ID, KerfMM: c.Recipe.KerfMM.Value, SkinMM: c.SkinMM(),
		Settings: []SettingReport{}, Squares: []SquareReport{}, Slots: []SlotReport{}, Trials: []TrialReport{},
	}
	for _, c := range append([]*Coupon{c}, more...) {
		for _, s := range c.Groups {
			r.Settings = append(r.Settings, SettingReport{s.Letter, c.Foam.ID, c.Spec.Thickness.MM(), c.Tool.ID, s.Recipe.FeedMMPerMin.Value, s.Recipe.PowerPercent.Value, s.Recipe.CurrentA.Value, s.Recipe.Passes.Value, s.Recipe.StepdownMM.Value})
		}
		for _, s := range c.Squares {
			r.Squares = append(r.Squares, SquareReport{s.Label, s.Size.MM(), s.At.X, s.At.Y, c.Groups[s.Group].Letter})
		}
	}
	for _, s := range c.Slots {
		r.Slots = append(r.Slots, SlotReport{s.Label, s.Width.MM(), append([]string{}, s.Fits...)})
	}
	for _, t := range c.Trials {
		shape := "rect"
		if t.Round {
			shape = "round"
		}
		r.Trials = append(r.Trials, TrialReport{t.Label, append([]string{}, t.Pieces...), t.At.X, t.At.Y, t.Length.MM(), t.Width.MM(), t.Depth.MM(), shape, t.Proud})
	}
	return r
}
