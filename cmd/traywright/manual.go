package main

import (
	_ "embed"
	"fmt"
	"strings"
	"text/template"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
)

// What a shell and `man` know of the commands is made from the commands themselves, so
// that neither can fall behind.

//go:embed completion.tmpl
var completionText string

// The documents, for whoever has the program alone. `go:embed` takes nothing from above its
// folder, so docs has copies; TestReadmePagesAreInTheProgram holds that they are the same.
var (
	//go:embed docs/README.md
	readmeText string
	//go:embed docs/SAFETY.md
	safetyText string
)

var completionTemplate = template.Must(template.New("completion").Funcs(template.FuncMap{"quote": quoteForZsh, "fish": quoteForFish}).Parse(completionText))

func completionCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "completion",
		Usage:     "print what bash, zsh or fish needs to complete commands and flags",
		ArgsUsage: "bash|zsh|fish",
		Description: "For bash: source <(traywright completion bash)\n" +
			"For zsh, into a folder of your fpath: traywright completion zsh > ~/.zfunc/_traywright\n" +
			"Example: traywright completion fish > ~/.config/fish/completions/traywright.fish",
		Flags: []cli.Flag{quietFlag, noColorFlag},
		Action: func(c *cli.Context) error {
			s.settle(c)
			shell, err := oneArgument(c, "a shell (bash, zsh or fish)")
			if err != nil {
				return err
			}
			text, err := completionFor(c.App, shell)
			if err != nil {
				return err
			}
			_, err = fmt.Fprint(s.out, text)
			return err
		},
	})
}

// completionFor is the script for a shell.
func completionFor(app *cli.App, shell string) (string, error) {
	switch shell {
	case "bash", "zsh", "fish":
		var b strings.Builder
		err := completionTemplate.ExecuteTemplate(&b, shell, described(app.VisibleCommands(), ""))
		return b.String(), err
	}
	return "", usage(fmt.Sprintf("there is no completion for the shell %q", shell), "traywright completion bash, zsh or fish")
}

// commandWords is a command as a shell sees it.
type commandWords struct {
	Name, Path, Usage string   // Path is the name with those of the commands above it
	Words             []string // that may stand behind it: commands under it, or what it takes
	Flags             []flagWords
	Subs              []commandWords
}

// flagWords is a flag; Value is what stands behind it, "" where nothing does, and Default what
// stands there where it is left out, "" where nobody can say.
type flagWords struct{ Name, Usage, Value, Default string }

// In is fish's condition that the line is the command's own.
func (w commandWords) In() string {
	text := "__traywright_in " + w.Path
	for _, sub := range w.Subs {
		text += "; and not __traywright_in " + sub.Path
	}
	return text
}

// Long is the flag without its dashes.
func (f flagWords) Long() string { return strings.TrimPrefix(f.Name, "--") }

// described are commands, those under them included; under is what stands before their
// names, with a space. Every command takes --help, which is no flag of theirs.
func described(commands []*cli.Command, under string) []commandWords {
	var list []commandWords
	for _, c := range commands {
		if c.Hidden {
			continue
		}
		w := commandWords{Name: c.Name, Path: under + c.Name, Usage: c.Usage, Subs: described(c.Subcommands, under+c.Name+" ")}
		for _, sub := range w.Subs {
			w.Words = append(w.Words, sub.Name)
		}
		if choice := strings.Split(strings.Trim(c.ArgsUsage, "[]"), "|"); len(choice) > 1 {
			w.Words = choice
		}
		for _, f := range c.VisibleFlags() {
			takes, ok := f.(cli.DocGenerationFlag)
			if !ok || f.Names()[0] == cli.HelpFlag.Names()[0] {
				continue
			}
			usage := takes.GetUsage()
			one := flagWords{Name: "--" + f.Names()[0], Usage: strings.ReplaceAll(usage, "`", "")}
			if takes.TakesValue() {
				one.Value = "value"
			}
			if parts := strings.Split(usage, "`"); len(parts) == 3 && takes.TakesValue() {
				one.Value = parts[1]
			}
			if text := takes.GetValue(); takes.TakesValue() && text != "[]" && text != "0" {
				one.Default = text
			}
			w.Flags = append(w.Flags, one)
		}
		list = append(list, w)
	}
	return list
}

// quoteForFish is a text within single quotes.
func quoteForFish(text string) string {
	return strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(text)
}

// quoteForZsh is a text within single quotes and square brackets.
func quoteForZsh(text string) string {
	return strings.NewReplacer("'", `'\''`, "[", "(", "]", ")", ":", `\:`).Replace(text)
}

func manCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "man",
		Usage:     "print the manual page: all commands and flags; or readme, or safety, which comes before any cut",
		ArgsUsage: "[safety|readme]",
		Description: "To read it at once: traywright man | man -l -\n" +
			"Every key of every file has its own command: traywright keys\n" +
			"Example: traywright man safety\n" +
			"Example: traywright man > ~/.local/share/man/man1/traywright.1",
		Flags: []cli.Flag{quietFlag, noColorFlag},
		Action: func(c *cli.Context) error {
			s.settle(c)
			text, err := manual(c)
			if err == nil {
				_, err = fmt.Fprint(s.out, text)
			}
			return err
		},
	})
}

// manual is the page that is asked for.
func manual(c *cli.Context) (string, error) {
	const fix = "traywright man, man safety or man readme"
	if c.NArg() > 1 {
		return "", usage(fmt.Sprintf("man takes one page, and got %d", c.NArg()), fix)
	}
	switch name := c.Args().First(); name {
	case "":
		return c.App.ToManWithSection(1)
	case "safety":
		return safetyText, nil
	case "readme":
		return readmeText, nil
	default:
		return "", usage(fmt.Sprintf("there is no page %s", finding.Quote(name)), fix)
	}
}
