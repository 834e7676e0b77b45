package cam

import (
	"bytes"
	"fmt"
	"path"
	"strings"

	"traywright/cam/draw"
	"traywright/cam/dryrun"
	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Trial is a program that is already written, ours or not, and what is known
// of where it will run.
type Trial struct {
	Name        string // its path, as the user gave it
	Text        []byte
	Machine     profiles.Machine // the zero value: the one that the program names, if it names one
	KerfMM      float64          // of every tool; 0: what the program or the machine says
	ThicknessMM float64          // of the foam; 0: what the program says
	Unit        units.Unit
}

// Try cuts virtual foam with a program. With a plan, the program is compared
// with the sheet that it was made for; a program that belongs to none of the
// plan's sheets is a finding.
func Try(t Trial, c *profiles.Catalog, p *plan.Plan) (dryrun.Result, finding.List) {
	s := dryrun.SetupFor(t.Text, c.Machine)
	if t.Machine.ID != "" {
		s.Machine = t.Machine
	}
	if t.ThicknessMM > 0 {
		s.ThicknessMM = t.ThicknessMM
	}
	for _, tool := range s.Machine.Tools {
		if t.KerfMM > 0 {
			s.KerfMM[tool.Number] = t.KerfMM
		}
	}
	if p == nil {
		return dryrun.Run(t.Name, t.Text, s, nil), nil
	}
	tray, sheet := sheetOf(t, p)
	if sheet == nil {
		return dryrun.Run(t.Name, t.Text, s, nil), finding.List{{
			Rule: "no-such-sheet", Where: t.Name, Message: "the job has no sheet that this program could be for",
			Hint: "keep the folder and file names that `cut` wrote, or leave --job out",
		}}
	}
	w := newSheetWork(tray, sheet)
	return dryrun.Run(t.Name, t.Text, w.setup(p.Machine), w.wanted(p.Machine)), nil
}

// sheetOf is the sheet whose program has the trial's name, or nil.
func sheetOf(t Trial, p *plan.Plan) (*plan.Tray, *plan.Sheet) {
	name := "/" + strings.TrimPrefix(path.Clean(strings.ReplaceAll(t.Name, "\\", "/")), "/")
	for i := range p.Trays {
		for k := range p.Trays[i].Sheets {
			tray, sheet := &p.Trays[i], &p.Trays[i].Sheets[k]
			if strings.HasSuffix(name, "/"+newSheetWork(tray, sheet).name+".ngc") {
				return tray, sheet
			}
		}
	}
	return nil, nil
}

// Picture is the PNG of a dry run.
func Picture(t Trial, r dryrun.Result) ([]byte, error) {
	var b bytes.Buffer
	if err := draw.Sheet(&b, r, draw.SheetOptions{Title: path.Base(t.Name), Unit: t.Unit, Machine: t.Machine}); err != nil {
		return nil, fmt.Errorf("%s: %w", t.Name, err)
	}
	return b.Bytes(), nil
}
