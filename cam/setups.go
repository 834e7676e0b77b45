package cam

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// With `stock` in the job, what lies on the machine is no layer on a blank of its own but a setup:
// a sheet, or the panel of one that the machine reaches, with layers of several trays. It is a
// sheet of the plan like any other, made by cam/stock, and goes the same way.

// layOut lays the plan's layers onto the job's stock; the zero Layout where it has none.
func layOut(ctx context.Context, p *plan.Plan) (stock.Layout, finding.List, error) {
	if p.Job.Stock == nil {
		return stock.Layout{}, nil, nil
	}
	if p.Machine.Process.Traits().ByHand {
		return stock.Layout{}, finding.List{{
			Rule: "stock-by-hand", Where: p.Job.File,
			Message: "machine " + p.Machine.ID + ": a hand cuts each layer from a blank of its own, along its own template; nothing is laid on sheets of `stock` for one",
			Hint:    "take `stock` out: the cut sheet says which foam to have ready, and what to buy",
		}}, nil
	}
	rim := func(s plan.Sheet) float64 { return (&sheetWork{sheet: &s}).rim(p.Machine) }
	layout, found, err := stock.Lay(ctx, stock.Input{Plan: p, Means: process.MeansOf(p.Machine), RimMM: rim})
	if err == nil && !found.Failed() {
		found = append(found, changesOver(p.Machine, layout)...)
	}
	return layout, found, err
}

// changesOver refuses setups over whose sheet, rim and clamps included, a tool is changed.
func changesOver(m profiles.Machine, l stock.Layout) (found finding.List) {
	for _, s := range l.Setups {
		low := geometry.Point{X: -s.ZeroMM[0], Y: -s.ZeroMM[1]}
		foam := geometry.Box{Min: low, Max: low.Add(geometry.Point{X: s.SizeMM[0], Y: s.SizeMM[1]})}
		if at := m.Controller.ChangeAt; s.Tray.Sheets[0].ChangesOver(m.Controller, foam) {
			found = append(found, finding.Finding{
				Rule: "change-over-foam", Where: s.Name,
				Message: fmt.Sprintf("a tool is changed at X %g, Y %g mm, over the sheet or less than a hand's room beside it", at[0], at[1]),
				Hint:    fmt.Sprintf("write a place beside it as change_at in the controller of %s, or tool_change: files", m.ID),
			})
		}
	}
	return found
}

// stockFoams are the foams of the job's stock that nobody knows.
func stockFoams(r Request) (found finding.List) {
	if r.Job.Stock == nil {
		return nil
	}
	for _, s := range r.Job.Stock.Sheets {
		_, unknown := r.Catalog.FindFoam(s.Foam, s.Position.String())
		found = append(found, unknown...)
	}
	return found
}

// works are all that lie on the machine, in the order of cutting: the setups of a job with stock,
// else the plan's sheets. A layout that is refused has none.
func works(p *plan.Plan, l stock.Layout) []*sheetWork {
	if p.Job.Stock == nil {
		return sheetsOf(p)
	}
	var list []*sheetWork
	for _, s := range l.Setups {
		list = append(list, newSetupWork(s, p.Machine, p.Job.Units))
	}
	return list
}

// worksOf is the same of a plan alone.
func worksOf(p *plan.Plan) []*sheetWork {
	layout, _, err := layOut(context.Background(), p)
	if err != nil {
		return nil
	}
	return works(p, layout)
}

func newSetupWork(s *stock.Setup, m profiles.Machine, u units.Unit) *sheetWork {
	w := newSheetWork(s.Tray, &s.Tray.Sheets[0], m, u)
	w.laidOn = s
	sold, _ := units.FromMM(s.Layer)
	w.name = fmt.Sprintf("%s/%s-%s-%s", setupsDir, s.Name, s.Foam, sold.InName(u))
	return w
}

// shownAlone keeps of the works of single layers what is made of them beside the setups: the
// picture, and the drawings of the finished foam.
func shownAlone(list []*sheetWork) []*sheetWork {
	for _, w := range list {
		w.files = slices.DeleteFunc(w.files, func(f sheetFile) bool {
			return !strings.HasSuffix(f.Path, ".png") && !strings.Contains(f.Path, finishedSuffix)
		})
	}
	return list
}

// ofNoProgram are the works of single layers whose findings name the layer: with stock, the programs
// that they were tried with are never written, and no line of them can be looked at.
func ofNoProgram(alone []*sheetWork) []*sheetWork {
	for _, w := range alone {
		for i := range w.found {
			if f := &w.found[i]; strings.HasPrefix(f.Where, w.path()) {
				f.Where, f.Line = w.where()+", before it is laid on a sheet", 0
			}
		}
	}
	return alone
}

// onNoBed is the plan as single layers are shown by: with stock, none of them lies on the bed for
// itself, and neither clamps nor travel along X and Y are in the way of what is never run.
func onNoBed(p *plan.Plan) *plan.Plan {
	if p.Job.Stock == nil {
		return p
	}
	shown := *p
	shown.Machine.Clamps = nil
	shown.Machine.TravelMM[0], shown.Machine.TravelMM[1] = profiles.Number{}, profiles.Number{}
	return &shown
}

