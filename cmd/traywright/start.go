package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

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
			return s.start(dir)
		},
	})
}

func (s *session) start(dir string) error {
	names, err := fs.Glob(job.Starter(), "*")
	if err != nil {
		return err
	}
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return usageError{
				fmt.Sprintf("%s is there already", filepath.Join(dir, name)),
				"start never overwrites; name a new folder",
			}
		}
	}
	made, err := makeParents(dir)
	if err != nil {
		return cannotWrite(dir, err)
	}
	if err := copyStarter(dir, names); err != nil {
		if made != "" {
			os.RemoveAll(made)
		}
		return cannotWrite(dir, err)
	}
	s.say("wrote %d files to %s", len(names), dir)
	s.say("next: read them, then traywright check %s", filepath.Join(dir, "job.yaml"))
	return nil
}

// copyStarter writes the files, or removes those that it wrote.
func copyStarter(dir string, names []string) (err error) {
	var written []string
	defer func() {
		if err != nil {
			for _, path := range written {
				os.Remove(path)
			}
		}
	}()
	for _, name := range names {
		data, err := fs.ReadFile(job.Starter(), name)
		if err != nil {
			return err
		}
		path := filepath.Join(dir, name)
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		written = append(written, path)
		_, err = f.Write(data)
		if err := errors.Join(err, f.Close()); err != nil {
			return err
		}
	}
	return nil
}

// oneArgument is the single argument of a command.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 || c.Args().First() == "" {
		return "", usageError{
			fmt.Sprintf("%s takes %s, and got %d arguments", c.Command.Name, what, c.NArg()),
			fmt.Sprintf("traywright %s --help", c.Command.Name),
		}
	}
	return c.Args().First(), nil
}
