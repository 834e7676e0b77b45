package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// session is one run of the program: where it reads, prints and talks.
// Data goes to out, talk to talk.
type session struct {
	in    io.Reader
	out   *printer
	talk  io.Writer
	quiet bool
	color bool
	width int                      // of what is printed, in columns
	json  bool                     // --json was given
	draft lookTexts                // stand for the files that they are of; nil reads those
	heard *finding.List            // takes what is found instead of its being printed; nil prints it
	whose string                   // flags by which a command finds the profiles and shop rules of this run
	told  map[finding.Severity]int // how much of each was printed, or stands in the report: a verdict counts all of it, whenever it was found
}

func newSession(in io.Reader, out, talk io.Writer) *session {
	return &session{in: in, out: &printer{Writer: out}, talk: talk, told: map[finding.Severity]int{}, width: widthOf(out), color: isTerminal(talk) && os.Getenv("NO_COLOR") == ""}
}

// printer shows what is printed to it, and keeps its first error and whether there was
// anything. Names of files may hold what a terminal would obey.
type printer struct {
	io.Writer
	err  error
	used bool
}

func (p *printer) Write(text []byte) (int, error) {
	p.used = true
	_, err := io.WriteString(p.Writer, strict.Shown(string(text)))
	if p.err == nil {
		p.err = err
	}
	return len(text), err
}

// printed says that not all of the data could be printed.
func (s *session) printed() error {
	if s.out.err == nil {
		return nil
	}
	return usage("what there is to print cannot be printed: "+cause(s.out.err).Error(), "print into a file on a disk with room, or onto the terminal")
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// settle takes the flags that every command shares.
func (s *session) settle(c *cli.Context) {
	s.quiet, s.json = c.Bool(quietFlag.Name), c.Bool(jsonFlag.Name)
	if c.Bool(noColorFlag.Name) {
		s.color = false
	}
}

// usage is a wrong use of the command line, or a file or folder that cannot be
// read or written: exit code 2.
func usage(message, hint string) error {
	return finding.List{{Unread: true, Rule: "usage", Message: message, Hint: hint}}
}

// asTyped is a path as a shell takes it.
func asTyped(path string) string {
	if !strings.ContainsAny(path, " \t'\"$&;()<>|*?[]#~`!{}") {
		return path
	}
	return `"` + path + `"`
}

// said is an error's message alone, to be part of another.
func said(err error) string {
	var found finding.List
	if !errors.As(err, &found) {
		return err.Error()
	}
	var messages []string
	for _, f := range found {
		messages = append(messages, f.Message)
	}
	return strings.Join(messages, "; ")
}

// How findings that have been printed end a run. The first has exit code 1; the
// second, an input that cannot be read or a name that nobody knows, has 2. Findings
// that have not been printed are an error themselves.
var (
	errRefused = errors.New("the job is refused")
	errUnread  = fmt.Errorf("%w: an input cannot be read", errRefused)
)

// refusal is how a run ends whose findings have been printed; nil where they refuse
// nothing.
func refusal(found finding.List) error {
	switch {
	case found.Unread():
		return errUnread
	case found.Failed():
		return errRefused
	}
	return nil
}

// refusalReport is what --json prints where a run ended before it had a report.
type refusalReport struct {
	SchemaVersion int          `json:"schema_version"`
	Findings      finding.List `json:"findings"`
}

// exitCode prints what has not been printed yet and names the exit code. With --json
// there is one document whatever the code.
func (s *session) exitCode(err error) int {
	var found finding.List
	if err != nil && s.json && !s.out.used {
		if !errors.As(err, &found) {
			found = finding.List{{Message: err.Error()}}
		}
		if failed := writeJSON(s.out, refusalReport{cam.SchemaVersion, found}); failed != nil {
			err = failed
		}
	}
	if err == nil || errors.Is(err, errRefused) || s.out.err != nil && errors.Is(err, s.out.err) {
		err = cmp.Or(s.printed(), err)
	}
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errUnread):
	case errors.Is(err, errRefused):
		return exitRefused
	case errors.As(err, &found):
		s.print(found)
		if !found.Unread() {
			return exitRefused
		}
	default:
		s.print(finding.List{{Message: err.Error()}})
	}
	return exitUsage
}

// print shows findings, one line each and a line for the hint.
func (s *session) print(list finding.List) {
	if s.heard != nil {
		*s.heard = append(*s.heard, list...)
		return
	}
	s.count(list)
	for _, f := range list.Folded() {
		if s.quiet && f.Severity != finding.Error {
			continue
		}
		f.Hint = s.withFlags(f.Hint)
		fmt.Fprintln(s.talk, s.paint(f))
	}
}

// count counts findings for the verdict, however they are told.
func (s *session) count(list finding.List) {
	for _, f := range list {
		s.told[f.Severity]++
	}
}

// Terminal colours: red, yellow and cyan of the eight that every terminal has.
var severityColors = map[finding.Severity]string{finding.Error: "31", finding.Warning: "33", finding.Note: "36"}

// inLine keeps a path in its line, which could tell a finding of its own on the next.
var inLine = strings.NewReplacer("\n", `\u000a`, "\t", `\u0009`)

func (s *session) paint(f finding.Finding) string {
	f.Where, f.Message = inLine.Replace(f.Where), inLine.Replace(f.Message)
	text := strict.Shown(f.String())
	if !s.color {
		return text
	}
	name := f.Severity.String()
	return "\x1b[" + severityColors[f.Severity] + ";1m" + name + "\x1b[0m" + text[len(name):]
}

// say prints one line of talk, unless the user asked for quiet.
func (s *session) say(format string, args ...any) {
	if !s.quiet {
		fmt.Fprintln(s.talk, strict.Shown(fmt.Sprintf(format, args...)))
	}
}

// writeJSON prints a document for other programs.
func writeJSON(w io.Writer, v any) error {
	text, err := finding.JSON(v)
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}
