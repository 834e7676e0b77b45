package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"traywright/cam"
)

// changes says what of an earlier run into the folder is still good, and which sheets
// have to be cut again; "" where there was none.
func (s standing) changes(dir string, now cam.Result) string {
	if len(s.files) == 0 || now.Plan == nil {
		return ""
	}
	sums := map[string]string{}
	for _, f := range s.files {
		sums[f.Path] = f.SHA256
	}
	c := cam.CompareRuns(s.files, func(path string) []byte {
		text, err := readPlain(filepath.Join(s.dir, filepath.FromSlash(path)))
		if err != nil || cam.Sum(text) != sums[path] {
			return nil
		}
		return text
	}, now)
	good := len(c.Same) + len(c.Reworded) + len(c.Renamed)
	if good+len(c.Again)+len(c.Gone) == 0 {
		return ""
	}
	what, stays, again := "program", ", and what is cut with them stays good", "cut again: "
	if now.Plan.Machine.Process.Traits().ByHand {
		what, stays, again = "template", ", and what is cut along a print whose bars measured right stays good", "drawn anew, to be printed and cut by hand again: "
	}
	words := []string{fmt.Sprintf("since the last run into %s: %s the same", dir, are(what, len(c.Same)))}
	if n := len(c.Reworded); n > 0 {
		words = append(words, are(what, n)+" so but for comments")
	}
	if n := len(c.Renamed); n > 0 {
		words = append(words, are(what, n)+" so under another name")
	}
	if good > 0 {
		words[len(words)-1] += stays
	}
	for _, group := range []struct {
		what  string
		paths []string
	}{{"renamed: ", c.Renamed}, {"make more of: ", c.More}, {again, c.Again}, {"new: ", c.New}, {"no longer needed: ", c.Gone}} {
		if len(group.paths) > 0 {
			words = append(words, group.what+some(group.paths))
		}
	}
	return strings.Join(words, "; ")
}

func are(what string, n int) string {
	if n == 1 {
		return "1 " + what + " is"
	}
	return fmt.Sprintf("%d %ss are", n, what)
}

// some is the first few of a list, and how many more there are.
func some(list []string) string {
	const few = 6
	if more := len(list) - few; more > 0 {
		list = append(append([]string{}, list[:few]...), fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}
