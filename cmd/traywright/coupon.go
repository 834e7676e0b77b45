package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/geometry/units"
)

var (
	foamFlag          = &cli.StringFlag{Name: "foam", Usage: "the foam's `NAME`; traywright profiles lists them"}
	foamThicknessFlag = &cli.StringFlag{Name: "thickness", Usage: "of the foam as measured: a `LENGTH` such as 25.4, \"25.4 mm\" or \"1 in\""}
	onMachineFlag     = &cli.StringFlag{Name: machineFlag.Name, Usage: "the machine's `NAME`; traywright profiles lists them"}
	toolFlag          = &cli.StringFlag{Name: "tool", Usage: "cut with tool `ID`; left out, the first that reaches"}
	sizesFlag         = &cli.StringFlag{Name: "sizes", Usage: "sides of the squares, a `LIST` such as 20,30,45,60"}
	ladderFlag        = &cli.StringFlag{Name: "ladder", Usage: "squares for each of several values of feed, power, passes or stepdown: `KEY=LIST`, such as feed=600,900,1200"}
	currentsFlag      = &cli.StringFlag{Name: "current", Usage: "of a hot wire, whose supply is set by hand: a piece and a program for each of these `AMPS`, such as 1.6,1.8,2; left out, the recipe's"}
	combFlag          = &cli.StringFlag{Name: "comb", Usage: "add slots, tight to loose, for a base of this `LENGTH`"}
	combStepFlag      = &cli.StringFlag{Name: "comb-step", Usage: "a `LENGTH` between two slots of the comb; left out, 0.5 mm"}
	fitStripFlag      = &cli.StringFlag{Name: "fit-strip", Usage: "add a pocket for each different piece of the roster `FILE`"}
	noSquaresFlag     = &cli.BoolFlag{Name: "no-squares", Usage: "no squares: a comb or a fit strip alone"}
	taperFlag         = &cli.BoolFlag{Name: "taper", Usage: "ask for readings at both faces of the foam, for the beam's taper"}
	couponJobFlag     = &cli.StringFlag{Name: "job", Usage: "the fewest pieces that tell every kerf that the job `FILE` needs and nobody knows yet, instead of --foam, --thickness and --tool"}
	couponUnitsFlag   = &cli.StringFlag{Name: unitsFlag.Name, Usage: "lengths without a unit, and those that are printed, are in `mm|in`; left out, mm"}
)

func couponCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "coupon",
		Usage:     "write a small test piece that the kerf of one foam is measured on",
		ArgsUsage: " ",
		Description: "Squares on their nominal line, nothing taken off: measure holes and plugs, fill in coupon.csv, run traywright kerf.\n" +
			"It passes the same gate as any job. Nothing is written when it is refused. A folder from an earlier run is replaced\n" +
			"whole, unless you have filled in its table, or changed anything else in it.\n" +
			"With --job the job says what is needed, with its profiles and shop rules: offcuts for each foam and thickness, and one table.\n" +
			"Example: traywright coupon --foam pe-30 --thickness \"1 in\" --machine bench-router --out coupon",
		Flags: talkFlags(couponJobFlag, foamFlag, foamThicknessFlag, onMachineFlag, toolFlag, outFlag, keepFlag, sizesFlag, ladderFlag, currentsFlag, combFlag, combStepFlag, fitStripFlag,
			noSquaresFlag, taperFlag, dxfFlag, finishedFlag, profilesFlag, rulesFlag, couponUnitsFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			if c.Args().Present() {
				return usage(fmt.Sprintf("coupon takes no file, and there is %q", c.Args().First()), "every choice is a flag; add --help to see them")
			}
			return s.coupon(c)
		},
	})
}

func (s *session) coupon(c *cli.Context) error {
	if c.String(couponJobFlag.Name) != "" {
		return s.couponOfJob(c)
	}
	out := folderOf(c, outFlag)
	for _, f := range []struct{ flag, what, example string }{
		{outFlag.Name, "a folder to write into", "--out DIR"},
		{foamFlag.Name, "a foam", "--foam pe-30"},
		{foamThicknessFlag.Name, "the foam's thickness", `--thickness "1 in"`},
		{machineFlag.Name, "a machine", "--machine bench-laser"},
	} {
		if strings.TrimSpace(c.String(f.flag)) == "" {
			return usage("coupon needs "+f.what, "add "+f.example)
		}
	}
	if err := out.mayWrite(); err != nil {
		return err
	}
	format, err := dxfFormat(c.String(dxfFlag.Name))
	if err != nil {
		return err
	}
	request, err := s.couponRequest(c)
	if err != nil {
		return err
	}
	bar := s.newProgress("cutting virtual foam")
	result, err := until(c.Context, func() (cam.CouponResult, error) {
		return cam.Coupon(c.Context, request, cam.Options{DXF: format, Finished: c.Bool(finishedFlag.Name), Progress: bar.step})
	})
	bar.end()
	if err != nil {
		return stopped(err)
	}
	about := cam.Request{Catalog: request.Catalog, Machine: request.Machine, Rules: request.Rules, Unit: request.Spec.Units}
	if result.Coupon != nil {
		about.Job = result.Coupon.Job
	}
	return s.deliverResult(c, out, result.Result, nil, func() error { return s.showCoupon(c, about, result, result.Result) })
}

