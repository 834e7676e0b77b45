package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"traywright/cam"
)

// keeper finds names, beside the files of a new run, for what in a folder is a
// person's: their own, or, where a new file or folder takes that, NAME.mine.EXT,
// NAME.mine-2.EXT and on.
type keeper struct {
	files   map[string]bool   // of the new run
	folders map[string]bool   // of the new run
	persons map[string]bool   // names that are a person's, before and after
	moved   map[string]string // folders of a person's to their new names
}

func newKeeper(files []cam.File, persons []personal) *keeper {
	k := &keeper{map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]string{".": "."}}
	for _, f := range files {
		name := filepath.FromSlash(f.Path)
		k.files[name] = true
		for d := filepath.Dir(name); d != "."; d = filepath.Dir(d) {
			k.folders[d] = true
		}
	}
	for _, p := range persons {
		k.persons[p.path] = true
	}
	return k
}

// folder is the new name of a folder.
func (k *keeper) folder(name string) string {
	if to, ok := k.moved[name]; ok {
		return to
	}
	to := filepath.Join(k.folder(filepath.Dir(name)), filepath.Base(name))
	if k.files[to] {
		to = k.free(to)
	}
	k.moved[name], k.persons[to] = to, true
	return to
}

// file is the new name of a file.
func (k *keeper) file(name string) string {
	to := filepath.Join(k.folder(filepath.Dir(name)), filepath.Base(name))
	if k.files[to] || k.folders[to] {
		to = k.free(to)
	}
	k.persons[to] = true
	return to
}

// free is the first name after one that is taken.
func (k *keeper) free(name string) string {
	end := filepath.Ext(name)
	stem := strings.TrimSuffix(name, end)
	for n := 1; ; n++ {
		next := stem + ".mine" + end
		if n > 1 {
			next = fmt.Sprintf("%s.mine-%d%s", stem, n, end)
		}
		if !k.files[next] && !k.folders[next] && !k.persons[next] {
			return next
		}
	}
}

// keep puts what is a person's into the new folder, and says what is there under
// another name. A file that is as the new one of its name needs no keeping.
func (s standing) keep(fresh string, files []cam.File) (told []string, err error) {
	k := newKeeper(files, s.persons)
	data := map[string][]byte{}
	for _, f := range files {
		data[filepath.FromSlash(f.Path)] = f.Data
	}
	for _, p := range s.persons {
		if p.why == "" {
			if err := keepFolder(fresh, k.folder(p.path), p.mode); err != nil {
				return nil, err
			}
			continue
		}
		from := filepath.Join(s.dir, p.path)
		if now, ok := data[p.path]; ok && holds(from, now) {
			continue
		}
		to := k.file(p.path)
		if err := keepFolder(fresh, filepath.Dir(to), 0o777); err != nil {
			return nil, err
		}
		if err := keepFile(from, filepath.Join(fresh, to), p.mode); err != nil {
			return nil, fmt.Errorf("%s cannot be kept: %w", p.path, cause(err))
		}
		if to != p.path {
			told = append(told, filepath.ToSlash(p.path)+" as "+filepath.ToSlash(to))
		}
	}
	return told, nil
}

// holds reports whether a file has just these bytes.
func holds(name string, data []byte) bool {
	info, err := os.Lstat(name)
	if err != nil || info.Size() != int64(len(data)) {
		return false
	}
	text, err := readPlain(name)
	return err == nil && bytes.Equal(text, data)
}

// keepFolder makes a folder and those above it where they are not there yet.
func keepFolder(fresh, name string, mode fs.FileMode) error {
	if name == "." {
		return nil
	}
	if err := keepFolder(fresh, filepath.Dir(name), 0o777); err != nil {
		return err
	}
	err := onDisk.Mkdir(filepath.Join(fresh, name), mode.Perm()|0o700)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}

// keepFile gives a file a second name, or, where the file system has no such thing,
// makes a copy of it.
func keepFile(from, to string, mode fs.FileMode) error {
	switch {
	case mode&fs.ModeSymlink != 0:
		link, err := os.Readlink(from)
		if err != nil {
			return err
		}
		return onDisk.Symlink(link, to)
	case !mode.IsRegular():
		return onDisk.Link(from, to)
	}
	if err := onDisk.Link(from, to); err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	old, err := os.Open(from)
	if err != nil {
		return err
	}
	defer old.Close()
	copied, err := onDisk.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(copied, old)
	return errors.Join(err, copied.Chmod(mode.Perm()), copied.Sync(), copied.Close())
}
