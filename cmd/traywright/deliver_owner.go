package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"traywright/cam"
	"traywright/cam/arrange"
	"traywright/cam/finding"
)

// standing is an output folder as a run finds it. What the sealed report in it
// names is an earlier run's as long as its sum is the one written there, its name one
// that a run gives, and the file itself shows that a run wrote it, for anybody can write a report; all
// else is a person's.
type standing struct {
	dir      string           // without links
	info     fs.FileInfo      // nil where there is none yet
	reported bool             // a report.json is in it, sealed or not
	broken   bool             // it is there, but is none of ours, or was changed
	files    []cam.FileReport // that the run wrote; none where the report is not sealed
	persons  []personal
}

// personal is something of a person's in an output folder.
type personal struct {
	path string // below it, with the system's separators
	mode fs.FileMode
	why  string // "" for an empty folder, which is in nobody's way
}

const (
	whyChanged  = "changed since it was written"
	whyForeign  = "not written by traywright"
	whyUnsigned = "without a mark that a run of traywright wrote it; those of older versions have none" // though the report says so
	whyArranged = "written by `traywright arrange` for a job, and not by this command"
	whyReport   = "not as traywright wrote it"
	whyUntold   = "not to be told from yours without that"
)

// lookInto tells what in a folder is whose.
func lookInto(dir string) (standing, error) {
	s := standing{dir: dir}
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s, nil
	case err != nil:
		return s, cannotWrite(dir, err)
	case !info.IsDir():
		return s, usage(dir+" is a file, not a folder", "name a folder to write into")
	}
	s.info = info
	sums := s.readReport()
	written := map[string]bool{} // folders that hold what an earlier run wrote
	for name := range sums {
		for d := filepath.Dir(name); d != "."; d = filepath.Dir(d) {
			written[d] = true
		}
	}
	err = filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		return s.look(name, entry, sums, written)
	})
	if err != nil {
		return s, cannotWrite(dir, err)
	}
	return s, nil
}

// readReport reads the report of the run that wrote the folder, and returns the
// sums of its files, its own among them.
func (s *standing) readReport() map[string]string {
	name := filepath.Join(s.dir, cam.ReportName)
	text, err := readPlain(name)
	s.broken = !errors.Is(err, fs.ErrNotExist) // until it proves good
	if err != nil {
		return nil
	}
	s.reported = json.Valid(text)
	var report struct {
		Files []cam.FileReport `json:"files"`
	}
	if !cam.Sealed(text) || json.Unmarshal(text, &report) != nil {
		return nil
	}
	s.files, s.broken = report.Files, false
	sums := map[string]string{cam.ReportName: cam.Sum(text)}
	for _, f := range report.Files {
		if name := filepath.FromSlash(f.Path); cam.IsOurName(f.Path) && filepath.IsLocal(name) && name == filepath.Clean(name) {
			sums[name] = f.SHA256
		}
	}
	return sums
}

// look adds what is a person's.
func (s *standing) look(name string, entry fs.DirEntry, sums map[string]string, written map[string]bool) error {
	info, err := entry.Info()
	if err != nil {
		return err
	}
	add := func(why string) { s.persons = append(s.persons, personal{name, info.Mode(), why}) }
	sum, listed := sums[name]
	switch {
	case entry.IsDir():
		if !written[name] {
			add("")
		}
		return nil
	case name == cam.ReportName && !listed:
		add(whyReport)
		return nil
	case !listed && s.broken:
		add(whyUntold)
		return nil
	case !listed:
		if name == arrange.FileName {
			add(whyArranged)
		} else {
			add(whyForeign)
		}
		return nil
	case !info.Mode().IsRegular():
		add(whyChanged)
		return nil
	}
	text, err := readPlain(filepath.Join(s.dir, name))
	switch {
	case errors.Is(err, errTooLarge) || err == nil && cam.Sum(text) != sum: // no run writes so large a one
		add(whyChanged)
		return nil
	case err == nil && name != cam.ReportName && !cam.Signed(name, text):
		add(whyUnsigned)
	}
	return err
}

// refusal says that the folder holds what is a person's, nil where it does not or
// where that is to be kept.
func (o outputFolder) refusal(s standing) error {
	var names []string
	for _, p := range s.persons {
		text := fmt.Sprintf("%s (%s)", filepath.ToSlash(p.path), p.why)
		switch p.why {
		case "":
		case whyReport: // it explains the rest
			names = append([]string{text}, names...)
		default:
			names = append(names, text)
		}
	}
	if len(names) == 0 || o.keep && s.reported {
		return nil
	}
	hint := fmt.Sprintf("add --%s to keep them beside the new files, or name another folder for --%s", keepFlag.Name, o.flag)
	if !s.reported {
		hint = fmt.Sprintf("name a new folder for --%s, such as %s", o.flag, filepath.ToSlash(filepath.Join(o.dir, "cut")))
	}
	return finding.List{{
		Rule: "not-ours", Where: o.dir, Message: "nothing is written, for it holds what is yours: " + some(names), Hint: hint,
	}}
}
