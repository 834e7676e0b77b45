package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/geometry/units"
	"traywright/profiles"
)

var (
	bareFlag      = &cli.StringFlag{Name: "bare", Usage: "unit of numbers without one, `mm|in`; left out, mm, or what a line `# units: in` says"}
	dropFlag      = &cli.StringSliceFlag{Name: "drop", Usage: "leave the reading at `LINE`, LINE:hole or LINE:plug out; may be given more than once"}
	dateFlag      = &cli.StringFlag{Name: "date", Usage: "when it was measured, `2026-03-01`, where the file does not say"}
	saveFlag      = &cli.StringFlag{Name: "save", Usage: "write the measured recipes and scales into the folder of profiles `DIR`"}
	stepFlag      = &cli.IntSliceFlag{Name: "step", Usage: "of several kerfs of one foam save number `N`"}
	kerfForceFlag = &cli.BoolFlag{Name: "force", Usage: "replace what an earlier --save wrote"}
	kerfOutFlag   = &cli.StringFlag{Name: "out", Usage: "write the report and its pictures into `DIR`, all or nothing"}
	weighFlag     = &cli.BoolFlag{Name: "weigh", Usage: "FILE is a table of blocks, foam,length,width,height,mass: print their densities"}
	forFlag       = &cli.StringFlag{Name: "for", Usage: "read the kerf of `FOAM`, of a measured kind, from kerf against density"}
	densityFlag   = &cli.Float64Flag{Name: "density", Usage: "of the foam of --for as weighed, `KG/M3`; left out, its profile's"}
	beyondFlag    = &cli.BoolFlag{Name: "beyond", Usage: "let --for go beyond the densities that were measured"}
)

func kerfCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "kerf",
		Usage:     "turn a coupon's measurements into a recipe, with its uncertainty",
		ArgsUsage: "FILE",
		Description: "FILE is the filled-in table of `traywright coupon`, or any CSV of foam,thickness,machine,axis,size,hole,plug.\n" +
			"Kerf and the machine's scale error are told apart for each axis; an outlier is named, and kept until you drop it.\n" +
			"Example: traywright kerf coupon.csv --out kerf --save profiles && traywright cut job.yaml --profiles profiles --out out",
		Flags: talkFlags(profilesFlag, unitsFlag, bareFlag, dropFlag, dateFlag, saveFlag, stepFlag, kerfForceFlag, kerfOutFlag, keepFlag, weighFlag, forFlag, densityFlag, beyondFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := oneArgument(c, "a table of measurements")
			if err != nil {
				return err
			}
			if c.Bool(weighFlag.Name) {
				return s.weigh(c, path)
			}
			return s.kerf(c, path)
		},
	})
}

// kerfRun is one run of the command.
type kerfRun struct {
	*session
	c       *cli.Context
	unit    units.Unit
	catalog *profiles.Catalog
	date    string
	fits    []kerf.Fit
	report  kerf.Report
}

func (s *session) kerf(c *cli.Context, path string) error {
	run, readings, found, err := s.readKerf(c, path)
	if err != nil {
		return err
	}
	drop, err := drops(c.StringSlice(dropFlag.Name))
	if err != nil {
		return err
	}
	fits, more := kerf.Analyse(readings, run.catalog, drop)
	found = append(append(found, more...), kerf.Advice(path, kerf.Ladders(fits))...)
	run.fits, run.report = fits, kerf.Describe(path, fits, found)
	var files []kerf.ProfileFile
	if !found.Failed() {
		files = run.wanted()
	}
	if run.report.Findings.Failed() {
		return run.show()
	}
	return s.deliver(c.Context, func(d *delivery) error { return run.write(d, files) }, run.show)
}

