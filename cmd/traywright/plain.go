package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"syscall"
)

// plainFiles shows nothing of a folder but its files and folders: opening a
// pipe or a device could wait for ever.
type plainFiles struct{ fs.FS }

// largestInput bounds what is read of one file, in bytes.
const largestInput = 256 << 20

var (
	errNotPlain = errors.New("it is a pipe or a device, not a file")
	errFolder   = errors.New("it is a folder, not a file")
	errTooLarge = fmt.Errorf("it is larger than %d MiB", largestInput>>20)
	errOutside  = errors.New("it is a link that leads out of the job's folder")
)

// plain is why a file is not read, nil where it may be.
func plain(info fs.FileInfo) error {
	switch {
	case info.IsDir():
		return errFolder
	case !info.Mode().IsRegular():
		return errNotPlain
	case info.Size() > largestInput:
		return errTooLarge
	}
	return nil
}

// Open opens a file or folder.
func (p plainFiles) Open(name string) (fs.File, error) {
	info, err := fs.Stat(p.FS, name)
	if err == nil && !info.IsDir() {
		if why := plain(info); why != nil {
			err = &fs.PathError{Op: "open", Path: name, Err: why}
		}
	}
	if err != nil {
		return nil, explained(err)
	}
	return p.FS.Open(name)
}

// ReadFile reads a file that is one.
func (p plainFiles) ReadFile(name string) ([]byte, error) {
	if info, err := fs.Stat(p.FS, name); err == nil && info.IsDir() {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errFolder}
	}
	f, err := p.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, largestInput))
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

// openPlain opens a file that is one, not a folder, a pipe or a device. A pipe that
// takes its place meanwhile is not waited for.
func openPlain(name string) (*os.File, error) {
	info, err := os.Stat(name)
	if err == nil {
		err = plain(info)
	}
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: cause(err)}
	}
	f, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = plain(info)
	}
	if err != nil {
		f.Close()
		return nil, &fs.PathError{Op: "open", Path: name, Err: cause(err)}
	}
	return f, nil
}

// readPlain reads a file that is one.
func readPlain(name string) ([]byte, error) {
	f, err := openPlain(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, largestInput+1))
	if err == nil && len(text) > largestInput {
		err = &fs.PathError{Op: "read", Path: name, Err: errTooLarge}
	}
	return text, err
}
