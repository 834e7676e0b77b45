package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/geometry/trace"
)

var (
	measureGrid = &cli.StringFlag{Name: "grid", Usage: "measure the lens by `PHOTO` of the page of dots that --sheet writes, and write it to the file that --out names"}
	measureLens = &cli.StringFlag{Name: "lens", Usage: "the lens that took the photographs is that of `FILE`, which --grid wrote"}
)

// lensFlag reads the lens that photographs were taken by; nil where there is none.
func lensFlag(c *cli.Context) (*trace.Lens, error) {
	name := c.String(measureLens.Name)
	if name == "" {
		return nil, nil
	}
	text, err := readPlain(name)
	if err != nil {
		return nil, cannotRead(name, err)
	}
	l, err := cam.ReadLens(filepath.ToSlash(name), text)
	if err != nil {
		return nil, readError(name, err)
	}
	return &l, nil
}

// measureLens writes the lens that took a photograph of the page of dots.
func (s *session) measureLens(c *cli.Context, photo string) error {
	out := c.String(measureOut.Name)
	switch _, err := os.Lstat(out); {
	case c.NArg() > 0:
		return usage("measure --grid takes one photograph, that of the dots", "traywright measure --grid grid.jpg --out my-lens.yaml")
	case out == "":
		return usage("measure --grid needs a file to write", "add --out my-lens.yaml")
	case err == nil:
		return usage(out+" is there already", "choose another name, or take it away")
	}
	img, err := readPicture(photo)
	if err != nil {
		return err
	}
	lens, err := until(c.Context, func() (*trace.Lens, error) { return trace.MeasureLens(img) })
	if err != nil {
		return s.refusePhoto(photo, err)
	}
	return s.deliver(c.Context, func(d *delivery) error {
		return d.files([]namedFile{{out, cam.WriteLens(*lens, filepath.ToSlash(photo))}})
	}, func() error {
		if !s.quiet {
			fmt.Fprintf(s.out, "%s: the lens moves the picture's corners by %+.2f %%; %d dots, out to %.0f %% of the way to the corners, stray by %.2f pixels (RMS)\n",
				out, -100*(lens.K1+lens.K2), lens.Dots, 100*lens.Reach, lens.ResidualPixels)
		}
		s.say("give --lens %s with every photograph of this camera at this zoom", filepath.ToSlash(out))
		return nil
	})
}