// couponRequest reads everything that the command line names.
func (s *session) couponRequest(c *cli.Context) (cam.CouponRequest, error) {
	spec, err := s.couponSpec(c)
	if err != nil {
		return cam.CouponRequest{}, err
	}
	if spec.FitStrip, err = s.fitStrip(c.String(fitStripFlag.Name), spec.Units); err != nil {
		return cam.CouponRequest{}, err
	}
	currents, found := kerf.ParseCurrents(c.String(currentsFlag.Name))
	if found.Failed() {
		return cam.CouponRequest{}, usage("--"+currentsFlag.Name+": "+found[0].Message, found[0].Hint)
	}
	catalog, err := readCatalog(c)
	if err != nil {
		return cam.CouponRequest{}, err
	}
	s.tellReplaced(catalog)
	rules, err := readRules(c, nil, &job.Job{})
	s.takeFlags(c, "", &job.Job{})
	return cam.CouponRequest{Spec: spec, Catalog: catalog, Machine: c.String(machineFlag.Name), Rules: rules, CurrentsA: currents}, err
}

// couponSpec reads the flags.
func (s *session) couponSpec(c *cli.Context) (kerf.CouponSpec, error) {
	unit, err := chosenUnit(c, units.Millimetre)
	if err != nil {
		return kerf.CouponSpec{}, err
	}
	spec := kerf.CouponSpec{
		Foam: c.String(foamFlag.Name), Tool: c.String(toolFlag.Name), NoSquares: c.Bool(noSquaresFlag.Name),
		Taper: c.Bool(taperFlag.Name), Units: unit,
	}
	if spec.Profiles, err = besideTable(c.String(profilesFlag.Name), c.String(outFlag.Name)); err != nil {
		return spec, err
	}
	for _, f := range []struct {
		flag string
		into *units.Length
	}{{foamThicknessFlag.Name, &spec.Thickness}, {combFlag.Name, &spec.Comb}, {combStepFlag.Name, &spec.CombStep}} {
		if *f.into, err = spanFlag(c, f.flag, unit); err != nil {
			return spec, err
		}
		if c.String(f.flag) != "" && *f.into <= 0 {
			return spec, finding.List{{Rule: "bad-size", Where: "--" + f.flag, Message: f.into.Format(unit) + " is no size", Hint: "give a length above 0"}}
		}
	}
	if text := c.String(sizesFlag.Name); text != "" {
		if spec.Sizes, err = lengths(text, unit); err != nil {
			return spec, err
		}
	}
	if text := c.String(ladderFlag.Name); text != "" {
		var found finding.List
		if spec.Ladder, found = kerf.ParseLadder(text, unit); found.Failed() {
			return spec, usage("--"+ladderFlag.Name+": "+found[0].Message, found[0].Hint)
		}
	}
	return spec, nil
}

// besideTable is a folder of profiles as it is typed in the folder that a coupon is
// written to; "" for none.
func besideTable(dir, out string) (string, error) {
	if dir == "" {
		return "", nil
	}
	to, err := filepath.Abs(dir)
	if err != nil {
		return "", cannotRead(dir, err)
	}
	from, err := filepath.Abs(out)
	if err != nil {
		return "", cannotRead(out, err)
	}
	if near, err := filepath.Rel(from, to); err == nil {
		to = near
	}
	return asTyped(filepath.ToSlash(to)), nil
}

// spanFlag is a flag's length; 0 where the flag is not given.
func spanFlag(c *cli.Context, flag string, unit units.Unit) (units.Length, error) {
	text := c.String(flag)
	if text == "" {
		return 0, nil
	}
	l, err := units.Parse(text, unit)
	if err != nil {
		return 0, usage(fmt.Sprintf("--%s: %v", flag, err), `write a length such as 25.4, "25.4 mm" or "1 in"`)
	}
	return l, nil
}

