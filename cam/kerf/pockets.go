package kerf

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// A pocket's finished size has the kerf and the machine's scale taken off, so its hole is
// wider than its size by what the kerf in force is too small. Of a few cut pockets of one
// subject:
//
//  1. their mean deviation d has the interval h = t s/√n, with one spread s about the mean of
//     each axis and Student's t of its degrees of freedom, and what their last digit may put onto all of them (rounding);
//  2. the kerf in force has an interval U of its own: the two held d apart from 0 by no more
//     than √(U² + h²) in 95 of 100 cases, since half-widths of independent numbers add in
//     squares (the E_n number of ISO 13528, from memory). Where U rests on few degrees of
//     freedom that is a little too wide, never too narrow;
//  3. one more such pocket lies within t s √(1 + 1/n) of the mean (Student's prediction interval).

// PocketCheck is what cut pockets of one subject say of the kerf in force.
type PocketCheck struct {
	Subject
	Unit     units.Unit // of the table, in which findings are told
	Machine  profiles.Machine
	Recipe   profiles.Recipe // in force
	KerfMM   Estimate        // in force; its half-width is what was measured or, until then, taken for it
	Axes     []PocketAxis
	OffMM    Estimate // how much too wide the holes are, by these pockets alone
	MayMM    float64  // how much they may be, by both intervals
	NextMM   float64  // half-width of the 95 % interval of one more pocket
	SpreadMM float64  // deviation of a reading
	DOF      int
	Held     bool

	apart bool // the axes do not agree
}

// PocketAxis is one axis of them.
type PocketAxis struct {
	Axis   Axis
	OffMM  Estimate
	Growth Estimate // mm of deviation to a mm of size; no half-width where the sizes cannot tell
	Points []Point
}

// grows reports whether the deviation goes with the size.
func (a PocketAxis) grows() bool { return math.Abs(a.Growth.Value) > a.Growth.HalfWidth }

// leastPocketDOF is what a mean and its spread take: of three readings one is not left over.
const leastPocketDOF = 2

// CheckPockets holds cut pockets against the kerfs in force. Findings say which held, and what
// to change where one did not.
func CheckPockets(r *Readings, c *profiles.Catalog, drop []Drop) ([]PocketCheck, finding.List) {
	rows, found := dropped(r, drop)
	k := checker{file: r.File, unit: r.Bare, catalog: c, told: map[string]bool{}, found: found}
	var good []Reading
	for _, row := range rows {
		before := len(k.found)
		k.whichTool(&row)
		if row.Machine != "" {
			k.names(&row)
		}
		k.impossible(row)
		if !k.found[before:].Failed() && row.Machine != "" {
			good = append(good, row)
		}
	}
	k.steps(good)
	var list []PocketCheck
	for _, group := range bySubject(good) {
		if one := k.pockets(group); one != nil {
			list = append(list, *one)
		}
	}
	if len(list) == 0 && !k.found.Failed() {
		k.say(finding.Error, k.file, "no-readings", "no hole is filled in yet", "measure some cut pockets, and write them into the column hole")
	}
	return list, k.found
}

// whichTool takes the only tool there is; a pocket's size does not tell which of several cut its wall.
func (k *checker) whichTool(row *Reading) {
	m, _ := k.catalog.Machine(row.Machine)
	switch with := k.toolsFor(row.Foam, m); {
	case row.Tool != "" || len(with) == 0:
	case len(with) == 1:
		row.Tool = with[0].ID
	default:
		k.once(row, finding.Finding{Rule: "which-tool", Message: fmt.Sprintf("%s has several tools for %s, and a hole does not tell which of them cut its wall", m.ID, row.Foam), Hint: "add a column `tool`; it has " + toolIDs(m)})
	}
}

// pockets are those of one subject against its recipe; nil where they cannot be held against it.
func (k *checker) pockets(rows []Reading) *PocketCheck {
	p := &PocketCheck{Subject: rows[0].Subject, Unit: k.unit}
	p.Machine, _ = k.catalog.Machine(p.Subject.Machine)
	recipe, known := k.catalog.Recipe(p.Foam, p.Subject.Machine, p.Tool)
	if !known {
		k.say(finding.Error, p.where(k.file, k.unit), "no-recipe", "there is no recipe for this foam on this machine with this tool, so no kerf that could hold", "name the folder of profiles that they were cut with: --profiles DIR")
		return nil
	}
	p.inForce(recipe)
	if i := slices.IndexFunc(rows, func(row Reading) bool { return row.Size.MM() < p.KerfMM.Value }); i >= 0 {
		k.say(finding.Error, rows[i].At.String(), "wrong-units", fmt.Sprintf("a pocket of %s is narrower than one cut, %.4g mm, so none can be: are these inches?", rows[i].Size, p.KerfMM.Value), whichUnits)
		return nil
	}
	if rows = k.atUnderside(rows, p.Recipe); rows == nil {
		return nil
	}
	if samples := samplesOf(rows); !p.fit(samples) {
		k.say(finding.Error, p.where(k.file, k.unit), "too-few", fmt.Sprintf("%d readings say nothing of how they scatter", len(samples)), "measure three pockets or more, each along x and along y: a row for each reading, four in all or more")
		return nil
	}
	k.judgePockets(p)
	return p
}

