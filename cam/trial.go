package cam

import (
	"bytes"
	"fmt"
	"path"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Trial is a program that is already written, ours or not, and what is known
// of where it will run.
type Trial struct {
	Name        string // its path, as the user gave it
	Text        []byte
	Machine     profiles.Machine // the zero value: the one that the program names, if it names one
	Foams       []profiles.Foam  // that the user says it is cut from; none: what the program says
	KerfMM      float64          // of every tool; 0: what the program or the machine says
	ThicknessMM float64          // of the foam; 0: what the program says
	Rules       []safety.Rules   // what the machine's owner allows, beside a plan too
	Unit        units.Unit
	Progress    func(share float64) // called now and then, 0 to 1; may be nil
}

// Tried is a program that has been tried, and all that its pictures need.
type Tried struct {
	proof.Result
	Sheet  string // the file of the plan's sheet that it was held against; "" for none
	trial  Trial
	setup  proof.Setup
	header map[string]string
	saidMM float64       // the foam's thickness, as the header says it
	wanted *proof.Wanted // nil when it was compared with nothing
	layers []page.SectionLayer
	plan   *plan.Plan       // nil for a program alone
	found  finding.List     // beside what the dry run found
	part   ran              // which of its sheet's programs it is; none of a sheet that takes one
	of     int              // how many those are
	lines  map[string][]int // where its comments stand; see linesOf
}

// Try cuts virtual foam with a program. With a plan, the program is compared
// with the sheet that it was made for; a program that belongs to none of the
// plan's sheets is a finding.
func Try(t Trial, c *profiles.Catalog, p *plan.Plan) (Tried, finding.List) {
	tried := Tried{trial: t, plan: p, setup: proof.SetupFor(t.Text, c.Machine), header: proof.Header(t.Text)}
	var found finding.List
	var sheet *plan.Sheet
	var work *sheetWork
	tried.saidMM = tried.setup.ThicknessMM
	said := proof.SetupFor(t.Text, func(id string) (profiles.Machine, bool) { return profiles.Machine{ID: id}, true })
	tried.take(t)
	if p != nil {
		if machine, _, _ := madeFor(tried.header); machine != "" && machine != p.Machine.ID {
			tried.Result.Path = t.Name
			tried.found = finding.List{{
				Rule: "other-machine", Where: t.Name, Message: fmt.Sprintf("was made for %s, and the job is for %s", machine, p.Machine.ID),
				Hint: fmt.Sprintf("make it again for %s with `traywright cut`, or, if %s is what it runs on, %s", p.Machine.ID, machine, naming(machine, c)),
			}}
			return tried, tried.found
		}
		if work, found = sheetOf(t, tried.header, p); work != nil {
			sheet, tried.Sheet = work.sheet, work.path()
			tried.compareWith(work, p)
			tried.part, tried.of = ran{work.k, work.name}, work.of
			found = append(found, tried.handWordsDiffer(work, p, t.Rules)...)
		}
	}
	if p == nil {
		tried.limit(c)
		found = append(append(found, tried.takeDepth(c)...), tried.alone(c)...)
	}
	found = append(found, tried.otherProfiles(said, c, p)...)
	tried.setup.Unit, tried.setup.Progress = t.Unit, t.Progress
	tried.setup.CellMM, tried.setup.CountMM = trialCellMM, fieldCellMM
	text := t.Text
	t.Text, tried.trial.Text, tried.lines = nil, nil, nil // of a long program it is a good part of the memory that there is
	tried.Result = proof.Run(t.Name, text, tried.setup, tried.wanted)
	found = append(found, tried.judge(c, p, sheet)...)
	found = append(found, tried.lessCareful(said, c, sheet)...)
	found = append(found, tried.cornersOf(work, t)...)
	tried.found = append(found, safety.CheckMinutes(tried.Seconds, t.Name, t.Rules)...)
	return tried, tried.found
}

// naming is how a machine is named beside a job, one that no profile names with its folder.
func naming(machine string, c *profiles.Catalog) string {
	if _, known := c.Machine(machine); known {
		return "add --machine " + machine
	}
	return "add --machine " + machine + " and the folder that names it with --profiles"
}

// cornersOf are the findings of the corners that were tried, as cut makes them of its own
// programs: where a part comes loose in one, the program does not pass.
func (d *Tried) cornersOf(work *sheetWork, t Trial) finding.List {
	if work == nil || d.Corners == nil {
		return nil
	}
	work.run = d.Result
	list := cornerFindings([]*sheetWork{work}, d.plan.Machine, t.Unit)
	for i := range list {
		list[i].Where = t.Name
	}
	return list
}

// ZFrom says where its Z counts from, where that is not the program's own zero.
func (d Tried) ZFrom() string { return page.ZFrom(d.setup.Machine) }

// trialCellMM is the cell of a single program's virtual foam: finer than a job's,
// which keeps the fields of all its sheets.
const trialCellMM = 0.1

// limit puts what the shop rules allow into the setup.
func (d *Tried) limit(c *profiles.Catalog) {
	foams, _ := d.foams(c, nil)
	limits := safety.ProgramLimits(foams, d.setup.Machine, d.trial.Rules)
	d.setup.MaxFeedMMPerMin, d.setup.MaxPowerPercent, d.setup.MaxDepthMM = limits.FeedMMPerMin, limits.PowerPercent, limits.DepthMM
}

// take puts what the user says in the place of what the program says.
func (d *Tried) take(t Trial) {
	if t.Machine.ID != "" {
		d.setup.Machine = t.Machine
		d.setup.Machine.ZZero = proof.HeaderZero(d.header, t.Machine.ZZero)
	}
	if t.ThicknessMM > 0 {
		d.setup.ThicknessMM = t.ThicknessMM
	}
	if t.KerfMM > 0 {
		kerfs := map[int]float64{0: t.KerfMM}
		for _, tool := range d.setup.Machine.Tools {
			kerfs[tool.Number] = t.KerfMM
		}
		d.setup.KerfMM = kerfs
	}
}

func (d *Tried) compareWith(w *sheetWork, p *plan.Plan) {
	if len(w.program.Ops) == 0 && w.lay(p) != nil {
		w.program.Ops = nil // held against no plunges
	}
	d.setup, d.wanted = w.setup(p.Machine), w.wanted(p.Machine)
	d.setup.Tolerances = w.tolerances(p.Machine)
	for _, l := range w.sheet.Layers {
		d.layers = append(d.layers, page.SectionLayer{Name: l.Foam.ID, ThicknessMM: l.Thickness.MM()})
	}
}

// SwitchedOn says how long what cuts is on; "" for a blade, which no program switches.
func (d *Tried) SwitchedOn() string {
	what := "spindle or beam on"
	is := d.setup.Machine.Process.Traits()
	switch {
	case is.Blade:
		return ""
	case is.Wire:
		what = "wire hot"
	case is.Beam:
		what = "beam on"
	case is.Turning:
		what = "spindle on"
	}
	return fmt.Sprintf("; %s %s", what, finding.Duration(d.OnSeconds))
}

// Compared reports whether the program was compared with a plan.
func (d *Tried) Compared() bool { return d.wanted != nil && d.Unfollowed == 0 }

func (d *Tried) sheetOptions() page.PictureOptions {
	return page.PictureOptions{
		Title: path.Base(d.trial.Name), Unit: d.trial.Unit, ThicknessMM: d.setup.ThicknessMM,
		Machine: d.setup.Machine, Spell: gcode.Plain, Wanted: d.wanted, Job: d.plan, Found: d.found,
	}
}

// Picture is the dry run from above, as PNG.
func (d *Tried) Picture() ([]byte, error) {
	var b bytes.Buffer
	if err := page.Picture(&b, d.Result, d.sheetOptions()); err != nil {
		return nil, fmt.Errorf("%s: %w", d.trial.Name, err)
	}
	return b.Bytes(), nil
}

// Section is the foam as cut along a line, as PNG.
func (d *Tried) Section(axis page.Axis, atMM float64) ([]byte, error) {
	var b bytes.Buffer
	o := page.SectionOptions{Title: path.Base(d.trial.Name), Unit: d.trial.Unit, Layers: d.layers, Wanted: d.wanted}
	if err := page.Section(&b, d.Result, axis, atMM, o); err != nil {
		return nil, fmt.Errorf("%s: %w", d.trial.Name, err)
	}
	return b.Bytes(), nil
}

// Frames is the cut as a sequence of n pictures, as PNG.
func (d *Tried) Frames(n int) ([][]byte, error) {
	var frames [][]byte
	o := page.FrameOptions{PictureOptions: d.sheetOptions(), KerfMM: d.Result.KerfMM}
	err := page.Frames(d.Result, n, o, func(_ int, png []byte) error {
		frames = append(frames, png)
		return nil
	})
	return frames, err
}
