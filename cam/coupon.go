package cam

import (
	"context"
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/profiles"
)

// CouponRequest is all that a coupon is made from.
type CouponRequest struct {
	Spec    kerf.CouponSpec
	Catalog *profiles.Catalog
	Machine string
	Rules   []safety.Rules // every shop rules file in force
}

// CouponResult is what a coupon has to show. Coupon is nil when it could not be
// designed.
type CouponResult struct {
	Result
	Coupon *kerf.Coupon
}

// Coupon makes every file of a test piece. It passes the same gate as any job:
// the safety table, the shop rules, the checks of the plan, and the dry run. The
// files are there only when no finding is an error.
func Coupon(ctx context.Context, q CouponRequest, o Options) (CouponResult, error) {
	r := Request{Job: &job.Job{File: kerf.CouponID, Units: q.Spec.Units}, Catalog: q.Catalog, Machine: q.Machine, Rules: q.Rules, Unit: q.Spec.Units, proudTold: true}
	machine, found := r.FindMachine()
	if found.Failed() {
		return CouponResult{Result: Result{Report: describe(r, nil, found)}}, nil
	}
	if machine.Process.Traits().ByHand {
		found = finding.List{{Rule: "no-coupon", Where: "coupon", Message: machine.ID + " is a hand, and no coupon is made for one: a blade takes no foam away, and what a wire takes follows the speed of the hand",
			Hint: "cut a scrap in two with the wire, measure how much shorter both halves are together, and write that as kerf_mm into a recipe of your own: `traywright profiles --yaml " + machine.ID + " --as my-hand` prints the rows"}}
		return CouponResult{Result: Result{Report: describe(r, nil, found)}}, nil
	}
	if machine.DrawingsOnly() && q.Spec.Ladder.Key != "" {
		found = finding.List{{Rule: "ladder-drawn", Where: "--ladder", Message: machine.ID + " takes drawings only, and its software has one setting for all squares, which lie on one layer",
			Hint: "leave --ladder out, and cut a coupon for each value"}}
		return CouponResult{Result: Result{Report: describe(r, nil, found)}}, nil
	}
	c, found := kerf.DesignCoupon(couponInput(q, r, machine))
	if found.Failed() {
		found = append(couponSafety(q, machine), found...)
		return CouponResult{Result: Result{Report: describe(r, nil, found)}}, nil
	}
	r.Job, r.plugsOnMM = c.Job, c.SkinMM()
	p, decided := decide(r)
	found = append(found, asFlags(decided)...)
	if found.Failed() {
		return CouponResult{Result{Plan: p, Report: describe(r, p, found)}, c}, nil
	}
	if err := c.Apply(p, process.MeansOf(machine), toleranceMM); err != nil {
		return CouponResult{}, err
	}
	if found = append(found, weakBeam(p.Trays[0].Sheets[0], machine)...); found.Failed() {
		return CouponResult{Result{Plan: p, Report: describe(r, p, found)}, c}, nil
	}
	result := CouponResult{Result{Plan: p, Report: describe(r, p, found)}, c}
	return result, result.cutCoupon(ctx, r, o)
}

// labelHint is how labels are burnt at the least power or more: with a larger share of the
// cutting power, which a profile takes up to a half of it.
func labelHint(r profiles.Recipe, power, least float64) string {
	of := fmt.Sprintf("in the recipe for %s with %s, and try on a scrap how deep that burns", r.Foam, r.Tool)
	switch share := math.Ceil(100*least/power-1e-9) / 100; {
	case share <= 0.5:
		return fmt.Sprintf("set mark_share to %g or more %s", share, of)
	case 2*least <= 100:
		return fmt.Sprintf("set mark_share to 0.5, and power_percent to %g or more with as much more feed, %s", 2*least, of)
	}
	return "a label takes half of full power at most: find out with a scrap whether the beam burns at less than least_power_percent says"
}

// weakBeam refuses what a coupon adds to its job at a power at which the beam does not burn:
// the steps of a ladder, and its labels.
func weakBeam(s plan.Sheet, m profiles.Machine) finding.List {
	least := m.Controller.LeastPowerPercent
	for _, c := range s.All() {
		r := c.Recipes[0]
		power := r.PowerPercent.Value
		if !m.Process.Traits().Beam || power == 0 || power >= least*(1-1e-9) {
			continue
		}
		hint := fmt.Sprintf("ask for %g %% or more", least)
		if r.MarkShare.Value == 1 {
			hint = labelHint(r, s.Edge.Recipes[0].PowerPercent.Value, least)
		}
		return finding.List{{Rule: "power-too-low", Where: kerf.CouponID, Hint: hint,
			Message: fmt.Sprintf("%s: %.3g %% of full power, and below %g %% the beam of %s does not burn steadily", c.Name, power, least, m.ID)}}
	}
	return nil
}

