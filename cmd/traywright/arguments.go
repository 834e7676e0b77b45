package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"
)

// flagsFirst moves a command's flags in front of its other arguments, because
// the command-line library stops looking for flags at the first argument that
// is none, while people write `cut job.yaml --out out`. Everything after "--"
// stays where it is.
func flagsFirst(app *cli.App, args []string) ([]string, error) {
	if len(args) < 2 {
		return args, nil
	}
	command, rest := args[1], args[2:]
	if strings.HasPrefix(command, "-") {
		return args, nil
	}
	c := app.Command(command)
	if c == nil {
		return nil, usageError{
			fmt.Sprintf("there is no command %q", command),
			"traywright help lists the commands",
		}
	}
	var flags, others []string
	for i := 0; i < len(rest); i++ {
		a := rest[i]
		switch {
		case a == "--":
			others = append(others, rest[i+1:]...)
			i = len(rest)
		case len(a) < 2 || a[0] != '-':
			others = append(others, a)
		case takesValue(c, a) && i+1 < len(rest):
			flags = append(flags, a, rest[i+1])
			i++
		default:
			flags = append(flags, a)
		}
	}
	ordered := append([]string{args[0], command}, flags...)
	if len(others) > 0 {
		ordered = append(append(ordered, "--"), others...)
	}
	return ordered, nil
}

// takesValue reports whether the flag as written, such as --out, is followed
// by its value as an argument of its own.
func takesValue(c *cli.Command, written string) bool {
	name := strings.TrimLeft(written, "-")
	if strings.Contains(name, "=") {
		return false
	}
	for _, f := range c.Flags {
		for _, n := range f.Names() {
			if n == name {
				_, isSwitch := f.(*cli.BoolFlag)
				return !isSwitch
			}
		}
	}
	return false
}
