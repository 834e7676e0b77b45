package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/arrange"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/process"
	"traywright/geometry/units"
)

var (
	tryFlag     = &cli.IntFlag{Name: "try", Value: 8, Usage: "try `N` more orders at random for each tray, up to 100000; more takes longer"}
	seedFlag    = &cli.Uint64Flag{Name: "seed", Value: 1, Usage: "`NUMBER` that the random orders come from: the same one, the same answer"}
	pictureFlag = &cli.StringFlag{Name: "picture", Usage: "draw every tray and stack into `FILE` (PNG); left out, arrangement.png beside the job"}
	whyFlag     = &cli.BoolFlag{Name: "why", Usage: "say of every piece why its pocket is as it is, a line for each"}
	forceFlag   = &cli.BoolFlag{Name: "force", Usage: "arrange afresh, pins and all, also over an arrangement that was edited by hand"}
)

func arrangeCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "arrange",
		Usage:     "give every pocket a place; write the arrangement beside the job",
		ArgsUsage: "JOB",
		Description: "Places what each tray `holds`, and chooses trays for each case without a `stack`. Writes arrangement.yaml\n" +
			"and arrangement.png beside the job, or, when a piece has no place, only the picture, of what was found\n" +
			"so far, marked REFUSED: then it says what would help.\n" +
			"What still fits of an earlier arrangement stays where it is, and so does what you moved there. Ctrl-C keeps the best so far.\n" +
			"Example: traywright arrange my-trays/job.yaml --try 50",
		Flags: jobFlags(tryFlag, seedFlag, pictureFlag, whyFlag, forceFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := jobArgument(c)
			if err != nil {
				return err
			}
			return s.arrange(c, path)
		},
	})
}

func (s *session) arrange(c *cli.Context, path string) error {
	const mostTried = 100_000
	if n := c.Int(tryFlag.Name); n < 0 || n > mostTried {
		return usage(fmt.Sprintf("--try takes a number from 0 to %d, not %d", mostTried, n), "leave --try out, or write such as --try 200")
	}
	file := arrangementBeside(path)
	if sameFile(file, path) {
		return usage(path+" is an arrangement already", "arrange the job that it was made from")
	}
	old, err := readEarlier(file, nil)
	if err != nil {
		return err
	}
	if err := old.mayArrange(file); err != nil && !c.Bool(forceFlag.Name) {
		return err
	}
	if other := old.ofOther(path); other != "" && !c.Bool(forceFlag.Name) {
		return usage(file+" is the arrangement of another job, "+other,
			"keep each job that is to be arranged in a folder of its own, or give up the other's with --force")
	}
	if err := mayDraw(pictureFile(c, path)); err != nil {
		return err
	}
	request, err := s.plainRequest(c, path)
	if err != nil {
		return s.unread(c, path, err)
	}
	result, checked, err := s.runArrange(c, request, old)
	if err != nil {
		return err
	}
	out := arranged{file: file, before: old, afresh: c.Bool(forceFlag.Name), picture: pictureFile(c, path), source: request.Job, request: request, result: result, checked: checked}
	return s.finishArrange(c, out)
}

// arranged is what came of arranging.
type arranged struct {
	file, picture string
	before        earlier // what stood there when the run began
	afresh        bool    // it is given up
	source        *job.Job
	request       cam.Request // of the arranged job, where there is one
	result        arrange.Result
	checked       cam.Result // of the arranged job
}

func (a arranged) findings() finding.List {
	return append(append(finding.List{}, a.result.Findings...), a.checked.Report.Findings...)
}

// bestSoFar is how long an interrupted search may take to finish what it has: a roster of thousands
// of pieces may have nothing whole for minutes.
const bestSoFar = 3 * time.Second

