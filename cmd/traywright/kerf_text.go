package main

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/geometry/units"
)

// show prints the report: alone with --json, else tables and findings.
func (r *kerfRun) show() error {
	if r.c.Bool(jsonFlag.Name) {
		text, err := finding.JSON(r.Report)
		if err != nil {
			return err
		}
		if _, err := r.out.Write(text); err != nil {
			return err
		}
	} else {
		if !r.quiet {
			if err := r.tables(); err != nil {
				return err
			}
		}
		r.print(r.Report.Findings)
		r.next()
	}
	return refusal(r.Report.Findings)
}

// kerfWriter prints a report as tables.
type kerfWriter struct {
	*columns
	unit units.Unit
}

func (r *kerfRun) tables() error {
	w := kerfWriter{r.columns(2), r.unit}
	for i, f := range r.Fits {
		w.fit(i+1, f, r.Report.Fits[i])
	}
	for _, p := range r.Checks {
		w.check(p)
	}
	for _, s := range r.Report.Scales {
		w.scale(s)
	}
	for _, c := range kerf.Curves(r.Fits) {
		w.curve(c)
	}
	for i, b := range r.Report.Blocks {
		if i == 0 {
			fmt.Fprintln(w, "BLOCK\tFOAM\tDENSITY (ISO 845)")
		}
		fmt.Fprintf(w, "line %d\t%s\t%.2f ± %.2f kg/m3\n", b.Line, b.Foam, b.DensityKgM3.Value, b.DensityKgM3.HalfWidth)
	}
	if p := r.Report.Predicted; p != nil {
		fmt.Fprintf(w, "%s at %.4g kg/m3: kerf %s\n", p.Foam, p.DensityKgM3, p.KerfMM.In(w.unit))
	}
	return w.Flush()
}

func (w kerfWriter) fit(number int, f kerf.Fit, report kerf.FitReport) {
	fmt.Fprintf(w, "%d: %s\n", number, f.In(w.unit))
	fmt.Fprintln(w, "AXIS\tSCALE\tKERF\tSCATTER\tREADINGS")
	for _, a := range f.Axes {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%d\n", a.Axis, ratio(a.Scale), a.KerfMM.In(w.unit), w.plain(a.DeviationMM), len(a.Points))
	}
	fmt.Fprintln(w, "\nLINE\tAXIS\tSQUARE\tREAD\tOFF ITS LINE\t")
	for _, a := range f.Axes {
		for _, p := range a.Points {
			mark := ""
			if p.Outlier {
				mark = "outlier"
			}
			fmt.Fprintf(w, "%d\t%s\t%s %s\t%s\t%s\t%s\n", p.Line, a.Axis, page.Length(p.SizeMM, w.unit), strings.TrimSpace(string(p.Part)+" "+string(p.Face)),
				w.plain(p.ReadMM), w.signed(p.ResidualMM), mark)
		}
	}
	fmt.Fprintf(w, "\nkerf %s: 95 %% by Student's t, %d readings, %d degrees of freedom", f.KerfMM.In(w.unit), f.Readings(), f.DOF)
	if f.RoundingMM >= 0.001 {
		fmt.Fprintf(w, ", ± %s for their last digit", w.plain(f.RoundingMM))
	}
	if report.BeforeMM != 0 {
		fmt.Fprintf(w, "; the recipe in force has %s", w.plain(report.BeforeMM))
	}
	fmt.Fprintln(w)
	if p := report.Pooled; len(p.RestsOn) > 1 && !p.Apart {
		fmt.Fprintf(w, "kerf %s by %d coupons: 95 %%, %.1f degrees of freedom (Welch and Satterthwaite); --save keeps this one\n", p.KerfMM.In(w.unit), len(p.RestsOn), p.DOF)
		fmt.Fprintln(w, "COUPON\tKERF")
		for _, r := range p.RestsOn {
			fmt.Fprintf(w, "%s\t%s\n", r.Coupon, kerf.OfCoupon(r).In(w.unit))
		}
	}
	if f.TopMM != nil {
		fmt.Fprintf(w, "top %s, bottom %s: each wall leans %.2f ± %.2f degrees, atan((top - bottom) / (2 thickness))\n",
			f.TopMM.In(w.unit), f.BottomMM.In(w.unit), f.TaperDegrees.Value, f.TaperDegrees.HalfWidth)
	}
	fmt.Fprintln(w)
}

