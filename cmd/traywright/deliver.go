package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"traywright/cam"
	"traywright/cam/finding"
)

// delivery is all that a run writes, folders and files: all of it or none. Each
// part is made ready in a staging beside its place, then takes that place in one
// step; when one of them cannot, or the run fails after it, those that did give
// their places back.
type delivery struct {
	ctx      context.Context
	parts    []part
	swapped  int // of the parts
	stagings map[string]*staging
	made     []string // folders above the parts that were not there, the topmost first
	kept     []string // what of a person's is under another name now: "this as that"
}

// part is a folder or a file that a delivery writes.
type part interface {
	place() string
	swap() error  // takes its place
	undo() error  // gives it back
	kept() string // where what had that place lies, until the delivery ends
}

// apart refuses a place in, or around, that of another part.
func (d *delivery) apart(place string) error {
	for _, p := range d.parts {
		if filepath.Clean(p.place()) == filepath.Clean(place) {
			return usage("two outputs name one place, "+place, "give each a folder of its own")
		}
		if within(p.place(), place) || within(place, p.place()) {
			return usage(p.place()+" and "+place+" lie in one another", "give each a folder of its own")
		}
	}
	return nil
}

// within reports whether a path is another, or below it.
func within(dir, path string) bool {
	name, err := filepath.Rel(dir, path)
	return err == nil && filepath.IsLocal(name)
}

// deliver writes what add puts into a delivery, and then shows what came of it: a
// run that cannot say what it did has done nothing.
func (s *session) deliver(ctx context.Context, add func(*delivery) error, show func() error) (err error) {
	d := &delivery{ctx: ctx, stagings: map[string]*staging{}}
	defer func() {
		if err != nil && !errors.Is(err, errRefused) {
			err = d.undo(err)
		}
		d.end()
	}()
	if err := add(d); err != nil {
		return err
	}
	if err := d.swap(); err != nil {
		return err
	}
	err = show()
	for _, name := range d.kept {
		s.say("kept %s", name)
	}
	if err != nil {
		return err
	}
	return s.printed()
}

// staging is the one in a folder that is made ready to be written to. Each folder
// that is replaced has its own, and so have all the files in one folder.
func (d *delivery) staging(folder, target string) (*staging, error) {
	key := filepath.Join(folder, target)
	if s, ok := d.stagings[key]; ok {
		return s, nil
	}
	s, err := newStaging(folder, target)
	if err != nil {
		return nil, err
	}
	d.stagings[key] = s
	return s, nil
}

// makeFolders makes the folders down to dir where they are not there; they go again
// when nothing comes of the delivery.
func (d *delivery) makeFolders(dir string) error {
	made, err := makeFolders(dir)
	d.made = append(d.made, made...)
	return err
}

// swap gives every part its place.
func (d *delivery) swap() error {
	if d.ctx.Err() != nil {
		return errStopped
	}
	for _, p := range d.parts {
		if err := p.swap(); err != nil {
			return err
		}
		d.swapped++
	}
	return nil
}

// undo gives back the places of all parts that took theirs, the last first, and
// returns why. Where one cannot be given back, what had it stays in the staging, which
// no later run then takes for a leftover.
func (d *delivery) undo(why error) error {
	var lost []string
	for ; d.swapped > 0; d.swapped-- {
		p := d.parts[d.swapped-1]
		if err := p.undo(); err != nil {
			lost = append(lost, p.kept()+" ("+cause(err).Error()+")")
		}
	}
	if len(lost) > 0 {
		for _, s := range d.stagings {
			s.mark.Close()
			onDisk.Remove(s.path(markName))
		}
		clear(d.stagings)
		return usage(fmt.Sprintf("%s; what was there before could not be put back: %s", said(why), strings.Join(lost, ", ")), "move it back by hand")
	}
	d.end()
	for i := len(d.made) - 1; i >= 0; i-- {
		onDisk.Remove(d.made[i]) // unless somebody has put something into it
	}
	d.made = nil
	return why
}

// end clears away what was only needed on the way.
func (d *delivery) end() {
	for _, s := range d.stagings {
		s.end()
	}
	clear(d.stagings)
}

// cause is the operating system's reason without the names of our own
// temporary files.
func cause(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

func cannotWrite(dir string, err error) error {
	var found finding.List
	switch {
	case errors.As(err, &found):
		return found
	case errors.Is(err, context.Canceled):
		return errStopped
	}
	return usage(
		fmt.Sprintf("%s: the output folder cannot be written: %v", dir, cause(err)),
		"choose a folder that you may write to, with room on its disk; nothing was left behind",
	)
}

func cannotWriteFile(name string, err error) error {
	return usage(name+": cannot be written: "+cause(err).Error(), "choose a folder that you may write to, with room on its disk")
}

// fill writes files into a folder that is ours alone.
func fill(ctx context.Context, dir string, files []cam.File) error {
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		name := filepath.FromSlash(f.Path)
		if !filepath.IsLocal(name) {
			return fmt.Errorf("%q is not a path inside the folder", f.Path)
		}
		if err := keepFolder(dir, filepath.Dir(name), 0o777); err != nil {
			return err
		}
		if err := create(filepath.Join(dir, name), f.Data); err != nil {
			return err
		}
	}
	return nil
}

// create writes a new file.
func create(name string, data []byte) error {
	f, err := onDisk.Create(name)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}
