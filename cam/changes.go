package cam

import (
	"bytes"
	"path"
	"regexp"
	"strings"
)

// Changes is how the programs of a run differ from those of an earlier one, as paths
// in their folder, in the order of the reports.
type Changes struct {
	Same     []string // to the byte
	Reworded []string // the same moves under other comments
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
	was, is := programs(before, kind), programs(now.Report.Files, kind)
	texts := map[string][]byte{}
	for _, f := range now.Files {
		texts[f.Path] = f.Data
	}
	earlier := map[string]FileReport{}
	for _, f := range was {
		earlier[f.Path] = f
	}
	var c Changes
	for _, f := range is {
		e, known := earlier[f.Path]
		delete(earlier, f.Path)
		list := &c.Again
		switch {
		case !known:
			list = &c.New
		case e.SHA256 == f.SHA256:
			list = &c.Same
		case e.Foam == f.Foam && e.Machine == f.Machine && sameMoves(old(f.Path), texts[f.Path]):
			list = &c.Reworded
		}
		*list = append(*list, f.Path)
	}
	for _, f := range was {
		if _, gone := earlier[f.Path]; gone {
			c.Gone = append(c.Gone, f.Path)
		}
	}
	return c
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
