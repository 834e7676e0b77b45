package kerf

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// mostPockets is more than anybody measures to find out what a coupon tells.
const mostPockets = 60

// judgePockets says whether the kerf in force held, and what to change where it did not.
func (k *checker) judgePockets(p *PocketCheck) {
	where := p.where(k.file, k.unit)
	for _, a := range p.Axes {
		for _, at := range a.Points {
			if at.Outlier {
				k.say(finding.Warning, fmt.Sprintf("%s:%d", k.file, at.Line), "outlier", fmt.Sprintf("the pocket of %s along %s, %s, is %s off the others' mean, farther than they explain (studentized deleted residual %.1f)", wide(at.SizeMM, k.unit), a.Axis, wide(at.ReadMM, k.unit), off(at.ResidualMM, k.unit), at.Deleted),
					fmt.Sprintf("it is kept; measure it again, or leave it out with --drop %d", at.Line))
			}
		}
	}
	shown := Estimate{p.KerfMM.Value + p.OffMM.Value, p.OffMM.HalfWidth}
	came := fmt.Sprintf("holes came out %s than wanted", p.OffMM.wider(k.unit))
	switch {
	case math.Abs(p.OffMM.Value-p.KerfMM.Value) <= p.OffMM.HalfWidth && !p.Held:
		k.say(finding.Error, where, "no-kerf-taken-off", came+fmt.Sprintf(", as if no kerf had been taken off: %s", p.kerfText()),
			"size is that of the finished pocket, as report.json has it (length_mm along x, width_mm along y), not that of the program's path; a coupon's table is read without --check")
	case !p.Held:
		k.say(finding.Error, where, "interval-not-held", came+fmt.Sprintf(", and both intervals explain %s: %s did not hold; these pockets show a kerf of %s", thin(p.MayMM, k.unit), p.kerfText(), shown.In(k.unit)), p.change())
	case p.OffMM.HalfWidth > mostOffMM:
		line := p.farthest()
		k.say(finding.Error, where, "nothing-shown", came+fmt.Sprintf(": they scatter so much that nothing is shown of %s", strings.TrimSuffix(p.kerfText(), ",")),
			fmt.Sprintf("look for a slip of the pen: line %d is farthest from the others; measure it again, or leave it out with --drop %d", line, line))
	default:
		k.say(finding.Note, where, "interval-held", came+fmt.Sprintf(", and both intervals allow %s: %s held", thin(p.MayMM, k.unit), p.kerfText()), p.more())
	}
	if hint := p.uneven(); hint != "" && p.Held {
		k.say(finding.Warning, where, "uneven", "in the mean the kerf held, but not all alike", hint)
	}
}

// mostOffMM is how far off the mean of a few pockets may be and still say something of a kerf (judged, no source).
const mostOffMM = 1.5

// farthest is the line of the pocket that is farthest from the others.
func (p *PocketCheck) farthest() int {
	line, most := 0, -1.0
	for _, a := range p.Axes {
		for _, at := range a.Points {
			if off := math.Abs(at.ResidualMM); off > most {
				line, most = at.Line, off
			}
		}
	}
	return line
}

// wider is a deviation in words.
func (e Estimate) wider(u units.Unit) string {
	if e.Value < 0 {
		return Estimate{-e.Value, e.HalfWidth}.In(u) + " narrower"
	}
	return e.In(u) + " wider"
}

// kerfText is the kerf in force and what its interval is.
func (p *PocketCheck) kerfText() string {
	switch {
	case p.Recipe.Measured():
		return fmt.Sprintf("the measured kerf, %s%s,", p.KerfMM.In(p.Unit), p.Recipe.ByCoupons())
	case p.KerfMM.HalfWidth > 0:
		return fmt.Sprintf("the kerf in force, %s, a starting value taken to be up to %s off,", thin(p.KerfMM.Value, p.Unit), thin(p.KerfMM.HalfWidth, p.Unit))
	}
	return fmt.Sprintf("the kerf in force, %s, a starting value of which nobody has said how far off it may be,", thin(p.KerfMM.Value, p.Unit))
}

// uneven says what is not the kerf's doing; "" where nothing shows.
func (p *PocketCheck) uneven() string {
	const coupon = "; a recipe's kerf cannot mend that: cut a coupon, whose squares tell scale and kerf apart: `%s`"
	command := plan.CouponOf(p.Recipe, p.Thickness, p.Unit)
	var parts []string
	for _, a := range p.Axes {
		if a.grows() {
			parts = append(parts, fmt.Sprintf("by %+.2f ± %.2f %% of their size along %s", 100*a.Growth.Value, 100*a.Growth.HalfWidth, a.Axis))
		}
	}
	if len(parts) > 0 {
		return "what holes are off goes with their size, " + strings.Join(parts, " and ") + " (99.75 %), as a machine's scale does" + fmt.Sprintf(coupon, command)
	}
	if p.apart {
		x, y := p.Axes[0], p.Axes[1]
		return fmt.Sprintf("along %s holes are %s, along %s %s, farther apart than chance explains (99.75 %%): look for a loose axis or a beam that is not round", x.Axis, x.OffMM.wider(p.Unit), y.Axis, y.OffMM.wider(p.Unit)) + fmt.Sprintf(coupon, command)
	}
	return ""
}

// change says what to do where the kerf did not hold.
func (p *PocketCheck) change() string {
	if hint := p.uneven(); hint != "" {
		return hint
	}
	const first = "see first that tool, foam and settings were the recipe's. Then "
	shown := Estimate{p.KerfMM.Value + p.OffMM.Value, p.OffMM.HalfWidth}
	listed := len(p.Recipe.MeasuredIn)+len(p.Recipe.Tested) > 0 // its kerf is taken from those, and kerf_mm alone is none of them
	kerf, half := recipeKerf(shown)
	tool, _ := p.Machine.Tool(p.Tool)
	if odd, _ := profiles.OddKerf(kerf, half, true, p.Machine.Process, tool); listed || shown.Value < leastKerfMM || odd != "" {
		return first + fmt.Sprintf("cut a coupon: `%s`", plan.CouponOf(p.Recipe, p.Thickness, p.Unit))
	}
	return first + fmt.Sprintf("cut a coupon and save its kerf: `%s`; or, for pockets of these sizes, set kerf_mm to %s and kerf_interval_mm to %s in the recipe for %s with %s in a folder of your own",
		plan.CouponOf(p.Recipe, p.Thickness, p.Unit), plainNumber(kerf), plainNumber(half), p.Foam, p.Tool)
}

// more says how many readings it would take, where these could not have told.
func (p *PocketCheck) more() string {
	u := p.KerfMM.HalfWidth
	if u == 0 || p.OffMM.HalfWidth <= u {
		return fmt.Sprintf("one more such pocket comes out within %s of that (Student's prediction interval, 95 %%)", thin(p.NextMM, p.Unit))
	}
	for n := p.DOF + len(p.Axes); n <= mostPockets; n++ {
		if studentPoint(n-len(p.Axes))*p.SpreadMM/math.Sqrt(float64(n)) <= u {
			return fmt.Sprintf("these scatter too much to find out a kerf that is off by its own interval: %d readings would", n)
		}
	}
	return fmt.Sprintf("these scatter too much to find out a kerf that is off by its own interval, and so would %d readings: a coupon tells more", mostPockets)
}
