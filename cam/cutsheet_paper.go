package cam

import (
	"bytes"
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/profiles"
)

// paperCutSheet is the cut sheet as PDF: the page of cutSheet with pictures,
// and a page of its own for each sheet of foam.
func paperCutSheet(r Request, p *plan.Plan, works []*sheetWork, found finding.List, overview []byte, size page.Paper) ([]byte, error) {
	w := pageWriter{unit: r.Unit, plan: p, works: works}
	job := page.Job{
		Title: w.title() + ": cut sheet", Head: "Cut sheet for " + w.title(), Aside: fmt.Sprintf("%s (%s)", p.Machine.Name, p.Machine.Process),
		Overview: overview, Before: w.before(r.Rules),
	}
	job.Worth = worth(found)
	for _, m := range w.material() {
		job.Foam = append(job.Foam, page.FoamRow{Foam: m.Foam, Thickness: m.Thickness, Blank: m.Blank, For: m.For, Count: m.Count})
	}
	for _, c := range w.cases() {
		job.Stacks = append(job.Stacks, paperStack(c))
	}
	for _, work := range works {
		job.Sheets = append(job.Sheets, w.paperSheet(work, r.Rules))
	}
	var b bytes.Buffer
	err := page.CutSheet(&b, job, size, r.Unit)
	return b.Bytes(), err
}

// mostFindings is how many of them the first page has; cut-sheet.md has all.
const mostFindings = 8

// worth is the findings in words, warnings first.
func worth(found finding.List) []string {
	found = toldHere(found)
	slices.SortStableFunc(found, func(a, b finding.Finding) int { return cmp.Compare(a.Severity, b.Severity) })
	var list []string
	for i, f := range found {
		if i == mostFindings {
			return append(list, fmt.Sprintf("And %d more, in %s.", len(found)-i, CutSheetName))
		}
		list = append(list, strings.TrimPrefix(f.Where+": "+f.Text(), ": "))
	}
	return list
}

// toldHere leaves out the findings that a cut sheet has as boxes to tick.
func toldHere(found finding.List) finding.List {
	return slices.DeleteFunc(slices.Clone(found), func(f finding.Finding) bool { return f.Rule == "required" || f.Rule == "permitted" })
}

const (
	spelling = "Every name is spelt right"
	glueing  = "Use a glue that the foam's maker names. Let it cure, and let the foam air, before painted pieces go in."
)

func (w pageWriter) title() string {
	if w.plan.Job.Game != "" {
		return w.plan.Job.Game
	}
	return w.plan.Job.File
}

func paperStack(c casePart) page.Stack {
	s := page.Stack{Name: c.Name, Together: fmt.Sprintf("together %s of %s, %s left, %s", c.Height, c.Inside, c.Room, c.Weight)}
	if c.Copies > 1 {
		s.Name += fmt.Sprintf(" (%d copies)", c.Copies)
	}
	for _, row := range c.Rows {
		s.Rows = append(s.Rows, [3]string{row.Tray, row.Height, row.Weight})
	}
	return s
}

// paperSheet is one sheet's page.
func (w pageWriter) paperSheet(work *sheetWork, rules []safety.Rules) page.Sheet {
	uses := work.uses(w.plan.Machine)
	s := page.Sheet{
		Head: work.name + ".ngc", Aside: fmt.Sprintf("%d to make", work.tray.Copies),
		Picture: work.picture(), Settings: w.paperSettings(work), Zero: w.zero(work), Work: w.work(work),
		Copies: work.tray.Copies, Owner: safety.Requires(uses, rules), Cautions: append(append(safety.Cautions(uses, rules), work.readAloud()...), spelling), Burns: safety.IfItBurns(w.plan.Machine.Process),
		Glue: glueing, Tray: work.tray, Number: work.sheet.Number,
	}
	for _, row := range w.packing() {
		if row.Tray == work.tray.ID {
			s.Packing = append(s.Packing, page.PackingRow{Piece: row.Piece, Count: row.Count})
		}
	}
	return s
}

// picture is the sheet's PNG.
func (w *sheetWork) picture() []byte {
	for _, f := range w.files {
		if path.Ext(f.Path) == ".png" {
			return f.Data
		}
	}
	return nil
}

// before is what to see to before the first sheet of the job.
func (w pageWriter) before(rules []safety.Rules) []string {
	return append(append(safety.Requires(w.uses(), rules), w.readAloud()...), spelling, "Each sheet's thickness is measured: foam is rarely as thick as its label says")
}

// readAloud is a box for every text that will be cut.
func (w pageWriter) readAloud() []string {
	var boxes []string
	for _, p := range proofOf(w.plan) {
		boxes = append(boxes, fmt.Sprintf("Read aloud, letter by letter: %q goes onto %s", p.Text, p.Where(w.unit)))
	}
	return boxes
}

// readAloud is a box for every text that goes into the sheet.
func (w *sheetWork) readAloud() []string {
	var boxes []string
	for _, m := range w.tray.Marks {
		if m.Text != "" && w.sheet.Number <= 1 {
			boxes = append(boxes, fmt.Sprintf("The label reads %q", m.Text))
		}
	}
	return boxes
}

