package job

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// ReadError says that a file's text could not be read into values. Findings
// has one entry for each problem, in the file's order.
type ReadError struct{ Findings finding.List }

func (e *ReadError) Error() string {
	if len(e.Findings) == 0 {
		return "the job cannot be read"
	}
	f := e.Findings[0]
	return f.Where + ": " + f.Message
}

// Bounds of what is read: far above what a person writes, and low enough that
// a hostile file takes no memory to speak of.
const (
	largestFile = 4 << 20
	maxProblems = 20
	maxPockets  = 20_000
	maxTrays    = 500
	maxLayers   = 200
	maxCases    = 200
	maxPieces   = 20_000
)

// Load reads the job named and the roster that it names from the job's folder.
// The error is a *ReadError when a text cannot be read into values; findings
// with errors say that the job reads but cannot be meant.
func Load(fsys fs.FS, name string) (*Job, finding.List, error) {
	text, err := readFile(fsys, name)
	if err != nil {
		return nil, nil, err
	}
	doc := strict.ReadLimited(name, text, largestFile)
	r := newReader(name, doc)
	raw := r.job(doc.Root())
	if err := asReadError(doc.Err()); err != nil {
		return nil, nil, err
	}
	if err := r.loadRoster(fsys, raw); err != nil {
		return nil, nil, err
	}
	j := r.settle(raw)
	r.sort()
	return j, r.found, nil
}

// readFile reads a file of at most largestFile bytes.
func readFile(fsys fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, unreadable(name, "cannot be read: "+cause(err), "check the name")
	}
	if info.IsDir() {
		return nil, unreadable(name, "is a folder, not a file", "name the job file in it")
	}
	if info.Size() > largestFile {
		return nil, unreadable(name, fmt.Sprintf("has %d bytes, and at most %d are read", info.Size(), largestFile), "split the job")
	}
	text, err := fs.ReadFile(fsys, name)
	if err != nil {
		return nil, unreadable(name, "cannot be read: "+cause(err), "check that you may read it")
	}
	return text, nil
}

func cause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}

func unreadable(where, message, hint string) *ReadError {
	return &ReadError{finding.List{{Rule: "unreadable", Where: where, Message: message, Hint: hint}}}
}

// asReadError turns the reader's problems into findings, the first twenty.
func asReadError(err error) error {
	if err == nil {
		return nil
	}
	var problems strict.Problems
	if !errors.As(err, &problems) {
		return err
	}
	e := &ReadError{}
	for i, p := range problems {
		if i == maxProblems {
			e.Findings = append(e.Findings, finding.Finding{
				Rule: "unreadable", Where: p.File, Message: fmt.Sprintf("and %d more problems", len(problems)-i),
			})
			break
		}
		message := p.Reason
		if p.Key != "" {
			message = p.Key + ": " + message
		}
		e.Findings = append(e.Findings, finding.Finding{
			Rule: "unreadable", Where: Position{p.File, p.Line, p.Column}.String(), Message: message, Hint: p.Hint,
		})
	}
	return e
}

// reader holds what reading one job gathers.
type reader struct {
	file   string
	doc    *strict.Document
	found  finding.List
	places []Position // of each finding
	pieces map[string]Piece
}

func newReader(file string, doc *strict.Document) *reader {
	return &reader{file: file, doc: doc, pieces: map[string]Piece{}}
}

func (r *reader) at(v strict.Value) Position {
	line, column := v.Place()
	return Position{r.file, line, column}
}

// refuse adds an error about what stands at a place.
func (r *reader) refuse(at Position, rule, hint, format string, args ...any) {
	r.add(finding.Error, at, rule, hint, format, args...)
}

func (r *reader) add(s finding.Severity, at Position, rule, hint, format string, args ...any) {
	r.found = append(r.found, finding.Finding{Severity: s, Rule: rule, Where: at.String(), Message: fmt.Sprintf(format, args...), Hint: hint})
	r.places = append(r.places, at)
}

// sort puts the findings into the files' order.
func (r *reader) sort() {
	order := make([]int, len(r.found))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := r.places[a], r.places[b]
		return cmp.Or(strings.Compare(p.File, q.File), cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
	})
	sorted := make(finding.List, 0, len(order))
	for _, i := range order {
		sorted = append(sorted, r.found[i])
	}
	r.found = sorted
}
