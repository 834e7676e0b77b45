package kerf

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// cannotTell says why a fit has no answer.
func cannotTell(file string, u units.Unit, s Subject, samples []sample) finding.Finding {
	where := s.where(file, u)
	axis := samples[0].row.Axis
	one, holes, plugs := true, 0, 0
	for _, p := range samples {
		one = one && p.row.Size == samples[0].row.Size
		if p.part == HolePart {
			holes++
		} else {
			plugs++
		}
	}
	what := "readings"
	switch {
	case plugs == 0:
		what = "holes"
	case holes == 0:
		what = "plugs"
	}
	if len(samples) == 1 {
		return finding.Finding{
			Rule: "one-reading", Where: where,
			Message: fmt.Sprintf("along %s there is one reading only, in line %d: it gives neither kerf nor scale, and no interval", axis, samples[0].row.At.Line),
			Hint:    "measure hole and piece, of at least two sizes",
		}
	}
	if one {
		return finding.Finding{
			Rule: "one-size", Where: where,
			Message: fmt.Sprintf("along %s there are only %s of a single size, %s: the kerf and the machine's scale error cannot be told apart", axis, what, samples[0].row.Size.Format(u)),
			Hint:    "measure the pieces as well as the holes, or squares of another size",
		}
	}
	return finding.Finding{
		Rule: "cannot-tell", Where: where, Message: fmt.Sprintf("along %s the readings cannot tell kerf and scale apart", axis),
		Hint: "measure hole and piece, of at least two sizes, on each side of the foam",
	}
}

// judge looks at a fit as a whole.
func judge(file string, f *Fit) finding.List {
	j := judgement{where: f.where(file, f.Unit), file: file, unit: f.Unit}
	for _, a := range f.Axes {
		j.axis(f, a)
	}
	j.joint(f)
	j.wire(f)
	j.cutter(f)
	j.wider(f)
	return j.found
}

type judgement struct {
	where, file string
	unit        units.Unit
	found       finding.List
}

func (j *judgement) say(s finding.Severity, rule, message, hint string) {
	j.found = append(j.found, finding.Finding{Severity: s, Rule: rule, Where: j.where, Message: message, Hint: hint})
}

// A scale beyond these is not of any machine that moves at all well: it is a fault
// in the measurements. Profiles take none either.
const (
	leastScale = 0.9
	mostScale  = 1.1
)

func canBeScale(v float64) bool { return v >= leastScale && v <= mostScale }

func (j *judgement) axis(f *Fit, a AxisFit) {
	line := a.Points[0].Line
	if most := below(f.Machine, f.Subject.Tool); a.KerfMM.Value <= 0 && (most == 0 || -a.KerfMM.Value > most) {
		j.say(finding.Error, "negative-kerf", fmt.Sprintf("along %s the kerf comes to %s, and no tool adds foam (readings from line %d)", a.Axis, thin(a.KerfMM.Value, j.unit), line),
			"hole and plug may be in each other's column, or the sizes be wrong; foam that is pressed reads small")
	}
	if !canBeScale(a.Scale.Value) {
		j.say(finding.Error, "impossible-scale", fmt.Sprintf("along %s the scale comes to %.4f, more than a tenth off (readings from line %d)", a.Axis, a.Scale.Value, line),
			"mind the units, and that each size stands in the row of its square")
	}
	for _, p := range a.Points {
		if p.Outlier {
			j.found = append(j.found, finding.Finding{
				Severity: finding.Warning, Rule: "outlier", Where: fmt.Sprintf("%s:%d", j.file, p.Line),
				Message: fmt.Sprintf("the %s of the square of %s along %s, %s, is %s off its line, farther than the other readings explain (studentized deleted residual %.1f)",
					p.Part, wide(p.SizeMM, j.unit), a.Axis, wide(p.ReadMM, j.unit), off(p.ResidualMM, j.unit), p.Deleted),
				Hint: fmt.Sprintf("it is kept; measure it again, or leave it out with --drop %d:%s", p.Line, p.Part),
			})
		}
	}
}

func (j *judgement) joint(f *Fit) {
	if f.DOF == 0 {
		j.say(finding.Error, "no-interval", fmt.Sprintf("one reading for each unknown only: a kerf of %s, and no interval: nothing says how far off it is", thin(f.KerfMM.Value, j.unit)),
			"measure hole and piece, of at least two sizes along each axis")
		return
	}
	j.parted(f)
	if axesDiffer(f.Axes) {
		a, b := f.Axes[0], f.Axes[1]
		j.say(finding.Warning, "axes-differ", fmt.Sprintf("the kerf is %s along %s and %s along %s, farther apart than their intervals explain", thin(a.KerfMM.Value, j.unit), a.Axis, thin(b.KerfMM.Value, j.unit), b.Axis),
			"a recipe has one kerf for all directions, so its interval is widened to hold both; look for a loose axis, or a beam that is not round")
	}
	if t := f.TaperDegrees; t != nil && t.Value+t.HalfWidth < 0 {
		j.say(finding.Warning, "wider-below", fmt.Sprintf("the cut is wider at the bottom than at the top, walls lean %.2f degrees outwards", -t.Value),
			"top and bottom may be in each other's rows; else the focus is too high: the recipe's taper is left as it is")
	}
}

