package main

import (
	"fmt"
	"math"
	"path"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry/units"
	"traywright/profiles"
)

var (
	jobFlag       = &cli.StringFlag{Name: "job", Usage: "compare with the sheet of `JOB` that the program was made for"}
	cutFromFlag   = &cli.StringFlag{Name: "foam", Usage: "the foam that it is cut from, as `NAME`, or NAME + NAME of a block; left out, what the program or the job says"}
	kerfFlag      = &cli.StringFlag{Name: "kerf", Usage: "width that the tool removes, as `LENGTH`; left out, what the program or the machine says"}
	thicknessFlag = &cli.StringFlag{Name: "thickness", Usage: "thickness of the foam, as `LENGTH`; left out, what the program says"}
	sectionFlag   = &cli.StringFlag{Name: "section", Usage: "with --out, draw the foam as cut along `x=LENGTH|y=LENGTH`"}
	framesFlag    = &cli.StringFlag{Name: "frames", Usage: "write the cut as a sequence of pictures into `DIR`"}
	frameCount    = &cli.IntFlag{Name: "frame-count", Value: 60, Usage: "how many pictures --frames writes for each program, `1 to 1000`"}
	picturesFlag  = &cli.StringFlag{Name: "out", Usage: "write a picture of each program and a report into `DIR`"}
)

func dryRunCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "dryrun",
		Usage:     "read G-code, cut virtual foam with it, report and draw",
		ArgsUsage: "FILE...",
		Description: "Reads RS-274/NGC programs (NISTIR 6556), ours or not. Without a machine, what depends on one is not checked.\n" +
			"Drilling cycles G81 to G83, lifts by G28 and G30, lengths by G43 and one work offset are followed; at anything else it\n" +
			"says what it is, on which line, and claims nothing of what comes after.\n" +
			"The safety table rules over each: where neither the program nor --foam nor a job names the foam, it is one that nobody knows.\n" +
			"Example: traywright dryrun out/stores/*.ngc --job testdata/tidewrack/job.yaml --out pictures",
		Flags: jobFlags(jobFlag, measuredFlag, cutFromFlag, kerfFlag, thicknessFlag, picturesFlag, keepFlag, sectionFlag, framesFlag, frameCount),
		Action: func(c *cli.Context) error {
			s.settle(c)
			if c.NArg() == 0 {
				return usage("dryrun takes one or more programs, and got none", "traywright dryrun --help")
			}
			return s.dryRun(c)
		},
	})
}

// bench is what the programs are tried on, and what is drawn of them.
type bench struct {
	catalog *profiles.Catalog
	plan    *plan.Plan // nil without a job
	trial   cam.Trial  // without name and text
	above   bool       // draw each program from above
	section *cut       // nil for none
	frames  int        // pictures of a sequence; 0 for none
}

// cut is a line along which a section is drawn.
type cut struct {
	axis page.Axis
	mm   float64
}

func (s *session) dryRun(c *cli.Context) error {
	for _, flag := range []*cli.StringFlag{picturesFlag, framesFlag} {
		if err := folderOf(c, flag).mayWrite(); err != nil {
			return err
		}
	}
	b, err := s.bench(c)
	if err != nil {
		return err
	}
	report := cam.Report{
		SchemaVersion: cam.SchemaVersion, Job: c.String(jobFlag.Name), Machine: b.trial.Machine.ID,
		Trays: []cam.TrayReport{}, Cases: []cam.CaseReport{}, Files: []cam.FileReport{}, DryRun: []cam.DryRunReport{},
	}
	var pictures, frames []cam.File
	order, bar := cam.Order{}, s.newProgress("cutting virtual foam")
	for i, name := range c.Args().Slice() {
		b.trial.Progress = func(share float64) { bar.step(int(100*(float64(i)+share)), 100*c.NArg()) }
		t, err := until(c.Context, func() (tryOut, error) { return b.try(name, i) })
		if err != nil {
			bar.end()
			return err
		}
		t.found = append(t.found, order.Add(t.Tried)...)
		report.Findings = append(report.Findings, t.found...)
		run := cam.DescribeRun(t.Result)
		run.OK = run.OK && !t.found.Failed()
		report.DryRun = append(report.DryRun, run)
		pictures, frames = append(pictures, t.pictures...), append(frames, t.frames...)
		if !c.Bool(jsonFlag.Name) {
			s.showRun(t.Tried, t.found, b.trial.Unit)
		}
	}
	bar.end()
	return s.deliver(c.Context, func(d *delivery) error {
		if err := d.pictures(folderOf(c, framesFlag), report, frames); err != nil {
			return err
		}
		return d.pictures(folderOf(c, picturesFlag), report, pictures)
	}, func() error { return s.finishDryRun(c, report, len(frames), len(pictures)) })
}