// readKerf reads everything that the command line names.
func (s *session) readKerf(c *cli.Context, path string) (*kerfRun, *kerf.Readings, finding.List, error) {
	run := &kerfRun{session: s, c: c, date: c.String(dateFlag.Name)}
	if run.date != "" && !kerf.ValidDate(run.date) {
		return nil, nil, nil, usageError{fmt.Sprintf("--date takes a date such as 2026-03-01, not %q", run.date), ""}
	}
	if err := folderOf(c, kerfOutFlag).mayWrite(); err != nil {
		return nil, nil, nil, err
	}
	bare, err := bareUnit(c)
	if err != nil {
		return nil, nil, nil, err
	}
	if run.unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return nil, nil, nil, err
	}
	if run.catalog, err = readCatalog(c); err != nil {
		return nil, nil, nil, err
	}
	text, err := readPlain(path)
	if err != nil {
		return nil, nil, nil, cannotRead(path, err)
	}
	readings, found, err := kerf.Read(filepath.ToSlash(path), text, bare)
	if err != nil {
		return nil, nil, nil, readError(path, err)
	}
	return run, readings, found, nil
}

// bareUnit is the unit of numbers without one.
func bareUnit(c *cli.Context) (units.Unit, error) {
	switch name := c.String(bareFlag.Name); name {
	case "", "mm":
		return units.Millimetre, nil
	case "in":
		return units.Inch, nil
	default:
		return 0, usageError{fmt.Sprintf("--bare takes mm or in, not %q", name), ""}
	}
}

func drops(texts []string) ([]kerf.Drop, error) {
	var list []kerf.Drop
	for _, text := range texts {
		d, err := kerf.ParseDrop(text)
		if err != nil {
			return nil, usageError{"--drop: " + err.Error(), ""}
		}
		list = append(list, d)
	}
	return list, nil
}

// fail adds an error to the report.
func (r *kerfRun) fail(rule, where, message, hint string) {
	r.report.Findings = append(r.report.Findings, finding.Finding{Rule: rule, Where: where, Message: message, Hint: hint})
}

// wanted is the profiles that --save and --for ask for.
func (r *kerfRun) wanted() []kerf.ProfileFile {
	if foam := r.c.String(forFlag.Name); foam != "" {
		if file, ok := r.predict(foam); ok {
			return []kerf.ProfileFile{file}
		}
		return nil
	}
	if r.c.String(saveFlag.Name) == "" {
		return nil
	}
	files, found := kerf.Profiles(r.chosen(), r.date)
	r.report.Findings = append(r.report.Findings, found...)
	return files
}

// chosen is the fits that --step names, else all.
func (r *kerfRun) chosen() []kerf.Fit {
	steps := r.c.IntSlice(stepFlag.Name)
	if len(steps) == 0 {
		return r.fits
	}
	var list []kerf.Fit
	for _, n := range steps {
		if n < 1 || n > len(r.fits) {
			r.fail("no-such-step", r.report.File, fmt.Sprintf("there is no kerf number %d", n), fmt.Sprintf("they are numbered 1 to %d", len(r.fits)))
			continue
		}
		list = append(list, r.fits[n-1])
	}
	return list
}

