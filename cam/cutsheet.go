package cam

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/template"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

//go:embed cutsheet.md.tmpl
var cutSheetText string

var cutSheetTemplate = template.Must(template.New(CutSheetName).Funcs(template.FuncMap{"md": markdown, "boxes": boxes, "next": next}).Parse(cutSheetText))

// markdown keeps the user's text from being read as Markdown or HTML, and on
// one line.
var markdownEscapes = strings.NewReplacer(
	"\\", "\\\\", "|", "\\|", "`", "\\`", "*", "\\*", "_", "\\_", "[", "\\[", "]", "\\]",
	"#", "\\#", "<", "&lt;", ">", "&gt;", "&", "&amp;", "\r", " ", "\n", " ",
)

func markdown(s string) string { return markdownEscapes.Replace(s) }

// next numbers steps from 1.
func next(i int) int { return i + 1 }

// boxes is a box to tick for each copy, as far as a line goes.
func boxes(copies int) string {
	const most = 12
	return strings.TrimSpace(strings.Repeat("[ ] ", min(copies, most)))
}

// The page's tables, a struct a row, already as text.
type (
	cutSheetPage struct {
		Title, Machine string
		Process        profiles.Process
		Before         []string
		Findings       finding.List
		Material       []materialRow
		Steps          []stepRow
		Trays, Blocks  []trayRow
		Cases          []casePart
		Sheets         []sheetPart
	}
	// sheetPart is one sheet of foam: the page that the PDF has of it, with the
	// picture's name and the glue-up drawn in letters.
	sheetPart struct {
		page.Sheet
		Image, Section string
	}
	materialRow struct {
		Foam, Thickness, Blank, For string
		Count                       int
		length, width               float64
	}
	settingRow struct{ Foam, Tool, Kerf, Feed, Steps, Power, Source string }
	stepRow    struct {
		File, Tray, Foam, Thickness, Room, Time string
		Copies                                  int
	}
	trayRow struct {
		ID, Label, Size, Weight, Layers string
		Copies                          int
		Block                           bool // glued before it is cut
	}
	casePart struct {
		Name, Height, Inside, Room, Weight string
		Copies                             int
		Rows                               []caseRow
	}
	caseRow    struct{ Tray, Height, Weight string }
	packingRow struct {
		Tray, Piece    string
		Count, Pockets int
	}
)

// cutSheet is the page for the person at the machine: what to cut from what,
// with which settings, in which order, cautions first.
func cutSheet(r Request, p *plan.Plan, works []*sheetWork, found finding.List) ([]byte, error) {
	w := pageWriter{unit: r.Unit, plan: p, works: works}
	text := cutSheetPage{
		Title: w.title(), Machine: p.Machine.Name, Process: p.Machine.Process, Before: w.before(r.Rules), Findings: toldHere(found),
		Material: w.material(), Steps: w.steps(), Trays: w.trays(), Cases: w.cases(),
	}
	for _, work := range works {
		text.Sheets = append(text.Sheets, sheetPart{
			Sheet: w.paperSheet(work, r.Rules), Image: work.name + ".png", Section: page.SectionText(work.tray, work.sheet.Number, r.Unit),
		})
	}
	for _, t := range text.Trays {
		if t.Block {
			text.Blocks = append(text.Blocks, t)
		}
	}
	var b bytes.Buffer
	err := cutSheetTemplate.Execute(&b, text)
	return b.Bytes(), err
}

var zeroText = map[profiles.ZZero]string{
	profiles.ZTop: "Z0 is the top of the foam",
	profiles.ZBed: "Z0 is the bed under the foam",
}

// pageWriter turns the plan's numbers into the page's text.
type pageWriter struct {
	unit  units.Unit
	plan  *plan.Plan
	works []*sheetWork
}

// Cautions are what to mind in the whole job, for the terminal.
func Cautions(r Request, p *plan.Plan) []string { return safety.Cautions(uses(r, p.Machine), r.Rules) }

// uses is everything that the job puts under the machine.
func (w pageWriter) uses() []safety.Use {
	var list []safety.Use
	for _, work := range w.works {
		list = append(list, work.uses(w.plan.Machine)...)
	}
	return list
}