// runArrange arranges, and holds the answer against everything that `check`
// would.
func (s *session) runArrange(c *cli.Context, request cam.Request, old earlier) (arrange.Result, cam.Result, error) {
	machine, unknown := request.FindMachine()
	if unknown != nil {
		return arrange.Result{}, cam.Result{}, unknown
	}
	if !request.Job.Open() {
		return arrange.Result{}, cam.Result{}, usage(request.Job.File+" leaves nothing to arrange",
			"give a tray `holds: [...]`, or a case no `stack`")
	}
	in := arrange.Input{
		Job: request.Job, Catalog: request.Catalog, Machine: machine, Means: process.MeansOf(machine), Unit: request.Unit, Outlines: request.Outlines, Pictures: request.Art.Pictures, Fonts: request.Art.Fonts,
		Try: c.Int(tryFlag.Name), Seed: c.Uint64(seedFlag.Name),
		Refuses: func(j *job.Job) finding.List {
			trial := request
			trial.Job = j
			return cam.Check(trial).Report.Findings
		},
	}
	if !c.Bool(forceFlag.Name) {
		in.Previous, in.Touched = old.job, old.touched
	}
	bar := s.newProgress("arranging")
	in.Progress = bar.step
	result, err := untilSoon(c.Context, bestSoFar, func() (arrange.Result, error) { return arrange.Make(c.Context, in), nil })
	bar.end()
	if err == nil && result.Stopped && result.Job == nil {
		err = errStopped // what was refused may have a place that nobody looked for
	}
	if err != nil || result.Job == nil {
		return result, cam.Result{}, err
	}
	request.Job = result.Job
	checked := cam.Check(request)
	if checked.Plan != nil {
		result.Measure(checked.Plan)
	}
	for i := range result.Trays {
		if grams, ok := weightOf(result.Trays[i].ID, checked.Report); ok {
			result.Trays[i].WeightG = grams
		}
	}
	return result, checked, nil
}

// weightOf is a tray's weight as the plan has it, from its true shapes; halves
// together. The arranger itself only has the boxes.
func weightOf(id string, r cam.Report) (grams float64, ok bool) {
	for _, t := range r.Trays {
		if t.ID == id || t.ID == id+"-1" || t.ID == id+"-2" {
			grams, ok = grams+t.WeightG, true
		}
	}
	return grams, ok
}

// finishArrange writes the files, unless something is wrong, and prints.
func (s *session) finishArrange(c *cli.Context, a arranged) error {
	found := a.findings()
	good := a.result.Job != nil && !found.Failed()
	if !good {
		return s.deliver(context.WithoutCancel(c.Context), func(d *delivery) error { return a.drawRefused(d, found) }, func() error {
			s.say("drew what was found so far, marked as refused: %s", a.picture)
			return s.showArrange(c, a, found)
		})
	}
	// also an answer that was cut short by the first interrupt is written
	return s.deliver(context.WithoutCancel(c.Context), a.write, func() error { return s.showArrange(c, a, found) })
}

// showArrange prints what came of it.
func (s *session) showArrange(c *cli.Context, a arranged, found finding.List) error {
	if c.Bool(jsonFlag.Name) {
		if err := a.printJSON(s.out); err != nil {
			return err
		}
	} else {
		if !s.quiet && a.result.Job != nil {
			if err := s.printArranged(a, c.Bool(whyFlag.Name)); err != nil {
				return err
			}
		}
		s.print(found)
	}
	if a.result.Job == nil || found.Failed() {
		return cmp.Or(refusal(found), errRefused)
	}
	if text := a.movedText(); text != "" {
		s.say("%s", text)
	}
	if a.result.Stopped {
		s.say("stopped early: this is the best so far")
	}
	s.say("wrote %s and %s", a.file, a.picture)
	return nil
}

// movedText says how many pockets of the earlier arrangement have another place; "" where there was none.
func (a arranged) movedText() string {
	m := a.result.Moved
	if m.Of == 0 {
		return ""
	}
	text := fmt.Sprintf("none of the %d pockets that were there moved", m.Of)
	if m.Pockets > 0 {
		text = fmt.Sprintf("%d of the %d pockets that were there moved: those in %s", m.Pockets, m.Of, strings.Join(m.Trays, ", "))
	}
	if m.Changed > 0 {
		text += fmt.Sprintf("; %d that did not have another size, depth or way in: those in %s", m.Changed, strings.Join(m.ChangedIn, ", "))
	}
	return text
}

// write makes the answer ready.
func (a arranged) write(d *delivery) error {
	machine, _ := a.request.FindMachine()
	text := arrange.Write(a.result.Job, a.source, machine.Process)
	if !a.afresh {
		text = arrange.WithRemarks(text, a.before.text)
	}
	if now, err := readEarlier(a.file, nil); err != nil || !bytes.Equal(now.text, a.before.text) {
		return usage(a.file+" was changed while this run arranged, and is left as it is", "run it again")
	}
	o := page.OverviewOptions{Unit: a.request.Unit, Lines: []string{"arranged, not cut yet"}}
	if err := drawArranged(d, a.picture, a.checked.Plan, o); err != nil {
		return err
	}
	return d.files([]namedFile{{a.file, text}})
}