// tryOut is one program's dry run, and the pictures of it.
type tryOut struct {
	cam.Tried
	found            finding.List
	pictures, frames []cam.File
}

// try reads the n-th program, cuts virtual foam with it, and draws.
func (b bench) try(name string, n int) (t tryOut, err error) {
	text, err := readProgram(name)
	if err != nil {
		return t, err
	}
	trial := b.trial
	trial.Name, trial.Text = filepath.ToSlash(name), text
	t.Tried, t.found = cam.Try(trial, b.catalog, b.plan)
	t.pictures, t.frames, err = b.draw(t.Tried, name, n)
	return t, err
}

// draw makes the pictures of one program that the flags ask for.
func (b bench) draw(tried cam.Tried, program string, n int) (pictures, frames []cam.File, err error) {
	name := pictureName(program, n)
	if b.above {
		png, err := tried.Picture()
		if err != nil {
			return nil, nil, err
		}
		pictures = append(pictures, cam.Sign(cam.File{Path: name + ".png", Data: png}))
	}
	if b.section != nil {
		if err := b.section.within(program, tried.Result.Field, b.trial.Unit); err != nil {
			return nil, nil, err
		}
		png, err := tried.Section(b.section.axis, b.section.mm)
		if err != nil {
			return nil, nil, err
		}
		pictures = append(pictures, cam.Sign(cam.File{Path: name + "-section.png", Data: png}))
	}
	if b.frames == 0 {
		return pictures, nil, nil
	}
	sequence, err := tried.Frames(b.frames)
	for i, png := range sequence {
		frames = append(frames, cam.Sign(cam.File{Path: fmt.Sprintf("%s/%04d.png", name, i+1), Data: png}))
	}
	return pictures, frames, err
}

// within refuses a cross-section beside all that the program reaches.
func (s cut) within(program string, f proof.Field, u units.Unit) error {
	low, cells := f.Origin.X, f.Columns
	if s.axis == page.AtY {
		low, cells = f.Origin.Y, f.Rows
	}
	high := low + float64(cells)*f.CellMM
	if s.mm >= low && s.mm <= high {
		return nil
	}
	return usage(program+": --section lies beside all that it cuts", fmt.Sprintf("take a place from %s to %s", page.Length(low, u), page.Length(high, u)))
}

// pictures makes a folder of pictures ready, and the report that lists them.
func (d *delivery) pictures(o outputFolder, report cam.Report, files []cam.File) error {
	if o.dir == "" {
		return nil
	}
	report.Files = nil
	for _, f := range files {
		report.Files = append(report.Files, cam.FileReport{Path: f.Path, SHA256: cam.Sum(f.Data), Kind: "png", Machine: report.Machine})
	}
	text, err := report.JSON()
	if err != nil {
		return err
	}
	_, err = d.folder(o, append([]cam.File{{Path: cam.ReportName, Data: text}}, files...))
	return err
}

// finishDryRun prints the report, and says whether every program passed.
func (s *session) finishDryRun(c *cli.Context, report cam.Report, frames, pictures int) error {
	for _, written := range []struct {
		flag *cli.StringFlag
		n    int
	}{{framesFlag, frames}, {picturesFlag, pictures}} {
		if dir := c.String(written.flag.Name); dir != "" {
			s.say("wrote %s to %s", finding.Counted(written.n, "picture"), dir)
		}
	}
	if c.Bool(jsonFlag.Name) {
		text, err := report.JSON()
		if err != nil {
			return err
		}
		if _, err := s.out.Write(text); err != nil {
			return err
		}
	}
	for _, run := range report.DryRun {
		if !run.OK {
			return errRefused
		}
	}
	return refusal(report.Findings)
}

