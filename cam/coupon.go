package cam

import (
	"context"
	"fmt"
	"math"
	"slices"
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
	// CurrentsA are those that a hot wire's supply is set to, lowest first, each for a piece and a program of its own; none: the recipe's.
	CurrentsA []float64
	ofJob     bool // its pieces are what a job needs, and no flag says how one is cut
}

// CouponResult is what a coupon has to show. Coupon is nil when it could not be
// designed.
type CouponResult struct {
	Result
	Coupon *kerf.Coupon
	More   []*kerf.Coupon // further pieces, one for each current
	ofJob  bool           // they are those that a job needs
}

// couponPiece is what is cut by one program.
type couponPiece struct {
	coupon  *kerf.Coupon
	plan    *plan.Plan
	request Request
	work    *sheetWork
}

// Coupon makes every file of a test piece. It passes the same gate as any job:
// the safety table, the shop rules, the checks of the plan, and the dry run. The
// files are there only when no finding is an error.
func Coupon(ctx context.Context, q CouponRequest, o Options) (CouponResult, error) {
	currents := q.CurrentsA
	if len(currents) == 0 {
		currents = []float64{0} // the recipe's
	}
	var specs []kerf.CouponSpec
	for i, current := range currents {
		spec := q.Spec
		spec.CurrentA = current
		if n := len(q.CurrentsA); n > 1 {
			spec.Piece, spec.Of = i+1, n
		}
		specs = append(specs, spec)
	}
	return cutPieces(ctx, q, specs, o)
}

// cutPieces makes a piece of each spec, and one table for all of them.
func cutPieces(ctx context.Context, q CouponRequest, specs []kerf.CouponSpec, o Options) (CouponResult, error) {
	r := Request{Job: &job.Job{File: kerf.CouponID, Units: q.Spec.Units}, Catalog: q.Catalog, Machine: q.Machine, Rules: q.Rules, Unit: q.Spec.Units, coupon: true}
	machine, found := r.FindMachine()
	if !found.Failed() {
		found = noCoupon(q, machine)
	}
	if found.Failed() {
		return CouponResult{Result: Result{Report: describe(r, nil, found)}}, nil
	}
	var pieces []couponPiece
	for _, spec := range specs {
		q.Spec, r.currentA = spec, spec.CurrentA
		one, more, err := designPiece(q, r, machine)
		if q.ofJob {
			more = ofPieces(more, one, spec)
		}
		found = eachOnce(found, more)
		if err != nil || found.Failed() {
			return CouponResult{Result: Result{Plan: one.plan, Report: describe(one.request, one.plan, found)}, Coupon: one.coupon}, err
		}
		pieces = append(pieces, one)
	}
	var coupons []*kerf.Coupon
	for _, p := range pieces {
		coupons = append(coupons, p.coupon)
	}
	if len(q.CurrentsA) > 1 {
		found = append(found, kerf.CurrentsApart(coupons)...)
	}
	first := pieces[0]
	result := CouponResult{Result: Result{Plan: first.plan, Report: describe(first.request, first.plan, found)}, Coupon: first.coupon, More: coupons[1:], ofJob: q.ofJob}
	return result, result.cutCoupon(ctx, pieces, o)
}

// noCoupon says of which machines none is made.
func noCoupon(q CouponRequest, machine profiles.Machine) finding.List {
	switch {
	case machine.Process.Traits().ByHand:
		return finding.List{{Rule: "no-coupon", Where: "coupon", Message: machine.ID + " is a hand, and no coupon is made for one: a blade takes no foam away, and what a wire takes follows the speed of the hand",
			Hint: "of a blade nothing is to be measured; of a wire, cut a scrap in two with it, measure how much shorter both halves are together, and write that as kerf_mm into a recipe of your own: `traywright profiles --yaml " + machine.ID + " --as my-hand` prints the rows"}}
	case machine.DrawingsOnly() && q.Spec.Ladder.Key != "":
		return finding.List{{Rule: "ladder-drawn", Where: "--ladder", Message: machine.ID + " takes drawings only, and its software has one setting for all squares, which lie on one layer",
			Hint: "leave --ladder out, and cut a coupon for each value"}}
	}
	return nil
}

// eachOnce adds findings to others: not those that are there, nor what a warning has said of another square of the piece.
func eachOnce(found, more finding.List) finding.List {
	said := len(found)
	for _, f := range more {
		same := func(o finding.Finding) bool {
			return o.Severity == finding.Warning && o.Message == f.Message && o.Hint == f.Hint
		}
		if !slices.Contains(found, f) && !slices.ContainsFunc(found[said:], same) {
			found = append(found, f)
		}
	}
	return found
}

// ofPieces says which piece findings are about. What a hint of a warning says is done with a flag or a key, and
// neither is there for a piece that a job needs: of foam that the tool's edges do not reach through it is another piece.
func ofPieces(found finding.List, p couponPiece, s kerf.CouponSpec) finding.List {
	hint := ""
	if p.plan != nil && p.coupon.Tool.BeyondFlute(s.Thickness.MM()) {
		r := p.coupon.Recipe
		r.Foam, r.Machine, r.Tool = p.coupon.Foam.ID, p.plan.Machine.ID, p.coupon.Tool.ID
		command := plan.CouponCommand(r, p.coupon.Tool, p.plan.Trays[0].Sheets[0].Layers[0], s.Units)
		if command != plan.CouponOf(r, s.Thickness, s.Units) {
			hint = "measure it in thinner foam, which its edges cut: `" + command + "`; that kerf counts for cuts up to so deep"
		}
	}
	for i := range found {
		if f := &found[i]; !f.Boxed && f.Severity != finding.Note {
			f.Where = s.Subject() + ": " + f.Where
			if f.Severity == finding.Warning {
				f.Hint = hint
			}
		}
	}
	return found
}

