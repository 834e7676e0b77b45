package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
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
	if strings.HasPrefix(command, "-") { // of the program itself, whose help is no report; what every command takes may stand before it
		shared, others := takenByAll(args[1:])
		if len(others) == 0 || strings.HasPrefix(others[0], "-") {
			return append(args[:1:1], others...), nil
		}
		at := len(others)
		if end := slices.Index(others, "--"); end >= 0 {
			at = end
		}
		return flagsFirst(app, slices.Concat(args[:1], slices.Insert(others, at, shared...)))
	}
	if command == "help" || command == "h" { // `help cut` is `cut --help`, and `help` alone is --help
		return flagsFirst(app, append(append([]string{args[0]}, rest[:min(len(rest), 2)]...), "--help"))
	}
	if command == "version" {
		return []string{args[0], "--version"}, nil
	}
	c := app.Command(command)
	if c == nil {
		return nil, noSuchCommand(app, command)
	}
	named := []string{args[0], command}
	if sub := subcommand(c, rest); sub != nil {
		c, named, rest = sub, append(named, sub.Name), rest[1:]
	}
	return inOrder(c, named, rest)
}

// takenByAll parts the flags that every command takes from what else is given.
func takenByAll(args []string) (shared, others []string) {
	for i, a := range args {
		switch {
		case a == "--":
			return shared, append(others, args[i:]...)
		case slices.ContainsFunc(talkFlags(), func(f cli.Flag) bool { return a == "--"+f.Names()[0] }):
			shared = append(shared, a)
		default:
			others = append(others, a)
		}
	}
	return shared, others
}

// inOrder puts the flags of a command that is named so before what else is given to it.
func inOrder(c *cli.Command, named, rest []string) ([]string, error) {
	var flags, others []string
	for i := 0; i < len(rest); i++ {
		a := rest[i]
		switch {
		case a == "--":
			others = append(others, rest[i+1:]...)
			i = len(rest)
		case len(a) < 2 || a[0] != '-':
			others = append(others, a)
		case flagOf(c, a) == nil:
			return nil, noSuchFlag(c, strings.Join(named[1:], " "), a)
		case flagOf(c, a) == cli.HelpFlag: // the library would look for help on the other arguments
			return append(named, a), nil
		case takesValue(c, a) && (i+1 == len(rest) || forgotten(c, rest[i+1])):
			return nil, usage(a+" needs a value behind it", fmt.Sprintf("traywright %s --help says which", strings.Join(named[1:], " ")))
		case takesValue(c, a):
			flags = append(flags, a, rest[i+1])
			i++
		default:
			flags = append(flags, a)
		}
	}
	ordered := append(named, flags...)
	if len(others) > 0 {
		ordered = append(append(ordered, "--"), others...)
	}
	return ordered, nil
}

// forgotten reports whether what stands where a flag's value should is the next flag, or the end of flags.
func forgotten(c *cli.Command, next string) bool {
	return next == "--" || strings.HasPrefix(next, "--") && flagOf(c, next) != nil
}

// subcommand is the command below c that the arguments begin with; nil for none.
func subcommand(c *cli.Command, rest []string) *cli.Command {
	for _, sub := range c.Subcommands {
		if len(rest) > 0 && rest[0] == sub.Name {
			return sub
		}
	}
	return nil
}

// takesValue reports whether the flag as written, such as --out, is followed
// by its value as an argument of its own.
func takesValue(c *cli.Command, written string) bool {
	_, isSwitch := flagOf(c, written).(*cli.BoolFlag)
	return !isSwitch && !strings.Contains(written, "=")
}

// flagOf is the command's flag that is written, such as --out or --out=x; nil
// for none.
func flagOf(c *cli.Command, written string) cli.Flag {
	name, _, _ := strings.Cut(strings.TrimLeft(written, "-"), "=")
	for _, f := range append([]cli.Flag{cli.HelpFlag}, c.Flags...) {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

func noSuchCommand(app *cli.App, name string) error {
	var names []string
	for _, c := range app.Commands {
		names = append(names, c.Name)
	}
	hint := "traywright help lists the commands"
	if ask := finding.DidYouMean(name, names); ask != "" {
		hint = ask + " " + hint
	}
	return usage(fmt.Sprintf("there is no command %q", name), hint)
}

func noSuchFlag(c *cli.Command, command, written string) error {
	name, _, _ := strings.Cut(written, "=")
	var names []string
	for _, f := range c.Flags {
		names = append(names, "--"+f.Names()[0])
	}
	hint := fmt.Sprintf("traywright %s --help lists its flags; a file whose name begins with - goes after --", command)
	if ask := finding.DidYouMean(name, names); ask != "" {
		hint = ask + " " + hint
	}
	return usage(fmt.Sprintf("%s has no flag %s", command, name), hint)
}
