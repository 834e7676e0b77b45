package main

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/geometry/trace"
	"traywright/geometry/units"
)

var (
	measureOut    = &cli.StringFlag{Name: "out", Usage: "write roster, outlines and check pictures into `DIR`, all or nothing"}
	measureSheet  = &cli.BoolFlag{Name: "sheet", Usage: "write a sheet to fill in by hand into --out, and the table that it is typed into"}
	measureHeight = &cli.StringFlag{Name: "height", Usage: "with --camera, all pieces in the photographs stand `LENGTH` high, their sides upright: sizes are corrected for it"}
	measureWithin = &cli.StringFlag{Name: "within", Value: "0.3 mm", Usage: "leave pieces out whose size may be off by more than `LENGTH`"}
)

func measureCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "measure",
		Usage:     "measure pieces photographed beside a card, and write their roster",
		ArgsUsage: "PHOTO... | SHEET.csv",
		Description: "Lay the pieces on plain paper around a bank card (85.60 mm x 53.98 mm, ISO/IEC 7810), a finger's breadth from each\n" +
			"other, and photograph them from straight above: PNG or JPEG, not cropped, light from all sides. Each piece is\n" +
			"measured along its own axes, with what that may be off by; equal ones are one row. What cannot be measured is\n" +
			"named, with what to do, and has an empty row. Several photographs are of one set, and have to agree.\n" +
			"Heights are left to fill in. A piece that stands higher than the card is seen too large: measure pieces of one\n" +
			"height together, and say --height and --camera. Or photograph them from the side as well, all or one of each kind,\n" +
			"beside the card on its long edge, fronts and card on one line, and say --side, --side-camera and --camera.\n" +
			"A lens that bends lines is measured once: --sheet writes a page of dots as well, --grid PHOTO of it and --out FILE\n" +
			"write the lens, and --lens FILE takes it out of photographs of the same camera.\n" +
			"--sheet writes a sheet to fill in by hand, as PDF on either paper, and the table that it is typed into; SHEET.csv is that:\n" +
			"what does not go together is named with line and column, and --out writes the roster.\n" +
			"Example: traywright measure table.jpg --out measured --camera \"450 mm\" --height \"3 mm\"",
		Flags: talkFlags(measureOut, measureSheet, outlineCamera, measureHeight, measureSide, measureSideCamera, measureStands, measureWithin, measureGrid, measureLens, outlineCard, keepFlag, plainUnits),
		Action: func(c *cli.Context) error {
			s.settle(c)
			switch {
			case c.Bool(measureSheet.Name):
				return s.measuringSheets(c)
			case c.String(measureGrid.Name) != "":
				return s.measureLens(c, c.String(measureGrid.Name))
			case c.NArg() == 1 && strings.EqualFold(filepath.Ext(c.Args().First()), ".csv"):
				return s.typedSheet(c, c.Args().First())
			}
			return s.measure(c)
		},
	})
}

func (s *session) measure(c *cli.Context) error {
	q, options, err := measureRequest(c)
	if err != nil {
		return err
	}
	out := folderOf(c, measureOut)
	if err := out.mayWrite(); err != nil {
		return err
	}
	var pictures []*trace.Picture
	for _, photo := range c.Args().Slice() {
		img, err := readPicture(photo)
		if err != nil {
			return err
		}
		pieces, err := until(c.Context, func() (*trace.Pieces, error) { return trace.MeasurePieces(img, options) })
		if err != nil {
			return s.refusePhoto(photo, err)
		}
		q.Photos, pictures = append(q.Photos, cam.Measured{Photo: filepath.ToSlash(photo), Pieces: pieces}), append(pictures, img)
	}
	fromSide, err := s.readSide(c, &q)
	if err != nil {
		return err
	}
	result, err := cam.Measure(c.Context, q)
	if err != nil {
		return stopped(err)
	}
	if result.Report.Findings.Failed() {
		return s.tellMeasured(c, q, result)
	}
	if err := checkPictures(q, &result, pictures, fromSide); err != nil {
		return err
	}
	files, err := result.Sealed()
	if err != nil {
		return err
	}
	return s.deliver(c.Context, func(d *delivery) error {
		_, err := d.folder(out, files)
		return err
	}, func() error { return s.tellMeasured(c, q, result) })
}

