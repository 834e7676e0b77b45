package kerf

// Report is the coupon in report.json: lengths in mm.
type CouponReport struct {
	Foam        string          `json:"foam"`
	ThicknessMM float64         `json:"thickness_mm"`
	Tool        string          `json:"tool"`
	KerfMM      float64         `json:"kerf_mm"` // believed; taken off slots and pockets, not off squares
	SkinMM      float64         `json:"skin_mm"` // under a cutter's grooves
	Settings    []SettingReport `json:"settings"`
	Squares     []SquareReport  `json:"squares"`
	Slots       []SlotReport    `json:"slots"`
	Trials      []TrialReport   `json:"trials"`
}

// SettingReport is what one group of squares is cut with.
type SettingReport struct {
	Letter       string  `json:"letter"`
	FeedMMPerMin float64 `json:"feed_mm_per_min"`
	PowerPercent float64 `json:"power_percent"`
	Passes       float64 `json:"passes"`
	StepdownMM   float64 `json:"stepdown_mm"`
}

// SquareReport is one square: x_mm and y_mm are the lower-left corner of its
// nominal line.
type SquareReport struct {
	Label   string  `json:"label"`
	SizeMM  float64 `json:"size_mm"`
	XMM     float64 `json:"x_mm"`
	YMM     float64 `json:"y_mm"`
	Setting string  `json:"setting"`
}

// SlotReport is one slot of the comb.
type SlotReport struct {
	Label   string   `json:"label"`
	WidthMM float64  `json:"width_mm"`
	Fits    []string `json:"fits"`
}

// TrialReport is one pocket of the fit strip; depth_mm is 0 for through.
type TrialReport struct {
	Label    string   `json:"label"`
	Pieces   []string `json:"pieces"`
	XMM      float64  `json:"x_mm"` // of its box's lower-left corner
	YMM      float64  `json:"y_mm"`
	LengthMM float64  `json:"length_mm"`
	WidthMM  float64  `json:"width_mm"`
	DepthMM  float64  `json:"depth_mm"`
	Shape    string   `json:"shape"`
	Proud    bool     `json:"proud"`
}

// Report describes the coupon for another program. Empty lists are [], never null.
func (c *Coupon) Report() CouponReport {
	r := CouponReport{
		Foam: c.Foam.ID, ThicknessMM: c.Spec.Thickness.MM(), Tool: c.Tool.ID, KerfMM: c.Recipe.KerfMM.Value, SkinMM: c.SkinMM(),
		Settings: []SettingReport{}, Squares: []SquareReport{}, Slots: []SlotReport{}, Trials: []TrialReport{},
	}
	for _, s := range c.Groups {
		r.Settings = append(r.Settings, SettingReport{s.Letter, s.Recipe.FeedMMPerMin.Value, s.Recipe.PowerPercent.Value, s.Recipe.Passes.Value, s.Recipe.StepdownMM.Value})
	}
	for _, s := range c.Squares {
		r.Squares = append(r.Squares, SquareReport{s.Label, s.Size.MM(), s.At.X, s.At.Y, c.Groups[s.Group].Letter})
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
