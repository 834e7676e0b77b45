package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// namedFile is a file to be written.
type namedFile struct {
	name string
	data []byte
}

// files makes several files ready.
func (d *delivery) files(list []namedFile) error {
	for _, f := range list {
		if err := d.file(f.name, f.data); err != nil {
			return err
		}
	}
	return nil
}

// filePart is a file that takes its place in a folder, over another one or none.
type filePart struct {
	name  string // where it goes
	fresh string // made ready
	stood bool   // whether a file has that place
	old   string // a second name of that file, once its place is taken; "" for none
}

// file makes a file ready. One that stands in its place keeps its mode, and a link
// there stays one: what it leads to is replaced.
func (d *delivery) file(name string, data []byte) error {
	real, err := filepath.EvalSymlinks(name)
	if errors.Is(err, fs.ErrNotExist) {
		real, err = name, nil
	}
	if err != nil {
		return cannotWriteFile(name, err)
	}
	if real, err = filepath.Abs(real); err != nil {
		return cannotWriteFile(name, err)
	}
	if err := d.apart(real); err != nil {
		return err
	}
	folder := filepath.Dir(real)
	sweep(folder)
	s, err := d.staging(folder, "")
	if err != nil {
		return cannotWriteFile(name, err)
	}
	p := &filePart{name: real, fresh: s.path(strconv.Itoa(len(d.parts)))}
	if err := create(p.fresh, data); err != nil {
		return cannotWriteFile(name, err)
	}
	if info, err := os.Stat(real); err == nil {
		p.stood = true
		if err := onDisk.Chmod(p.fresh, info.Mode().Perm()); err != nil {
			return cannotWriteFile(name, err)
		}
	}
	d.parts = append(d.parts, p)
	return nil
}

func (p *filePart) place() string { return p.name }
func (p *filePart) kept() string  { return p.old }

func (p *filePart) swap() error {
	info, err := os.Lstat(p.name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return cannotWriteFile(p.name, err)
	case !p.stood:
		return cannotWriteFile(p.name, errors.New("there is one since the run began"))
	case !info.Mode().IsRegular():
		return cannotWriteFile(p.name, errors.New("something else that is no file has its name"))
	default:
		p.old = p.fresh + "-" + oldName
		if err := keepFile(p.name, p.old, info.Mode()); err != nil {
			return cannotWriteFile(p.name, err)
		}
	}
	if err := onDisk.Rename(p.fresh, p.name); err != nil {
		return cannotWriteFile(p.name, err)
	}
	return nil
}

func (p *filePart) undo() error {
	if p.old == "" {
		return onDisk.Remove(p.name)
	}
	return onDisk.Rename(p.old, p.name)
}