// checkPictures adds the photographs with what was measured drawn over them.
func checkPictures(q cam.MeasureRequest, r *cam.MeasureResult, pictures []*trace.Picture, fromSide *trace.Picture) error {
	for i, img := range pictures {
		check, err := measuredPicture(img, q.Photos[i].Pieces, r.Labels[i])
		if err != nil {
			return err
		}
		r.Files = append(r.Files, cam.Sign(cam.File{Path: checkName(i), Data: check}))
	}
	if q.Side == nil {
		return nil
	}
	check, err := sidePicture(fromSide, q.Side.Side, r.Stands)
	r.Files = append(r.Files, cam.Sign(cam.File{Path: sideCheckName, Data: check}))
	return err
}

// checkName is the check picture of a photograph.
func checkName(i int) string {
	if i == 0 {
		return "check.png"
	}
	return fmt.Sprintf("check-%d.png", i+1)
}

func measureRequest(c *cli.Context) (q cam.MeasureRequest, o trace.PiecesOptions, err error) {
	if c.NArg() == 0 {
		return q, o, usage("measure needs a photograph", "traywright measure table.jpg --out measured")
	}
	if c.String(measureOut.Name) == "" {
		return q, o, usage("measure needs a folder to write", "add --out measured")
	}
	if q.Unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return q, o, err
	}
	for _, l := range []struct {
		flag *cli.StringFlag
		to   *float64
	}{{outlineCamera, &o.CameraMM}, {measureHeight, &o.HeightMM}, {measureWithin, &o.WithinMM}} {
		if *l.to, err = lengthFlag(c, l.flag, q.Unit); err != nil {
			return q, o, err
		}
	}
	if o.HeightMM > 0 && o.CameraMM == 0 {
		return q, o, usage("--height needs --camera", "say how high the lens was above the paper, such as --camera \"450 mm\"")
	}
	if o.Lens, err = lensFlag(c); err != nil {
		return q, o, err
	}
	if o.Card, err = pixelFlag(c, outlineCard); err == nil && o.Card != nil && c.NArg() > 1 {
		err = usage("--card points into one photograph, and there are several", "measure them one by one, or leave one card in each")
	}
	q.HeightMM, q.WithinMM, q.Told, q.Lens = o.HeightMM, o.WithinMM, o.CameraMM > 0, o.Lens
	return q, o, err
}

// tellMeasured prints the rows, and what the sizes rest on.
func (s *session) tellMeasured(c *cli.Context, q cam.MeasureRequest, r cam.MeasureResult) error {
	if c.Bool(jsonFlag.Name) {
		text, err := finding.JSON(r.Report)
		if err != nil {
			return err
		}
		if _, err := s.out.Write(text); err != nil {
			return err
		}
		return refusal(r.Report.Findings)
	}
	failed := r.Report.Findings.Failed()
	if !s.quiet && !failed {
		if err := s.writeMeasured(r.Report, q.Unit); err != nil {
			return err
		}
	}
	s.print(r.Report.Findings)
	if !failed {
		dir := c.String(measureOut.Name)
		s.say("look at %s before you use the sizes; then fill in heights and names in %s", filepath.ToSlash(filepath.Join(dir, checkName(0))), filepath.ToSlash(filepath.Join(dir, "roster.csv")))
	}
	return refusal(r.Report.Findings)
}

func (s *session) writeMeasured(r cam.MeasureReport, unit units.Unit) error {
	t := s.columns(2)
	heights := ""
	if r.Side != nil {
		heights = "HEIGHT\tMAY BE OFF BY\t"
	}
	fmt.Fprintln(t, "ROW\tCOUNT\tLENGTH\tWIDTH\tMAY BE OFF BY\t"+heights+"SHAPE\tNUMBERS")
	for _, k := range r.Kinds {
		var numbers []string
		for _, p := range k.Pieces {
			numbers = append(numbers, fmt.Sprint(p.Number))
		}
		switch {
		case r.Side != nil && k.HeightMM > 0:
			heights = hundredths(k.HeightMM, unit) + "\t" + hundredths(math.Ceil(k.HighOff*100)/100, unit) + "\t"
		case r.Side != nil:
			heights = "not known\t\t"
		}
		fmt.Fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s%s\t%s\n", k.ID, len(k.Pieces), hundredths(k.LengthMM, unit), hundredths(k.WidthMM, unit),
			hundredths(math.Ceil(k.OffMM*100)/100, unit), heights, k.Shape, strings.Join(numbers, " "))
	}
	if r.Unmeasured > 0 {
		fmt.Fprintf(t, "not measured\t%d\n", r.Unmeasured)
	}
	fmt.Fprintln(t)
	return t.Flush()
}
