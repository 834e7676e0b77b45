package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"
)

// The library prints its own screens by a printer of its package; ours stands in its place,
// once and for all sessions.
func init() {
	cli.HelpPrinter = func(w io.Writer, _ string, about any) {
		switch about := about.(type) {
		case *cli.App:
			io.WriteString(w, overviewHelp(about))
		case *cli.Command:
			io.WriteString(w, commandHelp(about))
		}
	}
}

// overviewHelp is the first screen: what there is, and where to go on.
func overviewHelp(app *cli.App) string {
	var b strings.Builder
	b.WriteString(folded("", "", app.Name+": "+app.Usage) + "\n")
	for _, line := range strings.Split(app.Description, "\n") {
		b.WriteString(folded("", "  ", line))
	}
	b.WriteString("\n" + commandList(described(app.VisibleCommands(), "")))
	b.WriteString("\n" + folded("", "", "`traywright help COMMAND` says what a command takes, `traywright man` all of it, and `traywright --version` which traywright this is."))
	return b.String()
}

// commandHelp is the screen of one command: what it does, an example, and its flags.
func commandHelp(c *cli.Command) string {
	w := described([]*cli.Command{c}, "")[0]
	name := c.HelpName
	if name == "" {
		name = "traywright " + c.Name
	}
	var b strings.Builder
	b.WriteString(folded("", "  ", strings.TrimSpace(name+" "+strings.TrimSpace(c.ArgsUsage))))
	b.WriteString(folded("  ", "  ", c.Usage) + "\n")
	text, examples := "", ""
	for _, line := range strings.Split(c.Description, "\n") {
		if strings.Contains(line, ": traywright ") || strings.HasPrefix(line, "For ") {
			examples += line + "\n" // to be copied whole
			continue
		}
		text += line + " "
	}
	if text != "" {
		b.WriteString(folded("", "", text) + "\n")
	}
	b.WriteString(examples)
	if len(w.Subs) > 0 {
		b.WriteString("\n" + commandList(w.Subs))
	}
	b.WriteString("\n")
	for _, f := range w.Flags {
		head := strings.TrimSpace(f.Name + " " + f.Value)
		b.WriteString("  " + head + "\n" + folded("      ", "      ", f.Usage+leftOut(f.Default)))
	}
	return b.String()
}

// leftOut is what holds where a flag is left out.
func leftOut(text string) string {
	if text == "" {
		return ""
	}
	return "; left out, " + text
}

// commandList is a line for each command.
func commandList(list []commandWords) string {
	var b strings.Builder
	for _, w := range list {
		if w.Name == "help" {
			continue // the last line says it
		}
		b.WriteString(folded(fmt.Sprintf("  %-11s ", w.Name), strings.Repeat(" ", 14), w.Usage))
	}
	return b.String()
}
