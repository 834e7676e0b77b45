// Package kerf is the loop that finds out what a tool removes: coupon out,
// measurements in, kerf out.
//
//	foam, machine, tool -> coupon: squares cut on their nominal line, nothing taken
//	    off, laid out as a job of one tray (coupon_*.go), with a table to fill in
//	filled-in table -> readings (read_*.go), each held against what can be
//	readings -> kerf, scale, taper and their intervals, kerf against density
//	    (fit_*.go), looked at as a whole (judge_*.go)
//	fits -> a profile that `cut` uses (save_*.go), a report (report.go)
//
// A tool that removes a width k, run on the line of a square whose side is
// programmed as s, leaves a hole of scale * s + k and a piece of scale * s - k:
// the whole width on each, half of it on each side. So k is the kerf as recipes
// have it, and the holes and pieces of several sizes tell it apart from the
// machine's scale error.
//
// A coupon is a job, so every check of a job is a check of a coupon as well.
package kerf

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Axis is the direction that a square was measured along.
type Axis string

const (
	axisX Axis = "x"
	axisY Axis = "y"
)

// Face is the side of the foam that a square was measured on.
type Face string

const (
	AnyFace Face = "" // not said: the top, or a wall that is taken for upright
	Top     Face = "top"
	Bottom  Face = "bottom"
)

// Measure is one length read from a caliper. The zero Measure was not read.
type Measure struct {
	Length units.Length
	Step   units.Length // of the last digit that was written; 0 for a fraction
	At     finding.Position
}

// given reports whether there is a reading.
func (m Measure) given() bool { return m.At.Line > 0 }

// Setting is what a ladder changes; 0 is not said, and what the recipe has.
type Setting struct {
	FeedMMPerMin float64 `json:"feed_mm_per_min,omitempty"`
	PowerPercent float64 `json:"power_percent,omitempty"`
	Passes       int     `json:"passes,omitempty"`
	StepdownMM   float64 `json:"stepdown_mm,omitempty"`
	CurrentA     float64 `json:"current_a,omitempty"`  // of a hot wire
	DefocusMM    float64 `json:"defocus_mm,omitempty"` // how far the focus was out, either way
}

// String is the setting for a person: "900 mm/min, 45 %"; "" for the recipe's own.
func (s Setting) String() string {
	var parts []string
	say := func(format string, value float64) {
		if value != 0 {
			parts = append(parts, fmt.Sprintf(format, value))
		}
	}
	say("%g mm/min", s.FeedMMPerMin)
	say("%g %%", s.PowerPercent)
	say("%g A", s.CurrentA)
	switch s.Passes {
	case 0:
	case 1:
		parts = append(parts, "1 pass")
	default:
		parts = append(parts, fmt.Sprintf("%d passes", s.Passes))
	}
	say("step-down %g mm", s.StepdownMM)
	say("%g mm out of focus", s.DefocusMM)
	return strings.Join(parts, ", ")
}

// Subject is what was cut, with what, and how: readings of one subject belong
// to one kerf.
type Subject struct {
	Foam, Machine, Tool string
	Thickness           units.Length
	DensityKgM3         float64 // as weighed; 0 is not said
	Setting             Setting
}

// String names the subject for a person.
func (s Subject) String() string { return s.In(units.Millimetre) }

// In is a subject in words, with its thickness in a unit.
func (s Subject) In(u units.Unit) string {
	text := fmt.Sprintf("%s, %s, on %s", s.Foam, s.Thickness.Format(u), s.Machine)
	if s.Tool != "" {
		text += " with " + s.Tool
	}
	if s.DensityKgM3 != 0 {
		text += fmt.Sprintf(", %.4g kg/m3", s.DensityKgM3)
	}
	if setting := s.Setting.String(); setting != "" {
		text += ", " + setting
	}
	return text
}

// Reading is one row: one square along one axis.
type Reading struct {
	Subject
	At         finding.Position
	Axis       Axis
	Face       Face
	Size       units.Length // as programmed
	Hole, Plug Measure
	Date, Note string
}

// Readings is a filled-in table.
type Readings struct {
	File string
	Rows []Reading // in the file's order; those without hole and plug as well
	// InForce is the scale along X and Y that the coupon's program was corrected for; 0 where
	// the file does not say, and then it is the machine's of the profiles.
	InForce [2]float64
	Note    string     // of the whole table
	Bare    units.Unit // of numbers without one
}

// thin is a kerf, or what a reading is off, in the table's unit.
func thin(mm float64, u units.Unit) string { return fmt.Sprintf("%.3f %s", mm/u.MM(), u) }

// off is how far a reading is off, with its sign.
func off(mm float64, u units.Unit) string { return fmt.Sprintf("%+.3f %s", mm/u.MM(), u) }

// wide is a size in the table's unit.
func wide(mm float64, u units.Unit) string {
	if u == units.Inch {
		return fmt.Sprintf("%g in", roundTo(mm/units.InchMM, 1e-3))
	}
	return fmt.Sprintf("%.4g mm", mm)
}

// In is an estimate with its interval, to a thousandth of the unit wherever it stands.
func (e Estimate) In(u units.Unit) string {
	if math.IsInf(e.HalfWidth, 0) {
		return fmt.Sprintf("%.3f %s, no interval", e.Value/u.MM(), u)
	}
	half := e.HalfWidth / u.MM()
	if u == units.Inch {
		half = math.Ceil(half*1000-1e-9) / 1000 // never as good as nothing
	}
	return fmt.Sprintf("%.3f ± %.3f %s", e.Value/u.MM(), half, u)
}
