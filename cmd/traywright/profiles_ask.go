package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"traywright/geometry/units"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// question is one that `profiles new` asks. Without a fallback it has to be answered.
type question struct {
	flag     string
	ask      string // with the form of an answer
	about    string // what `?` says
	fallback string
	shipped  bool // the fallback is the shipped machine's number, and whoever takes it has said nothing
	take     func(text string) error
	program  bool // for a machine that takes programs
}

// answers are what was said so far, and how more is got.
type answers struct {
	*session
	c        *cli.Context
	lines    *bufio.Reader // nil for none
	terminal bool
	read     int // lines
	unit     units.Unit
	own      profiles.Own
	dir      string
	asked    []string // by their flags
}

// longestAnswer bounds what is read of a line, in bytes.
const longestAnswer = 1 << 10

// askAll asks everything that no flag says.
func (s *session) askAll(c *cli.Context, catalog *profiles.Catalog) (*answers, error) {
	a := s.answers(c)
	if err := a.askEach(a.first(catalog)); err != nil {
		return nil, err
	}
	if a.own.Process.Traits().Blade {
		if err := a.ask(a.chord()); err != nil {
			return nil, err
		}
	}
	like, _ := catalog.Like(a.own.Process, a.own.ChordMM > 0)
	if err := a.ask(a.controller(like)); err != nil {
		return nil, err
	}
	if err := a.askEach(a.machine(like)); err != nil {
		return nil, err
	}
	if err := a.tools(like); err != nil {
		return nil, err
	}
	return a, a.unasked()
}

// unasked refuses what a flag says and nobody asked: watts make no router.
func (a *answers) unasked() error {
	for _, f := range a.c.Command.Flags {
		name := f.Names()[0]
		if slices.Contains([]string{jsonFlag.Name, quietFlag.Name, noColorFlag.Name}, name) || name == newCutterFlag.Name && a.own.Process.Traits().Turning {
			continue
		}
		if a.c.IsSet(name) && !slices.Contains(a.asked, name) {
			return usage(fmt.Sprintf("--%s is not asked of this machine, a %s", name, a.own.Process), "leave it out, or look at --process and --controller: whatever cuts with light is a laser")
		}
	}
	return nil
}

// answers are none yet, and where more are got.
func (s *session) answers(c *cli.Context) *answers {
	a := &answers{session: s, c: c, terminal: s.typed()}
	if s.in != nil {
		a.lines = bufio.NewReaderSize(s.in, longestAnswer)
	}
	return a
}

// typed reports whether somebody sits at a terminal and can be asked.
func (s *session) typed() bool {
	f, ok := s.in.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// show is a length in the unit of the answers.
func (a *answers) show(mm float64) string {
	l, err := units.FromMM(mm)
	if err != nil {
		return fmt.Sprintf("%.4g mm", mm)
	}
	return l.Format(a.unit)
}

// shownDown is a length rounded down to what a ruler shows.
func (a *answers) shownDown(mm float64) string {
	step := 0.1
	if a.unit == units.Inch {
		step = units.InchMM / 64
	}
	return a.show(math.Floor(mm/step) * step)
}

// example is the one of two texts that is in the unit of the answers.
func (a *answers) example(mm, in string) string {
	if a.unit == units.Inch {
		return in
	}
	return mm
}

func (a *answers) askEach(list []question) error {
	for _, q := range list {
		if err := a.ask(q); err != nil {
			return err
		}
	}
	return nil
}

// ask takes the flag's word, else asks until there is an answer. A script is asked once.
func (a *answers) ask(q question) error {
	a.asked = append(a.asked, q.flag)
	if q.program && a.drawn() {
		if a.c.IsSet(q.flag) {
			return usage(fmt.Sprintf("--%s is of programs, and the machine takes drawings only", q.flag), "leave it out")
		}
		return nil
	}
	if a.c.IsSet(q.flag) {
		if err := q.take(strings.TrimSpace(a.c.String(q.flag))); err != nil {
			return usage(fmt.Sprintf("--%s: %v", q.flag, err), q.about)
		}
		return nil
	}
	for {
		text, ended, err := a.line(q)
		if err != nil {
			return err
		}
		if text == "?" {
			a.tell("  " + q.about)
			continue
		}
		if text == "" && q.shipped {
			return nil
		}
		if text == "" {
			text = q.fallback
		}
		why := errors.New("there is no default: it wants an answer")
		if text != "" {
			why = q.take(text)
		}
		switch {
		case why == nil:
			return nil
		case ended:
			return usage(fmt.Sprintf("nobody said %s", q.ask), fmt.Sprintf("add --%s, or answer on standard input", q.flag))
		case !a.terminal:
			return usage(fmt.Sprintf("standard input, line %d (%s): %v", a.read, q.ask, why), q.about)
		}
		a.tell("  " + why.Error())
	}
}

// line asks, and reads a line; ended says that there is none any more.
func (a *answers) line(q question) (text string, ended bool, err error) {
	prompt := q.ask
	if q.fallback != "" {
		prompt += " [default: " + q.fallback + "]"
	}
	if a.terminal {
		fmt.Fprint(a.talk, prompt+" (? explains): ")
	}
	if a.lines == nil {
		return "", true, nil
	}
	raw, err := a.lines.ReadSlice('\n')
	switch {
	case errors.Is(err, bufio.ErrBufferFull):
		return "", false, usage(fmt.Sprintf("standard input, line %d: has more than %d letters", a.read+1, longestAnswer), "")
	case err != nil && !errors.Is(err, io.EOF):
		return "", false, usage("standard input cannot be read: "+cause(err).Error(), "")
	}
	ended = err != nil && len(raw) == 0
	a.read++
	text = strings.TrimSpace(string(raw))
	if !a.terminal {
		a.say("%s: %s", prompt, text)
	} else if ended {
		fmt.Fprintln(a.talk)
	}
	return text, ended, nil
}

// tell prints a line on the way, whatever --quiet says: somebody is waiting for it.
func (a *answers) tell(text string) { fmt.Fprintln(a.talk, strict.Shown(text)) }

// length reads a length above 0, mm.
func (a *answers) length(text string) (float64, error) {
	l, err := units.Parse(text, a.unit)
	if err == nil && l <= 0 {
		err = fmt.Errorf("%s is no length above 0", text)
	}
	return l.MM(), err
}

// feed reads a feed, mm/min: 3000, 3000 mm/min, 120 in/min, 120 ipm.
func (a *answers) feed(text string) (float64, error) {
	plain := strings.TrimSpace(strings.TrimSuffix(strings.ReplaceAll(strings.ToLower(text), "ipm", "in/min"), "/min"))
	l, err := units.Parse(plain, a.unit)
	if err != nil || l.MM() < 10 {
		return 0, fmt.Errorf("%q is no feed: write 3000 mm/min or 120 in/min", text)
	}
	return l.MM(), nil
}

func count(text string, least, most float64, what string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= least && v <= most) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no %s from %g to %g", text, what, least, most)
	}
	return v, nil
}
