package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// measuredFindings say what was measured of the machine and its kerfs, and what
// was not, lengths in u. The plan may be nil.
func measuredFindings(p *plan.Plan, u units.Unit) finding.List {
	if p == nil {
		return nil
	}
	return slices.Concat(startingKerfs(p, u), thickChips(p, u), scaleNote(p))
}

// scaleNote says that programs and drawings are for this one machine.
func scaleNote(p *plan.Plan) finding.List {
	x, y := p.Machine.Scale()
	if x == 1 && y == 1 {
		return nil
	}
	return finding.List{{
		Severity: finding.Note, Rule: "scale-corrected", Where: p.Machine.ID,
		Message: fmt.Sprintf("programs and drawings are corrected for the machine's measured scale: a programmed mm comes out as %.6g along X, %.6g along Y", x, y),
		Hint:    "they are for this machine alone; drawings of the finished foam stay true",
	}}
}

// startingKerfs warns where a plan counts on kerfs that nobody has measured.
func startingKerfs(p *plan.Plan, u units.Unit) finding.List {
	var names []string
	first := ""
	for _, t := range p.Trays {
		for _, s := range t.Sheets {
			for _, c := range s.CutOn(p.Machine) {
				for i, r := range c.Recipes {
					width := fmt.Sprintf("%g mm", r.KerfMM.Value)
					if l, err := units.FromMM(r.KerfMM.Value); err == nil && u == units.Inch {
						width = l.Format(u)
					}
					name := fmt.Sprintf("%s with %s (%s)", r.Foam, r.Tool, width)
					if is := p.Machine.With(c.Tool).Process.Traits(); !r.Measured() && len(r.Tested) == 0 && len(r.MeasuredIn) == 0 && r.KerfMM.Value > 0 && !is.ByHand && !slices.Contains(names, name) {
						names = append(names, name)
						if first == "" {
							first = plan.CouponCommand(r, c.Tool, s.Layers[i], u)
						}
					}
				}
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	slices.Sort(names)
	hint := "cut a coupon of each, measure it, and `traywright kerf` writes your own; until then every pocket may be off by as much as the kerf is. The first: `" + first + "`, with the profiles and shop rules of this job"
	if p.Machine.Process.Traits().ByHand {
		hint = fmt.Sprintf("cut a scrap in two with the wire, at the speed that you will keep, and measure how much shorter both halves are together: that is kerf_mm. `traywright profiles --yaml %s --as my-hand` prints the rows to write it into, for a folder of your own (--profiles)", p.Machine.ID)
	}
	return finding.List{{
		Severity: finding.Warning, Rule: "starting-kerf", Where: p.Machine.ID,
		Message: "the kerf is a starting value that nobody measured: " + strings.Join(names, ", "), Hint: hint,
	}}
}

// otherSetting warns where a wire's kerf was not tested at the feed and current that it goes with, and
// why; and where the shop rules have lowered the feed or the power that a kerf was measured at: it is
// another kerf then, which only that of a wire is known to follow between tested ones.
func otherSetting(measured, limited profiles.Recipe, why, coupon string) finding.List {
	where := fmt.Sprintf("%s on %s with %s", measured.Foam, measured.Machine, measured.Tool)
	switch {
	case why != "":
		return finding.List{{
			Severity: finding.Warning, Rule: "kerf-not-tested", Where: where,
			Message: fmt.Sprintf("the kerf at %.4g mm/min and %.4g A is not known: %s; it is reckoned as %.3g mm, give or take %.3g, and nobody has measured that", limited.FeedMMPerMin.Value, limited.CurrentA.Value, why, limited.KerfMM.Value, limited.KerfOffMM.Value),
			Hint:    "set feed_mm_per_min and current_a, and what their source says, to what was tested, or between; or cut the ladder coupon again, with the profiles and shop rules of this job: `" + coupon + "`",
		}}
	case len(limited.Tested) > 0:
		return nil
	}
	if !measured.Measured() || measured.FeedMMPerMin.Value == limited.FeedMMPerMin.Value && measured.PowerPercent.Value == limited.PowerPercent.Value {
		return nil
	}
	return finding.List{{
		Severity: finding.Warning, Rule: "kerf-at-other-setting", Where: where,
		Message: "the shop rules lower the feed or the power that this kerf was measured at",
		Hint:    "cut and measure a coupon under these rules",
	}}
}
