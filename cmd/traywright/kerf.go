package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/geometry/units"
)

var (
	bareFlag      = &cli.StringFlag{Name: "bare", Usage: "unit of numbers without one, `mm|in`; left out, mm, or what a line \"# units: in\" says"}
	kerfUnits     = &cli.StringFlag{Name: unitsFlag.Name, Usage: "print lengths in `mm|in`; left out, the unit of FILE's numbers without one"}
	dropFlag      = &cli.StringSliceFlag{Name: "drop", Usage: "leave the reading at `LINE`, LINE:hole or LINE:plug out; may be given more than once"}
	dateFlag      = &cli.StringFlag{Name: "date", Usage: "when it was measured, `2026-03-01`, where the file does not say"}
	saveFlag      = &cli.StringFlag{Name: "save", Usage: "write the measured recipes and scales into the folder of profiles `DIR`"}
	stepFlag      = &cli.IntSliceFlag{Name: "step", Usage: "of several kerfs of one foam save number `N`"}
	kerfForceFlag = &cli.BoolFlag{Name: "force", Usage: "replace what an earlier --save wrote"}
	afreshFlag    = &cli.BoolFlag{Name: "afresh", Usage: "save this table's kerfs alone, and leave earlier coupons of them out: where tool, foam or machine was changed"}
	kerfOutFlag   = &cli.StringFlag{Name: "out", Usage: "write the report and its pictures into `DIR`, all or nothing"}
	weighFlag     = &cli.BoolFlag{Name: "weigh", Usage: "FILE is a table of blocks, foam,length,width,height,mass: print their densities"}
	checkFlag     = &cli.BoolFlag{Name: "check", Usage: "FILE has the sizes of cut pockets, foam,thickness,machine,axis,size,hole: say whether the kerf in force held"}
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
			"With --check FILE has no plugs, and size is the pocket's in report.json, length_mm along x, width_mm along y; where the\n" +
			"kerf in force did not hold the exit code is 1, and a hint says what to change.\n" +
			"--save adds the coupon to those that the kerf and the machine's scale rest on; programs are corrected where they leave\n" +
			"1 out, and coupons of a kerf that lie farther apart than chance explains are not pooled: --afresh begins anew. A\n" +
			"hot wire's kerf goes by feed and current, and is never pooled: --force puts a later table in the place of an earlier one.\n" +
			"Example: traywright kerf coupon.csv --out kerf --save profiles && traywright cut job.yaml --profiles profiles --out out",
		Flags: talkFlags(profilesFlag, kerfUnits, bareFlag, dropFlag, dateFlag, saveFlag, stepFlag, afreshFlag, kerfForceFlag, kerfOutFlag, keepFlag, checkFlag, weighFlag, forFlag, densityFlag, beyondFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := oneArgument(c, "a table of measurements")
			if err != nil {
				return err
			}
			if c.Bool(checkFlag.Name) {
				return s.checkKerf(c, path)
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
	c    *cli.Context
	unit units.Unit
	cam.KerfResult
}

func (s *session) kerf(c *cli.Context, path string) error {
	run, request, err := s.readKerf(c, path)
	if err != nil {
		return err
	}
	if run.KerfResult, err = cam.Kerf(request); err != nil {
		return readError(path, err)
	}
	if !c.IsSet(unitsFlag.Name) {
		run.unit = run.Bare
	}
	if run.Report.Findings.Failed() {
		return run.show()
	}
	return s.deliver(c.Context, func(d *delivery) error { return run.write(d) }, run.show)
}

// readKerf reads everything that the command line names.
func (s *session) readKerf(c *cli.Context, path string) (*kerfRun, cam.KerfRequest, error) {
	run := &kerfRun{session: s, c: c}
	s.takeFlags(c, "", &job.Job{})
	q := cam.KerfRequest{File: filepath.ToSlash(path), Date: c.String(dateFlag.Name), Save: c.String(saveFlag.Name) != "", Afresh: c.Bool(afreshFlag.Name), Steps: c.IntSlice(stepFlag.Name)}
	if q.Date != "" && !kerf.ValidDate(q.Date) {
		return nil, q, usage(fmt.Sprintf("--date takes a date such as 2026-03-01, not %q", q.Date), "write year, month and day: --date 2026-03-01")
	}
	if foam := c.String(forFlag.Name); foam != "" {
		q.For = &kerf.Wanted{Foam: foam, DensityKgM3: c.Float64(densityFlag.Name), Beyond: c.Bool(beyondFlag.Name)}
	}
	if err := folderOf(c, kerfOutFlag).mayWrite(); err != nil {
		return nil, q, err
	}
	var err error
	if q.Drop, err = drops(c.StringSlice(dropFlag.Name)); err != nil {
		return nil, q, err
	}
	if q.Bare, err = bareUnit(c); err != nil {
		return nil, q, err
	}
	q.BareSet = c.IsSet(bareFlag.Name)
	if run.unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return nil, q, err
	}
	if q.Catalog, err = readCatalog(c); err != nil {
		return nil, q, err
	}
	q.Saved = savedIn(c.String(saveFlag.Name))
	if q.Text, err = readPlain(path); err != nil {
		return nil, q, cannotRead(path, err)
	}
	return run, q, nil
}

// bareUnit is the unit of numbers without one.
func bareUnit(c *cli.Context) (units.Unit, error) {
	switch name := c.String(bareFlag.Name); strings.ToLower(name) {
	case "", "mm":
		return units.Millimetre, nil
	case "in":
		return units.Inch, nil
	default:
		return 0, usage(fmt.Sprintf("--bare takes mm or in, not %q", name), "write --bare mm or --bare in")
	}
}

func drops(texts []string) ([]kerf.Drop, error) {
	var list []kerf.Drop
	for _, text := range texts {
		d, found := kerf.ParseDrop(text)
		if found.Failed() {
			return nil, usage("--"+dropFlag.Name+": "+found[0].Message, found[0].Hint)
		}
		list = append(list, d)
	}
	return list, nil
}

// write puts the profiles and the pictures where they were asked for. Whatever
// can be refused is refused before either is touched.
func (r *kerfRun) write(d *delivery) error {
	dir, out := r.c.String(saveFlag.Name), folderOf(r.c, kerfOutFlag)
	profiles := r.Profiles
	if dir == "" {
		profiles = nil
	}
	if err := maySaveProfiles(dir, profiles, r.c.Bool(kerfForceFlag.Name)); err != nil {
		return err
	}
	if out.dir != "" {
		files, err := r.Folder(r.unit)
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
		r.Report.Files = append(r.Report.Files, kerf.WrittenReport{Path: filepath.ToSlash(filepath.Join(dir, f.Name)), SHA256: cam.Sum(f.Data), Kind: "profile"})
	}
	return d.profiles(dir, profiles)
}

// weigh prints the densities of blocks.
func (s *session) weigh(c *cli.Context, path string) error {
	bare, err := bareUnit(c)
	if err != nil {
		return err
	}
	text, err := readPlain(path)
	if err != nil {
		return cannotRead(path, err)
	}
	run := &kerfRun{session: s, c: c}
	if run.KerfResult, err = cam.Weigh(cam.KerfRequest{File: filepath.ToSlash(path), Text: text, Bare: bare, BareSet: c.IsSet(bareFlag.Name)}); err != nil {
		return readError(path, err)
	}
	return run.show()
}

// checkKerf holds cut pockets against the kerfs in force, and writes nothing.
func (s *session) checkKerf(c *cli.Context, path string) error {
	for _, f := range []cli.Flag{saveFlag, stepFlag, afreshFlag, kerfOutFlag, weighFlag, forFlag} {
		if name := f.Names()[0]; c.IsSet(name) {
			return usage("--check and --"+name+" do not go together", "leave --"+name+" out: a check writes nothing, and a coupon's table is read without --check")
		}
	}
	run, request, err := s.readKerf(c, path)
	if err != nil {
		return err
	}
	if run.KerfResult, err = cam.CheckKerf(request); err != nil {
		return readError(path, err)
	}
	if !c.IsSet(unitsFlag.Name) {
		run.unit = run.Bare
	}
	return run.show()
}