// predict reads the kerf of a foam from the curve of its kind.
func (r *kerfRun) predict(id string) (kerf.ProfileFile, bool) {
	foam, ok := r.catalog.Foam(id)
	if !ok {
		r.fail("unknown-foam", "--for", fmt.Sprintf("there is no foam %q", id), "`traywright profiles` lists them; --profiles adds your own")
		return kerf.ProfileFile{}, false
	}
	density := r.c.Float64(densityFlag.Name)
	if density == 0 {
		density = foam.DensityKgM3.Value
	}
	var fitting []*kerf.Curve
	for _, c := range kerf.Curves(r.fits) {
		if c.Kind == foam.Kind {
			fitting = append(fitting, c)
		}
	}
	if len(fitting) != 1 {
		r.fail("no-curve", "--for", fmt.Sprintf("%d curves of kerf against density fit %s, of kind %s", len(fitting), id, foam.Kind),
			"measure two densities or more of its kind, at one thickness and setting, with one tool, in one file; a kerf is never carried across kinds")
		return kerf.ProfileFile{}, false
	}
	beyond := r.c.Bool(beyondFlag.Name)
	file, e, err := fitting[0].Profile(foam, density, r.catalog, beyond, r.date)
	if err != nil {
		hint := "write its recipe into a folder of profiles first"
		if errors.Is(err, kerf.ErrBeyond) {
			hint = "measure a coupon of it; or add --beyond, and the cut sheet will say so"
		}
		r.fail("cannot-predict", "--for", err.Error(), hint)
		return kerf.ProfileFile{}, false
	}
	least, greatest := fitting[0].Range()
	outside := density < least || density > greatest
	if outside {
		r.report.Findings = append(r.report.Findings, finding.Finding{
			Severity: finding.Warning, Rule: "beyond-measured", Where: "--for " + id,
			Message: fmt.Sprintf("%.4g kg/m3 is beyond the %.4g to %.4g kg/m3 that were measured", density, least, greatest), Hint: "the cut sheet says so; measure a coupon of it",
		})
	}
	r.report.Predicted = &kerf.PredictReport{Foam: id, DensityKgM3: density, KerfMM: e, Beyond: outside}
	return file, true
}

// write puts the profiles and the pictures where they were asked for. Whatever
// can be refused is refused before either is touched.
func (r *kerfRun) write(d *delivery, profiles []kerf.ProfileFile) error {
	dir, out := r.c.String(saveFlag.Name), folderOf(r.c, kerfOutFlag)
	if dir == "" {
		profiles = nil
	}
	if err := maySaveProfiles(dir, profiles, r.c.Bool(kerfForceFlag.Name)); err != nil {
		return err
	}
	if out.dir != "" {
		files, err := r.pictures()
		if err != nil {
			return err
		}
		if _, err := d.folder(out, files); err != nil {
			return err
		}
		r.say("wrote %d files to %s", len(files), out.dir)
	}
	if len(profiles) == 0 {
		return nil
	}
	for _, f := range profiles {
		r.report.Files = append(r.report.Files, kerf.WrittenReport{Path: filepath.ToSlash(filepath.Join(dir, f.Name)), SHA256: cam.Sum(f.Data), Kind: "profile"})
	}
	return d.profiles(dir, profiles)
}

// pictures is the report and its pictures as a folder's files.
func (r *kerfRun) pictures() ([]cam.File, error) {
	pictures, err := kerf.Pictures(r.fits, r.unit)
	if err != nil {
		return nil, err
	}
	report := r.report
	var files []cam.File
	for _, p := range pictures {
		report.Files = append(report.Files, kerf.WrittenReport{Path: p.Name, SHA256: cam.Sum(p.Data), Kind: "png"})
		files = append(files, cam.File{Path: p.Name, Data: p.Data})
	}
	text, err := report.JSON()
	return append([]cam.File{{Path: cam.ReportName, Data: cam.Seal(text)}}, files...), err
}

// weigh prints the densities of blocks.
func (s *session) weigh(c *cli.Context, path string) error {
	bare, err := bareUnit(c)
	if err != nil {
		return err
	}
	catalog, err := readCatalog(c)
	if err != nil {
		return err
	}
	text, err := readPlain(path)
	if err != nil {
		return cannotRead(path, err)
	}
	blocks, found, err := kerf.ReadBlocks(filepath.ToSlash(path), text, bare)
	if err != nil {
		return readError(path, err)
	}
	run := &kerfRun{session: s, c: c, catalog: catalog, report: kerf.Describe(path, nil, found)}
	if !found.Failed() {
		for _, b := range blocks {
			run.report.Blocks = append(run.report.Blocks, kerf.BlockReport{Foam: b.Foam, Line: b.At.Line, DensityKgM3: b.Density()})
		}
	}
	return run.show()
}
