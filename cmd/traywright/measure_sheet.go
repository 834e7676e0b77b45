package main

import (
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/geometry/units"
)

// measuringSheets writes the sheets to fill in.
func (s *session) measuringSheets(c *cli.Context) error {
	unit, err := s.sheetChoices(c)
	if err != nil {
		return err
	}
	if c.NArg() > 0 || c.String(measureOut.Name) == "" {
		return usage("measure --sheet takes a folder to write, and no file", "traywright measure --sheet --out sheets")
	}
	result, err := cam.MeasuringSheets(unit)
	if err != nil {
		return err
	}
	return s.deliverSheet(c, &result, func() error {
		if s.json {
			return s.tellMeasured(c, cam.MeasureRequest{Unit: unit}, result)
		}
		dir := c.String(measureOut.Name)
		s.say("%s is a page of dots that measures a lens, once: see `traywright measure --help`", filepath.ToSlash(filepath.Join(dir, "lens-grid-a4.pdf")))
		s.say("print %s, or -letter, as many as you need; fill in, and type all into %s", filepath.ToSlash(filepath.Join(dir, "measuring-sheet-a4.pdf")), filepath.ToSlash(filepath.Join(dir, "measuring-sheet.csv")))
		return nil
	})
}

// sheetChoices refuses what is of photographs, and is the unit of bare numbers.
func (s *session) sheetChoices(c *cli.Context) (units.Unit, error) {
	for _, f := range []cli.Flag{outlineCamera, measureHeight, measureSide, measureSideCamera, measureStands, measureWithin, measureGrid, measureLens, outlineCard} {
		if name := f.Names()[0]; c.IsSet(name) {
			return 0, usage("--"+name+" is for photographs, and a sheet is filled in by hand", "leave --"+name+" out")
		}
	}
	return chosenUnit(c, units.Millimetre)
}

// typedSheet checks a sheet as it was typed, and writes its roster where a folder is named.
func (s *session) typedSheet(c *cli.Context, path string) error {
	unit, err := s.sheetChoices(c)
	if err != nil {
		return err
	}
	text, err := readPlain(path)
	if err != nil {
		return cannotRead(path, err)
	}
	result, err := cam.CheckSheet(cam.SheetRequest{File: filepath.ToSlash(path), Text: text, Unit: unit})
	if err != nil {
		return readError(path, err)
	}
	tell := func() error { return s.tellSheet(c, result, unit) }
	if result.Report.Findings.Failed() || c.String(measureOut.Name) == "" {
		return tell()
	}
	return s.deliverSheet(c, &result, tell)
}

func (s *session) deliverSheet(c *cli.Context, result *cam.MeasureResult, tell func() error) error {
	out := folderOf(c, measureOut)
	if err := out.mayWrite(); err != nil {
		return err
	}
	files, err := result.Sealed()
	if err != nil {
		return err
	}
	return s.deliver(c.Context, func(d *delivery) error {
		_, err := d.folder(out, files)
		return err
	}, tell)
}

// tellSheet prints the kinds, and what is wrong with the rows.
func (s *session) tellSheet(c *cli.Context, r cam.MeasureResult, unit units.Unit) error {
	if c.Bool(jsonFlag.Name) {
		return s.tellMeasured(c, cam.MeasureRequest{Unit: unit}, r)
	}
	if !s.quiet && !r.Report.Findings.Failed() {
		t := s.columns(2)
		fmt.Fprintln(t, "ROW\tCOUNT\tMEASURED\tLENGTH\tWIDTH\tHEIGHT\tSHAPE")
		for _, k := range r.Report.Kinds {
			fmt.Fprintf(t, "%s\t%d\t%d\t%s\t%s\t%s\t%s\n", k.ID, k.Count, k.Rows, hundredths(k.LengthMM, unit), hundredths(k.WidthMM, unit), hundredths(k.HeightMM, unit), k.Shape)
		}
		fmt.Fprintln(t)
		if err := t.Flush(); err != nil {
			return err
		}
	}
	s.print(r.Report.Findings)
	if dir := c.String(measureOut.Name); dir != "" && !r.Report.Findings.Failed() {
		s.say("wrote %s: a job names it with `roster:`", filepath.ToSlash(filepath.Join(dir, "roster.csv")))
	} else if !r.Report.Findings.Failed() {
		s.say("nothing speaks against these rows; --out DIR writes their roster")
	}
	return refusal(r.Report.Findings)
}
