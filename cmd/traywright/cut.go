package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/drawing"
	"traywright/cam/job"
	"traywright/cam/page"
)

var (
	outFlag      = &cli.StringFlag{Name: "out", Usage: "write everything into `DIR`, all or nothing"}
	dxfFlag      = &cli.StringFlag{Name: "dxf", Value: "r2000", Usage: "drawing format, `r2000|r12`; r12 for old readers"}
	finishedFlag = &cli.BoolFlag{Name: "finished", Usage: "write drawings of the finished foam, NAME-finished, for a laser too; others always get them"}
	rackFlag     = &cli.StringFlag{Name: "rack", Usage: "write what is left of the stock of a job when all is cut into a new `FILE`; never over one that is there"}
	printedFlag  = &cli.StringFlag{Name: "printed", Usage: "by hand: what your printer makes of the template's bars, `SHORTxLONG`, the paper's short side first, such as 99.4x99.6, or 3.98x3.99 of an inch job; the templates are stretched for it"}
	paperFlag    = &cli.StringFlag{Name: "paper", Value: "a4", Usage: "size of the PDFs' pages, `a4|letter`"}
)

func cutCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "cut",
		Usage:     "write everything needed to cut; every program is tried on virtual foam first",
		ArgsUsage: "JOB",
		Description: "Nothing is written when the job is refused or a dry run fails. A folder from an earlier run is\n" +
			"replaced whole, as long as nothing in it was changed or added since; else see --keep-mine.\n" +
			"Example: traywright cut testdata/tidewrack/job.yaml --out out",
		Flags: jobFlags(outFlag, keepFlag, measuredFlag, rackFlag, dxfFlag, finishedFlag, paperFlag, printedFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := jobArgument(c)
			if err != nil {
				return err
			}
			return s.cut(c, path)
		},
	})
}

func (s *session) cut(c *cli.Context, path string) error {
	out := folderOf(c, outFlag)
	if out.dir == "" {
		return usage("cut needs a folder to write into", "add --out DIR")
	}
	if err := out.mayWrite(); err != nil {
		return err
	}
	format, err := dxfFormat(c.String(dxfFlag.Name))
	if err != nil {
		return err
	}
	size, known := page.PaperNamed(strings.ToLower(c.String(paperFlag.Name)))
	if !known {
		return usage(fmt.Sprintf("--paper takes a4 or letter, not %q", c.String(paperFlag.Name)), "write --paper a4 or --paper letter")
	}
	request, err := s.request(c, path)
	if err != nil {
		return s.refused(err)
	}
	printed, err := printedBars(c.String(printedFlag.Name), request.Unit)
	if err != nil {
		return err
	}
	if err := mayStretch(request, c.IsSet(printedFlag.Name)); err != nil {
		return err
	}
	rack := c.String(rackFlag.Name)
	if err := mayRack(c, rack, request.Job); err != nil {
		return err
	}
	bar := s.newProgress("cutting virtual foam")
	result, err := until(c.Context, func() (cam.Result, error) {
		return cam.Cut(c.Context, request, cam.Options{DXF: format, Finished: c.Bool(finishedFlag.Name), Paper: size, Printed: printed, Progress: bar.step})
	})
	bar.end()
	if err != nil {
		return stopped(err)
	}
	var left []namedFile
	if rack != "" {
		left = []namedFile{{rack, result.Layout.Rack(request.Job)}}
	}
	return s.deliverResult(c, out, result, left, func() error { return s.showCut(c, request, result) })
}

// mayRack refuses a rack that is there already, which is somebody's, one without a name, and one
// of no stock.
func mayRack(c *cli.Context, name string, j *job.Job) error {
	if !c.IsSet(rackFlag.Name) {
		return nil
	}
	if strings.TrimSpace(name) == "" {
		return usage("--rack needs a file to write into, and its name is empty", "write --rack FILE, or leave --rack out")
	}
	if j.Stock == nil {
		return usage("--rack is what is left of a job's stock, and this job has none", "write `stock` into the job, or leave --rack out")
	}
	if _, err := os.Lstat(name); err == nil {
		return usage(name+" is there already, and a rack is never written over", "name a new file, and put it in the old one's place yourself when all is cut")
	}
	return nil
}

// deliverResult writes the files of a result that is not refused, the rack that is left with them
// where one is wanted, and shows it.
func (s *session) deliverResult(c *cli.Context, out outputFolder, result cam.Result, rack []namedFile, show func() error) error {
	if result.Report.Findings.Failed() {
		err := show()
		s.refusedAs(nothingIsWritten)
		return err
	}
	changes := ""
	err := s.deliver(c.Context, func(d *delivery) error {
		found, err := d.folder(out, result.Files)
		changes = found.changes(out.dir, result)
		if err != nil {
			return err
		}
		return d.files(rack)
	}, show)
	if err == nil {
		if changes != "" {
			s.say("%s", changes)
		}
		if text := result.Report.CornersText(); text != "" {
			s.say("%s", text)
		}
		s.verdict("wrote %d files to %s", len(result.Files), out.dir)
		for _, f := range rack {
			s.say("wrote what is left of the stock to %s", asTyped(f.name))
		}
		if slices.ContainsFunc(result.Files, func(f cam.File) bool { return f.Path == page.LookName }) {
			s.say("look first at %s", asTyped(filepath.Join(out.dir, page.LookName)))
		}
	}
	return err
}

func dxfFormat(name string) (drawing.DXFVersion, error) {
	switch strings.ToLower(name) {
	case "r2000":
		return drawing.R2000, nil
	case "r12":
		return drawing.R12, nil
	}
	return 0, usage(fmt.Sprintf("--dxf takes r2000 or r12, not %q", name), "write --dxf r2000, or --dxf r12 for programs that read no newer one")
}
