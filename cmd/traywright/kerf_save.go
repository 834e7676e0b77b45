package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"testing/fstest"

	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/profiles"
)

// maySaveProfiles refuses what saveProfiles should not do. Only a file that an
// earlier run wrote is replaced, and only when that is asked for, or when all that it
// held is in the new one. The folder with
// the files in it has to be one that `cut` can read.
func maySaveProfiles(dir string, files []kerf.ProfileFile, force bool) error {
	if len(files) == 0 {
		return nil
	}
	for _, f := range files {
		if err := mayReplaceProfile(filepath.Join(dir, f.Name), f.Drops, force || f.Adds); err != nil {
			return err
		}
	}
	return tryProfiles(dir, files)
}

// profiles makes files ready for a folder of profiles.
func (d *delivery) profiles(dir string, files []kerf.ProfileFile) error {
	if err := d.makeFolders(dir); err != nil {
		return cannotWrite(dir, err)
	}
	var list []namedFile
	for _, f := range files {
		list = append(list, namedFile{filepath.Join(dir, f.Name), f.Data})
	}
	return d.files(list)
}

func mayReplaceProfile(path, drops string, force bool) error {
	old, err := readPlain(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return cannotRead(path, err)
	case !bytes.HasPrefix(old, []byte(kerf.ProfileHead)):
		return usage(path+" is there, and kerf did not write it", "move it away, or name another folder for --save")
	case job.Edited(old):
		return usage(path+" was changed since kerf wrote it", "move it away, or name another folder for --save")
	case !force && drops != "":
		return usage(path+" is there already, and what was saved before would go: "+drops, "--force replaces what an earlier measurement wrote; to keep both, name another folder for --save")
	case !force:
		return usage(path+" is there already", "--force replaces what an earlier measurement wrote")
	}
	return nil
}

// tryProfiles reads the folder as it will be with the files in it.
func tryProfiles(dir string, files []kerf.ProfileFile) error {
	trial, err := profilesIn(dir)
	if err != nil {
		return err
	}
	for _, f := range files { // ours come last, over their older selves
		trial[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	_, err = over(trial)
	return err
}

// savedIn is what earlier coupons said, as the folder has it; nil where there is no folder yet. What is wrong with
// it is said when it is to be written.
func savedIn(dir string) *profiles.Catalog {
	if dir == "" {
		return nil
	}
	saved, err := profilesIn(dir)
	if err != nil || len(saved) == 0 {
		return nil
	}
	catalog, err := over(saved)
	if err != nil {
		return nil
	}
	return catalog
}

// profilesIn is a folder of profiles in memory, empty where there is none.
func profilesIn(dir string) (fstest.MapFS, error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		return nil, usage(fmt.Sprintf("%q is no name of a folder", dir), "give a name without [, ] and *")
	}
	held := fstest.MapFS{}
	for _, name := range names {
		text, err := readPlain(name)
		if err != nil {
			return nil, cannotRead(name, err)
		}
		held[filepath.Base(name)] = &fstest.MapFile{Data: text}
	}
	return held, nil
}

// over is the shipped catalog with a folder laid over it.
func over(folder fstest.MapFS) (*profiles.Catalog, error) {
	catalog, err := profiles.Shipped()
	if err != nil {
		return nil, err
	}
	return catalog, asUsage(catalog.Add(folder))
}
