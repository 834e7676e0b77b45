package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// namedFile is a file to be written.
type namedFile struct {
	name string
	data []byte
}

// writeTogether writes several files, all or none: each into a new file beside it
// first, which then takes its name. When one of them cannot, those that did are what
// they were before.
func writeTogether(files []namedFile) (err error) {
	fresh := make([]string, len(files))
	defer func() {
		for _, name := range fresh {
			if name != "" {
				os.Remove(name)
			}
		}
	}()
	for i, f := range files {
		if fresh[i], err = besides(f.name, f.data); err != nil {
			return err
		}
	}
	var undo []func() error
	defer func() {
		for i := len(undo) - 1; err != nil && i >= 0; i-- {
			err = errors.Join(err, undo[i]())
		}
	}()
	var old []string
	for i, f := range files {
		kept := fresh[i] + "-old"
		back := func() error { return os.Remove(f.name) }
		switch err := os.Rename(f.name, kept); {
		case err == nil:
			back = func() error { return os.Rename(kept, f.name) }
			old = append(old, kept)
		case !errors.Is(err, fs.ErrNotExist):
			return cannotWriteFile(f.name, err)
		}
		if err := os.Rename(fresh[i], f.name); err != nil {
			if len(old) > 0 && old[len(old)-1] == kept {
				err = errors.Join(err, back())
			}
			return cannotWriteFile(f.name, err)
		}
		undo = append(undo, back)
	}
	for _, name := range old {
		os.Remove(name)
	}
	return nil
}

// besides writes data into a new file in the folder of another, and names it.
func besides(name string, data []byte) (string, error) {
	f, err := os.CreateTemp(filepath.Dir(name), ".traywright-*")
	if err != nil {
		return "", cannotWriteFile(name, err)
	}
	_, err = f.Write(data)
	if err := errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		os.Remove(f.Name())
		return "", cannotWriteFile(name, err)
	}
	return f.Name(), nil
}

func cannotWriteFile(name string, err error) error {
	return usageError{name + ": cannot be written: " + cause(err).Error(), "choose a folder that you may write to, with room on its disk"}
}
