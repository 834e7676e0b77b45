package cam

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Cautions are what to mind in the whole job, for the terminal.
func Cautions(r Request, p *plan.Plan) []string { return safety.Cautions(uses(r, p.Machine), r.Rules) }

// cutSheet gathers what the pages for the person at the machine need.
func cutSheet(r Request, p *plan.Plan, works []*sheetWork, found finding.List) page.CutSheet {
	c := page.CutSheet{
		Plan: p, Unit: r.Unit, Findings: found, Overview: overviewOptions(r, p, works, works),
		Eyewear: safety.Eyewear(p.Machine),
	}
	var all []safety.Use
	for _, w := range works {
		all = append(all, w.uses(p.Machine)...)
		c.Sheets = append(c.Sheets, w.page(r, p))
	}
	c.Owner, c.Burns = safety.Requires(all, r.Rules), ifItBurns(all)
	return c
}

// ifItBurns is what to do when any of the uses burns, each once.
func ifItBurns(uses []safety.Use) (list []string) {
	for _, u := range uses {
		for _, text := range safety.IfItBurns(u.Machine.Process) {
			if !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	return list
}

// page is the sheet as its page needs it.
func (w *sheetWork) page(r Request, p *plan.Plan) page.Sheet {
	m := p.Machine
	uses := w.uses(m)
	blank, inset := w.laid(m, r.Unit)
	return page.Sheet{
		Laid: w.laidOn, Offcut: w.offcut,
		Name: w.name, File: w.path(), K: w.k, Of: w.of, Parts: w.makes, Tray: w.tray, Sheet: w.sheet, Foams: w.foams(), Program: w.program, Stats: w.stats, Whole: w.whole, Run: w.run, Picture: w.pictureOptions(r, p),
		Drawings: w.drawingsText(p), BlankMM: blank, InsetMM: inset, ClampMM: w.clamped(), UncutMM: w.uncut(m, blank, inset),
		Owner: safety.Requires(uses, r.Rules), Cautions: safety.Cautions(uses, r.Rules), Burns: ifItBurns(uses),
	}
}

const (
	clampMM = 15.0 // of foam under a clamp: common practice, no source
	pinMM   = 5.0  // of foam beside a beam's cut, to pin it by: common practice, no source
)

// clamped is how much of the foam's rim clamps may take, though saws have taken of it what they may.
func (w *sheetWork) clamped() float64 {
	if w.laidOn == nil {
		return clampMM
	}
	return clampMM - w.laidOn.LackMM()
}

// rim is how much foam is needed beyond the cut to hold it by, mm: a cutter's nut, wider
// than its cut, has to pass by the clamps.
func (w *sheetWork) rim(m profiles.Machine) float64 {
	if is := m.Process.Traits(); is.Upright || is.ByHand {
		return pinMM
	}
	nut := 0.0
	for _, c := range w.sheet.All() {
		nut = max(nut, (c.Tool.NutMM()-c.WidestMM())/2)
	}
	return clampMM + nut
}

// laid is the least foam that a person lays on the machine, X and Y, and where X0 Y0
// lies in it from its left and front edge: with a rim, and in round numbers. A sheet of the stock
// is as it is.
func (w *sheetWork) laid(m profiles.Machine, u units.Unit) (blank, inset [2]float64) {
	if w.laidOn != nil {
		return w.laidOn.SizeMM, w.laidOn.ZeroMM
	}
	if w.offcut != nil {
		return w.offcut.SizeMM, w.offcut.ZeroMM
	}
	rim, need, in := w.rim(m), w.blank(m), w.inset(m)
	for i := range blank {
		inset[i] = roundUp(in[i]+rim, u)
		blank[i] = roundUp(inset[i]-in[i]+need[i]+rim, u)
	}
	return blank, inset
}

// roundUp is the next round number, for a hand to measure.
func roundUp(mm float64, u units.Unit) float64 {
	step := stock.RoundMM(u)
	return math.Ceil(mm/step-1e-9) * step
}

// blank is the least foam that a sheet is cut from, X and Y.
func (w *sheetWork) blank(m profiles.Machine) [2]float64 {
	b := w.inFoam(m)
	return [2]float64{b.Width(), b.Height()}
}

// inset is how far from the left and the front edge of its blank X0 Y0 has to
// lie at least, so that the outline's whole cut is in foam.
func (w *sheetWork) inset(m profiles.Machine) [2]float64 {
	b := w.inFoam(m)
	return [2]float64{max(0, -b.Min.X), max(0, -b.Min.Y)}
}

// inFoam is what the tool's centre sweeps, in true mm, and half a kerf on each side. Beside its outline there is as much on every
// side as on the one where the way in lies, so that trays of one size need foam of one size wherever their cuts begin.
func (w *sheetWork) inFoam(m profiles.Machine) geometry.Box {
	edge := w.sheet.Edge.Shape.Bounds()
	if m.Process.Traits().Wire { // which begins beside the foam
		return edge.Grow(w.kerf().Value)
	}
	cut := w.trueBox(w.swept.Min.Point, w.swept.Max.Point, m).Grow(w.kerf().Value / 2)
	beside := max(0, edge.Min.X-cut.Min.X, edge.Min.Y-cut.Min.Y, cut.Max.X-edge.Max.X, cut.Max.Y-edge.Max.Y)
	return cut.Union(edge.Grow(beside))
}

// uncut is how much foam stays beside all that is cut, on the left, the right, in front and at the back.
func (w *sheetWork) uncut(m profiles.Machine, blank, inset [2]float64) [4]float64 {
	if r := w.rim(m); w.offcut != nil { // of several pieces
		return [4]float64{r, r, r, r}
	}
	cut := w.trueBox(w.swept.Min.Point, w.swept.Max.Point, m).Grow(w.kerf().Value / 2)
	sawn := [2]float64{}
	if w.laidOn != nil {
		sawn = w.laidOn.SawnMM()
	}
	return [4]float64{inset[0] + cut.Min.X, blank[0] - inset[0] - cut.Max.X - sawn[0], inset[1] + cut.Min.Y, blank[1] - inset[1] - cut.Max.Y - sawn[1]}
}

// written is a file of the output folder that write makes, signed.
func written(name string, write func(io.Writer) error) (File, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return File{}, fmt.Errorf("%s: %w", name, err)
	}
	return Sign(File{name, b.Bytes()}), nil
}
