package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

func startCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "start",
		Usage:     "write a small commented job, roster and shop rules to begin from",
		ArgsUsage: "DIR",
		Description: "On a terminal it asks for your case, foams, machine and pieces, and writes files without anybody else's; `?` explains a " +
			"question. Elsewhere, or with --example, it writes an example. Flags answer without being asked; beside --inside, --foam, --machine " +
			"or --piece, and only then, lines of standard input answer the other questions, in their order. " +
			"Files that are there already are never overwritten: then nothing is written at all.\n" +
			"Example: traywright start example --example && traywright check example",
		Flags: []cli.Flag{exampleFlag, newUnitsFlag, insideFlag, haveFlag, withFlag, pieceFlag, quietFlag, noColorFlag},
		Action: func(c *cli.Context) error {
			s.settle(c)
			dir, err := oneArgument(c, "a folder to write into")
			if err != nil {
				return err
			}
			return s.start(c, dir)
		},
	})
}

func (s *session) start(c *cli.Context, dir string) error {
	unit, err := chosenUnit(c, units.Millimetre)
	if err != nil {
		return err
	}
	if err := unused(c); err != nil {
		return err
	}
	if file := notAFolder(dir); file != "" {
		return usage(file+" is a file, not a folder", "name a new folder")
	}
	for _, name := range startNames {
		if path := filepath.Join(dir, name); exists(path) {
			return usage(path+" is there already", "start never overwrites; name a new folder")
		}
	}
	files, next := example(unit), "traywright check"
	if s.asks(c) {
		if files, err = until(c.Context, func() ([]cam.File, error) { return s.ownFiles(c) }); err != nil {
			return err
		}
		next = "see that roster.csv has all your pieces, then traywright arrange"
	}
	err = s.deliver(c.Context, func(d *delivery) error { return d.starter(dir, files) }, func() error { return nil })
	if err == nil {
		s.say("wrote %d files to %s", len(files), dir)
		if !s.asks(c) && !c.Bool(exampleFlag.Name) {
			s.say("they are an example, and standard input was not read: say --inside, --foam, --machine or --piece to answer for your own")
		}
		s.say("next: read them, then %s %s", next, asTyped(filepath.Join(dir, "job.yaml")))
	}
	return err
}

// notAFolder is what stands in the way of a folder of that name: a file, there or further up.
func notAFolder(dir string) string {
	for at := filepath.Clean(dir); ; at = filepath.Dir(at) {
		info, err := os.Stat(at)
		switch {
		case err == nil && !info.IsDir():
			return at
		case err == nil || at == filepath.Dir(at):
			return ""
		}
	}
}

// startNames are what start writes.
var startNames = []string{"job.yaml", "roster.csv", "shop-rules.yaml"}

// example is a small job of a game that nobody has, in one unit or the other.
func example(unit units.Unit) []cam.File {
	var files []cam.File
	for _, name := range startNames {
		data, err := fs.ReadFile(job.Starter(unit), name)
		if err != nil {
			panic(err) // cannot happen: the files are embedded
		}
		files = append(files, cam.File{Path: name, Data: data})
	}
	return files
}

// starter makes the files ready, in a new folder or in one that is there.
func (d *delivery) starter(dir string, files []cam.File) error {
	var list []namedFile
	for _, f := range files {
		list = append(list, namedFile{filepath.Join(dir, f.Path), f.Data})
	}
	if _, err := os.Stat(dir); err == nil {
		return d.files(list)
	}
	_, err := d.folder(outputFolder{dir: dir}, files)
	return err
}

// empty counts arguments that say nothing.
func empty(c *cli.Context) (n int) {
	for _, a := range c.Args().Slice() {
		if a == "" {
			n++
		}
	}
	return n
}

// oneArgument is the single argument of a command.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 || c.Args().First() == "" {
		return "", usage(
			fmt.Sprintf("%s takes %s, and got %s", strings.TrimPrefix(c.Command.HelpName, "traywright "), what, finding.Counted(c.NArg()-empty(c), "argument")),
			fmt.Sprintf("%s --help", c.Command.HelpName),
		)
	}
	return c.Args().First(), nil
}
