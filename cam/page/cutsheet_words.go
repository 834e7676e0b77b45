package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
)

// The tables of a cut sheet, a struct a row, already as text.
type (
	materialRow struct {
		Foam, Thickness, Blank, For string
		Count                       int
		length, width               float64
	}
	stepRow struct {
		File, Tray, Foam, Thickness, Room, Time string
		Tools                                   string // that a hand puts in, as "fit T2", or leaves in, "T2"; "" where none does
		Copies                                  int
	}
	trayRow struct {
		ID, Label, Size, Weight, Layers string
		Copies                          int
		block                           bool // glued before it is cut
	}
	caseText struct {
		Name, Height, Weight string
		Copies               int
		Rows                 []caseRow
	}
	caseRow struct{ Tray, Height, Weight string }
)

// material is the foam to have ready: one row for each foam and thickness,
// with the largest blank among its sheets; of the stock, whose sheets and panels are as they
// are, one for each size as well.
func (c CutSheet) material() []materialRow {
	var rows []materialRow
	for _, s := range c.Sheets {
		if s.K > 1 {
			continue // cut of the same foam as the one before
		}
		for _, l := range s.Sheet.Layers {
			rows = c.addMaterial(rows, s, l)
		}
	}
	for i := range rows {
		rows[i].Blank = c.size(rows[i].length, rows[i].width)
	}
	return rows
}

// buy is the foam to buy, and how much of it is left over.
func (c CutSheet) buy() []string {
	if c.Plan.Job.Stock != nil {
		return append(c.toBuy(), c.dowelsToBuy()...)
	}
	var lines []string
	sold := false
	for _, p := range c.Buy {
		size := Sold(p.SizeMM[0], p.SizeMM[1], c.Unit)
		if p.Blank {
			size = "at least " + c.size(p.SizeMM[0], p.SizeMM[1]) + ": no size is known that it is sold in and that holds this"
		}
		sold = sold || !p.Blank
		lines = append(lines, fmt.Sprintf("%d × %s, %s thick, %s", p.Count, p.Foam, c.thick(p.ThicknessMM), size))
	}
	if sold {
		lines = append(lines, fmt.Sprintf("What you have counts first, and sizes are as the profile says, which your shop may not keep. Blanks are parted from these sheets with a knife%s, and %.0f %% is left over.", c.parting(), 100*c.WasteShare))
	}
	return append(lines, c.dowelsToBuy()...)
}

// parting is what to mind of that knife, where it is a hand's only one.
func (c CutSheet) parting() string {
	blades := !c.byHand()
	for _, s := range c.Sheets {
		b, _ := c.cutWith(s)
		blades = blades || b
	}
	if blades {
		return ""
	}
	return " (the hand that holds never in front of it, and the blade away from the body)"
}

func (c CutSheet) addMaterial(rows []materialRow, s Sheet, l plan.Layer) []materialRow {
	thickness := l.Words(c.Unit)
	at := slices.IndexFunc(rows, func(r materialRow) bool {
		return r.Foam == l.Foam.ID && r.Thickness == thickness && (s.Laid == nil || r.length == s.BlankMM[0] && r.width == s.BlankMM[1])
	})
	if at < 0 {
		at = len(rows)
		rows = append(rows, materialRow{Foam: l.Foam.ID, Thickness: thickness})
	}
	row := &rows[at]
	row.Count += s.made()
	row.length, row.width = max(row.length, s.BlankMM[0]), max(row.width, s.BlankMM[1])
	for _, p := range s.Parts {
		if !slices.Contains(strings.Split(row.For, ", "), p.Tray.ID) {
			row.For = strings.TrimPrefix(row.For+", "+p.Tray.ID, ", ")
		}
	}
	return rows
}

// steps are the programs in the order in which they are cut.
func (c CutSheet) steps() []stepRow {
	var rows []stepRow
	fitted := ""
	for _, s := range c.Sheets {
		if c.byHand() {
			rows = append(rows, c.handStep(s))
			continue
		}
		tools := c.toolNames(s)
		if tools != fitted {
			tools, fitted = "fit "+tools, tools
		}
		rows = append(rows, stepRow{
			File: s.File, Tray: s.trays(), Copies: s.made(), Tools: tools,
			Foam: s.Foams, Thickness: c.thick(s.Sheet.ThicknessMM()), Room: c.swept(s), Time: finding.Duration(s.Run.Seconds),
		})
	}
	return rows
}

// words are a step in a line.
func (s stepRow) words() string {
	text := s.File
	if s.Copies > 1 {
		text = fmt.Sprintf("%d × %s", s.Copies, text)
	}
	if s.Tools != "" {
		text += ", " + s.Tools
	}
	if s.Time == "" { // of a hand, which nobody has timed
		return text + ", " + s.Room
	}
	if s.Copies > 1 {
		return text + ", " + s.Time + " each"
	}
	return text + ", " + s.Time
}

// toolNames are the tools that a hand puts in for a program, in its order; "" where none does.
func (c CutSheet) toolNames(s Sheet) string {
	if door, ok := process.For(c.Plan.Machine.Process); !ok || !door.FitsTools() {
		return ""
	}
	var names []string
	for _, t := range toolsInOrder(s.Program) {
		names = append(names, fmt.Sprintf("T%d", t.Number))
	}
	return strings.Join(names, ", ")
}

