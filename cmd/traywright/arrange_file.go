package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"traywright/cam"
	"traywright/cam/arrange"
	"traywright/cam/finding"
	"traywright/cam/job"
)

// earlier is an arrangement that lies beside a job; the zero value is none.
type earlier struct {
	text []byte
	job  *job.Job // nil where it cannot be read
	err  error    // why not

	touched map[int]bool // lines of its pockets that a hand has placed
}

// mayArrange refuses what a hand has changed beyond the places of pockets.
func (e *earlier) mayArrange(file string) error {
	if !e.edited() {
		return nil
	}
	lines, ok := arrange.Touched(e.text)
	if !ok {
		return usage(file+" was edited by hand beyond its pockets, and is left as it is",
			"change all but pockets in the job, where it stays; or arrange afresh with --force, which gives up what was edited")
	}
	e.touched = lines
	return e.err
}

// edited reports whether somebody changed it since it was written.
func (e earlier) edited() bool { return e.text != nil && job.Edited(e.text) }

// ofOther is the job that it was made from when that is another than the one at
// path, "" otherwise. What is typed in has no name; whether it is that job its text says.
func (e earlier) ofOther(path string) string {
	if of := arrange.JobOf(e.text); path != standardInput && of != filepath.Base(path) {
		return of
	}
	return ""
}

// arrangementBeside is where the arrangement of a job is.
func arrangementBeside(path string) string {
	return filepath.Join(filepath.Dir(path), arrange.FileName)
}

// readEarlier reads the arrangement beside a job, if there is one; a draft that is not nil stands for its text.
func readEarlier(file string, draft []byte) (earlier, error) {
	folder, err := os.OpenRoot(filepath.Dir(file))
	if errors.Is(err, fs.ErrNotExist) {
		return earlier{}, nil // the job is not there either, and is told
	}
	if err != nil {
		return earlier{}, cannotRead(file, err)
	}
	defer folder.Close()
	var files fs.FS = plainFiles{folder.FS()}
	if draft != nil {
		files = typedFiles{files, filepath.Base(file), draft}
	}
	text, err := fs.ReadFile(files, filepath.Base(file))
	if errors.Is(err, fs.ErrNotExist) {
		return earlier{}, nil
	}
	if err != nil {
		return earlier{}, cannotRead(file, err)
	}
	e := earlier{text: append([]byte{}, text...)} // not nil, if empty
	j, found, err := job.Load(files, filepath.Base(file))
	switch {
	case err != nil:
		e.err = readError(file, err)
	case found.Failed():
		e.err = found.AsUnread()
	default:
		e.job = j
	}
	return e, nil
}

// useArrangement fills the arrangement beside a job into it, where the job
// leaves something open and the arrangement was made from just this job.
func (s *session) useArrangement(r *cam.Request, path string) error {
	if !r.Job.Open() {
		return nil
	}
	file := arrangementBeside(path)
	old, err := readEarlier(file, s.draft.placed)
	if err != nil || old.text == nil {
		return err
	}
	if other := old.ofOther(path); other != "" {
		s.print(finding.List{{
			Severity: finding.Warning, Rule: "job-of-another", Where: file,
			Message: "is the arrangement of another job, " + other + ", and is not used",
			Hint:    "keep each job that is to be arranged in a folder of its own",
		}})
		return nil
	}
	machine, unknown := r.FindMachine()
	if unknown != nil {
		return nil // reported with the job
	}
	if arrange.MadeFrom(old.text) != arrange.Fingerprint(r.Job, machine.Process) {
		if path == standardInput {
			path = arrange.JobOf(old.text)
		}
		s.print(finding.List{{
			Severity: finding.Warning, Rule: "job-moved-on", Where: file,
			Message: "the job has changed since it was arranged, so the arrangement is not used",
			Hint:    "run `traywright arrange " + asTyped(path) + "` again, with this run's flags; what still fits stays where it is",
		}})
		return nil
	}
	if old.err != nil {
		return old.err
	}
	r.Job = arrange.Apply(r.Job, old.job)
	return nil
}

// sameFile reports whether two names are one file.
func sameFile(a, b string) bool {
	x, err1 := os.Stat(a)
	y, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(x, y)
}
