package kerf

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/profiles"
)

// Wanted is a foam whose kerf is to be read from kerf against density.
type Wanted struct {
	Foam        string
	DensityKgM3 float64 // as weighed; 0 for its profile's
	Beyond      bool    // let it lie beyond what was measured
}

// Prediction is a kerf that was read from a curve, and the profile that says so.
type Prediction struct {
	Report PredictReport
	File   ProfileFile
}

// Predict reads the kerf of a foam from the curve of its kind: a recipe of that
// foam, from the one in force, with the curve's kerf in it. Nil where a finding
// is an error. Date is when, or "".
func Predict(fits []Fit, w Wanted, c *profiles.Catalog, date string) (*Prediction, finding.List) {
	refuse := func(rule, message, hint string) (*Prediction, finding.List) {
		return nil, finding.List{{Rule: rule, Where: "--for " + w.Foam, Message: message, Hint: hint}}
	}
	foam, unknown := c.FindFoam(w.Foam, "--for")
	if unknown != nil {
		return nil, unknown
	}
	if w.DensityKgM3 == 0 {
		w.DensityKgM3 = foam.DensityKgM3.Value
	}
	var fitting []*Curve
	for _, curve := range Curves(fits) {
		if curve.Kind == foam.Kind {
			fitting = append(fitting, curve)
		}
	}
	if len(fitting) != 1 {
		return refuse("no-curve", fmt.Sprintf("%d curves of kerf against density fit %s, of kind %s", len(fitting), foam.ID, foam.Kind),
			"measure two densities or more of its kind, at one thickness and setting, with one tool, in one file; a kerf is never carried across kinds")
	}
	curve := fitting[0]
	r, ok := c.Recipe(foam.ID, curve.Machine, curve.Tool)
	if !ok {
		return refuse("no-recipe", fmt.Sprintf("there is no recipe for %s on %s with %s to begin from", foam.ID, curve.Machine, curve.Tool), "write its recipe into a folder of profiles first")
	}
	e, ok := curve.At(w.DensityKgM3, w.Beyond)
	least, greatest := curve.Range()
	message := fmt.Sprintf("%.4g kg/m3 is beyond what was measured, %.4g to %.4g kg/m3", w.DensityKgM3, least, greatest)
	if !ok {
		return refuse("beyond-measured", message, "measure a coupon of it; or add --beyond, and the cut sheet will say so")
	}
	p := &Prediction{PredictReport{foam.ID, w.DensityKgM3, e, !curve.holds(w.DensityKgM3)}, curve.profile(r, w.DensityKgM3, e, date)}
	if !p.Report.Beyond {
		return p, nil
	}
	return p, finding.List{{Severity: finding.Warning, Rule: "beyond-measured", Where: "--for " + foam.ID, Message: message, Hint: "the cut sheet says so; measure a coupon of it"}}
}

// profile is a recipe with a kerf of the curve in it.
func (c *Curve) profile(r profiles.Recipe, density float64, e Estimate, date string) ProfileFile {
	source := c.source(density, e, date)
	kerf, off := recipeKerf(e)
	r.Source = "kerf " + cut(source, 300) + "; else " + settingsSource(r.Source)
	r.KerfMM, r.KerfIntervalMM = profiles.Number{Value: kerf, Source: source}, profiles.Number{Value: off, Source: source}
	r.Tested = nil // of its density no current was tested
	r.MeasuredIn = profiles.KerfsIn{{ThicknessMM: c.Thickness.MM(), KerfMM: kerf, IntervalMM: off}}
	return recipeFile(r)
}

// source is where an interpolated kerf comes from.
func (c *Curve) source(density float64, e Estimate, date string) string {
	step := worthMM(e.HalfWidth)
	how := "interpolated between"
	if !c.holds(density) {
		how = "BEYOND WHAT WAS MEASURED, held at the nearest of"
	}
	text := fmt.Sprintf("%s measured kerfs of %s at", how, c)
	for i, n := range c.Nodes {
		if i > 0 {
			text += ","
		}
		text += fmt.Sprintf(" %.4g", n.DensityKgM3)
	}
	text += fmt.Sprintf(" kg/m3: %s ± %s mm (95 %%) at %.4g kg/m3", plainNumber(roundTo(e.Value, step)), plainNumber(roundTo(e.HalfWidth, step)), density)
	if date != "" {
		text += ", " + date
	}
	return cut(text, 700)
}
