package main

import (
	"bytes"
	"errors"
	"io/fs"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/arrange"
	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
)

// drawRefused draws what was found before something was refused, in the place of the arrangement's picture: an older
// one would look current there.
func (a arranged) drawRefused(d *delivery, found finding.List) error {
	p := a.checked.Plan
	if p == nil && a.result.Partial.Job != nil {
		request := a.request
		request.Job = a.result.Partial.Job
		p = cam.Check(request).Plan
	}
	o := page.OverviewOptions{Unit: a.request.Unit, Refused: true, Lines: refusedLines(found)}
	o.Unplaced = unplaced(a.result.Partial)
	return drawArranged(d, a.picture, p, o)
}

// unplaced are the pieces without a place.
func unplaced(p arrange.Partial) (list []page.Unplaced) {
	beside := func(m arrange.Missing) page.Unplaced { return page.Unplaced(m) }
	for _, m := range p.Missing {
		list = append(list, beside(m))
	}
	return list
}

// refusedLines are what the picture says of why: the first error.
func refusedLines(found finding.List) []string {
	for _, f := range found {
		if f.Severity == finding.Error {
			return []string{"refused: " + f.Message}
		}
	}
	return []string{"refused"}
}

func drawArranged(d *delivery, name string, p *plan.Plan, o page.OverviewOptions) error {
	var picture bytes.Buffer
	if err := page.Overview(&picture, p, o); err != nil {
		return err
	}
	if err := mayDraw(name); err != nil {
		return err
	}
	return d.files([]namedFile{{name, cam.Sign(cam.File{Path: cam.Arranged, Data: picture.Bytes()}).Data}})
}

// unread draws over the picture of an earlier run, if there is one of ours, when a job cannot even be read.
func (s *session) unread(c *cli.Context, path string, why error) error {
	name := pictureFile(c, path)
	if _, err := readPlain(name); errors.Is(err, fs.ErrNotExist) || mayDraw(name) != nil {
		return why
	}
	o := page.OverviewOptions{Refused: true, Title: arrange.FileName, Lines: []string{"the job could not be read when it was to be arranged again"}}
	if err := s.deliver(c.Context, func(d *delivery) error { return drawArranged(d, name, nil, o) }, func() error { return nil }); err != nil {
		return err
	}
	return why
}