// material is the foam to have ready: one row for each foam and thickness,
// with the largest blank among its sheets.
func (w pageWriter) material() []materialRow {
	var rows []materialRow
	for _, work := range w.works {
		for _, l := range work.sheet.Layers {
			rows = w.addMaterial(rows, work, l)
		}
	}
	for i := range rows {
		rows[i].Blank = w.size(rows[i].length, rows[i].width)
	}
	return rows
}

func (w pageWriter) addMaterial(rows []materialRow, work *sheetWork, l plan.Layer) []materialRow {
	thickness := l.Thickness.Format(w.unit)
	at := slices.IndexFunc(rows, func(r materialRow) bool { return r.Foam == l.Foam.ID && r.Thickness == thickness })
	if at < 0 {
		at = len(rows)
		rows = append(rows, materialRow{Foam: l.Foam.ID, Thickness: thickness})
	}
	row := &rows[at]
	length, width := work.blank(w.plan.Machine)
	row.Count += work.tray.Copies
	row.length, row.width = max(row.length, length), max(row.width, width)
	if !slices.Contains(strings.Split(row.For, ", "), work.tray.ID) {
		row.For = strings.TrimPrefix(row.For+", "+work.tray.ID, ", ")
	}
	return rows
}

// blank is the least foam that a sheet is cut from: what the tool's centre
// sweeps, in true mm, and half a kerf on each side.
func (w *sheetWork) blank(m profiles.Machine) (length, width float64) {
	s, kerf := w.stats, w.kerf().Value
	x, y := m.Scale()
	return x*(s.Max.X-s.Min.X) + kerf, y*(s.Max.Y-s.Min.Y) + kerf
}

// inset is how far from the left and the front edge of its blank X0 Y0 has to
// lie at least, so that the outline's whole cut is in foam.
func (w *sheetWork) inset(m profiles.Machine) (x, y float64) {
	half := w.kerf().Value / 2
	scaleX, scaleY := m.Scale()
	return max(0, half-scaleX*w.stats.Min.X), max(0, half-scaleY*w.stats.Min.Y)
}

// settings has a row for each recipe in use.
func (w pageWriter) settings() []settingRow {
	var rows []settingRow
	for _, work := range w.works {
		for _, c := range work.sheet.All() {
			for _, recipe := range c.Recipes {
				row := w.setting(recipe)
				if !slices.Contains(rows, row) {
					rows = append(rows, row)
				}
			}
		}
	}
	return rows
}

func (w pageWriter) setting(r profiles.Recipe) settingRow {
	row := settingRow{Foam: r.Foam, Tool: r.Tool, Kerf: w.length(r.KerfMM.Value), Feed: w.length(r.FeedMMPerMin.Value) + "/min"}
	if w.plan.Machine.Process == profiles.Laser {
		row.Steps = plural(int(math.Ceil(r.Passes.Value)), "pass")
		if r.MarkShare.Value == 1 {
			row.Steps = "engraving, " + row.Steps
		}
		row.Power = fmt.Sprintf("%g %%", r.PowerPercent.Value)
		row.Source = sourcesOf(named{"feed", r.FeedMMPerMin}, named{"passes", r.Passes}, named{"power", r.PowerPercent}, named{"kerf", r.KerfMM})
		return row
	}
	row.Steps = w.length(r.StepdownMM.Value)
	row.Power = fmt.Sprintf("%g rpm", r.RPM.Value)
	row.Source = sourcesOf(named{"feed", r.FeedMMPerMin}, named{"step-down", r.StepdownMM}, named{"speed", r.RPM}, named{"kerf", r.KerfMM})
	return row
}

// named is a number and what the page calls it.
type named struct {
	name string
	profiles.Number
}

// sourcesOf says where numbers come from, those of one source together.
func sourcesOf(numbers ...named) string {
	var sources []string
	names := map[string][]string{}
	for _, n := range numbers {
		if n.Source == "" {
			continue
		}
		if names[n.Source] == nil {
			sources = append(sources, n.Source)
		}
		names[n.Source] = append(names[n.Source], n.name)
	}
	for i, source := range sources {
		sources[i] = strings.Join(names[source], ", ") + ": " + source
	}
	return strings.Join(sources, ". ")
}

