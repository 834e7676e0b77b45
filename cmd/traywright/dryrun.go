package main

import (
	"fmt"
	"math"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/dryrun"
	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

var (
	jobFlag       = &cli.StringFlag{Name: "job", Usage: "compare with the sheet of `JOB` that the program was made for"}
	kerfFlag      = &cli.StringFlag{Name: "kerf", Usage: "width that the tool removes, as `LENGTH`; left out, what the program or the machine says"}
	thicknessFlag = &cli.StringFlag{Name: "thickness", Usage: "thickness of the foam, as `LENGTH`; left out, what the program says"}
	picturesFlag  = &cli.StringFlag{Name: "out", Usage: "write a picture of each program and a report into `DIR`"}
)

// largestProgram bounds what is read of one file.
const largestProgram = 32 << 20

func dryRunCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "dryrun",
		Usage:     "read G-code, cut virtual foam with it, report and draw",
		ArgsUsage: "FILE...",
		Description: "Reads RS-274/NGC programs (NISTIR 6556), ours or not. Without a machine, what depends on one is not checked.\n" +
			"Example: traywright dryrun out/stores/*.ngc --job testdata/tidewrack/job.yaml --out pictures",
		Flags: jobFlags(jobFlag, kerfFlag, thicknessFlag, picturesFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			if c.NArg() == 0 {
				return usageError{"dryrun takes one or more programs, and got none", "traywright dryrun --help"}
			}
			return s.dryRun(c)
		},
	})
}

// bench is what the programs are tried on.
type bench struct {
	catalog *profiles.Catalog
	plan    *plan.Plan // nil without a job
	trial   cam.Trial  // without name and text
}

func (s *session) dryRun(c *cli.Context) error {
	if dir := c.String(picturesFlag.Name); dir != "" {
		if err := mayReplace(dir); err != nil {
			return err
		}
	}
	b, err := s.bench(c)
	if err != nil {
		return err
	}
	report := cam.Report{
		SchemaVersion: cam.SchemaVersion, Job: c.String(jobFlag.Name), Machine: b.trial.Machine.ID,
		Trays: []cam.TrayReport{}, Cases: []cam.CaseReport{}, Files: []cam.FileReport{},
	}
	var files []cam.File
	for _, name := range c.Args().Slice() {
		run, picture, found, err := b.try(name)
		if err != nil {
			return err
		}
		report.Findings = append(report.Findings, found...)
		report.DryRun = append(report.DryRun, cam.DescribeRun(run))
		files = append(files, cam.File{Path: pictureName(name, len(files)), Data: picture})
		if !c.Bool(jsonFlag.Name) {
			s.showRun(run, found, b.trial.Unit)
		}
	}
	return s.finishDryRun(c, report, files)
}

// finishDryRun writes the pictures and prints the report.
func (s *session) finishDryRun(c *cli.Context, report cam.Report, files []cam.File) error {
	for _, f := range files {
		report.Files = append(report.Files, cam.FileReport{Path: f.Path, Kind: "png", Machine: report.Machine})
	}
	text, err := report.JSON()
	if err != nil {
		return err
	}
	if dir := c.String(picturesFlag.Name); dir != "" {
		if err := writeFolder(c.Context, dir, append([]cam.File{{Path: cam.ReportName, Data: text}}, files...)); err != nil {
			return err
		}
		s.say("wrote %d pictures to %s", len(files), dir)
	}
	if c.Bool(jsonFlag.Name) {
		if _, err := s.out.Write(text); err != nil {
			return err
		}
	}
	failed := report.Findings.Failed()
	for _, run := range report.DryRun {
		failed = failed || !run.OK
	}
	if failed {
		return errRefused
	}
	return nil
}