// paperSettings has a line for each tool and each of its recipes, and where the
// numbers come from.
func (w pageWriter) paperSettings(work *sheetWork) [][2]string {
	one := pageWriter{unit: w.unit, plan: w.plan, works: []*sheetWork{work}}
	facts := [][2]string{
		{"Foam", fmt.Sprintf("%s, %s thick", work.foams(), w.length(work.sheet.ThicknessMM()))},
		{"Time", about(work.run.Seconds)},
	}
	for _, row := range one.settings() {
		text := fmt.Sprintf("%s: feed %s, %s, %s, kerf %s", row.Foam, row.Feed, w.stepText(row), row.Power, row.Kerf)
		facts = append(facts, [2]string{row.Tool, text}, [2]string{"", row.Source})
	}
	if text := safety.Eyewear(w.plan.Machine); text != "" && w.plan.Machine.Process == profiles.Laser {
		facts = append(facts, [2]string{"Eyewear", text})
	}
	return facts
}

// about is a time for planning the day with: whole minutes.
func about(seconds float64) string {
	if seconds < 90 {
		return "about " + minutes(seconds)
	}
	return fmt.Sprintf("about %.0f min, an estimate", seconds/60)
}

func (w pageWriter) stepText(row settingRow) string {
	if w.plan.Machine.Process == profiles.Laser {
		return row.Steps
	}
	return "step-down " + row.Steps
}

// zero is where the program counts from.
func (w pageWriter) zero(work *sheetWork) []string {
	s := work.stats
	return []string{
		fmt.Sprintf("X0 Y0 is the tray's lower-left corner: keep it at least %s (X) and %s (Y) from the lower-left end of the machine's travel. %s.",
			w.length(max(0, -s.Min.X)), w.length(max(0, -s.Min.Y)), zeroText[w.plan.Machine.ZZero]),
		fmt.Sprintf("The tool's centre sweeps %s (X then Y).", w.size(s.Max.X-s.Min.X, s.Max.Y-s.Min.Y)),
	}
}

// work is the order of work at the machine.
func (w pageWriter) work(work *sheetWork) []string {
	steps := []string{fmt.Sprintf("Lay the foam on the bed: %s, %s thick, at least %s.", work.foams(),
		w.length(work.sheet.ThicknessMM()), w.size(work.blank(w.plan.Machine)))}
	tools := toolsInOrder(work.program)
	if w.plan.Machine.Process == profiles.Router && len(tools) > 0 {
		steps = append(steps, fmt.Sprintf("Fit T%d, %s.", tools[0].Number, tools[0].Name))
	}
	zero := "Set the zero point"
	if w.plan.Machine.Process == profiles.Laser {
		zero = "Set the zero point, and focus there"
	}
	x, y := work.inset(w.plan.Machine)
	zero += fmt.Sprintf(": X0 Y0 at least %s in from the foam's left edge and %s from its front edge, not at its corner.", w.length(x), w.length(y))
	steps = append(steps, zero, fmt.Sprintf("Run %s: %s.", work.name+".ngc", countCuts(work)))
	for _, t := range tools[min(1, len(tools)):] {
		steps = append(steps, fmt.Sprintf("When it stops for T%d, fit %s and set its Z zero.", t.Number, t.Name))
	}
	if skin := work.program.SkinMM; skin > 0 {
		steps = append(steps, fmt.Sprintf("A skin of %s is left under the outline: cut it with a knife when the machine has stopped.", w.length(skin)))
	}
	if tabs := work.sheet.Edge.Hold.Tabs; tabs > 0 {
		steps = append(steps, fmt.Sprintf("%d tabs hold the outline: cut them with a knife when the machine has stopped.", tabs))
	}
	if slices.ContainsFunc(work.sheet.Cuts, func(c plan.Cut) bool { return len(c.Pockets) > 0 }) {
		steps = append(steps, "Try a piece in its pocket before the next sheet is cut.")
	}
	return steps
}

// toolsInOrder lists the program's tools as it calls for them.
func toolsInOrder(p process.Program) []profiles.Tool {
	var list []profiles.Tool
	for _, op := range p.Ops {
		if n := len(list); n == 0 || list[n-1].Number != op.Tool.Number {
			list = append(list, op.Tool)
		}
	}
	return list
}

// countCuts says what a program cuts, in its order.
func countCuts(work *sheetWork) string {
	marks, pockets, shapes := 0, 0, 0
	for _, op := range work.program.Ops {
		if op.Kind == process.Mark {
			marks++
		}
	}
	for _, c := range work.sheet.Cuts {
		if len(c.Pockets) > 0 {
			pockets++
		} else {
			shapes++
		}
	}
	var parts []string
	for _, part := range []struct {
		n    int
		noun string
	}{{marks, "mark"}, {shapes, "label or emblem hole"}, {pockets, "pocket"}} {
		if part.n > 0 {
			parts = append(parts, plural(part.n, part.noun))
		}
	}
	return strings.Join(append(parts, "the outline last"), ", ")
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	if strings.HasSuffix(noun, "s") {
		return fmt.Sprintf("%d %ses", n, noun)
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// paperTemplates is every tray in true size.
func paperTemplates(r Request, p *plan.Plan, size page.Paper) ([]byte, error) {
	w := pageWriter{plan: p}
	var b bytes.Buffer
	err := page.Template(&b, p.Trays, page.TemplateOptions{Size: size, Unit: r.Unit, Title: w.title() + ": templates"})
	return b.Bytes(), err
}
