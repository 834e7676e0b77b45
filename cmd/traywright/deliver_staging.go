package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A staging is a hidden folder beside what is to be written, in which all of it is
// made ready first. In it are:
//
//	about.txt   says whose it is, names the folder that is to be replaced, and is
//	            locked by the run that it belongs to
//	new         the folder that takes the other's place, and then what stood there
//	old         what stood there, for the moment between two renames where a system
//	            cannot exchange two names in one step
//	0, 0-old .. files that take others' places, and those, to be put back
//
// A staging whose lock is free was left by a run that was killed: see sweep.
type staging struct {
	dir  string
	mark *os.File
}

const (
	stagingName = ".traywright-"
	markName    = "about.txt"
	newName     = "new"
	oldName     = "old"
	markText    = "traywright makes ready here what it writes into the folder above.\n" +
		"When none is running, this is left of one that was killed; the next run into that folder clears it away.\n"
)

// stagedNames are all that a staging may hold.
var stagedNames = regexp.MustCompile(`^(about\.txt|new|old|[0-9]+|[0-9]+-old)$`)

// newStaging makes a staging in a folder, to replace target, "" for none.
func newStaging(folder, target string) (*staging, error) {
	const tries = 3 // another run may take one that is not locked yet for a leftover
	for try := 1; ; try++ {
		s, err := tryStaging(folder, target)
		if err == nil && (lock(s.mark) || try == tries) {
			return s, nil
		}
		if err == nil {
			s.mark.Close()
		}
		if err != nil && (!errors.Is(err, fs.ErrNotExist) || try == tries) {
			return nil, err
		}
	}
}

func tryStaging(folder, target string) (*staging, error) {
	dir := filepath.Join(folder, stagingName+strconv.FormatUint(rand.Uint64(), 36))
	if err := onDisk.Mkdir(dir, 0o700); err != nil {
		return nil, err
	}
	mark, err := onDisk.Create(filepath.Join(dir, markName))
	if err != nil {
		onDisk.Remove(dir)
		return nil, err
	}
	if _, err := fmt.Fprintf(mark, "%s%q\n", markText, filepath.Base(target)); err != nil {
		mark.Close()
		removeTree(dir)
		return nil, err
	}
	return &staging{dir, mark}, nil
}

func (s *staging) path(name string) string { return filepath.Join(s.dir, name) }

// end clears the staging away. What cannot be is left to a later run.
func (s *staging) end() {
	clearStaging(s.dir)
	s.mark.Close()
	onDisk.Remove(s.path(markName)) // by now where an open file cannot be removed
	onDisk.Remove(s.dir)
}

// clearStaging removes a staging, its mark last, so that whatever is left of it
// is still known for what it is. One that holds anything else than we put there is
// somebody's, and stays.
func clearStaging(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil || slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return !stagedNames.MatchString(e.Name()) }) {
		return
	}
	for _, e := range entries {
		if e.Name() != markName && removeTree(filepath.Join(dir, e.Name())) != nil {
			return
		}
	}
	onDisk.Remove(filepath.Join(dir, markName))
	onDisk.Remove(dir)
}

// sweep mends what killed runs left in a folder, and clears their stagings away:
// those that bear our mark and that no run holds.
func sweep(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return // then nothing can be left in it by us, or be told from the rest
	}
	for _, e := range entries {
		if e.IsDir() && strings.HasPrefix(e.Name(), stagingName) {
			sweepStaging(folder, filepath.Join(folder, e.Name()))
		}
	}
}

func sweepStaging(folder, dir string) {
	mark, err := openPlain(filepath.Join(dir, markName))
	if errors.Is(err, fs.ErrNotExist) {
		onDisk.Remove(dir) // killed before there was a mark; a folder with anything in it stays
		return
	}
	if err != nil {
		return
	}
	defer mark.Close()
	if !lock(mark) {
		return
	}
	text, err := io.ReadAll(io.LimitReader(mark, 4096))
	if err != nil {
		return
	}
	target, ours := strings.CutPrefix(string(text), markText)
	switch name, err := strconv.Unquote(strings.TrimSuffix(target, "\n")); {
	case ours && err == nil:
		beside := name != ".." && name == filepath.Base(name) // else it is not our writing
		if beside && putBack(dir, filepath.Join(folder, name)) {
			clearStaging(dir)
		}
	case ours || strings.HasPrefix(markText, string(text)): // killed while it wrote the mark, so before all else
		onDisk.Remove(mark.Name())
		onDisk.Remove(dir)
	}
}

// putBack ends what a run was killed in between two renames: what stood at target
// gets its name again. It reports whether the staging is of no more use.
func putBack(dir, target string) bool {
	old := filepath.Join(dir, oldName)
	if _, err := os.Lstat(old); err != nil {
		return errors.Is(err, fs.ErrNotExist)
	}
	if _, err := os.Lstat(target); errors.Is(err, fs.ErrNotExist) {
		return onDisk.Rename(old, target) == nil
	}
	_, err := os.Lstat(filepath.Join(dir, newName))
	return errors.Is(err, fs.ErrNotExist) // else somebody made another folder of that name since: a person decides
}
