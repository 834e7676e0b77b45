package cam

import (
	"context"
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
	r.Job = c.Job
	p, decided := decide(r)
	found = append(found, asFlags(decided)...)
	if found.Failed() {
		return CouponResult{Result{Plan: p, Report: describe(r, p, found)}, c}, nil
	}
	if err := c.Apply(p, process.MeansOf(machine), toleranceMM); err != nil {
		return CouponResult{}, err
	}
	result := CouponResult{Result{Plan: p, Report: describe(r, p, found)}, c}
	return result, result.cutCoupon(ctx, r, o)
}

// asFlags says in hints what a coupon is told by flags, where a job has keys.
func asFlags(found finding.List) finding.List {
	words := strings.NewReplacer("`tool: ", "`--tool ", "use thinner layers or a shallower pocket", "use thinner foam")
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
		list = append(list, sheetFile{File: File{kerf.TableName, d.Coupon.Table()}})
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
		Burns:  safety.IfItBurns(p.Machine.Process), Findings: found, Program: w.path(), Load: w.load(p), Seconds: w.run.Seconds, SkinMM: w.sheet.Edge.Hold.SkinMM,
		Cut: page.CutSheet{Plan: p, Unit: r.Unit, Sheets: []page.Sheet{w.page(r, p)}},
	}
}
