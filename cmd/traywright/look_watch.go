package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"traywright/cam"
	"traywright/cam/arrange"
)

// How files are watched: by asking for their sizes and times, which every system and every
// network folder can say, and which costs a thousandth of a core. Judged, no source: an editor
// is done when nothing has changed for settleAfter; where the job then looks torn, it has until
// tornAfter.
const (
	pollEach    = 25 * time.Millisecond
	settleAfter = 50 * time.Millisecond
	tornAfter   = 600 * time.Millisecond
	mostWatched = 1000 // files, of the job's folder and those below it
	watchedDeep = 3    // folders
)

// lookWatch is what the files were when they were last asked.
type lookWatch struct {
	job    string   // its path
	beside []string // other files and folders that the command line names
	marks  string
}

// changed asks the files, and reports whether one is another than before.
func (w *lookWatch) changed() bool {
	marks := w.ask()
	changed := marks != w.marks
	w.marks = marks
	return changed
}

func (w *lookWatch) ask() string {
	var b strings.Builder
	left := mostWatched
	mark(&b, w.job, &left)
	markFolder(&b, filepath.Dir(w.job), watchedDeep, &left)
	for _, name := range w.beside {
		mark(&b, name, &left)
		markFolder(&b, name, watchedDeep, &left)
	}
	return b.String()
}

func mark(b *strings.Builder, name string, left *int) {
	*left--
	if info, err := os.Stat(name); err == nil {
		fmt.Fprintf(b, "%s %d %d\n", name, info.Size(), info.ModTime().UnixNano())
	}
}

// markFolder marks what a job can name: its files first, then folders below it. Output folders
// come last: a run may have filled one with pictures, but the roster that `measure` wrote lies in one too.
func markFolder(b *strings.Builder, dir string, deep int, left *int) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	var folders []string
	for _, e := range entries {
		name := filepath.Join(dir, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), ".") || *left <= 0:
		case e.IsDir():
			folders = append(folders, name)
		default:
			mark(b, name, left)
		}
	}
	for _, last := range [...]bool{false, true} {
		for _, name := range folders {
			if deep > 1 && *left > 0 && isOutput(name) == last {
				markFolder(b, name, deep-1, left)
			}
		}
	}
}

// isOutput reports whether a run has written a folder.
func isOutput(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, cam.ReportName))
	return err == nil
}

// next waits for a change, and until whoever writes is done. False when the run is over. Meanwhile
// ahead may begin with what stands there: it is asked when that has been left alone for one look of
// the watch, and again after each change.
func (w *lookWatch) next(ctx context.Context, was func() lookTexts, ahead func()) bool {
	for !w.changed() {
		if !pause(ctx, pollEach) {
			return false
		}
	}
	began, asked := time.Now(), false
	for quiet := time.Duration(0); quiet < settleAfter || quiet < tornAfter && readTexts(w.job).torn(was()); quiet = time.Since(began) {
		if !pause(ctx, pollEach) {
			return false
		}
		switch {
		case w.changed():
			began, asked = time.Now(), false
		case !asked:
			asked = true
			ahead()
			if w.changed() {
				began, asked = time.Now(), false
			}
		}
	}
	return true
}

// lookTexts are the files that a hand may change: the job, and the arrangement beside it; nil
// for one that is not there.
type lookTexts struct{ job, placed []byte }

// readTexts are both as they are.
func readTexts(path string) (t lookTexts) {
	t.job = readText(path)
	if filepath.Base(path) != arrange.FileName {
		t.placed = readText(arrangementBeside(path))
	}
	return t
}

// of is the one that an entry stands in.
func (t *lookTexts) of(arranged bool) *[]byte {
	if arranged {
		return &t.placed
	}
	return &t.job
}

func (t lookTexts) equal(other lookTexts) bool {
	return bytes.Equal(t.job, other.job) && bytes.Equal(t.placed, other.placed)
}

// sum names both.
func (t lookTexts) sum() string { return sumOf(slices.Concat(t.job, t.placed)) }

// torn reports whether one looks as if somebody were still writing it.
func (t lookTexts) torn(was lookTexts) bool {
	return torn(t.job, was.job) || was.placed != nil && torn(t.placed, was.placed)
}

// torn reports whether a text is gone, empty, much shorter than it was, or without the end of
// its last line.
func torn(text, was []byte) bool {
	return len(bytes.TrimSpace(text)) == 0 || len(text) < len(was)*9/10 || bytes.HasSuffix(was, []byte("\n")) && !bytes.HasSuffix(text, []byte("\n"))
}

// readText is a file as it is; nil where it cannot be read.
func readText(path string) []byte {
	text, err := readPlain(path)
	if err != nil {
		return nil
	}
	return text
}

func pause(ctx context.Context, long time.Duration) bool {
	select {
	case <-ctx.Done():
		return false
	case <-time.After(long):
		return true
	}
}