// setupParts names what lies on a setup, once each, and how often.
func setupParts(s *stock.Setup) (list []PartReport) {
	for _, p := range s.Parts {
		at := slices.IndexFunc(list, func(r PartReport) bool { return r.Tray == p.Tray.ID && r.Layer == p.Layer })
		if at < 0 {
			at = len(list)
			list = append(list, PartReport{Tray: p.Tray.ID, Layer: p.Layer})
		}
		list[at].Copies++
	}
	return list
}

// SetupReport is a sheet on the machine; X and Y from its lower-left corner.
type SetupReport struct {
	Sheet       string            `json:"sheet" means:"its name"`
	Foam        string            `json:"foam" means:"of the sheet"`
	ThicknessMM float64           `json:"thickness_mm" means:"as sold"`
	SizeMM      [2]float64        `json:"size_mm" means:"length and width, as it lies"`
	ZeroMM      [2]float64        `json:"zero_mm" means:"where its program's X0 Y0 lies"`
	Parts       []SetupPartReport `json:"parts" means:"that lie on it"`
	UsedShare   float64           `json:"used_share" means:"of the sheet"`
	Offcuts     []OffcutReport    `json:"offcuts" means:"that stay"`
	Panel       *PanelReport      `json:"panel,omitempty" means:"of a sheet that is parted for the machine"`
}

// SetupPartReport is a layer of a tray on a setup, where its lower-left corner, without ease, lies
// after turning.
type SetupPartReport struct {
	Tray  string  `json:"tray" means:"its id"`
	Layer int     `json:"layer" means:"from the top, 1 first"`
	Copy  int     `json:"copy" means:"from 1"`
	XMM   float64 `json:"x_mm" means:"lower-left corner after turning"`
	YMM   float64 `json:"y_mm" means:"the same, along Y"`
	Turn  int     `json:"turn" means:"0, 90, 180 or 270 degrees, counter-clockwise"`
}

// OffcutReport is a rectangle of a sheet, or of a setup: what stays, or a panel.
type OffcutReport struct {
	XMM      float64 `json:"x_mm" means:"lower-left corner"`
	YMM      float64 `json:"y_mm" means:"the same, along Y"`
	LengthMM float64 `json:"length_mm" means:"along X"`
	WidthMM  float64 `json:"width_mm" means:"along Y"`
	Name     string  `json:"name,omitempty" means:"in the rack that is left; of what stays"`
}

// PanelReport is which part of a sheet a setup is: its lower-left corner in the sheet as that lies.
type PanelReport struct {
	Of     string     `json:"of" means:"the sheet that it is parted from"`
	SizeMM [2]float64 `json:"size_mm" means:"of that sheet"`
	XMM    float64    `json:"x_mm" means:"where the panel lies in it"`
	YMM    float64    `json:"y_mm" means:"the same, along Y"`
}

// describeSetups is a layout in the report: never nil.
func describeSetups(l stock.Layout) []SetupReport {
	list := []SetupReport{}
	for _, s := range l.Setups {
		r := SetupReport{Sheet: s.Name, Foam: s.Foam, ThicknessMM: round(s.Layer, 1e-4), SizeMM: s.SizeMM, ZeroMM: s.ZeroMM, UsedShare: round(s.UsedShare, 1e-4), Offcuts: describeRects(s.Offcuts, s.Called)}
		for _, p := range s.Parts {
			r.Parts = append(r.Parts, SetupPartReport{p.Tray.ID, p.Layer, p.Copy, round(p.AtMM[0], 1e-4), round(p.AtMM[1], 1e-4), p.Turn})
		}
		if s.From.Sheet != "" {
			r.Panel = &PanelReport{s.From.Sheet, s.From.SizeMM, s.From.AtMM[0], s.From.AtMM[1]}
		}
		list = append(list, r)
	}
	return list
}

// laidNames are the parts of a setup in a line for a program's header.
func laidNames(s *stock.Setup) string {
	var list []string
	for _, p := range s.Parts {
		list = append(list, p.Label())
	}
	return page.Listed(list)
}

// PartedReport is a sheet that is parted into panels before it goes on the machine, and what stays beside them.
type PartedReport struct {
	Sheet   string         `json:"sheet" means:"its name"`
	SizeMM  [2]float64     `json:"size_mm" means:"as it lies"`
	Panels  []OffcutReport `json:"panels" means:"that something is cut from, p1 first"`
	Offcuts []OffcutReport `json:"offcuts" means:"that stay"`
}

func describeParted(l stock.Layout) (list []PartedReport) {
	for _, p := range l.Parted {
		list = append(list, PartedReport{p.Sheet, p.SizeMM, describeRects(p.Panels, nil), describeRects(p.Rest, p.Called)})
	}
	return list
}

// describeRects are rectangles in the report, with their names where they have some: never nil.
func describeRects(rects []stock.Rect, called []string) []OffcutReport {
	list := []OffcutReport{}
	for i, r := range rects {
		o := OffcutReport{round(r.XMM, 1e-3), round(r.YMM, 1e-3), round(r.LengthMM, 1e-3), round(r.WidthMM, 1e-3), ""}
		if i < len(called) {
			o.Name = called[i]
		}
		list = append(list, o)
	}
	return list
}
