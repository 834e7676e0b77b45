package kerf

import (
	"fmt"
	"math"

	"traywright/cam/finding"
)

// speedLaw is a wire's kerf by its feed at one current: k0 + b / feed. A moving line of heat melts a
// width that goes with one over its speed exactly; the wire's own width is what is left (derived to
// first order, a fit and no law of nature). It holds between the feeds that were measured, and never
// beyond: faster the wire pushes and bows, slower the foam flows.
type speedLaw struct {
	K0MM, B     float64 // B in mm times mm/min
	Least, Most float64 // feeds, mm/min
	WorstMM     float64 // the farthest that a measured kerf is off it
	WorstAt     float64 // and at which feed
	Holds       bool    // no kerf is farther off than its own interval
}

// speedLaw fits a ladder of feeds, each weighed by its interval; false with fewer than three.
func (l Ladder) speedLaw() (speedLaw, bool) {
	if !l.melts || l.rung.key != "feed" || len(l.Steps) < 3 {
		return speedLaw{}, false
	}
	var w, wx, wy, wxx, wxy float64
	for _, s := range l.Steps {
		if math.IsInf(s.KerfMM.HalfWidth, 1) || !(s.Value > 0) {
			return speedLaw{}, false
		}
		weight, x := 1/square(math.Max(s.KerfMM.HalfWidth, 1e-6)), 1/s.Value
		w, wx, wy, wxx, wxy = w+weight, wx+weight*x, wy+weight*s.KerfMM.Value, wxx+weight*x*x, wxy+weight*x*s.KerfMM.Value
	}
	law := speedLaw{Holds: true, Least: l.Steps[0].Value, Most: l.Steps[len(l.Steps)-1].Value}
	law.B = (w*wxy - wx*wy) / (w*wxx - wx*wx)
	law.K0MM = (wy - law.B*wx) / w
	for _, s := range l.Steps {
		off := math.Abs(law.k(s.Value) - s.KerfMM.Value)
		law.Holds = law.Holds && off <= s.KerfMM.HalfWidth
		if off > law.WorstMM {
			law.WorstMM, law.WorstAt = off, s.Value
		}
	}
	return law, true
}

func (s speedLaw) k(feed float64) float64 { return s.K0MM + s.B/feed }

// At is the kerf at a feed; false beyond what was measured, and where the law does not hold.
func (s speedLaw) At(feed float64) (kerfMM float64, ok bool) {
	if !s.Holds || feed < s.Least || feed > s.Most {
		return 0, false
	}
	return s.k(feed), true
}

// judgeSpeeds says whether a wire's kerf follows its speed as it should.
func (l Ladder) judgeSpeeds(file string) finding.List {
	law, ok := l.speedLaw()
	if !ok {
		return nil
	}
	f := finding.Finding{Severity: finding.Note, Rule: "speed-law", Where: file + ": " + l.String()}
	if !law.Holds {
		f.Severity = finding.Warning
		f.Message = fmt.Sprintf("at %.4g mm/min the kerf is %.3f mm off k0 + b / feed, farther than its interval: between these feeds nobody can say it", law.WorstAt, law.WorstMM)
		f.Hint = "cut at a feed that was measured, with its own kerf; look whether the current stayed, and whether the wire bowed at the fastest"
		return finding.List{f}
	}
	middle := math.Round((law.Least + law.Most) / 2)
	kerf, _ := law.At(middle)
	f.Message = fmt.Sprintf("the kerf is %.3f mm + %.4g mm x mm/min / feed from %.4g to %.4g mm/min at this current, within the intervals of all %d: %.3f mm at %.4g mm/min", law.K0MM, law.B, law.Least, law.Most, len(l.Steps), kerf, middle)
	f.Hint = "between these feeds write that kerf_mm with its feed; beyond them it is not known: cut another ladder"
	return finding.List{f}
}