// pictureFile is where the picture goes.
func pictureFile(c *cli.Context, path string) string {
	if name := c.String(pictureFlag.Name); name != "" {
		return name
	}
	return strings.TrimSuffix(arrangementBeside(path), ".yaml") + ".png"
}

// arrangeReport is what --json prints.
type arrangeReport struct {
	SchemaVersion int            `json:"schema_version"`
	Arrangement   string         `json:"arrangement"` // the file, "" where none was written
	Kinds         []arrange.Kind `json:"kinds"`
	Arranged      []arrange.Tray `json:"arranged"`
	Moved         arrange.Moved  `json:"moved"` // of the pockets of an earlier arrangement
	Stopped       bool           `json:"stopped"`
	cam.Report
}

func (a arranged) printJSON(out io.Writer) error {
	r := arrangeReport{
		Kinds: append([]arrange.Kind{}, a.result.Kinds...), Arranged: append([]arrange.Tray{}, a.result.Trays...),
		Moved: a.result.Moved, Stopped: a.result.Stopped, Report: a.checked.Report, SchemaVersion: cam.SchemaVersion,
	}
	if a.result.Job == nil {
		r.Report = cam.Report{Job: a.source.File, Machine: a.source.Machine, Trays: []cam.TrayReport{}, Cases: []cam.CaseReport{}, Files: []cam.FileReport{}, DryRun: []cam.DryRunReport{}}
	}
	if r.Findings = a.findings(); a.result.Job != nil && !r.Findings.Failed() {
		r.Arrangement = filepath.ToSlash(a.file)
	}
	return writeJSON(out, r)
}

// printTables prints what was decided for each kind of piece, how well the
// trays are used, and what `check` prints.
func (s *session) printArranged(a arranged, why bool) error {
	u := a.request.Unit
	length := func(mm float64) string {
		l, err := units.FromMM(mm)
		if err != nil {
			return "?"
		}
		return l.Format(u)
	}
	t := s.columns(1) // so that it fits in 80
	fmt.Fprintln(t, "PIECE\tPLACES\tTRAY\tPOSE\tPOCKET\tDEPTH\tWAY IN")
	for _, k := range a.result.Kinds {
		size := strings.TrimSuffix(length(k.LengthMM), " "+u.String()) + " x " + length(k.WidthMM)
		if k.Shape == "round" {
			size = "round " + length(k.LengthMM)
		}
		places := strconv.Itoa(k.Count)
		if k.Pile > 1 {
			places = fmt.Sprintf("%d in %d", k.Count, k.Count/k.Pile)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", k.Piece, solid(places), k.Tray, k.Pose, solid(size), solid(length(k.DepthMM)), k.Access)
	}
	if why {
		fmt.Fprintln(t)
		for _, k := range a.result.Kinds {
			fmt.Fprintf(t, "%s: %s\n", k.Piece, k.Why)
		}
		for _, r := range a.result.Trays {
			if r.Why != "" {
				fmt.Fprintf(t, "%s: %s\n", r.ID, r.Why)
			}
		}
	}
	fmt.Fprintln(t, "\nARRANGED\tPOCKETS\tBLOCKS\tROOM USED\tWEIGHT\tLEAST TRAYS\tCHOSEN FOR")
	for _, r := range a.result.Trays {
		fmt.Fprintf(t, "%s\t%d\t%d\t%.0f %%\t%s\t%d\t%s\n", r.ID, r.Pockets, r.Blocks, 100*r.Used, finding.Grams(r.WeightG), r.TraysMin, r.Case)
	}
	fmt.Fprintln(t)
	if err := t.Flush(); err != nil || a.checked.Plan == nil {
		return err
	}
	return s.writeTables(a.checked.Plan, u)
}

// mayDraw refuses to draw over anything but a picture of ours that nobody changed.
func mayDraw(name string) error {
	old, err := readPlain(name)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && cam.Signed(cam.Arranged, old):
		return nil
	case err != nil:
		return cannotRead(name, err)
	}
	return usage(name+" is there, and is no picture of `arrange`, or was changed since", "move it away, or choose another name with --picture")
}
