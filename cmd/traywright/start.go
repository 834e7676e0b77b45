package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/job"
)

func startCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "start",
		Usage:     "write a small commented job, roster and shop rules to begin from",
		ArgsUsage: "DIR",
		Description: "Files that are there already are never overwritten: then nothing is written at all.\n" +
			"Example: traywright start my-trays && traywright check my-trays/job.yaml",
		Flags: []cli.Flag{quietFlag, noColorFlag},
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
	names, err := fs.Glob(job.Starter(), "*")
	if err != nil {
		return err
	}
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return usage(
				fmt.Sprintf("%s is there already", filepath.Join(dir, name)),
				"start never overwrites; name a new folder",
			)
		}
	}
	err = s.deliver(c.Context, func(d *delivery) error { return d.starter(dir, names) }, func() error { return nil })
	if err == nil {
		s.say("wrote %d files to %s", len(names), dir)
		s.say("next: read them, then traywright check %s", asTyped(filepath.Join(dir, "job.yaml")))
	}
	return err
}

// starter makes the files ready, in a new folder or in one that is there.
func (d *delivery) starter(dir string, names []string) error {
	var files []cam.File
	var list []namedFile
	for _, name := range names {
		data, err := fs.ReadFile(job.Starter(), name)
		if err != nil {
			return err
		}
		files = append(files, cam.File{Path: name, Data: data})
		list = append(list, namedFile{filepath.Join(dir, name), data})
	}
	if _, err := os.Stat(dir); err == nil {
		return d.files(list)
	}
	_, err := d.folder(outputFolder{dir: dir}, files)
	return err
}

// oneArgument is the single argument of a command.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 || c.Args().First() == "" {
		return "", usage(
			fmt.Sprintf("%s takes %s, and got %d arguments", c.Command.Name, what, c.NArg()),
			fmt.Sprintf("traywright %s --help", c.Command.Name),
		)
	}
	return c.Args().First(), nil
}
