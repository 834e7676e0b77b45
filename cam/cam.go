// Package cam is the pipeline: a job becomes a plan, each sheet of the plan
// becomes moves, the moves become a program, and the program is tried on
// virtual foam before anyone sees it.
//
//	job -> safety, plan -> process -> gcode -> proof -> draw, drawing -> result
//
// Values go through and results come back. Nothing in here knows of files,
// terminals or clocks, and the same request gives the same bytes.
package cam

import (
	"context"
	"strings"

	"traywright/cam/arrange"
	"traywright/cam/drawing"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// toleranceMM is the distance under which the pipeline takes two points of a
// path for one: far below what any foam or machine can show, far above what
// rounding does to coordinates of a metre.
const toleranceMM = 1e-6

// Request is a run's whole input, already read.
type Request struct {
	Job     *job.Job
	Catalog *profiles.Catalog
	Machine string         // overrides the job's; "" keeps it
	Rules   []safety.Rules // every shop rules file in force
	Unit    units.Unit     // that lengths are printed in

	Outlines map[string]geometry.Region // the drawings that pockets name: see ReadOutlines
	Art      Art                        // pictures and fonts that labels and emblems name: see ReadArt

	Memory *Memory // of the runs before; nil for none

	plugsOnMM float64 // of a coupon: its holes are grooves, and this much foam is left under them
	coupon    bool    // a coupon: its design tells of pieces that stand out of the foam, and its kerf is to be found
	currentA  float64 // of a hot wire's coupon, in place of the recipe's; 0 for that
}

// Options say what `cut` writes beside the programs.
type Options struct {
	DXF      drawing.DXFVersion
	Finished bool                  // adds the finished sizes to DXF and SVG
	Paper    page.Paper            // of the PDFs
	Printed  page.Printed          // what a printer makes of the bars of templates that a hand cuts along
	Progress func(done, total int) // called after each sheet, from several goroutines; nil for none

	pageOnly bool // no drawing, picture or paper: see Look
}

// File is one file of the output folder; Path is relative to it, with slashes.
type File struct {
	Path string
	Data []byte
}

// Result is what a run has to show. Files is empty when the job is refused.
type Result struct {
	Plan   *plan.Plan
	Layout stock.Layout // on the job's stock; empty without it
	Report Report
	Files  []File
}

// Check does all the arithmetic and writes nothing. The plan is nil when the
// machine is not known.
func Check(r Request) Result {
	r.Memory.next()
	p, found := decide(r)
	result := Result{Plan: p, Report: describe(r, p, found)}
	if !found.Failed() {
		layout, found, err := layOut(context.Background(), p)
		if err != nil {
			found = finding.List{{Rule: "stock", Where: r.Job.File, Message: err.Error(), Hint: "this is a fault of the program, not of your job; please report it with the job file"}}
		}
		result.Report.Findings = append(result.Report.Findings, found...)
		result.Report.Findings = append(result.Report.Findings, straightInPlan(r, p)...)
		result.lay(layout)
	}
	return result
}

// decide holds the job against the rules and makes the plan.
func decide(r Request) (*plan.Plan, finding.List) {
	machine, found := r.FindMachine()
	if found.Failed() {
		return nil, found
	}
	found = append(found, r.Art.Found...)
	under := uses(r, machine)
	found = append(found, safety.Check(under, r.Catalog, r.Rules)...)
	limits := newLimiter(r, machine)
	p, planned := plan.Make(plan.Input{Job: r.Job, Catalog: r.Catalog, Machine: machine, MachineAt: machineWhere(r), ProudTold: r.coupon, PlugsOnMM: r.plugsOnMM,
		Means: process.MeansOf(machine), Recipe: limits.recipe, Barred: barred(under, r), Outlines: r.Outlines, Pictures: r.Art.Pictures, Fonts: r.Art.Fonts})
	found = append(found, planned...)
	found = append(found, lessCareful(p, r.Catalog)...)
	found = append(found, sharedNames(p)...)
	found = append(found, sharedFolder(p)...)
	found = append(found, lettersLacking(r)...)
	found = append(found, stockFoams(r)...)
	return p, inTheJob(append(found, limits.found...), r.Job.File)
}

// inTheJob adds to hints about places in an arrangement where to follow them: of one that was changed by
// hand only pockets are kept, which the job does not have; all else is the job's. A hint that asks the job for
// something says so itself, and so does one that asks the arrangement, or for a flag.
func inTheJob(found finding.List, file string) finding.List {
	for i, f := range found {
		if strings.HasPrefix(f.Where, "tray ") && strings.Contains(f.Where, ", pocket ") && strings.Contains(f.Hint, "write `notch") && !strings.Contains(f.Hint, arrange.FileName) {
			found[i].Hint += "; on its line of " + arrange.FileName + ", which `check` names, and `arrange` keeps it" // it is arranged, and not written yet
			continue
		}
		if !strings.HasPrefix(f.Where, arrange.FileName+":") || file == arrange.FileName || f.Hint == "" || strings.Contains(f.Hint, arrange.FileName) || strings.Contains(f.Hint, " --measured ") {
			continue
		}
		asks := strings.Contains(f.Hint, "on its tray") && !strings.Contains(f.Hint, "on the pocket or on its tray") || strings.Contains(f.Hint, "`tray_defaults`")
		if asks || !strings.Contains(f.Where, ", pocket ") {
			found[i].Hint += "; in " + file + ", and arrange again"
			continue
		}
		found[i].Hint += "; change a pocket's place, size, depth or notch on its line of " + arrange.FileName + " (`arrange` keeps it, with `pin: true`, and makes it anew where that is taken away), all else in " + file + ", and arrange again"
	}
	return found
}

// Cut makes every file that cutting the job takes. The files are there only
// when no finding is an error; the error is for a run that was stopped or that
// met a fault of its own.
func Cut(ctx context.Context, r Request, o Options) (Result, error) {
	p, found := decide(r)
	found = append(found, measuredFindings(p, r.Unit)...)
	result := Result{Plan: p, Report: describe(r, p, found)}
	if found.Failed() {
		return result, nil
	}
	layout, misfits, err := layOut(ctx, p)
	if result.Report.Findings = append(result.Report.Findings, misfits...); err != nil || misfits.Failed() {
		return result, err
	}
	result.lay(layout)
	alone, sheets, err := cutSheets(ctx, r, p, layout, o)
	if err != nil {
		return result, err
	}
	if result.add(sheets); len(sheets) == 0 {
		result.add(alone)
	}
	if !p.Machine.Process.Traits().ByHand {
		result.Report.Findings = append(result.Report.Findings, cornerFindings(sheets, p.Machine, r.Unit)...)
		result.Report.Findings = append(result.Report.Findings, bitingLittle(sheets, p.Machine, r.Unit)...)
		result.Report.Findings = append(result.Report.Findings, sunk(sheets, p.Machine, r.Unit)...)
	}
	if result.Report.Findings.Failed() {
		return result, nil
	}
	if o.pageOnly {
		return result, result.lookAlone(r, sheets)
	}
	return result, result.finish(r, o, sheets, alone)
}