// check is cut pockets against the kerf in force.
func (w kerfWriter) check(p kerf.PocketCheck) {
	fmt.Fprintln(w, p.In(w.unit))
	fmt.Fprintln(w, "LINE\tAXIS\tPOCKET\tREAD\tWIDER BY\t")
	for _, a := range p.Axes {
		for _, at := range a.Points {
			mark := ""
			if at.Outlier {
				mark = "outlier"
			}
			fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\t%s\n", at.Line, a.Axis, page.Length(at.SizeMM, w.unit), w.plain(at.ReadMM), w.signed(at.ReadMM-at.SizeMM), mark)
		}
		fmt.Fprintf(w, "\t%s\t\tmean\t%s\t\n", a.Axis, a.OffMM.In(w.unit))
	}
	fmt.Fprintf(w, "\nwider by %s: 95 %% by Student's t, %d degrees of freedom; with the kerf's own interval it may be up to %s\n\n", p.OffMM.In(w.unit), p.DOF, w.plain(p.MayMM))
}

// ratio is a scale with its half-width.
func ratio(e kerf.Estimate) string {
	if math.IsInf(e.HalfWidth, 0) {
		return fmt.Sprintf("%.5f, no interval", e.Value)
	}
	return fmt.Sprintf("%.5f ± %.5f", e.Value, e.HalfWidth)
}

func (w kerfWriter) plain(mm float64) string {
	if math.IsInf(mm, 0) || math.IsNaN(mm) {
		return "-"
	}
	if w.unit == units.Inch {
		return fmt.Sprintf("%.3f in", mm/units.InchMM)
	}
	return fmt.Sprintf("%.3f mm", mm)
}

func (w kerfWriter) signed(mm float64) string {
	text := w.plain(mm)
	switch {
	case strings.Trim(text, "-0. min") == "":
		return strings.TrimPrefix(text, "-")
	case mm > 0:
		return "+" + text
	}
	return text
}

func (w kerfWriter) scale(s kerf.ScaleReport) {
	text := fmt.Sprintf("%s makes %s of a programmed %s along %s", s.Machine, ratio(s.Measured), w.unit, s.Axis)
	if s.InForce != 1 {
		text += fmt.Sprintf(", over the %.6g in force when the coupon was cut", s.InForce)
	}
	if n := len(s.RestsOn); n > 1 {
		text += fmt.Sprintf("; %s by %d coupons of %s", ratio(s.Pooled), n, finding.Counted(s.Days, "day"))
	}
	switch {
	case s.Applied && s.Next != s.InForce:
		text += fmt.Sprintf(": --save corrects later programs for %.6g", s.Next)
	case s.Next != s.InForce:
		text += ": --save takes the correction back"
	case !s.Significant:
		text += ": 1 is inside, nothing to correct"
	default:
		text += ": too little to correct for"
	}
	fmt.Fprintln(w, text)
}

func (w kerfWriter) curve(c *kerf.Curve) {
	fmt.Fprintf(w, "\nkerf against density, %s\nDENSITY\tKERF\tFOAM\n", c)
	for _, n := range c.Nodes {
		weighed := "as named, not weighed"
		if n.Weighed {
			weighed = "weighed"
		}
		fmt.Fprintf(w, "%.4g kg/m3, %s\t%s\t%s\n", n.DensityKgM3, weighed, n.KerfMM.In(w.unit), n.Foam)
	}
}

// next says what to do now.
func (r *kerfRun) next() {
	if r.Report.Findings.Failed() || len(r.Fits) == 0 {
		return
	}
	saved := ""
	for _, f := range r.Report.Files {
		if f.Kind == "profile" {
			r.say("wrote %s", f.Path)
			saved = r.c.String(saveFlag.Name)
		}
	}
	if saved != "" {
		r.say("next: traywright cut JOB --profiles %s --out DIR; cut another coupon when the foam, the tool or the setting changes", asTyped(saved))
		return
	}
	if dir := asTyped(r.c.String(profilesFlag.Name)); dir != "" {
		r.say("next: traywright kerf %s --profiles %s --save %s writes the recipe; traywright cut JOB --profiles %s uses it", asTyped(r.Report.File), dir, dir, dir)
		return
	}
	r.say("next: traywright kerf %s --save DIR writes the recipe; traywright cut JOB --profiles DIR uses it", asTyped(r.Report.File))
}
