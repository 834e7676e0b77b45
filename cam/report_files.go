package cam

import (
	"fmt"
	"math"
	"path"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// FileReport is one file of the output folder; its path is relative to it.
type FileReport struct {
	Path         string       `json:"path" means:"from the output folder"`
	SHA256       string       `json:"sha256" means:"of the file, in hex"`
	Kind         string       `json:"kind" means:"of file" one:"gcode|dxf|svg|png|pdf|html|markdown|csv|"`
	Tray         string       `json:"tray" means:"in whose folder it is"`
	Layer        int          `json:"layer" means:"from the top, 1 first; 0 is the block of all, or none"`
	Trays        []string     `json:"trays" means:"that it is for, the first's folder it is in"`
	Parts        []PartReport `json:"parts" means:"the same, layer by layer"`
	Sheet        string       `json:"sheet,omitzero" means:"of the stock, that it is cut from"`
	Made         int          `json:"made" means:"how often it is run, or its sheet cut"`
	Process      string       `json:"process" means:"how it is cut"`
	Machine      string       `json:"machine" means:"that cuts it"`
	Foam         string       `json:"foam" means:"that it is cut from"`
	Tool         string       `json:"tool" means:"its id; of several, in the order of cutting, with commas"`
	KerfMM       float64      `json:"kerf_mm" means:"of its tool"`
	KerfFrom     string       `json:"kerf_source" means:"whose number it is"`
	Passes       int          `json:"passes" means:"of the deepest cut"`
	ZTopMM       float64      `json:"z_top_mm" means:"of the foam's top, as the program counts"`
	ZBottomMM    float64      `json:"z_bottom_mm" means:"the lowest that it goes, as the program counts"`
	LengthMM     float64      `json:"length_mm" means:"of all cuts"`
	Seconds      float64      `json:"seconds,omitzero" means:"of a program, or of the drawing in its place, each time"`
	ZeroMM       [2]float64   `json:"zero_mm,omitzero" means:"of a DXF file: where the program's X0 Y0 lies in it"`
	Left         []LeftReport `json:"left,omitzero" means:"of a program's cuts, what its blade does not fit: a hand cuts there"`
	BoundSeconds float64      `json:"bound_seconds,omitzero" means:"what geometry, tools and recipes allow at the least: process.LeastSeconds"`
}

// LeftReport is a way along the middle of a kerf that stays uncut.
type LeftReport struct {
	Of     string       `json:"of" means:"the cut"`
	MM     float64      `json:"mm" means:"how long it is"`
	Points [][2]float64 `json:"points_mm" means:"on it, as the program counts: from one end to the other, every 0.1 radian of a curve"`
}

// PartReport is a layer of a tray that a program is for.
type PartReport struct {
	Tray   string `json:"tray" means:"its id"`
	Layer  int    `json:"layer" means:"from the top, 1 first; 0 is the block of all"`
	Copies int    `json:"copies" means:"of the tray"`
}

var kinds = map[string]string{".dxf": "dxf", ".svg": "svg", ".png": "png", ".md": "markdown", ".pdf": "pdf", ".csv": "csv"}

// describe is one of the sheet's files in the report.
func (w *sheetWork) describe(f sheetFile, m profiles.Machine) FileReport {
	report := FileReport{
		Path: f.Path, SHA256: Sum(f.Data), Kind: kinds[path.Ext(f.Path)], Tray: w.tray.ID, Layer: w.sheet.Number,
		Trays: w.trays(), Made: w.made(), Tool: f.tool,
		Process: string(m.Process), Machine: m.ID, Foam: w.foams(),
		KerfMM: w.kerf().Value, KerfFrom: w.kerf().Source, Passes: w.stats.Passes,
		ZTopMM: round(w.zTop(m), 1e-4), ZBottomMM: round(w.zTop(m)+w.stats.Min.Z, 1e-4),
		LengthMM: round(w.stats.CutLengthMM, 1e-3),
	}
	if f.Path == w.path() && !w.drawn {
		report.Kind = "gcode"
	}
	if w.laidOn != nil {
		report.Tray, report.Layer, report.Sheet, report.Parts = "", 0, w.laidOn.Name, setupParts(w.laidOn)
		return report.with(w, f, m)
	}
	for _, part := range w.makes {
		report.Parts = append(report.Parts, PartReport{part.Tray.ID, part.Sheet.Number, part.Tray.Copies})
	}
	return report.with(w, f, m)
}

// with adds what a file's own tool, kind and program say.
func (report FileReport) with(w *sheetWork, f sheetFile, m profiles.Machine) FileReport {
	if kerf := w.kerfOf(f.tool); kerf.Value > 0 {
		report.KerfMM, report.KerfFrom = kerf.Value, kerf.Source
	}
	if report.Kind == "dxf" {
		report.ZeroMM = [2]float64{w.movedBy.X, w.movedBy.Y}
	}
	if f.Path == w.path() {
		report.Seconds, report.Left = round(w.run.Seconds, 0.1), w.left()
		report.BoundSeconds = round(min(w.atFeeds(m), process.LeastSeconds(w.program, m)), 0.1)
	}
	return report
}

// atFeeds is how long the program takes on a machine without inertia, at its feeds and rapids and with its waits.
func (w *sheetWork) atFeeds(m profiles.Machine) float64 {
	r := w.run
	seconds := r.LowerBoundSeconds + max(0, r.Seconds-r.CutSeconds-r.PlungeSeconds-r.RapidSeconds)
	if rapid := m.RapidMMPerMin.Value; rapid > 0 {
		seconds += 60 * r.RapidMM / rapid
	}
	return min(seconds, r.Seconds)
}

// left is what a blade leaves to a hand.
func (w *sheetWork) left() (list []LeftReport) {
	at := func(p geometry.Point) [2]float64 { return [2]float64{round(p.X, 1e-4), round(p.Y, 1e-4)} }
	for _, c := range w.sheet.HolesAndEdge() {
		for _, way := range c.Left {
			left := LeftReport{Of: c.Name, MM: round(way.Length(), 1e-3)}
			var end geometry.Point
			for s := range way.Segments() {
				n := math.Ceil(math.Abs(s.Sweep())/0.1) + 1
				for k := range int(n) {
					left.Points = append(left.Points, at(s.At(float64(k)/n)))
				}
				end = s.B
			}
			left.Points = append(left.Points, at(end))
			list = append(list, left)
		}
	}
	return list
}

// kerfOf is the width that a tool removes in the sheet's top layer; the zero value for no tool
// of it.
func (w *sheetWork) kerfOf(tool string) profiles.Number {
	for _, c := range w.sheet.All() {
		if c.Tool.ID == tool && len(c.Recipes) > 0 {
			return c.Recipes[0].KerfMM
		}
	}
	return profiles.Number{}
}

// tools are the ids of the sheet's tools in the order of cutting, one for each time
// that it is taken.
func (w *sheetWork) tools() []string {
	var ids []string
	for _, op := range w.program.Ops {
		if n := len(ids); n == 0 || ids[n-1] != op.Tool.ID {
			ids = append(ids, op.Tool.ID)
		}
	}
	return ids
}

// TotalsReport sums the programs up, each as often as it is run, in the order of the
// cut sheet: all of one sheet's before the next sheet is laid.
type TotalsReport struct {
	Seconds       float64 `json:"seconds" means:"of programs; what hands do is not in it"`
	CutMM         float64 `json:"cut_mm" means:"length of all cuts"`
	ToolChanges   int     `json:"tool_changes" means:"from one tool to another; the first is fitted already"`
	ChangeSeconds float64 `json:"change_seconds" means:"of those, an estimate"`
	Setups        int     `json:"setups" means:"how often foam is laid on the machine"`
	HandSeconds   float64 `json:"hand_seconds" means:"of all that hands do, an estimate; curing is not in it"`
	Cost          float64 `json:"cost" means:"of the sheets to buy that have a price, in the money of the stock"`
	WasteShare    float64 `json:"waste_share" means:"of the foam to buy, what is in no blank; with stock, of all foam that is cut up, what is in no tray and in no offcut that stays"`

	Hands []HandReport `json:"hand_work" means:"hand_seconds, work by work"`

	roughed      int     // pockets that a larger tool roughs, on all sheets
	savedSeconds float64 // by that, changes of the tool counted; an estimate
}

// Words are a job's hours and ways in a line; "" where nothing is cut.
func (t TotalsReport) Words(u units.Unit) string {
	if t.Seconds == 0 && t.CutMM == 0 {
		return ""
	}
	cuts := fmt.Sprintf("%.1f m", t.CutMM/1000)
	if u == units.Inch {
		cuts = fmt.Sprintf("%.0f ft", t.CutMM/304.8)
	}
	changes := ""
	if t.ToolChanges > 0 {
		changes = fmt.Sprintf(", %s of about %s", finding.Counted(t.ToolChanges, "tool change"), finding.About(t.ChangeSeconds))
	}
	if t.roughed > 0 {
		changes += fmt.Sprintf(", %s roughed first with a larger tool, without which it would take about %s more", finding.Counted(t.roughed, "pocket"), finding.About(t.savedSeconds))
	}
	if t.Seconds == 0 {
		return fmt.Sprintf("%s to cut by hand, which nobody has timed%s; all else %s", cuts, changes, t.byHandWords(u))
	}
	return fmt.Sprintf("%s of programs, %s of cuts, %s%s; %s",
		finding.Duration(t.Seconds), cuts, finding.Counted(t.Setups, "setup"), changes, t.byHandWords(u))
}

// add sums the programs up.
func (t *TotalsReport) add(files []FileReport, works []*sheetWork) {
	for _, f := range files {
		if f.Seconds > 0 || f.Kind == "pdf" { // a template takes its time in a hand, which nobody knows
			t.Seconds += f.Seconds * float64(f.Made)
			t.CutMM += f.LengthMM * float64(f.Made)
		}
	}
	t.Seconds, t.CutMM = round(t.Seconds, 0.1), round(t.CutMM, 1e-3)
	fitted := ""
	for i := 0; i < len(works); {
		first := works[i]
		t.roughed += first.sheet.Roughed() * first.made()
		programs := works[i:min(len(works), i+max(1, first.of))] // of one sheet, which stays on the machine until all of them have run
		for range first.made() {
			for _, w := range programs {
				for _, id := range w.tools() {
					if fitted != "" && fitted != id {
						t.ToolChanges++
					}
					fitted = id
				}
			}
		}
		i += len(programs)
	}
}
