package process

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/profiles"
)

// What is known of a wire in numbers. Formulas of facts I, derived to first order.

// expansionPerK is how much longer nichrome gets, hot (from memory; 13.4e-6 from 20 to 100 C,
// after a page of an alloy maker).
const expansionPerK = 14e-6

// StretchMM is how much longer a wire of that length is when it is so much hotter.
func StretchMM(lengthMM, hotterK float64) float64 { return lengthMM * expansionPerK * hotterK }

// SagMM is how far the middle of a wire hangs or is pushed aside between fixed ends when it has
// grown by so much and no spring takes that up.
func SagMM(lengthMM, grownMM float64) float64 { return math.Sqrt(3 * lengthMM * grownMM / 8) }

// LagMM is how far the middle of a wire is behind its ends in foam that fills a height of it, in
// the middle between them, and holds each metre of it back with so many N: q h (2 L - h) / (8 T).
func LagMM(lengthMM, foamMM, dragNPerM, tensionN float64) float64 {
	foam := math.Min(foamMM, lengthMM)
	return dragNPerM / 1000 * foam * (2*lengthMM - foam) / (8 * tensionN)
}

// How many kerfs the middle of a wire may be behind its ends: beyond farKerfs its corners are rounder than the cut is wide, and
// beyond mostKerfs it closes no contour there, and the plug hangs (common practice, no source).
const (
	farKerfs  = 1
	mostKerfs = 3
)

// CheckLag tells of a wire that lags far behind its ends in foam so thick, and refuses one that lags farther. Where nobody has
// said its length, its tension and its drag, nobody can say how far.
func CheckLag(r profiles.Recipe, t profiles.Tool, foamMM float64, m profiles.Machine) finding.List {
	length, tension, drag, kerf := t.LengthMM.Value, t.TensionN.Value, t.DragNPerM.Value, r.KerfMM.Value
	if !m.Process.Traits().Wire || !(length > 0 && tension > 0 && drag > 0 && kerf > 0 && foamMM > 0) {
		return nil
	}
	lag := LagMM(length, foamMM, drag, tension)
	if lag <= farKerfs*kerf {
		return nil
	}
	f := finding.Finding{
		Rule: "wire-lags", Where: fmt.Sprintf("recipe for %s with %s", r.Foam, r.Tool),
		Message: fmt.Sprintf("in %.4g mm of foam the middle of the wire goes about %.2g mm behind its ends, with %.3g N in it and a drag of %.3g N a metre: more than its kerf of %.3g mm, so that it cuts corners as much rounder there, and does not come to their ends",
			foamMM, lag, tension, drag, kerf),
		Hint: fmt.Sprintf("draw it with %.3g N or more, if it bears that, and write so into tension_n; take thinner foam; or measure drag_n_per_m, which is less at a lower feed", math.Ceil(tension*lag/(farKerfs*kerf)*10)/10),
	}
	if lag <= mostKerfs*kerf {
		f.Severity = finding.Warning
	}
	return finding.List{f}
}

// SlowdownS is how much longer than at its feed a machine takes for a corner that it goes through
// at another speed, in s; speeds in mm/s, acceleration in mm/s2.
func SlowdownS(speed, through, acceleration float64) float64 {
	return (speed - through) * (speed - through) / (acceleration * speed)
}

// CornerMM is how much farther than half its kerf a wire melts around a place where it turns back
// or stops: the foam that it takes in the time of slowing down, laid around half a turn.
func CornerMM(speed, acceleration float64) float64 {
	return 2 * speed * speed / (math.Pi * acceleration)
}

// mostCornerMM is how much that may be (judged, no source: less than half of what a caliper tells
// of foam).
const mostCornerMM = 0.1

// MostFeed is the feed, mm/min, at which that is reached.
func MostFeed(acceleration float64) float64 {
	return 60 * math.Sqrt(math.Pi*acceleration*mostCornerMM/2)
}

// cornersAt refuses a feed from which the machine slows down so long at slits and corners that the
// wire melts them wider. Slower into them is no remedy: the kerf follows the feed.
func cornersAt(feed float64, m profiles.Machine) error {
	most := MostFeed(m.AccelerationMMPerS2.Value)
	if feed <= most {
		return nil
	}
	return noPath(plan.OutlineName, fmt.Sprintf("at %.0f mm/min the machine, which gains %.0f mm/s2, stands so long where slits begin and at corners that the wire melts them %.2f mm wider a side",
		feed, m.AccelerationMMPerS2.Value, CornerMM(feed/60, m.AccelerationMMPerS2.Value)),
		fmt.Sprintf("set feed_mm_per_min to %.0f or less, and measure the kerf at that feed", math.Floor(most)))
}
