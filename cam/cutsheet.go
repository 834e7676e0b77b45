package cam

import (
	"bytes"
	"fmt"
	"io"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/profiles"
)

// Cautions are what to mind in the whole job, for the terminal.
func Cautions(r Request, p *plan.Plan) []string { return safety.Cautions(uses(r, p.Machine), r.Rules) }

// cutSheet gathers what the pages for the person at the machine need.
func cutSheet(r Request, p *plan.Plan, works []*sheetWork, found finding.List) page.CutSheet {
	c := page.CutSheet{
		Plan: p, Unit: r.Unit, Findings: found, Overview: overviewOptions(r, p, works),
		Burns: safety.IfItBurns(p.Machine.Process), Eyewear: safety.Eyewear(p.Machine),
	}
	var all []safety.Use
	for _, w := range works {
		all = append(all, w.uses(p.Machine)...)
		c.Sheets = append(c.Sheets, w.page(r, p))
	}
	c.Owner = safety.Requires(all, r.Rules)
	return c
}

// page is the sheet as its page needs it.
func (w *sheetWork) page(r Request, p *plan.Plan) page.Sheet {
	m := p.Machine
	uses := w.uses(m)
	return page.Sheet{
		Name: w.name, File: w.programPath(0), Parts: w.makes, Tray: w.tray, Sheet: w.sheet, Foams: w.foams(), Program: w.program, Stats: w.stats, Run: w.run, Picture: w.pictureOptions(r, p),
		Drawings: w.drawingsText(), BlankMM: w.blank(m), InsetMM: w.inset(m),
		Owner: safety.Requires(uses, r.Rules), Cautions: safety.Cautions(uses, r.Rules),
	}
}

// blank is the least foam that a sheet is cut from, X and Y: what the tool's
// centre sweeps, in true mm, and half a kerf on each side.
func (w *sheetWork) blank(m profiles.Machine) [2]float64 {
	s, kerf := w.stats, w.kerf().Value
	x, y := m.Scale()
	return [2]float64{x*(s.Max.X-s.Min.X) + kerf, y*(s.Max.Y-s.Min.Y) + kerf}
}

// inset is how far from the left and the front edge of its blank X0 Y0 has to
// lie at least, so that the outline's whole cut is in foam.
func (w *sheetWork) inset(m profiles.Machine) [2]float64 {
	half := w.kerf().Value / 2
	x, y := m.Scale()
	return [2]float64{max(0, half-x*w.stats.Min.X), max(0, half-y*w.stats.Min.Y)}
}

// written is a file of the output folder that write makes.
func written(name string, write func(io.Writer) error) (File, error) {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return File{}, fmt.Errorf("%s: %w", name, err)
	}
	return File{name, b.Bytes()}, nil
}
