package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/geometry/units"
	"traywright/profiles"
)

// KerfRequest is a filled-in table, and what is asked of it.
type KerfRequest struct {
	File    string // as messages name the table
	Text    []byte
	Bare    units.Unit // of lengths without one
	BareSet bool       // somebody has said so
	Catalog *profiles.Catalog
	Drop    []kerf.Drop
	Date    string       // where the table has none: 2026-03-01, or ""
	Save    bool         // make profiles of the fits
	Afresh  bool         // of this table alone: earlier coupons of the same kerfs are left out
	Steps   []int        // of these alone, counted from 1; none: all
	For     *kerf.Wanted // read the kerf of a foam from kerf against density; nil: of none
	// Saved has what was saved before in the folder that the profiles go into; nil where there is none.
	Saved *profiles.Catalog
}

// KerfResult is what a table says. Profiles are there only when no finding is an
// error.
type KerfResult struct {
	Fits     []kerf.Fit
	Checks   []kerf.PocketCheck
	Report   kerf.Report
	Profiles []kerf.ProfileFile
	Bare     units.Unit // of the table's numbers without one
}

// Kerf turns a filled-in table into kerfs, scales and their intervals, and into
// the profiles that were asked for. The error is a text that is no table.
func Kerf(q KerfRequest) (KerfResult, error) {
	readings, found, err := kerf.Read(q.File, q.Text, q.Bare)
	if err != nil {
		return KerfResult{}, err
	}
	fits, more := kerf.Analyse(readings, q.Catalog, q.Drop)
	kerf.PoolKerfs(fits, q.Saved, q.Date, q.Afresh)
	scales := kerf.Scales(fits, scalesIn(q.Saved), q.Date)
	found = slices.Concat(q.twoUnits(readings.Bare), found, more, kerf.Advice(q.File, kerf.Ladders(fits)), kerf.JudgeCurrents(q.File, fits), kerf.JudgeKerfs(q.File, fits, q.Save), kerf.JudgeScales(q.File, scales))
	r := KerfResult{Fits: fits, Report: kerf.Describe(q.File, fits, scales, found), Bare: readings.Bare}
	if found.Failed() {
		return r, nil
	}
	if q.For != nil {
		r.predict(q)
	} else if q.Save {
		r.save(q, scales)
	}
	if len(r.Profiles) > 0 && q.Save {
		r.Report.Findings = append(r.Report.Findings, kerf.KeepSaved(r.Profiles, q.Saved, r.Bare, q.Afresh)...)
	}
	if r.Report.Findings.Failed() {
		r.Profiles = nil
	}
	if len(r.Profiles) > 0 && q.Save {
		r.sayForce()
	}
	return r, nil
}

// sayForce adds to hints about readings that may be left out how that is saved, for what is saved has them now.
func (r *KerfResult) sayForce() {
	for i, f := range r.Report.Findings {
		if strings.Contains(f.Hint, " with --drop ") {
			r.Report.Findings[i].Hint += "; what is saved now has it: --force beside that saves it anew"
		}
	}
}

// twoUnits refuses a unit of bare lengths that is not the one of the table's own line: which of them is meant, nobody knows.
func (q KerfRequest) twoUnits(table units.Unit) finding.List {
	if !q.BareSet || table == q.Bare {
		return nil
	}
	return finding.List{{Rule: "two-units", Where: q.File, Message: fmt.Sprintf("its line `# units: %s` is not what --bare %s says", table, q.Bare),
		Hint: "leave --bare out where the line is right; else change the line"}}
}

// scalesIn are what earlier coupons said of the machines.
func scalesIn(saved *profiles.Catalog) map[string][]profiles.ScaleReading {
	scales := map[string][]profiles.ScaleReading{}
	if saved != nil {
		for _, m := range saved.Machines() {
			scales[m.ID] = m.ScaleReadings
		}
	}
	return scales
}

// predict reads the kerf of a foam from the curve of its kind.
func (r *KerfResult) predict(q KerfRequest) {
	p, found := kerf.Predict(r.Fits, *q.For, q.Catalog, q.Date)
	r.Report.Findings = append(r.Report.Findings, found...)
	if p != nil {
		r.Report.Predicted, r.Profiles = &p.Report, []kerf.ProfileFile{p.File}
	}
}

// save makes profiles of the fits that were asked for.
func (r *KerfResult) save(q KerfRequest, scales []kerf.Scale) {
	chosen := r.Fits
	if len(q.Steps) > 0 {
		chosen = nil
	}
	for _, n := range q.Steps {
		if n < 1 || n > len(r.Fits) {
			r.Report.Findings = append(r.Report.Findings, finding.Finding{
				Rule: "no-such-step", Where: q.File, Message: fmt.Sprintf("there is no kerf number %d", n), Hint: fmt.Sprintf("they are numbered 1 to %d", len(r.Fits)),
			})
			continue
		}
		chosen = append(chosen, r.Fits[n-1])
	}
	files, found := kerf.Profiles(chosen, scales, q.Date)
	r.Report.Findings = append(r.Report.Findings, found...)
	r.Profiles = files
}

// Folder is the report and its pictures as files, lengths in a unit.
func (r KerfResult) Folder(unit units.Unit) ([]File, error) {
	pictures, err := page.KerfPictures(r.Fits, unit)
	if err != nil {
		return nil, err
	}
	report := r.Report
	report.Files = slices.Clone(report.Files)
	var files []File
	for _, p := range pictures {
		f := Sign(File{p.Name, p.Data})
		report.Files = append(report.Files, kerf.WrittenReport{Path: f.Path, SHA256: Sum(f.Data), Kind: "png"})
		files = append(files, f)
	}
	text, err := finding.JSON(report)
	return append([]File{{Path: ReportName, Data: seal(text)}}, files...), err
}

// Weigh turns a table of blocks on a scale into densities. Of the request it takes
// File, Text and Bare.
func Weigh(q KerfRequest) (KerfResult, error) {
	blocks, bare, found, err := kerf.ReadBlocks(q.File, q.Text, q.Bare)
	if err != nil {
		return KerfResult{}, err
	}
	found = append(q.twoUnits(bare), found...)
	r := KerfResult{Report: kerf.Describe(q.File, nil, nil, found)}
	if !found.Failed() {
		for _, b := range blocks {
			r.Report.Blocks = append(r.Report.Blocks, kerf.BlockReport{Foam: b.Foam, Line: b.At.Line, DensityKgM3: b.Density()})
		}
	}
	return r, nil
}

// CheckKerf holds the sizes of cut pockets against the kerfs in force. Of the request it takes
// File, Text, Bare, Catalog and Drop.
func CheckKerf(q KerfRequest) (KerfResult, error) {
	readings, found, err := kerf.ReadPockets(q.File, q.Text, q.Bare)
	if err != nil {
		return KerfResult{}, err
	}
	checks, more := kerf.CheckPockets(readings, q.Catalog, q.Drop)
	r := KerfResult{Checks: checks, Report: kerf.Describe(q.File, nil, nil, slices.Concat(q.twoUnits(readings.Bare), found, more)), Bare: readings.Bare}
	for _, p := range checks {
		r.Report.Checks = append(r.Report.Checks, p.Describe())
	}
	return r, nil
}
