package kerf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Ladder is the fits of one foam, machine, tool and thickness that differ in one
// setting alone, by that setting.
type Ladder struct {
	Foam, Machine, Tool string
	Process             profiles.Process
	Thickness           units.Length
	Rung                string // feed, power, passes, step-down or focus
	Unit                string // of the rung's values, or ""
	Steps               []Step
}

// Step is a rung.
type Step struct {
	Value  float64
	KerfMM Estimate
	Fit    int // index among the fits
}

// rung is one thing that a ladder may change.
type rung struct {
	name, unit string
	value      func(*Setting) *float64
}

var rungs = []rung{
	{"feed", "mm/min", func(s *Setting) *float64 { return &s.FeedMMPerMin }},
	{"power", "%", func(s *Setting) *float64 { return &s.PowerPercent }},
	{"step-down", "mm", func(s *Setting) *float64 { return &s.StepdownMM }},
	{"focus", "mm out", func(s *Setting) *float64 { return &s.DefocusMM }},
}

// others is a setting without a rung, whose value is returned; passes count as
// a number here.
func (r rung) others(s Setting) (Setting, float64) {
	v := *r.value(&s)
	*r.value(&s) = 0
	return s, v
}

// Ladders are those that the fits make, of at least two rungs.
func Ladders(fits []Fit) []Ladder {
	var list []Ladder
	for _, r := range rungs {
		list = append(list, laddersOf(fits, r.name, r.unit, r.others)...)
	}
	return append(list, laddersOf(fits, "passes", "", func(s Setting) (Setting, float64) {
		n := s.Passes
		s.Passes = 0
		return s, float64(n)
	})...)
}

func laddersOf(fits []Fit, name, unit string, split func(Setting) (Setting, float64)) []Ladder {
	var list []Ladder
	at := map[Subject]int{}
	for i, f := range fits {
		s := f.Subject
		rest, value := split(s.Setting)
		if value == 0 && name != "focus" {
			continue
		}
		s.Setting = rest
		n, ok := at[s]
		if !ok {
			n = len(list)
			at[s] = n
			list = append(list, Ladder{Foam: s.Foam, Machine: s.Machine, Tool: s.Tool, Process: f.Machine.Process, Thickness: s.Thickness, Rung: name, Unit: unit})
		}
		list[n].Steps = append(list[n].Steps, Step{value, f.KerfMM, i})
	}
	list = slices.DeleteFunc(list, func(l Ladder) bool { return len(l.Steps) < 2 })
	for _, l := range list {
		slices.SortStableFunc(l.Steps, func(a, b Step) int { return cmp.Compare(a.Value, b.Value) })
	}
	return list
}

// trend is which way the kerf goes as a rung rises, and how well that is known.
type trend struct {
	process profiles.Process
	rung    string
	sign    float64 // +1 rises, -1 falls
	known   string
}

// Trends. Measured on solid plastics or derived, none of them on soft foam.
var trends = []trend{
	{profiles.Laser, "feed", -1, "kerf falls with speed: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
	{profiles.Laser, "power", +1, "kerf rises with power: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
	{profiles.Laser, "focus", +1, "kerf rises as the focus goes off: measured on solid PMMA (a Box-Behnken study, its abstract), a trend only"},
	{profiles.HotWire, "feed", -1, "kerf falls with speed: an energy balance, derived to first order, w ~ P/(rho v)"},
	{profiles.HotWire, "power", +1, "kerf rises with power: an energy balance, derived to first order, w ~ P/(rho v)"},
}

// String names the ladder for a person.
func (l Ladder) String() string {
	return fmt.Sprintf("%s, %s, on %s with %s, ladder of %s", l.Foam, l.Thickness, l.Machine, l.Tool, l.Rung)
}

// Advice compares ladders with what is known of the process, and names the rung
// that takes the least foam away.
func Advice(file string, ladders []Ladder) finding.List {
	var found finding.List
	for _, l := range ladders {
		for _, t := range trends {
			if t.process == l.Process && t.rung == l.Rung {
				found = append(found, l.against(t, file)...)
			}
		}
		least := slices.MinFunc(l.Steps, func(a, b Step) int { return cmp.Compare(a.KerfMM.Value, b.KerfMM.Value) })
		found = append(found, finding.Finding{
			Severity: finding.Note, Rule: "least-kerf", Where: file + ": " + l.String(),
			Message: fmt.Sprintf("the least kerf, %.3f mm, is at %s (step %d)", least.KerfMM.Value, l.rungText(least.Value), least.Fit+1),
			Hint:    "take it only if its squares fell out by themselves: a rung whose squares had to be pressed out has not cut through",
		})
	}
	return found
}

func (l Ladder) rungText(value float64) string {
	if l.Unit == "" {
		return fmt.Sprintf("%g %s", value, l.Rung)
	}
	return fmt.Sprintf("%s %g %s", l.Rung, value, l.Unit)
}

// against finds neighbouring rungs that go against a trend by more than their
// intervals.
func (l Ladder) against(t trend, file string) finding.List {
	for i := 1; i < len(l.Steps); i++ {
		a, b := l.Steps[i-1], l.Steps[i]
		rise := b.KerfMM.Value - a.KerfMM.Value
		if rise*t.sign < 0 && math.Abs(rise) > math.Hypot(a.KerfMM.HalfWidth, b.KerfMM.HalfWidth) {
			return finding.List{{
				Severity: finding.Warning, Rule: "against-the-trend", Where: file + ": " + l.String(),
				Message: fmt.Sprintf("from %s to %s the kerf goes from %.3f to %.3f mm, the other way than expected", l.rungText(a.Value), l.rungText(b.Value), a.KerfMM.Value, b.KerfMM.Value),
				Hint:    t.known + "; look whether rows were exchanged, whether the lens was clean and the foam lay flat",
			}}
		}
	}
	return nil
}
