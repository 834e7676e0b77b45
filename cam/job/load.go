package job

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// maxText is the most characters in a name or a label.
const maxText = 200

// howJobsRead is what a job may have that other files may not.
var howJobsRead = strict.Options{
	Kind: "job", Aliases: true, LongestText: maxText,
	Smaller: fewerPockets, Begin: "`traywright start DIR` writes a job to begin from",
}

// fewerPockets is the hint for a job that is too large.
const fewerPockets = "use grids for pockets that are alike, or make it two jobs"

// Load reads a job and its roster from the job's folder. The error is always a
// finding.List: some text is no value, so there is no job. Findings that are
// errors mean that there is a job, and that it is wrong: nobody should cut it.
//
// Shop rules and outlines are named by the job, and are checked here only to lie
// in the job's folder.
func Load(fsys fs.FS, name string) (*Job, finding.List, error) {
	l := &log{Log: finding.Log{First: name}}
	j := load(l, fsys, name)
	found, err := l.Result()
	if err != nil {
		return nil, nil, err
	}
	return j, found, nil
}

func load(l *log, fsys fs.FS, name string) *Job {
	text, ok := l.readFile(fsys, name, finding.Position{File: name})
	if !ok {
		return nil
	}
	root, ok := strict.Parse(&l.Log, name, text, howJobsRead)
	if !ok {
		return nil
	}
	r := &reader{log: l, fsys: fsys}
	d := r.job(root)
	d.outlined = r.outlined
	if l.Unread() > 0 {
		return nil
	}
	return d.finish(l)
}

// readFile is a whole file as text. What is wrong with it is reported at the
// place that names it.
func (l *log) readFile(fsys fs.FS, name string, named finding.Position) (string, bool) {
	data, err := readBytes(fsys, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		l.CannotRead(named, "missing-file", fmt.Sprintf("there is no file %s", name), "check the name; it is looked for in the job's folder")
		return "", false
	case err != nil:
		var at *fs.PathError
		if errors.As(err, &at) {
			err = at.Err
		}
		l.CannotRead(named, "unreadable-file", fmt.Sprintf("%s cannot be read: %v", name, err), "name a file that you may read")
		return "", false
	}
	return strict.Text(&l.Log, name, data, fewerPockets)
}

// readBytes reads one byte more than is allowed, to tell that it is too long.
func readBytes(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, strict.MostBytes+1))
}

// inFolder is the clean form of a path that the user wrote; false, with a
// finding, when it leads out of the job's folder.
func (l *log) inFolder(v strict.Value, name string) (string, bool) {
	clean := path.Clean(name)
	if strings.ContainsAny(name, `\:`) || !fs.ValidPath(clean) || clean == "." {
		l.Fail(v.At(), "outside-folder", fmt.Sprintf("%s is %q, which is outside the job's folder or no path in it", v.Called(), name),
			"put the file beside the job, and write its path from there, with / between folders")
		return "", false
	}
	return clean, true
}