// inForce takes the kerf that the pockets were to be cut with, at their own feed and current.
func (p *PocketCheck) inForce(r profiles.Recipe) {
	r = r.Through(p.Thickness.MM())
	for _, k := range rungs {
		if v := k.value(p.Setting); k.recipe != nil && v != 0 {
			k.recipe(&r).Value = v
		}
	}
	r, _ = r.AsTested()
	p.Recipe, _ = r.In(p.Thickness.MM(), wayOf(p.Machine).grooves)
	p.KerfMM = Estimate{p.Recipe.KerfMM.Value, p.Recipe.KerfOff().Value}
}

// atUnderside leaves out what was measured where a cut that leans is wider than its kerf.
func (k *checker) atUnderside(rows []Reading, r profiles.Recipe) []Reading {
	var good []Reading
	for _, row := range rows {
		switch {
		case row.Face == AnyFace && r.TaperDegrees.Value > 0:
			k.say(finding.Error, row.At.String(), "which-face", fmt.Sprintf("walls lean %.4g degrees on %s, and this row does not say at which face it was measured", r.TaperDegrees.Value, row.Subject.Machine), "measure at the underside, where the kerf counts, and add a column `face` with bottom")
			return nil
		case row.Face == Top && slices.ContainsFunc(rows, func(o Reading) bool { return o.Face == Bottom }), row.Face == Top && r.TaperDegrees.Value > 0:
			k.say(finding.Note, row.At.String(), "top-face", "left out: the kerf in force is the cut's width at the underside", "")
		default:
			good = append(good, row)
		}
	}
	if good == nil {
		k.say(finding.Error, rows[0].At.String(), "which-face", "all were measured at the top, and the kerf in force is the cut's width at the underside", "measure at the underside too, in rows with face bottom")
	}
	return good
}

// fit finds how far the holes are off; false with too few of them.
func (p *PocketCheck) fit(samples []sample) bool {
	axes := unknownsOf(samples).axes
	counts := make([]float64, len(axes))
	var rows [][]float64
	var off []float64
	for _, s := range samples {
		row := make([]float64, len(axes))
		row[slices.Index(axes, s.row.Axis)] = 1
		counts[slices.Index(axes, s.row.Axis)]++
		rows, off = append(rows, row), append(off, (s.m.Length-s.row.Size).MM())
	}
	f, err := leastSquares(rows, off)
	if err != nil || f.dof < leastPocketDOF {
		return false
	}
	p.DOF, p.SpreadMM = f.dof, math.Max(math.Max(f.deviation, stepDeviation(samples)), leastDeviationMM)
	n, t, digit := float64(len(samples)), studentPoint(f.dof), rounding(samples, f.deviation)
	for i, axis := range axes {
		a := PocketAxis{Axis: axis, OffMM: Estimate{f.coefficients[i], math.Hypot(digit, t*p.SpreadMM/math.Sqrt(counts[i]))}, Points: pocketPoints(f, samples, axis, f.coefficients[i])}
		a.Growth = growth(a.Points)
		p.Axes = append(p.Axes, a)
		p.OffMM.Value += f.coefficients[i] * counts[i] / n
	}
	p.OffMM.HalfWidth, p.NextMM = math.Hypot(digit, t*p.SpreadMM/math.Sqrt(n)), t*p.SpreadMM*math.Sqrt(1+1/n)
	p.MayMM = math.Hypot(p.KerfMM.HalfWidth, p.OffMM.HalfWidth)
	p.Held = math.Abs(p.OffMM.Value) <= p.MayMM
	if len(axes) == 2 {
		apart := studentQuantile(0.5+sureOfMany/2, float64(f.dof)) * p.SpreadMM * math.Sqrt(1/counts[0]+1/counts[1])
		p.apart = math.Abs(f.coefficients[0]-f.coefficients[1]) > apart
	}
	return true
}

// pocketPoints are the samples of an axis against its mean, outliers marked.
func pocketPoints(f solution, samples []sample, axis Axis, mean float64) (points []Point) {
	deleted, limit, least := f.deleted(), outlierPoint(len(samples), f.dof), 3*stepDeviation(samples)
	for i, s := range samples {
		if s.row.Axis == axis {
			points = append(points, Point{
				Line: s.row.At.Line, Part: HolePart, Face: s.row.Face, SizeMM: s.row.Size.MM(), ReadMM: s.m.Length.MM(),
				FittedMM: s.row.Size.MM() + mean, ResidualMM: f.residuals[i], Leverage: f.leverages[i], Deleted: deleted[i],
				Outlier: math.Abs(deleted[i]) > limit && math.Abs(f.residuals[i]) > least,
			})
		}
	}
	return points
}

// growth is how the deviation goes with the size, with the interval that a scale has to leave 1 out at.
func growth(points []Point) Estimate {
	var rows [][]float64
	var off []float64
	for _, p := range points {
		rows, off = append(rows, []float64{1, p.SizeMM}), append(off, p.ReadMM-p.SizeMM)
	}
	f, err := leastSquares(rows, off)
	if err != nil || f.dof < 1 {
		return Estimate{0, math.Inf(1)}
	}
	return Estimate{f.coefficients[1], studentQuantile(0.5+sureOfMany/2, float64(f.dof)) * f.standardError(math.Max(f.deviation, leastDeviationMM), 0, 1)}
}