// parted: a blade that leaves no kerf, or less than none, is told of, and what is saved of it.
func (j *judgement) parted(f *Fit) {
	k := f.KerfMM
	if !wayOf(f.Machine).parts || k.Value >= leastKerfMM {
		return
	}
	saved, off := recipeKerf(k)
	save := fmt.Sprintf("--save writes %s mm, the least that a recipe takes, up to %s off, which holds it", plainNumber(saved), plainNumber(off))
	if k.Value+k.HalfWidth >= 0 {
		j.say(finding.Note, "no-kerf", fmt.Sprintf("the kerf comes to %s, and 0 is inside: a blade pushes foam aside and takes none away, so there may be none; %s", k.In(j.unit), save), "")
		return
	}
	j.say(finding.Warning, "springs-back", fmt.Sprintf("the kerf comes to %s, all of it below 0: plugs measure larger than their holes. A blade takes no foam away, and foam that was squeezed comes back; %s", k.In(j.unit), save),
		"see first that hole and plug do not stand in each other's column; measure again when the foam has rested, with jaws that only just touch. Where it stays so, save it: `cut` warns of each fit that is finer")
}

// cutter: a kerf that no cutter of the tool's width leaves is a slip in the table.
func (j *judgement) cutter(f *Fit) {
	tool, _ := f.Machine.Tool(f.Subject.Tool)
	d, kerf := tool.DiameterMM.Value, f.KerfMM.Value
	if !wayOf(f.Machine).turns || d <= 0 || kerf <= 0 {
		return
	}
	off := math.Abs(kerf - d)
	if off <= profiles.FarKerfMM {
		return
	}
	for _, other := range f.Machine.Tools {
		if near := math.Abs(kerf - other.DiameterMM.Value); other.DiameterMM.Value > 0 && near < off/3 {
			j.say(finding.Error, "kerf-of-another-cutter", fmt.Sprintf("a kerf of %s is that of the cutter %s of %s, and not of %s of %s", thin(kerf, j.unit), other.ID, wide(other.DiameterMM.Value, j.unit), tool.ID, wide(d, j.unit)),
				"look whether the readings of two test pieces stand in each other's rows, or another tool's name in the column `tool`")
			return
		}
	}
	if !profiles.KerfOfCutter(kerf, d) {
		j.say(finding.Error, "kerf-of-another-cutter", fmt.Sprintf("a kerf of %s is not the work of the cutter %s of %s: what it runs out, tears off and springs back from is together less than %s (judged, no source)", thin(kerf, j.unit), tool.ID, wide(d, j.unit), thin(math.Min(profiles.MostKerfOffMM, d/2), j.unit)),
			"mind the units and the column `tool`; on a router the hole is measured from one outer wall to the other, the plug across what is left inside. Where the cutter itself is of another width, write its diameter_mm into the machine's profile")
		return
	}
	j.say(finding.Warning, "kerf-far-from-cutter", fmt.Sprintf("a kerf of %s is %s off the cutter %s of %s, more than %s (judged, no source)", thin(kerf, j.unit), thin(off, j.unit), tool.ID, wide(d, j.unit), thin(profiles.FarKerfMM, j.unit)),
		"measure the cutter, and see that it runs true and is the one that the table names, before anything is cut by this kerf")
}

// wire: a hot wire melts at least its own width.
func (j *judgement) wire(f *Fit) {
	tool, _ := f.Machine.Tool(f.Subject.Tool)
	if wire := tool.DiameterMM.Value; wayOf(f.Machine).melts && f.KerfMM.Value+f.KerfMM.HalfWidth < wire {
		j.say(finding.Error, "below-the-wire", fmt.Sprintf("a kerf of %s is less than the wire of %s", thin(f.KerfMM.Value, j.unit), thin(wire, j.unit)),
			"no wire cuts less than its own width (energy balance, derived): the foam closed again, or the readings are off")
	}
}

// wider: a blade or a beam leaves no kerf so wide, and no profile takes it.
func (j *judgement) wider(f *Fit) {
	tool, _ := f.Machine.Tool(f.Subject.Tool)
	if is := f.Machine.Process.Traits(); !is.Blade && !is.Beam {
		return
	}
	if why, _ := profiles.OddKerf(f.KerfMM.Value, f.KerfMM.HalfWidth, true, f.Machine.Process, tool); why != "" {
		j.say(finding.Error, "kerf-too-wide", fmt.Sprintf("a kerf of %s is not the work of %s of %s: it is far too wide (judged, no source)", thin(f.KerfMM.Value, j.unit), tool.ID, wide(tool.DiameterMM.Value, j.unit)),
			"mind the units and the columns `hole` and `plug`. Where the tool itself is of another width, write its diameter_mm into the machine's profile: of a blade how thick it is, of a beam its spot")
	}
}

// scaleInForce says what a coupon's program is believed to have been corrected
// for, where only the profiles say so.
func scaleInForce(r *Readings, fits []Fit) finding.List {
	var found finding.List
	told := map[string]bool{}
	for _, f := range fits {
		x, y := f.Machine.Scale()
		if r.InForce != [2]float64{} || x == 1 && y == 1 || told[f.Machine.ID] {
			continue
		}
		told[f.Machine.ID] = true
		found = append(found, finding.Finding{
			Severity: finding.Note, Rule: "scale-in-force", Where: r.File,
			Message: fmt.Sprintf("the coupon's program is taken to have been corrected for the scale of %s in these profiles, X %s Y %s", f.Machine.ID, plainNumber(x), plainNumber(y)),
			Hint:    "its header says so; if it was not, begin the file with the line `# scale: X 1 Y 1`",
		})
	}
	return found
}
