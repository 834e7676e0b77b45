package cam

import (
	"bytes"
	"context"
	"io"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
)

// Look is the job as its page shows it while it is edited: planned, or its programs tried as
// well. Files is that page alone, and is there for a refused job too, as long as it has a plan;
// programs are tried only where nothing refuses it. The error is for a run that was stopped.
func Look(ctx context.Context, r Request, try bool) (Result, error) {
	if !try {
		result := Check(r)
		if result.Plan == nil {
			return result, nil
		}
		pages := cutSheet(r, result.Plan, nil, result.Report.Findings)
		pages.Layout, pages.Burns = result.Layout, ifItBurns(uses(r, result.Plan.Machine))
		file, err := result.look(pages, nil, page.LookInput{Live: true, Planned: true, Cautions: Cautions(r, result.Plan)})
		result.Files = []File{file}
		return result, err
	}
	return Cut(ctx, r, Options{pageOnly: true})
}

// LookAtNothing is the page of a job that cannot be read, until it can.
func LookAtNothing(name string) ([]byte, error) {
	var b bytes.Buffer
	pages := page.CutSheet{Plan: &plan.Plan{Job: &job.Job{File: name}}}
	err := pages.Look(&b, page.LookInput{Report: []byte("{}"), Live: true, Planned: true})
	return b.Bytes(), err
}

// Wrong are the pockets that a refused job's errors name; none where it has no plan.
func (r Result) Wrong() []page.LookWrong {
	if r.Plan == nil {
		return []page.LookWrong{}
	}
	places := map[string]string{}
	for _, f := range r.Report.Findings {
		if f.Severity == finding.Error {
			places[f.Where] = f.Text()
		}
	}
	return page.LookWrongs(r.Plan, places)
}

// lookAlone makes the page and nothing beside it.
func (r *Result) lookAlone(q Request, works []*sheetWork) error {
	pages := cutSheet(q, r.Plan, works, r.Report.Findings)
	_, cut := r.drawn(works, nil)
	if err := r.sumUp(q, works, cut, &pages); err != nil {
		return err
	}
	pages.Layout = r.Layout
	file, err := r.look(pages, works, page.LookInput{Live: true})
	r.Files = []File{file}
	return err
}

// look makes the page that a person looks at. It has the report in it as that is before the
// page is one of its files, and every program.
func (r *Result) look(pages page.CutSheet, works []*sheetWork, in page.LookInput) (File, error) {
	report, err := r.Report.JSON()
	if err != nil {
		return File{}, err
	}
	in.Report, in.Verdict = report, r.Report.CornersText()
	for _, w := range works {
		for _, f := range w.files {
			if f.Path == w.path() && !w.drawn {
				in.Programs = append(in.Programs, page.LookFile(f.File))
			}
		}
	}
	file, err := written(page.LookName, func(w io.Writer) error { return pages.Look(w, in) })
	if err != nil {
		return File{}, err
	}
	r.Report.Files = append(r.Report.Files, FileReport{Path: file.Path, SHA256: Sum(file.Data), Kind: "html", Machine: r.Report.Machine})
	return file, nil
}
