package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"traywright/cam/kerf"
	"traywright/profiles"
)

// maySaveProfiles refuses what saveProfiles should not do. Only a file that an
// earlier run wrote is replaced, and only when that is asked for. The folder with
// the files in it has to be one that `cut` can read.
func maySaveProfiles(dir string, files []kerf.ProfileFile, force bool) error {
	if len(files) == 0 {
		return nil
	}
	for _, f := range files {
		if err := mayReplaceProfile(filepath.Join(dir, f.Name), force); err != nil {
			return err
		}
	}
	return tryProfiles(dir, files)
}

// saveProfiles writes files into a folder of profiles, all or none.
func saveProfiles(dir string, files []kerf.ProfileFile) error {
	made, err := makeParents(dir)
	if err != nil {
		return cannotWrite(dir, err)
	}
	var list []namedFile
	for _, f := range files {
		list = append(list, namedFile{filepath.Join(dir, f.Name), f.Data})
	}
	if err = writeTogether(list); err != nil && made != "" {
		os.RemoveAll(made)
	}
	return err
}

func mayReplaceProfile(path string, force bool) error {
	old, err := readPlain(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return cannotRead(path, err)
	case !bytes.HasPrefix(old, []byte(kerf.ProfileHead)):
		return usageError{path + " is there, and kerf did not write it", "move it away, or name another folder for --save"}
	case !force:
		return usageError{path + " is there already", "--force replaces what an earlier measurement wrote"}
	}
	return nil
}

// tryProfiles reads a copy of the folder with the files in it.
func tryProfiles(dir string, files []kerf.ProfileFile) error {
	trial, err := os.MkdirTemp("", "traywright-")
	if err != nil {
		return cannotWrite(dir, err)
	}
	defer os.RemoveAll(trial)
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		return usageError{fmt.Sprintf("%q is no name of a folder", dir), ""}
	}
	for _, name := range names {
		text, err := readPlain(name)
		if err != nil {
			return cannotRead(name, err)
		}
		files = append([]kerf.ProfileFile{{Name: filepath.Base(name), Data: text}}, files...)
	}
	for _, f := range files { // ours come last, over their older selves
		if err := os.WriteFile(filepath.Join(trial, f.Name), f.Data, 0o644); err != nil {
			return cannotWrite(dir, err)
		}
	}
	catalog, err := profiles.Shipped()
	if err != nil {
		return err
	}
	return asUsage(catalog.Add(os.DirFS(trial)))
}
