package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
)

var keepFlag = &cli.BoolFlag{Name: "keep-mine", Usage: "keep what is yours in the output folder beside the new files, as NAME.mine.EXT where a new file takes its name"}

// outputFolder is a folder that a flag names to be written whole.
type outputFolder struct {
	flag string // without dashes
	dir  string // as typed
	keep bool   // what is a person's stays beside the new files
}

// folderOf is the folder that a flag names, dir "" where it is not given.
func folderOf(c *cli.Context, flag *cli.StringFlag) outputFolder {
	return outputFolder{flag.Name, c.String(flag.Name), c.Bool(keepFlag.Name)}
}

// find looks into the folder, and refuses one that may not be replaced. What a run
// that was killed left beside it is mended first.
func (o outputFolder) find() (standing, error) {
	dir, err := o.settled()
	if err != nil {
		return standing{}, err
	}
	sweep(filepath.Dir(dir))
	s, err := lookInto(dir)
	if err != nil || s.info == nil {
		return s, err
	}
	if s.info.Mode().Perm()&0o200 == 0 {
		return s, cannotWrite(dir, errors.New("it is read-only"))
	}
	if above, err := os.Stat(filepath.Dir(dir)); err == nil && above.Mode().Perm()&0o222 == 0 {
		return s, o.nailed(dir, "the folder that it lies in is read-only")
	}
	return s, o.refusal(s)
}

// mayWrite refuses early what write would refuse.
func (o outputFolder) mayWrite() error {
	if o.dir == "" {
		return nil
	}
	_, err := o.find()
	return err
}

// settled is the folder as an absolute path without links.
func (o outputFolder) settled() (string, error) {
	full, err := filepath.Abs(o.dir)
	if err != nil {
		return "", cannotWrite(o.dir, err)
	}
	real, err := filepath.EvalSymlinks(full)
	if err == nil {
		return real, nil
	}
	if _, there := os.Lstat(full); there == nil && errors.Is(err, fs.ErrNotExist) {
		return "", usage(o.dir+" is a link to a folder that is not there", "make that folder, or name another one for --"+o.flag)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", cannotWrite(o.dir, err)
	}
	return full, nil
}

// nailed says that a folder may be written to, but not take another's place.
func (o outputFolder) nailed(dir, why string) error {
	return usage(
		dir+" cannot be replaced in one step: "+why,
		"name a folder inside it, such as --"+o.flag+" "+filepath.ToSlash(filepath.Join(o.dir, "cut")),
	)
}

// folderPart is a folder that takes another's place, or an empty one.
type folderPart struct {
	outputFolder
	found standing
	bench *staging // where it is made ready
}

// folder makes a folder ready, and returns what stands in its place.
func (d *delivery) folder(o outputFolder, files []cam.File) (standing, error) {
	dir, err := o.settled()
	if err != nil {
		return standing{}, err
	}
	if err := d.apart(dir); err != nil {
		return standing{}, err
	}
	found, err := o.find()
	if err != nil {
		return found, err
	}
	if err := o.another(found, files); err != nil {
		return found, err
	}
	above := filepath.Dir(found.dir)
	if err := d.makeFolders(above); err != nil {
		return found, cannotWrite(o.dir, err)
	}
	s, err := d.staging(above, filepath.Base(found.dir))
	switch {
	case err != nil && found.info != nil:
		return found, o.nailed(found.dir, "nothing can be written into the folder that it lies in: "+cause(err).Error())
	case err != nil:
		return found, cannotWrite(o.dir, err)
	}
	if err := d.fillNew(s, found, files); err != nil {
		return found, cannotWrite(o.dir, err)
	}
	d.parts = append(d.parts, &folderPart{o, found, s})
	return found, nil
}

// another refuses a folder in which another command's work lies: a dry run's pictures do not take
// away the programs that they are of.
func (o outputFolder) another(found standing, files []cam.File) error {
	var old, now []string
	for _, f := range found.files {
		old = append(old, f.Path)
	}
	for _, f := range files {
		now = append(now, f.Path)
	}
	wrote := writerOf(old)
	if wrote == "" || wrote == writerOf(now) {
		return nil
	}
	return finding.List{{
		Rule: "not-ours", Where: o.dir, Message: fmt.Sprintf("nothing is written, for it holds what `traywright %s` wrote, and this run would take that away", wrote),
		Hint: "name another folder for --" + o.flag,
	}}
}

// writerOf is the command whose files these are, "" where they are pictures alone.
func writerOf(paths []string) string {
	for _, c := range []struct{ page, command string }{{"cut-sheet.md", "cut"}, {"coupon.md", "coupon"}, {cam.MeetName + ".md", "profiles trial"}} {
		if slices.Contains(paths, c.page) {
			return c.command
		}
	}
	return ""
}

// fillNew writes the files, and what is a person's, into a staging's new folder.
func (d *delivery) fillNew(s *staging, found standing, files []cam.File) error {
	fresh := s.path(newName)
	if err := onDisk.Mkdir(fresh, 0o777); err != nil {
		return err
	}
	if found.info != nil {
		const kept = fs.ModePerm | fs.ModeSetgid | fs.ModeSticky
		if err := onDisk.Chmod(fresh, found.info.Mode()&kept); err != nil {
			return err
		}
	}
	if err := fill(d.ctx, fresh, files); err != nil {
		return err
	}
	told, err := found.keep(fresh, files)
	d.kept = append(d.kept, told...)
	return err
}

func (p *folderPart) place() string { return p.found.dir }
func (p *folderPart) kept() string  { return p.bench.path(newName) }

// swap gives the new folder its place. What stood there is looked at once more: a
// person may have worked on it since.
func (p *folderPart) swap() error {
	if p.found.info == nil {
		if err := onDisk.Rename(p.bench.path(newName), p.found.dir); err != nil {
			return cannotWrite(p.dir, err)
		}
		return nil
	}
	if err := p.turn(); err != nil {
		return p.nailed(p.found.dir, cause(err).Error())
	}
	now, err := lookInto(p.bench.path(newName))
	if err == nil && !slices.Equal(now.persons, p.found.persons) {
		err = usage(p.found.dir+" was changed while the new files were made ready", "run it again")
	}
	if err != nil {
		return errors.Join(err, p.turn())
	}
	return nil
}

// undo gives the place back to what had it.
func (p *folderPart) undo() error {
	if p.found.info == nil {
		return onDisk.Rename(p.found.dir, p.bench.path(newName))
	}
	return p.turn()
}

// turn exchanges the folder in the staging and the one in its place: in one step,
// or, where the system has none, by renames between which a later run can put back
// what stood there.
func (p *folderPart) turn() error {
	fresh, old, dir := p.bench.path(newName), p.bench.path(oldName), p.found.dir
	err := onDisk.Exchange(fresh, dir)
	if !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	if err := onDisk.Rename(dir, old); err != nil {
		return err
	}
	if err := onDisk.Rename(fresh, dir); err != nil {
		return errors.Join(err, onDisk.Rename(old, dir))
	}
	if err := onDisk.Rename(old, fresh); err != nil {
		return errors.Join(err, onDisk.Rename(dir, fresh), onDisk.Rename(old, dir))
	}
	return nil
}