// bench reads what the flags name.
func (s *session) bench(c *cli.Context) (bench, error) {
	b, err := s.benchOf(c)
	if err != nil {
		return b, err
	}
	if b.trial.KerfMM, err = lengthFlag(c, kerfFlag, b.trial.Unit); err != nil {
		return b, err
	}
	if b.trial.ThicknessMM, err = lengthFlag(c, thicknessFlag, b.trial.Unit); err != nil {
		return b, err
	}
	if b.trial.Foams, err = foamsFlag(c, cutFromFlag, b.catalog); err != nil {
		return b, err
	}
	b.above = c.String(picturesFlag.Name) != ""
	if b.section, err = sectionCut(c, b.trial.Unit); err != nil {
		return b, err
	}
	if c.String(framesFlag.Name) != "" {
		if b.frames = c.Int(frameCount.Name); b.frames < 1 || b.frames > 1000 {
			return b, usage(fmt.Sprintf("--%s takes 1 to 1000, not %d", frameCount.Name, b.frames), "such as --"+frameCount.Name+" 60")
		}
	}
	return b, nil
}

// benchOf is whose profiles, machine, rules and units hold: the job's, whose units are
// those of bare lengths in flags too, or what the flags name.
func (s *session) benchOf(c *cli.Context) (b bench, err error) {
	if path := c.String(jobFlag.Name); path != "" {
		return s.benchJob(c, path)
	}
	if b.catalog, err = readCatalog(c); err != nil {
		return b, err
	}
	if b.trial.Unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return b, err
	}
	if name := c.String(machineFlag.Name); name != "" {
		var unknown finding.List
		if b.trial.Machine, unknown = b.catalog.FindMachine(name, "--"+machineFlag.Name); unknown != nil {
			return b, unknown
		}
	}
	b.trial.Rules, err = readRules(c, nil, &job.Job{})
	return b, err
}

// benchJob plans the job that the programs were made for.
func (s *session) benchJob(c *cli.Context, path string) (b bench, err error) {
	request, err := s.request(c, jobIn(path))
	if err != nil {
		return b, err
	}
	result, err := checked(c, request)
	if err != nil {
		return b, err
	}
	if found := result.Report.Findings; found.Failed() {
		return b, found
	}
	b.catalog, b.plan = request.Catalog, result.Plan
	b.trial.Machine, b.trial.Unit, b.trial.Rules = result.Plan.Machine, request.Unit, request.Rules
	if !s.json {
		s.tellWhose(b.catalog, b.plan)
	}
	return b, nil
}

// sectionCut reads --section, such as x=40 or y=1.5 in.
func sectionCut(c *cli.Context, unit units.Unit) (*cut, error) {
	text := c.String(sectionFlag.Name)
	if text == "" {
		return nil, nil
	}
	axes := map[string]page.Axis{"x": page.AtX, "y": page.AtY}
	name, length, _ := strings.Cut(text, "=")
	axis, ok := axes[strings.ToLower(strings.TrimSpace(name))]
	l, err := units.Parse(length, unit)
	if !ok || err != nil {
		return nil, usage(fmt.Sprintf("--section takes x=LENGTH or y=LENGTH, not %q", text), "such as --section x=40, or --section \"y=1 1/2 in\"")
	}
	if c.String(picturesFlag.Name) == "" {
		return nil, usage("--section draws into the folder of --out, and there is none", "add --out DIR")
	}
	return &cut{axis, l.MM()}, nil
}

// foamsFlag reads one foam, or those of a block.
func foamsFlag(c *cli.Context, flag *cli.StringFlag, catalog *profiles.Catalog) ([]profiles.Foam, error) {
	var list []profiles.Foam
	if !c.IsSet(flag.Name) {
		return nil, nil
	}
	for name := range strings.SplitSeq(c.String(flag.Name), "+") {
		name = strings.TrimSpace(name)
		foam, unknown := catalog.FindFoam(name, "--"+flag.Name)
		if unknown != nil {
			return nil, unknown
		}
		list = append(list, foam)
	}
	return list, nil
}