// bench reads what the flags name.
func (s *session) bench(c *cli.Context) (bench, error) {
	var b bench
	var err error
	if b.catalog, err = readCatalog(c); err != nil {
		return b, err
	}
	if b.trial.Unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return b, err
	}
	if b.trial.KerfMM, err = lengthFlag(c, kerfFlag, b.trial.Unit); err != nil {
		return b, err
	}
	if b.trial.ThicknessMM, err = lengthFlag(c, thicknessFlag, b.trial.Unit); err != nil {
		return b, err
	}
	if name := c.String(machineFlag.Name); name != "" {
		m, ok := b.catalog.Machine(name)
		if !ok {
			return b, usageError{fmt.Sprintf("there is no machine %q", name), "`traywright profiles` lists them"}
		}
		b.trial.Machine = m
	}
	if path := c.String(jobFlag.Name); path != "" {
		return b, s.benchJob(c, path, &b)
	}
	return b, nil
}

// benchJob plans the job that the programs were made for.
func (s *session) benchJob(c *cli.Context, path string, b *bench) error {
	request, err := s.request(c, path)
	if err != nil {
		return err
	}
	result := cam.Check(request)
	if result.Report.Findings.Failed() {
		s.print(result.Report.Findings)
		return errRefused
	}
	b.plan, b.trial.Machine, b.trial.Unit = result.Plan, result.Plan.Machine, request.Unit
	return nil
}

func lengthFlag(c *cli.Context, flag *cli.StringFlag, unit units.Unit) (mm float64, err error) {
	text := c.String(flag.Name)
	if text == "" {
		return 0, nil
	}
	l, err := units.Parse(text, unit)
	if err != nil || l <= 0 {
		return 0, usageError{fmt.Sprintf("--%s takes a length above 0, not %q", flag.Name, text), `such as 0.3 mm, or 1/4 in`}
	}
	return l.MM(), nil
}

// try reads one program and cuts virtual foam with it.
func (b bench) try(name string) (dryrun.Result, []byte, finding.List, error) {
	info, err := os.Stat(name)
	if err != nil {
		return dryrun.Result{}, nil, nil, cannotRead(name, err)
	}
	if info.IsDir() || info.Size() > largestProgram {
		return dryrun.Result{}, nil, nil, usageError{
			fmt.Sprintf("%s: is a folder, or larger than %d MiB", name, largestProgram>>20), "name G-code files"}
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return dryrun.Result{}, nil, nil, cannotRead(name, err)
	}
	t := b.trial
	t.Name, t.Text = filepath.ToSlash(name), text
	run, found := cam.Try(t, b.catalog, b.plan)
	picture, err := cam.Picture(t, run)
	return run, picture, found, err
}

// pictureName is the program's name with .png, numbered so that two programs
// of one name in two folders stay apart.
func pictureName(program string, n int) string {
	base := path.Base(filepath.ToSlash(program))
	return fmt.Sprintf("%03d-%s.png", n+1, strings.TrimSuffix(base, path.Ext(base)))
}

// showRun prints what one dry run found: numbers as data, findings as talk.
func (s *session) showRun(r dryrun.Result, found finding.List, u units.Unit) {
	length := func(mm float64) string {
		l, err := units.FromMM(math.Round(mm*100) / 100)
		if err != nil {
			return "not known"
		}
		return l.Format(u)
	}
	verdict := "passes"
	if !r.OK {
		verdict = "FAILS"
	}
	if !s.quiet {
		fmt.Fprintf(s.out, "%s: %s\n", r.Path, verdict)
		fmt.Fprintf(s.out, "  X %s to %s, Y %s to %s, Z %s to %s\n", length(r.Min.X), length(r.Max.X),
			length(r.Min.Y), length(r.Max.Y), length(r.Min.Z), length(r.Max.Z))
		fmt.Fprintf(s.out, "  cut %s, rapid %s, %.0f s, not less than %.0f s, removed %.1f cm3\n",
			length(r.CutMM), length(r.RapidMM), r.Seconds, r.LowerBoundSeconds, r.RemovedMM3/1000)
		fmt.Fprintf(s.out, "  worst overcut %.4f mm, worst undercut %.4f mm\n", r.WorstOvercutMM, r.WorstUndercutMM)
	}
	for _, f := range r.Findings {
		severity := finding.Error
		if f.Warning {
			severity = finding.Warning
		}
		found = append(found, finding.Finding{Severity: severity, Rule: f.Rule, Where: fmt.Sprintf("%s:%d", r.Path, f.Line), Message: f.Message})
	}
	s.print(found)
}
