package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/safety"
	"traywright/geometry/units"
)

// request reads everything that the command line names: the job, its roster,
// its arrangement where it needs one, the profiles and every shop rules file.
// What the job names must lie in the job's own folder.
func (s *session) request(c *cli.Context, path string) (cam.Request, error) {
	request, err := s.plainRequest(c, path)
	if err != nil {
		return request, err
	}
	if err := s.useArrangement(&request, path); err != nil {
		return request, err
	}
	return request, measure(c, request.Job)
}

// jobArgument is the job that the command is given; a folder stands for its job.yaml.
func jobArgument(c *cli.Context) (string, error) {
	path, err := oneArgument(c, "a job file")
	if path == standardInput && c.Command.Name != "check" {
		return "", usage(c.Command.Name+" reads no job from standard input", "write it into a file, and name that")
	}
	return jobIn(path), err
}

// jobIn is the job file that a path stands for.
func jobIn(path string) string {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return filepath.Join(path, "job.yaml")
	}
	return path
}

// plainRequest is the request without an arrangement.
func (s *session) plainRequest(c *cli.Context, path string) (cam.Request, error) {
	if _, err := chosenUnit(c, units.Millimetre); err != nil {
		return cam.Request{}, err
	}
	folder, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return cam.Request{}, cannotRead(path, err)
	}
	defer folder.Close()
	var files fs.FS = plainFiles{folder.FS()}
	switch {
	case path == standardInput:
		files, err = s.typedIn(files)
	case s.draft.job != nil:
		files = typedFiles{files, filepath.Base(path), s.draft.job}
	default:
		_, err = fs.Stat(files, filepath.Base(path))
	}
	if err != nil {
		return cam.Request{}, cannotRead(path, err)
	}
	var found finding.List
	j, err := until(c.Context, func() (j *job.Job, err error) {
		j, found, err = job.Load(files, filepath.Base(path))
		return j, err
	})
	if err != nil {
		return cam.Request{}, readError(path, err)
	}
	if found.Failed() {
		return cam.Request{}, found
	}
	s.print(found)
	return s.hang(c, path, plainFiles{folder.FS()}, j)
}

// hang adds what hangs off the job at path: profiles and shop rules.
func (s *session) hang(c *cli.Context, path string, folder fs.FS, j *job.Job) (cam.Request, error) {
	catalog, err := s.jobCatalog(c, path, folder, j)
	if err != nil {
		return cam.Request{}, err
	}
	rules, err := readRules(c, folder, j)
	if err != nil {
		return cam.Request{}, err
	}
	s.takeFlags(c, path, j)
	unit, err := chosenUnit(c, j.Units)
	if err != nil {
		return cam.Request{}, err
	}
	request := cam.Request{Job: j, Catalog: catalog, Machine: c.String(machineFlag.Name), Rules: rules, Unit: unit}
	found, err := until(c.Context, func() (found finding.List, err error) {
		request.Outlines, found, err = cam.ReadOutlines(c.Context, folder, j)
		if err != nil {
			return nil, err
		}
		art, unread, err := cam.ReadArt(c.Context, folder, j)
		request.Art = art
		return append(found, unread...), err
	})
	if err != nil {
		return cam.Request{}, stopped(err)
	}
	if found.Failed() {
		return cam.Request{}, found.AsUnread()
	}
	return request, nil
}

// takeFlags keeps by which flags a command without the job finds this run's profiles and shop rules: of two
// folders of profiles the nearer.
func (s *session) takeFlags(c *cli.Context, path string, j *job.Job) {
	beside := func(name string) string {
		if name == "" {
			return ""
		}
		return filepath.Join(filepath.Dir(path), name)
	}
	s.whose = ""
	add := func(flag, name string) {
		if name != "" {
			s.whose += " --" + flag + " " + asTyped(filepath.ToSlash(name))
		}
	}
	add(profilesFlag.Name, cmp.Or(c.String(profilesFlag.Name), beside(j.Profiles)))
	for _, file := range append([]string{beside(j.ShopRules)}, c.StringSlice(rulesFlag.Name)...) {
		add(rulesFlag.Name, file)
	}
}

// aCoupon is a command in a hint that makes a coupon.
var aCoupon = regexp.MustCompile("(`traywright coupon --foam [^`]*)( --out coupon`)")

// withFlags is a hint whose commands find this run's profiles and shop rules. It is said on the terminal alone: files
// hang on no folder that a run was started in.
func (s *session) withFlags(hint string) string {
	return aCoupon.ReplaceAllString(hint, "${1}"+strings.ReplaceAll(s.whose, "$", "$$")+"${2}")
}

// checked is what `check` finds, unless the user interrupts.
func checked(c *cli.Context, r cam.Request) (cam.Result, error) {
	return until(c.Context, func() (cam.Result, error) { return cam.Check(r), nil })
}

// readRules reads the rules file of the job and those of the command line; all
// of them hold.
func readRules(c *cli.Context, folder fs.FS, j *job.Job) ([]safety.Rules, error) {
	var all []safety.Rules
	add := func(name string, text []byte, err error) error {
		if err != nil {
			return cannotRead(name, err)
		}
		rules, err := safety.ReadRules(name, text)
		all = append(all, rules)
		return asUsage(err)
	}
	if j.ShopRules != "" {
		text, err := fs.ReadFile(folder, j.ShopRules)
		if err := add(j.ShopRules, text, err); err != nil {
			return nil, err
		}
	}
	for _, name := range c.StringSlice(rulesFlag.Name) {
		text, err := readPlain(name)
		if err := add(name, text, err); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// chosenUnit is the unit that lengths are printed in.
func chosenUnit(c *cli.Context, job units.Unit) (units.Unit, error) {
	switch name := c.String(unitsFlag.Name); strings.ToLower(name) {
	case "":
		return job, nil
	case "mm":
		return units.Millimetre, nil
	case "in":
		return units.Inch, nil
	default:
		return job, usage(fmt.Sprintf("--units takes mm or in, not %q", name), "write --units mm or --units in")
	}
}

func cannotRead(path string, err error) error {
	return usage(fmt.Sprintf("%s: cannot be read: %v", path, cause(err)), "check the name and that you may read it")
}

// readError shows what job.Load could not read, one finding a problem.
func readError(path string, err error) error {
	if found := (finding.List)(nil); errors.As(err, &found) {
		return found
	}
	if errors.Is(err, errStopped) {
		return err
	}
	return cannotRead(path, err)
}

// asUsage makes an error about an input one that ends with exit code 2, with a
// finding for each problem of a file.
func asUsage(err error) error {
	if found := (finding.List)(nil); err == nil || errors.As(err, &found) {
		return err
	}
	return finding.List{{Unread: true, Message: err.Error()}}
}