func lengthFlag(c *cli.Context, flag *cli.StringFlag, unit units.Unit) (mm float64, err error) {
	text := c.String(flag.Name)
	if text == "" {
		return 0, nil
	}
	l, err := units.Parse(text, unit)
	if err != nil || l <= 0 {
		return 0, usage(fmt.Sprintf("--%s takes a length above 0, not %q", flag.Name, text), `such as 0.3 mm, or 1/4 in`)
	}
	return l.MM(), nil
}

// pictureName is the program's name without its ending, numbered so that two
// programs of one name in two folders stay apart.
func pictureName(program string, n int) string {
	base := path.Base(filepath.ToSlash(program))
	return fmt.Sprintf("%03d-%s", n+1, strings.TrimSuffix(base, path.Ext(base)))
}

// showRun prints what one dry run found: numbers as data, findings as talk, the
// worst first, and the verdict last.
func (s *session) showRun(r cam.Tried, found finding.List, u units.Unit) {
	if !s.quiet {
		fmt.Fprintf(s.out, "%s: %s\n", r.Path, sealText(r.Seal))
		if r.Sheet != "" {
			fmt.Fprintf(s.out, "%s: held against the job's %s\n", r.Path, r.Sheet)
		}
	}
	if !s.quiet && len(r.Motions) > 0 {
		fmt.Fprintf(s.out, "%s:\n", r.Path)
		s.showNumbers(r, u)
	}
	s.print(append(found, r.Findings...).Folded())
	verdict := "passes"
	if !r.OK || found.Failed() {
		verdict = "FAILS"
	}
	if !s.quiet {
		fmt.Fprintf(s.out, "%s: %s\n", r.Path, verdict)
	}
}

// showNumbers prints extents, lengths, volume, times and, where the program was
// compared with a plan, how far it misses it.
func (s *session) showNumbers(r cam.Tried, u units.Unit) {
	length := func(mm float64) string {
		l, err := units.FromMM(math.Round(mm*100) / 100)
		if err != nil {
			return fmt.Sprintf("%.0f m", mm/1000)
		}
		return l.Format(u)
	}
	worst := fmt.Sprintf("overcut %.4f mm, worst undercut %.4f mm", r.WorstOvercutMM, r.WorstUndercutMM)
	if u == units.Inch {
		worst = fmt.Sprintf("overcut %.3f in, worst undercut %.3f in", r.WorstOvercutMM/units.InchMM, r.WorstUndercutMM/units.InchMM)
	}
	if r.Unfollowed > 0 {
		fmt.Fprintf(s.out, "  as far as line %d, where the reading ended:\n", r.Unfollowed)
	}
	fmt.Fprintf(s.out, "  X %s to %s, Y %s to %s, Z %s to %s%s\n", length(r.Min.X), length(r.Max.X),
		length(r.Min.Y), length(r.Max.Y), length(r.Min.Z), length(r.Max.Z), r.ZFrom())
	fmt.Fprintf(s.out, "  cut %s, rapid %s, removed %s\n", page.Distance(r.CutMM, u), page.Distance(r.RapidMM, u), page.Volume(r.RemovedMM3, u))
	waiting := max(0, r.Seconds-r.CutSeconds-r.RapidSeconds-r.PlungeSeconds)
	fmt.Fprintf(s.out, "  about %s: cutting %s, straight down %s, travel %s, waiting %s%s; not less than %s at the feeds written\n", finding.Duration(r.Seconds),
		finding.Duration(r.CutSeconds), finding.Duration(r.PlungeSeconds), finding.Duration(r.RapidSeconds), finding.Duration(waiting), r.SwitchedOn(), finding.Duration(r.LowerBoundSeconds))
	if r.Compared() {
		fmt.Fprintf(s.out, "  worst %s\n", worst)
	}
	if text := page.Corners(r.Corners); text != "" {
		fmt.Fprintf(s.out, "  corners of what may be off: %s\n", text)
	}
}