func (w pageWriter) steps() []stepRow {
	var rows []stepRow
	for _, work := range w.works {
		s := work.stats
		rows = append(rows, stepRow{
			File: work.name + ".ngc", Tray: work.tray.ID, Copies: work.tray.Copies,
			Foam: work.foams(), Thickness: w.length(work.sheet.ThicknessMM()),
			Room: w.size(s.Max.X-s.Min.X, s.Max.Y-s.Min.Y), Time: minutes(work.run.Seconds),
		})
	}
	return rows
}

func (w pageWriter) trays() []trayRow {
	var rows []trayRow
	for _, t := range w.plan.Trays {
		var layers []string
		for _, l := range t.Layers {
			layers = append(layers, l.Foam.ID+" "+l.Thickness.Format(w.unit))
		}
		rows = append(rows, trayRow{
			ID: t.ID, Label: t.Label, Copies: t.Copies, Size: w.size(t.Length.MM(), t.Width.MM()),
			Weight: grams(t.FoamG + t.PiecesG), Layers: strings.Join(layers, " / "),
			Block: len(t.Layers) > 1 && len(t.Sheets) == 1 && t.Sheets[0].Number == 0,
		})
	}
	return rows
}

func (w pageWriter) cases() []casePart {
	var parts []casePart
	for _, c := range w.plan.Cases {
		part := casePart{
			Name: c.Name, Copies: c.Copies, Height: c.Height.Format(w.unit), Inside: c.Inside.Height.Format(w.unit),
			Room: c.Room.Format(w.unit), Weight: grams(c.WeightG),
		}
		for _, i := range c.Stack {
			level := w.plan.Level(i)
			part.Rows = append(part.Rows, caseRow{level.Name(), level.Trays[0].Thickness().Format(w.unit), grams(level.WeightG())})
		}
		parts = append(parts, part)
	}
	return parts
}

// packing counts the pieces that go into each tray. A pocket for something that
// the roster does not have counts as one.
func (w pageWriter) packing() []packingRow {
	var rows []packingRow
	for _, t := range w.plan.Trays {
		first := len(rows)
		for _, k := range t.Pockets {
			at := slices.IndexFunc(rows[first:], func(r packingRow) bool { return r.Piece == k.For })
			if at < 0 {
				at = len(rows) - first
				rows = append(rows, packingRow{Tray: t.ID, Piece: k.For})
			}
			rows[first+at].Count += k.Packed
			rows[first+at].Pockets++
		}
	}
	for i := range rows {
		w.namePacked(&rows[i])
	}
	return slices.DeleteFunc(rows, func(r packingRow) bool { return r.Count == 0 })
}

// namePacked says how the pieces of a row are spread over pockets.
func (w pageWriter) namePacked(row *packingRow) {
	if !slices.ContainsFunc(w.plan.Job.Roster, func(p job.Piece) bool { return p.ID == row.Piece }) {
		row.Count = row.Pockets
	}
	row.Piece = cmp.Or(row.Piece, "(no name)")
	switch {
	case row.Count == row.Pockets:
	case row.Pockets == 1:
		row.Piece += ", in one pocket"
	default:
		row.Piece += fmt.Sprintf(", in %d pockets", row.Pockets)
	}
}

// length is mm as text in the page's unit.
func (w pageWriter) length(mm float64) string { return page.Length(mm, w.unit) }

func (w pageWriter) size(length, width float64) string {
	return w.length(length) + " x " + w.length(width)
}

func grams(g float64) string { return fmt.Sprintf("%.0f g", g) }

// minutes is a time to the nearest quarter minute or so: it is an estimate.
func minutes(seconds float64) string {
	if seconds < 60 {
		return fmt.Sprintf("%.0f s", seconds)
	}
	return fmt.Sprintf("%.0f min %02.0f s", float64(int(seconds)/60), float64(int(seconds)%60))
}