// asFlags says in hints what a coupon is told by flags, where a job has keys.
func asFlags(found finding.List) finding.List {
	words := strings.NewReplacer("`tool: ", "`--tool ", "use thinner layers or a shallower pocket", "use thinner foam", "use a layer of", "use foam of")
	for i := range found {
		found[i].Hint = words.Replace(found[i].Hint)
	}
	return found
}

// couponInput hands the limited recipes to the design. What the limits changed
// is told when the plan asks for the same recipes.
func couponInput(q CouponRequest, r Request, m profiles.Machine) kerf.CouponInput {
	limits := newLimiter(r, m)
	limits.thickMM = q.Spec.Thickness.MM()
	return kerf.CouponInput{
		CouponSpec: q.Spec, Catalog: q.Catalog, Machine: m, Means: process.MeansOf(m), Recipe: limits.recipe,
		Limit: func(recipe profiles.Recipe) (profiles.Recipe, finding.List) {
			limited, found := safety.Limit(recipe, m, q.Rules)
			if hot := limits.beam(recipe); hot.Failed() {
				found = append(found, hot...)
			}
			return limited, found
		},
	}
}

// couponSafety is the gate for a coupon that could not be designed: a refused
// foam is told before anyone mends the rest.
func couponSafety(q CouponRequest, m profiles.Machine) finding.List {
	foam, ok := q.Catalog.Foam(q.Spec.Foam)
	if !ok {
		return nil
	}
	return safety.Check([]safety.Use{{Foam: foam, Machine: m, DepthMM: q.Spec.Thickness.MM(), Where: kerf.CouponID}}, q.Catalog, q.Rules)
}

// cutCoupon takes the coupon's one sheet through the pipeline and adds the table
// and the page.
func (d *CouponResult) cutCoupon(ctx context.Context, r Request, o Options) error {
	tray := &d.Plan.Trays[0]
	w := newSheetWork(tray, &tray.Sheets[0], d.Plan.Machine)
	w.name, w.coupon = kerf.CouponID, true
	if _, err := cutEach(ctx, []*sheetWork{w}, r, d.Plan, o); err != nil {
		return err
	}
	d.add([]*sheetWork{w})
	if d.Report.Findings.Failed() {
		return nil
	}
	return d.finishCoupon(r, w)
}

// finishCoupon gathers the files, the report last.
func (d *CouponResult) finishCoupon(r Request, w *sheetWork) error {
	bench, err := written(page.CouponName, couponPage(d.Coupon, r, d.Plan, w, d.Report.Findings).Markdown)
	if err != nil {
		return err
	}
	list := append([]sheetFile{{File: bench}}, w.files...)
	if len(d.Coupon.Squares) > 0 {
		list = append(list, sheetFile{File: Sign(File{kerf.TableName, d.Coupon.Table()})})
	}
	var files []File
	for _, f := range list {
		d.Report.Files = append(d.Report.Files, w.describe(f, d.Plan.Machine))
		files = append(files, f.File)
	}
	d.Report.Totals = &TotalsReport{}
	d.Report.Totals.add(d.Report.Files, []*sheetWork{w})
	report := d.Coupon.Report()
	d.Report.Coupon = &report
	text, err := d.Report.JSON()
	if err != nil {
		return err
	}
	d.Files = append([]File{{ReportName, text}}, files...)
	return nil
}

func couponPage(c *kerf.Coupon, r Request, p *plan.Plan, w *sheetWork, found finding.List) page.Coupon {
	list := uses(r, p.Machine)
	return page.Coupon{
		Coupon: c,
		Before: append(safety.Requires(list, r.Rules), safety.Cautions(list, r.Rules)...),
		Burns:  safety.IfItBurns(p.Machine.Process), Findings: found, Program: w.path(), Seconds: w.run.Seconds,
		Cut: page.CutSheet{Coupon: true, Plan: p, Unit: r.Unit, Sheets: []page.Sheet{w.page(r, p)}},
	}
}