// swept is the room that the tool's centre takes.
func (c CutSheet) swept(s Sheet) string {
	return c.size(s.Stats.Max.X-s.Stats.Min.X, s.Stats.Max.Y-s.Stats.Min.Y)
}

func (c CutSheet) trays() []trayRow {
	var rows []trayRow
	for _, t := range c.Plan.Trays {
		var layers []string
		for _, l := range t.Layers {
			layers = append(layers, l.Foam.ID+" "+l.Words(c.Unit))
		}
		rows = append(rows, trayRow{
			ID: t.ID, Label: t.Label, Copies: t.Copies, Size: c.size(t.Length.MM(), t.Width.MM()),
			Weight: finding.Grams(t.FoamG + t.PiecesG), Layers: strings.Join(layers, " / "),
			block: len(t.Layers) > 1 && len(t.Sheets) == 1 && t.Sheets[0].Number == 0,
		})
	}
	return rows
}

func (c CutSheet) cases() []caseText {
	var list []caseText
	for _, k := range c.Plan.Cases {
		text := caseText{
			Name: k.Name, Copies: k.Copies, Weight: finding.Grams(k.WeightG),
			Height: fmt.Sprintf("%s of %s, %s left", k.Height.Format(c.Unit), k.Inside.Height.Format(c.Unit), k.Room.Format(c.Unit)),
		}
		for _, i := range k.Stack {
			level := c.Plan.Level(i)
			text.Rows = append(text.Rows, caseRow{level.Name(), level.Trays[0].Thickness().Format(c.Unit), finding.Grams(level.WeightG())})
		}
		list = append(list, text)
	}
	return list
}

// mostWorth is how many of them the paper's first page has; the Markdown has all.
const mostWorth = 8

// worth is the findings with their hints: warnings first, and of each rule one before a second of
// any, so that many alike do not hide what is told once.
func worth(found finding.List) []string {
	type ranked struct {
		finding.Finding
		again int
	}
	seen := map[string]int{}
	var all []ranked
	for _, f := range found {
		all = append(all, ranked{f, seen[f.Rule]})
		seen[f.Rule]++
	}
	slices.SortStableFunc(all, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.Severity, b.Severity), cmp.Compare(a.again, b.again))
	})
	var list []string
	for i, f := range all {
		if i == mostWorth {
			return append(list, fmt.Sprintf("And %d more, in %s.", len(found)-i, CutSheetName))
		}
		text := strings.TrimPrefix(f.Where+": "+f.Text(), ": ")
		if f.Hint != "" {
			text += " (" + f.Hint + ")"
		}
		list = append(list, text)
	}
	return list
}

// toldHere leaves out the findings that a cut sheet has as boxes to tick, and folds the rest.
func toldHere(found finding.List) finding.List {
	return slices.DeleteFunc(found.Folded(), func(f finding.Finding) bool { return f.Boxed })
}

// before is what to see to before the first sheet of the job.
func (c CutSheet) before() []string {
	list := slices.Clone(c.Owner)
	for _, s := range c.Sheets {
		for _, caution := range s.Cautions {
			if !slices.Contains(list, caution) {
				list = append(list, caution)
			}
		}
	}
	texts := Inscriptions(c.Plan)
	for _, p := range texts {
		list = append(list, fmt.Sprintf("Read aloud, letter by letter: %q goes onto %s", p.Text, p.Where(c.Unit)))
	}
	if len(texts) > 0 {
		list = append(list, spelling)
	}
	return append(list, "Each sheet's thickness is measured: foam is rarely as thick as its label says"+c.reckonedWith())
}

// reckonedWith says between which thicknesses the programs hold, and the way on from there. Hands
// have no program.
func (c CutSheet) reckonedWith() string {
	var sheets []string
	example := ""
	for _, t := range c.Plan.Trays {
		for _, l := range t.Layers {
			label, off := l.Sold().MM(), [2]float64{-l.Foam.ThinnerMM.Value, l.Foam.ThickerMM.Value}
			if l.Measured() || off == [2]float64{} {
				continue
			}
			if text := fmt.Sprintf("%s %s as %s", l.Foam.ID, c.thick(label), span(label+off[0], label+off[1], c.Unit)); !slices.Contains(sheets, text) {
				sheets = append(sheets, text)
			}
			if example == "" {
				example = fmt.Sprintf("--measured \"%s/%s=%s\"", l.Foam.ID, l.Sold().Exact(c.Unit), c.length(label+off[1]+0.3))
			}
		}
	}
	if example == "" || c.Plan.Machine.InHand() {
		return ""
	}
	return ". The dry run reckons with " + strings.Join(sheets, ", ") + "; for a sheet beyond that, make the programs again with its own, such as " + example + "; it says as well whether its stack still fits"
}

// length is mm as text in the page's unit.
func (c CutSheet) length(mm float64) string { return Length(mm, c.Unit) }

func (c CutSheet) least(mm float64) string { return least(mm, c.Unit) }

// most is a length that nothing may go beyond.
func (c CutSheet) most(mm float64) string { return Length(units.AtMost(mm, 0.01, c.Unit), c.Unit) }

func (c CutSheet) thick(mm float64) string { return Thick(mm, c.Unit) }

func (c CutSheet) size(x, y float64) string { return size(x, y, c.Unit) }
