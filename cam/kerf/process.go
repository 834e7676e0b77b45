package kerf

import (
	"fmt"
	"slices"

	"traywright/cam/plan"
	"traywright/profiles"
)

// way is what a coupon and its readings have to know of a way of cutting.
// Nothing else in this package asks which process a machine has.
type way struct {
	// grooves: a square is a groove as wide as the tool, its plug stands on a skin,
	// and letters are as wide as the tool too. Else the plug falls free.
	grooves bool
	// heats: more heat to a mm than the recipe's may set foam on fire.
	heats bool
	// taper: the two faces may be measured apart. leans: what they say of the wall
	// is the recipe's taper.
	taper, leans bool
	// turns: the kerf is about the tool's own diameter. melts: it is at least that.
	turns, melts bool
	// parts: a blade pushes foam aside, takes none away and may leave no kerf, or less than none where
	// squeezed foam comes back.
	parts  bool
	ladder []string // keys that a ladder may have
	trends []trend
}

// ways of cutting, by process; the zero way for one that has no coupon.
var ways = map[profiles.Process]way{
	profiles.Router: {grooves: true, turns: true, ladder: []string{"feed", "stepdown"}},
	profiles.Laser: {heats: true, taper: true, leans: true, ladder: []string{"feed", "power", "passes"}, trends: []trend{
		{"feed", -1, "kerf falls with speed: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
		{"power", +1, "kerf rises with power: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
		{"focus", +1, "kerf rises as the focus goes off: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
	}},
	profiles.HotWire: {heats: true, leans: true, melts: true, ladder: []string{"feed"}, trends: []trend{
		{"feed", -1, "kerf falls with speed: an energy balance, derived to first order, w ~ P/(rho v)"},
		{"current", +1, "kerf rises with the current: an energy balance, derived to first order, w ~ I2 R/(rho v)"},
	}},
	profiles.Knife: {leans: true, parts: true, ladder: []string{"feed"}},
}

func wayOf(m profiles.Machine) way { return ways[m.Process] }

// grooved reports whether the squares are grooves that a skin holds.
func (c *Coupon) grooved() bool { return wayOf(c.Machine).grooves }

// stops reports whether a cut may end within the foam.
func stops(m plan.Means) bool { return m != nil && !m.WholeLayers() }

// rounds reports whether corners come out as round as the tool.
func rounds(m plan.Means) bool { return m != nil && m.RoundCorners() }

// below is how far below 0 a kerf may lie: by a blade's own thickness, beyond which foam that comes back
// is no reason (judged, no source); no way for all else.
func below(m profiles.Machine, tool string) float64 {
	t, _ := m.Tool(tool)
	if !wayOf(m).parts {
		return 0
	}
	return t.DiameterMM.Value
}

// trend is which way the kerf goes as a rung rises, and how well that is known.
// Measured on solid plastics or derived, none of them on soft foam.
type trend struct {
	rung  string  // its name for a person
	sign  float64 // +1 rises, -1 falls
	known string
}

// rung is one thing that a ladder may change.
type rung struct {
	key    string // of a ladder, and of the table's column
	name   string // for a person
	unit   string // of its values, or ""
	whole  bool
	most   float64                                 // that a coupon's ladder takes; 0 where it takes none
	recipe func(*profiles.Recipe) *profiles.Number // nil where no recipe has it
	value  func(Setting) float64
	set    func(*Setting, float64)
}

var rungs = []rung{
	{key: "feed", name: "feed", unit: "mm/min", most: 100_000,
		recipe: func(r *profiles.Recipe) *profiles.Number { return &r.FeedMMPerMin },
		value:  func(s Setting) float64 { return s.FeedMMPerMin }, set: func(s *Setting, v float64) { s.FeedMMPerMin = v }},
	{key: "power", name: "power", unit: "%", most: 100,
		recipe: func(r *profiles.Recipe) *profiles.Number { return &r.PowerPercent },
		value:  func(s Setting) float64 { return s.PowerPercent }, set: func(s *Setting, v float64) { s.PowerPercent = v }},
	{key: "passes", name: "passes", whole: true, most: 20,
		recipe: func(r *profiles.Recipe) *profiles.Number { return &r.Passes },
		value:  func(s Setting) float64 { return float64(s.Passes) }, set: func(s *Setting, v float64) { s.Passes = int(v) }},
	{key: "stepdown", name: "step-down", unit: "mm", most: 1000,
		recipe: func(r *profiles.Recipe) *profiles.Number { return &r.StepdownMM },
		value:  func(s Setting) float64 { return s.StepdownMM }, set: func(s *Setting, v float64) { s.StepdownMM = v }},
	{key: "current", name: "current", unit: "A",
		recipe: func(r *profiles.Recipe) *profiles.Number { return &r.CurrentA },
		value:  func(s Setting) float64 { return s.CurrentA }, set: func(s *Setting, v float64) { s.CurrentA = v }},
	{key: "defocus", name: "focus", unit: "mm out",
		value: func(s Setting) float64 { return s.DefocusMM }, set: func(s *Setting, v float64) { s.DefocusMM = v }},
}

// ladderKeys are the settings that a coupon's ladder can have.
func ladderKeys() []string {
	var keys []string
	for _, r := range rungs {
		if r.most > 0 {
			keys = append(keys, r.key)
		}
	}
	return keys
}

// rungOf is the rung of a coupon's ladder with that key; the zero rung for none.
func rungOf(key string) rung {
	if i := slices.IndexFunc(rungs, func(r rung) bool { return r.key == key && r.most > 0 }); i >= 0 {
		return rungs[i]
	}
	return rung{}
}

// text is a value of the rung for a person: "feed 900 mm/min", "2 passes".
func (r rung) text(value float64) string {
	if r.unit == "" {
		return fmt.Sprintf("%g %s", value, r.name)
	}
	return fmt.Sprintf("%s %g %s", r.name, value, r.unit)
}

// without is a setting less the rung, whose value is returned.
func (r rung) without(s Setting) (Setting, float64) {
	v := r.value(s)
	r.set(&s, 0)
	return s, v
}
