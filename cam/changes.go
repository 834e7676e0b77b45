package cam

import (
	"bytes"
	"cmp"
	"fmt"
	"path"
	"regexp"
	"strings"
)

// Changes is how the programs of a run differ from those of an earlier one, as paths
// in their folder, in the order of the reports.
type Changes struct {
	Same     []string // to the byte
	Reworded []string // the same moves under other comments
	Renamed  []string // the same moves under another name
	More     []string // of these, what is to be made more often than before
	Again    []string // other moves, or another foam or machine
	New      []string // not there before
	Gone     []string // not there any more
}

// CompareRuns holds the files of a run against the report of an earlier one. Old reads
// a file of that one as it was written; nil where it cannot be had any more: then a
// program that differs counts as one to cut again. Where no file is a program for a
// machine, the drawings to cut from stand in their place.
func CompareRuns(before []FileReport, old func(path string) []byte, now Result) Changes {
	kind := "dxf"
	for _, f := range append(append([]FileReport{}, before...), now.Report.Files...) {
		if f.Kind == "gcode" {
			kind = f.Kind
		}
	}
	if now.Plan != nil && now.Plan.Machine.Process.Traits().ByHand {
		kind = "svg" // which is the same whatever the other drawings are written as
	}
	was, is := programs(before, kind), programs(now.Report.Files, kind)
	texts := map[string][]byte{}
	for _, f := range now.Files {
		texts[f.Path] = f.Data
	}
	r := runs{earlier: map[string]FileReport{}, old: old}
	for _, f := range was {
		r.earlier[f.Path] = f
	}
	for _, f := range is {
		r.place(f, texts[f.Path])
	}
	for _, f := range r.fresh {
		r.rename(f, texts[f.Path], was)
	}
	for _, f := range was {
		if _, gone := r.earlier[f.Path]; gone {
			r.Gone = append(r.Gone, f.Path)
		}
	}
	return r.Changes
}

// runs are two runs that are being compared. Earlier is what of the earlier one has not
// been found again, by its path.
type runs struct {
	Changes
	earlier map[string]FileReport
	old     func(path string) []byte
	fresh   []FileReport // of a name that was not there before
}

// place finds a program of the new run among those of the same name.
func (r *runs) place(f FileReport, text []byte) {
	e, known := r.earlier[f.Path]
	delete(r.earlier, f.Path)
	switch {
	case !known:
		r.fresh = append(r.fresh, f)
		return
	case e.SHA256 == f.SHA256:
		r.Same = append(r.Same, f.Path)
	case r.alike(e, f, text):
		r.Reworded = append(r.Reworded, f.Path)
	default:
		r.Again = append(r.Again, f.Path)
		return
	}
	r.more(f, e.Made)
}

// rename finds a program among those of other names that are not there any more: of
// several with its moves it takes the place of all.
func (r *runs) rename(f FileReport, text []byte, was []FileReport) {
	made, found, known := 0, "", true
	for _, e := range was {
		if _, gone := r.earlier[e.Path]; gone && r.alike(e, f, text) {
			made, known = made+e.Made, known && e.Made > 0
			found = cmp.Or(found, e.Path)
			delete(r.earlier, e.Path)
		}
	}
	if found == "" {
		r.New = append(r.New, f.Path)
		return
	}
	r.Renamed = append(r.Renamed, fmt.Sprintf("%s, which was %s", f.Path, found))
	if known {
		r.more(f, made)
	}
}

// alike reports whether two programs cut the same foam on the same machine with the
// same moves.
func (r *runs) alike(e, f FileReport, text []byte) bool {
	return e.Foam == f.Foam && e.Machine == f.Machine && sameMoves(r.old(e.Path), text)
}

// more notes what is made more often than it was.
func (r *runs) more(f FileReport, was int) {
	if was > 0 && f.Made > was {
		r.More = append(r.More, fmt.Sprintf("%s, %d instead of %d", f.Path, f.Made, was))
	}
}

func programs(files []FileReport, kind string) (list []FileReport) {
	for _, f := range files {
		if f.Kind == kind && !strings.HasSuffix(f.Path, "-finished"+path.Ext(f.Path)) {
			list = append(list, f)
		}
	}
	return list
}

// comments are those that programs are written with.
var comments = regexp.MustCompile(`\([^)\n]*\)|;[^\n]*`)

// sameMoves reports whether two programs differ in comments and spaces at most.
func sameMoves(a, b []byte) bool {
	return a != nil && bytes.Equal(moves(a), moves(b))
}

func moves(text []byte) []byte {
	return bytes.Join(bytes.Fields(comments.ReplaceAll(text, nil)), []byte(" "))
}