// designPiece is one piece of a coupon as far as it is decided.
func designPiece(q CouponRequest, r Request, m profiles.Machine) (couponPiece, finding.List, error) {
	c, found := kerf.DesignCoupon(couponInput(q, r, m))
	if found.Failed() {
		return couponPiece{request: r}, append(couponSafety(q, m), found...), nil
	}
	r.Job, r.plugsOnMM = c.Job, c.SkinMM()
	p, decided := decide(r)
	piece := couponPiece{coupon: c, plan: p, request: r}
	if found = append(found, asFlags(decided, q)...); found.Failed() {
		return piece, found, nil
	}
	if err := c.Apply(p, process.MeansOf(m), toleranceMM); err != nil {
		return piece, found, err
	}
	return piece, append(found, weakBeam(p.Trays[0].Sheets[0], m)...), nil
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
func asFlags(found finding.List, q CouponRequest) finding.List {
	s := q.Spec
	if q.ofJob {
		return found
	}
	amps := "set current_a to "
	if s.CurrentA > 0 {
		amps = "give --current "
	}
	words := strings.NewReplacer("set current_a to ", amps, "`tool: ", "`--tool ", "use thinner layers or a shallower pocket", "use thinner foam", "use a layer of", "use foam of")
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

// cutCoupon takes the sheet of each piece through the pipeline and adds the table and the pages.
func (d *CouponResult) cutCoupon(ctx context.Context, pieces []couponPiece, o Options) error {
	var works []*sheetWork
	for i := range pieces {
		p := &pieces[i]
		tray := &p.plan.Trays[0]
		p.work = newSheetWork(tray, &tray.Sheets[0], p.plan.Machine, p.plan.Job.Units)
		p.work.name, p.work.coupon = p.coupon.Name(), true
		if err := layEach(ctx, []*sheetWork{p.work}, p.plan); err != nil {
			return err
		}
		works = append(works, p.work)
	}
	var foam []*offcut
	if d.ofJob && len(pieces) > 1 && !slices.ContainsFunc(works, func(w *sheetWork) bool { return w.found.Failed() }) {
		foam = lieOnOffcuts(pieces, pieces[0].request.Unit)
	}
	for _, p := range pieces {
		if _, err := cutLaid(ctx, []*sheetWork{p.work}, p.request, p.plan, o); err != nil {
			return err
		}
	}
	d.add(works)
	if d.Report.Findings.Failed() {
		return nil
	}
	return d.finishCoupon(pieces, works, foam)
}

// finishCoupon gathers the files, the report last.
func (d *CouponResult) finishCoupon(pieces []couponPiece, works []*sheetWork, foam []*offcut) error {
	var files []File
	add := func(w *sheetWork, f sheetFile) {
		d.Report.Files = append(d.Report.Files, w.describe(f, d.Plan.Machine))
		files = append(files, f.File)
	}
	for i, p := range pieces {
		bench, err := written(p.coupon.Name()+".md", couponPage(p, ofPiece(d.Report.Findings, i, pieces)).Markdown)
		if err != nil {
			return err
		}
		for _, f := range append([]sheetFile{{File: bench}}, p.work.files...) {
			add(p.work, f)
		}
	}
	d.Report.Findings = append(d.Report.Findings, tellOffcuts(foam, pieces[0].request.Unit)...)
	if len(d.Coupon.Squares) > 0 {
		add(works[0], sheetFile{File: Sign(File{kerf.TableName, d.Coupon.Table(d.More...)})})
	}
	d.Report.Totals = &TotalsReport{}
	d.Report.Totals.add(d.Report.Files, works)
	var h hands
	for i, p := range pieces {
		h.sheets(p.plan, works[i:i+1])
	}
	d.Report.Totals.byHand(h)
	report := d.Coupon.Report(d.More...)
	report.Offcuts = describeOffcuts(foam)
	d.Report.Coupon = &report
	text, err := d.Report.JSON()
	if err != nil {
		return err
	}
	d.Files = append([]File{{ReportName, text}}, files...)
	return nil
}

// ofPiece are the findings that are not about another piece or its program.
func ofPiece(found finding.List, piece int, pieces []couponPiece) finding.List {
	return slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool {
		return slices.ContainsFunc(pieces, func(p couponPiece) bool {
			return p.work != pieces[piece].work && (strings.HasPrefix(f.Where, p.work.path()) || strings.HasPrefix(f.Where, p.coupon.Spec.Subject()+": "))
		})
	})
}

func couponPage(p couponPiece, found finding.List) page.Coupon {
	r, m := p.request, p.plan.Machine
	list := uses(r, m)
	return page.Coupon{
		Coupon: p.coupon,
		Before: append(safety.Requires(list, r.Rules), safety.Cautions(list, r.Rules)...),
		Burns:  safety.IfItBurns(m.Process), Findings: found, Program: p.work.path(), Seconds: p.work.run.Seconds,
		Cut: page.CutSheet{Coupon: true, Plan: p.plan, Unit: r.Unit, Sheets: []page.Sheet{p.work.page(r, p.plan)}},
	}
}
