package cam

import (
	"io"

	"traywright/cam/page"
)

// look makes the page that a person looks at. It has the report in it as that is before the
// page is one of its files, and every program.
func (r *Result) look(pages page.CutSheet, works []*sheetWork) (File, error) {
	report, err := r.Report.JSON()
	if err != nil {
		return File{}, err
	}
	in := page.LookInput{Report: report, Verdict: r.Report.CornersText()}
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