func lengths(text string, unit units.Unit) ([]units.Length, error) {
	var list []units.Length
	for item := range strings.SplitSeq(text, ",") {
		l, err := units.Parse(strings.TrimSpace(item), unit)
		if err != nil {
			return nil, usage(fmt.Sprintf("--%s: %v", sizesFlag.Name, err), "write lengths with commas between them, such as 20,30,45,60")
		}
		list = append(list, l)
	}
	return list, nil
}

// fitStrip reads the roster whose pieces are to be tried.
func (s *session) fitStrip(path string, unit units.Unit) ([]job.Piece, error) {
	if path == "" {
		return nil, nil
	}
	text, err := readPlain(path)
	if err != nil {
		return nil, cannotRead(path, err)
	}
	pieces, found, err := job.ReadRoster(filepath.ToSlash(path), text, unit)
	if err != nil {
		return nil, readError(path, err)
	}
	s.print(found)
	if err := refusal(found); err != nil {
		return nil, err
	}
	if len(pieces) == 0 {
		return nil, usage(path+": there are no pieces in it", "a fit strip has a pocket for each row of a roster")
	}
	return pieces, nil
}

// showCoupon prints the result, and the cautions of what it is about: the report alone with --json, else a table and
// the findings.
func (s *session) showCoupon(c *cli.Context, about cam.Request, result cam.CouponResult, cautions cam.Result) error {
	if c.Bool(jsonFlag.Name) || result.Coupon == nil {
		return s.show(c, cam.Request{Unit: about.Unit}, result.Result)
	}
	if !s.quiet && !result.Report.Findings.Failed() {
		if err := s.writeCouponTable(result.Coupon.Report(result.More...), about.Unit); err != nil {
			return err
		}
	}
	s.print(result.Report.Findings)
	if !result.Report.Findings.Failed() {
		s.caution(about, cautions)
	}
	return refusal(result.Report.Findings)
}

// writeCouponTable prints what is on the coupon.
func (s *session) writeCouponTable(r kerf.CouponReport, u units.Unit) error {
	t := s.columns(2)
	length := func(mm float64) string {
		l, err := units.FromMM(mm)
		if err != nil {
			return "not known"
		}
		return l.Format(u)
	}
	settings := map[string]string{}
	several := slices.ContainsFunc(r.Settings, func(s kerf.SettingReport) bool {
		return s.Foam != r.Foam || s.ThicknessMM != r.ThicknessMM || s.Tool != r.Tool
	})
	for _, s := range r.Settings {
		settings[s.Letter] = length(s.FeedMMPerMin) + "/min"
		piece := fmt.Sprintf("%s, %s, %s: ", s.Foam, page.Thick(s.ThicknessMM, u), s.Tool)
		if s.StepdownMM > 0 {
			settings[s.Letter] += ", step-down " + length(s.StepdownMM)
		}
		if s.CurrentA > 0 {
			settings[s.Letter] += fmt.Sprintf(", %.4g A", s.CurrentA)
		}
		if s.PowerPercent > 0 {
			settings[s.Letter] = fmt.Sprintf("%s/min, %.4g %%, %.0f passes", length(s.FeedMMPerMin), s.PowerPercent, s.Passes)
		}
		if several {
			settings[s.Letter] = piece + settings[s.Letter]
		}
	}
	if len(r.Squares) > 0 {
		fmt.Fprintln(t, "SQUARE\tSIZE\tSETTINGS")
	}
	for _, s := range r.Squares {
		fmt.Fprintf(t, "%s\t%s\t%s\n", s.Label, length(s.SizeMM), settings[s.Setting])
	}
	if len(r.Slots) > 0 {
		fmt.Fprintln(t, "\nSLOT\tWIDE\tTHE FOAM'S FIT")
	}
	for _, s := range r.Slots {
		fmt.Fprintf(t, "%s\t%s\t%s\n", s.Label, length(s.WidthMM), strings.Join(s.Fits, ", "))
	}
	if len(r.Trials) > 0 {
		fmt.Fprintln(t, "\nPOCKET\tSIZE\tFOR")
	}
	for _, k := range r.Trials {
		fmt.Fprintf(t, "%s\t%s x %s\t%s\n", k.Label, length(k.LengthMM), length(k.WidthMM), strings.Join(k.Pieces, ", "))
	}
	fmt.Fprintln(t)
	return t.Flush()
}
