package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// disk is every call by which this program changes what lies on a disk. Nothing
// else in it does, so that a test can end the program between any two of them.
type disk interface {
	Mkdir(name string, mode fs.FileMode) error
	Create(name string) (*os.File, error) // a new file; an error where one is
	Chmod(name string, mode fs.FileMode) error
	Link(from, to string) error // the same file under a second name
	Symlink(to, name string) error
	Rename(from, to string) error // in one step, also over a file
	Exchange(a, b string) error   // in one step; errors.ErrUnsupported where the system cannot
	Remove(name string) error     // a file, or an empty folder
}

// onDisk is the disk in use; tests put another in its place.
var onDisk disk = system{}

// system is the operating system's own calls. Modes are what the umask leaves of
// them, as with any program.
type system struct{}

func (system) Mkdir(name string, mode fs.FileMode) error { return os.Mkdir(name, mode) }
func (system) Create(name string) (*os.File, error) {
	return os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
}
func (system) Chmod(name string, mode fs.FileMode) error { return os.Chmod(name, mode) }
func (system) Link(from, to string) error                { return os.Link(from, to) }
func (system) Symlink(to, name string) error             { return os.Symlink(to, name) }
func (system) Rename(from, to string) error              { return os.Rename(from, to) }
func (system) Exchange(a, b string) error                { return exchange(a, b) }
func (system) Remove(name string) error                  { return os.Remove(name) }

// removeTree removes a file, or a folder with all that is in it, following no link.
// What of it is gone when it fails stays gone.
func removeTree(name string) error {
	info, err := os.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if info.IsDir() {
		if info.Mode().Perm()&0o300 != 0o300 {
			if err := onDisk.Chmod(name, 0o700); err != nil {
				return err
			}
		}
		entries, err := os.ReadDir(name)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := removeTree(filepath.Join(name, e.Name())); err != nil {
				return err
			}
		}
	}
	return onDisk.Remove(name)
}

// makeFolders makes the folders down to dir, and names those that it had to make,
// the topmost first.
func makeFolders(dir string) (made []string, err error) {
	if _, err := os.Stat(dir); err == nil || dir == filepath.Dir(dir) {
		return nil, nil
	}
	made, err = makeFolders(filepath.Dir(dir))
	if err != nil {
		return made, err
	}
	if err := onDisk.Mkdir(dir, 0o777); err != nil {
		return made, err
	}
	return append(made, dir), nil
}
