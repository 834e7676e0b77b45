package kerf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Ladder is the fits of one foam, machine, tool and thickness that differ in one
// setting alone, by that setting.
type Ladder struct {
	Foam, Machine, Tool string
	Thickness           units.Length
	Rung                string // feed, power, passes, step-down or focus
	Unit                string // of the rung's values, or ""
	Steps               []Step

	rung   rung
	at     string // its other settings, which all its steps have
	trends []trend
	melts  bool // of a wire
	unit   units.Unit
}

// Step is a rung.
type Step struct {
	Value  float64
	KerfMM Estimate
	Fit    int // index among the fits
}

// Ladders are those that the fits make, of at least two rungs.
func Ladders(fits []Fit) []Ladder {
	var list []Ladder
	for _, r := range rungs {
		list = append(list, laddersOf(fits, r)...)
	}
	return list
}

func laddersOf(fits []Fit, r rung) []Ladder {
	var list []Ladder
	at := map[Subject]int{}
	for i, f := range fits {
		s := f.Subject
		rest, value := r.without(s.Setting)
		if value == 0 && r.recipe != nil {
			continue // not said; no focus is out by 0
		}
		s.Setting = rest
		n, ok := at[s]
		if !ok {
			n = len(list)
			at[s] = n
			list = append(list, Ladder{Foam: s.Foam, Machine: s.Machine, Tool: s.Tool, Thickness: s.Thickness, Rung: r.name, Unit: r.unit, at: rest.String(), trends: wayOf(f.Machine).trends, rung: r, melts: wayOf(f.Machine).melts, unit: f.Unit})
		}
		list[n].Steps = append(list[n].Steps, Step{value, f.KerfMM, i})
	}
	list = slices.DeleteFunc(list, func(l Ladder) bool { return len(l.Steps) < 2 })
	for _, l := range list {
		slices.SortStableFunc(l.Steps, func(a, b Step) int { return cmp.Compare(a.Value, b.Value) })
	}
	return list
}

// Expected says which way the kerf should go, and how well that is known; "" where
// nothing is.
func (l Ladder) Expected() string {
	t, _ := l.trend()
	return t.known
}

// trend is what is known of the rung; false where nothing is.
func (l Ladder) trend() (trend, bool) {
	i := slices.IndexFunc(l.trends, func(t trend) bool { return t.rung == l.Rung })
	if i < 0 {
		return trend{}, false
	}
	return l.trends[i], true
}

// String names the ladder for a person.
func (l Ladder) String() string {
	at := ""
	if l.at != "" {
		at = l.at + ", "
	}
	return fmt.Sprintf("%s, %s, on %s with %s, %sladder of %s", l.Foam, l.Thickness.Format(l.unit), l.Machine, l.Tool, at, l.Rung)
}

// Advice compares ladders with what is known of the process, and names the rung
// that takes the least foam away.
func Advice(file string, ladders []Ladder) finding.List {
	var found finding.List
	for _, l := range ladders {
		if t, ok := l.trend(); ok {
			found = append(found, l.against(t, file)...)
		}
		found = append(found, l.judgeSpeeds(file)...)
		least := slices.MinFunc(l.Steps, func(a, b Step) int { return cmp.Compare(a.KerfMM.Value, b.KerfMM.Value) })
		found = append(found, finding.Finding{
			Severity: finding.Note, Rule: "least-kerf", Where: file + ": " + l.String(),
			Message: fmt.Sprintf("the least kerf, %s, is at %s (step %d)", thin(least.KerfMM.Value, l.unit), l.rung.text(least.Value), least.Fit+1),
			Hint:    "take it only if its squares fell out by themselves: a rung whose squares had to be pressed out has not cut through",
		})
	}
	return found
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
				Message: fmt.Sprintf("from %s to %s the kerf goes from %s to %s, the other way than expected", l.rung.text(a.Value), l.rung.text(b.Value), thin(a.KerfMM.Value, l.unit), thin(b.KerfMM.Value, l.unit)),
				Hint:    t.known + "; look whether rows were exchanged, whether the lens was clean and the foam lay flat",
			}}
		}
	}
	return nil
}
