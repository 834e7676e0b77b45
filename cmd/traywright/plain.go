package main

import (
	"errors"
	"io/fs"
	"os"
	"strings"
)

// plainFiles shows nothing of a folder but its files and folders: opening a
// pipe or a device could wait for ever.
type plainFiles struct{ fs.FS }

var (
	errNotPlain = errors.New("it is a pipe or a device, not a file")
	errOutside  = errors.New("it is a link that leads out of the job's folder")
)

// Open opens a file or folder.
func (p plainFiles) Open(name string) (fs.File, error) {
	info, err := fs.Stat(p.FS, name)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		err = &fs.PathError{Op: "open", Path: name, Err: errNotPlain}
	}
	if err != nil {
		return nil, explained(err)
	}
	return p.FS.Open(name)
}

// Stat describes a file without opening it.
func (p plainFiles) Stat(name string) (fs.FileInfo, error) {
	info, err := fs.Stat(p.FS, name)
	return info, explained(err)
}

// explained puts our words in the place of the system's for a link out of the
// folder, which the standard library tells by its text alone.
func explained(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) && strings.Contains(path.Err.Error(), "escapes") {
		return &fs.PathError{Op: path.Op, Path: path.Path, Err: errOutside}
	}
	return err
}

// readPlain reads a file that is one, not a pipe or a device.
func readPlain(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errNotPlain}
	}
	return os.ReadFile(name)
}
