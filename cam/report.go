package cam

import (
	"io"
	"math"
	"path"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/stock"
)

// SchemaVersion of report.json. It grows when a key changes its meaning or goes.
const SchemaVersion = 1

// Report is report.json: lengths in mm, names end in their unit.
type Report struct {
	SchemaVersion int                `json:"schema_version" means:"grows when a key changes its meaning or goes"`
	Job           string             `json:"job" means:"the job's file"`
	Machine       string             `json:"machine" means:"that cuts it"`
	Trays         []TrayReport       `json:"trays" means:"each once, however many are made"`
	Cases         []CaseReport       `json:"cases" means:"with their stacks"`
	Files         []FileReport       `json:"files" means:"of the output folder, this one not among them"`
	Findings      finding.List       `json:"findings" means:"what is wrong or worth knowing"`
	DryRun        []DryRunReport     `json:"dry_run" means:"what the dry run found, program by program"`
	Setups        []SetupReport      `json:"setups" means:"none without stock"`
	Parted        []PartedReport     `json:"parted,omitempty" means:"sheets that are parted for the machine"`
	Buy           []PurchaseReport   `json:"buy" means:"sheets to buy"`
	Dowels        []DowelReport      `json:"dowels,omitempty" means:"to glue up with; none without registration"`
	Totals        *TotalsReport      `json:"totals,omitempty" means:"not there where nothing was cut"`
	Proof         []page.Inscription `json:"proof" means:"every text that will be cut, once"`
	Coupon        *kerf.CouponReport `json:"coupon,omitempty" means:"what a coupon has on it"`
}

// TrayReport is one tray as it will be made.
type TrayReport struct {
	ID      string         `json:"id" means:"as in the job"`
	Label   string         `json:"label" means:"its name on paper"`
	Copies  int            `json:"copies" means:"how many are made"`
	SizeMM  [2]float64     `json:"size_mm" means:"length and width of its foam"`
	Layers  []LayerReport  `json:"layers" means:"top to bottom"`
	Pockets []PocketReport `json:"pockets" means:"a row for each"`
	Labels  []LabelReport  `json:"labels" means:"texts on it"`
	Emblems []EmblemReport `json:"emblems" means:"pictures on it"`
	Holes   []HoleReport   `json:"registration,omitempty" means:"none without dowels"`
	Ears    []OffcutReport `json:"ears,omitempty" means:"of waste beside its rim, with those holes, until its layers are glued"`
	WeightG float64        `json:"weight_g" means:"of foam and pieces"`
}

// HoleReport is a registration hole, through all layers; x_mm and y_mm are its middle.
type HoleReport struct {
	XMM        float64 `json:"x_mm" means:"its middle, from the tray's corner"`
	YMM        float64 `json:"y_mm" means:"the same, along Y"`
	DiameterMM float64 `json:"diameter_mm" means:"of the hole"`
	DowelMM    float64 `json:"dowel_mm" means:"diameter of the dowel"`
}

// LayerReport is one flat sheet of a tray.
type LayerReport struct {
	Foam        string  `json:"foam" means:"name of the profile"`
	ThicknessMM float64 `json:"thickness_mm" means:"as its label says"`
	MeasuredMM  float64 `json:"measured_mm,omitzero" means:"of its sheet, where somebody has measured"`
}

// PocketReport is one pocket; x_mm and y_mm are the lower-left corner of its
// bounding box without notch or relief.
type PocketReport struct {
	For      string  `json:"for" means:"the piece, as the job says it"`
	Name     string  `json:"name" means:"what a person calls the piece"`
	XMM      float64 `json:"x_mm" means:"lower-left corner of its box without notch or relief, from the tray's"`
	YMM      float64 `json:"y_mm" means:"the same, along Y"`
	LengthMM float64 `json:"length_mm" means:"of the box, along X"`
	WidthMM  float64 `json:"width_mm" means:"of the box, along Y"`
	DepthMM  float64 `json:"depth_mm" means:"from the tray's top"`
	Shape    string  `json:"shape" means:"rect, round, slot, outline and others"`
	Waste    string  `json:"waste" means:"clear or plug" one:"clear|plug|"`
	Access   string  `json:"access" means:"how fingers get at the piece: a notch, a gap beside it, a lift because it stands out, or none" one:"notch|gap|lift|none|"`
	Pieces   int     `json:"pieces" means:"of the roster that lie in it, shared out over the trays that travel together"`
	PadMM    float64 `json:"pad_mm,omitzero" means:"of foam to lay under them, for whole layers are cut and they are much lower"`
	Pinned   bool    `json:"pinned" means:"arrange leaves it where it is: the key pin"`
}

// CaseReport is one case and the room that its stack leaves.
type CaseReport struct {
	Name     string   `json:"name" means:"as in the job"`
	Copies   int      `json:"copies" means:"how many such cases"`
	Stack    []string `json:"stack" means:"ids of trays, top to bottom"`
	HeightMM float64  `json:"height_mm" means:"of the stack"`
	RoomMM   float64  `json:"room_mm" means:"left over it"`
	WeightG  float64  `json:"weight_g" means:"of all in it"`
}

// DryRunReport is what the dry run of one program found.
type DryRunReport struct {
	Path            string         `json:"path" means:"of the program"`
	OK              bool           `json:"ok" means:"nothing was wrong"`
	Seal            SealReport     `json:"seal" means:"whether it is the program that was proved"`
	WorstOvercutMM  float64        `json:"worst_overcut_mm" means:"cut away beyond what is wanted"`
	WorstUndercutMM float64        `json:"worst_undercut_mm" means:"left standing of what should go"`
	MinMM           [3]float64     `json:"min_mm" means:"extents of all moves, Z from the foam's top"`
	MaxMM           [3]float64     `json:"max_mm" means:"the other corner of the extents"`
	RemovedMM3      float64        `json:"removed_mm3" means:"of foam"`
	Seconds         float64        `json:"seconds" means:"by the clock of the dry run"`
	LowerBound      float64        `json:"lower_bound_seconds" means:"cut length over feed"`
	CutSeconds      float64        `json:"cut_seconds" means:"of those, cutting"`
	RapidSeconds    float64        `json:"rapid_seconds" means:"of those, in rapids"`
	PlungeSeconds   float64        `json:"plunge_seconds" means:"of those, going down"`
	OnSeconds       float64        `json:"on_seconds" means:"spindle turning or beam lit"`
	Corners         *CornersReport `json:"corners,omitempty" means:"not there where none were tried"`
	Findings        []LineFinding  `json:"findings" means:"at lines of the program"`
}

// LineFinding is one thing wrong with a program or worth knowing, at a line of it.
type LineFinding struct {
	Line    int    `json:"line" means:"of the program"`
	Rule    string `json:"rule" means:"short stable name"`
	Message string `json:"message" means:"what is wrong"`
	Hint    string `json:"hint" means:"what to do"`
}

// JSON is the report as text, indented and sealed, ending in a newline. Empty
// lists are [], never null.
func (r Report) JSON() ([]byte, error) {
	text, err := finding.JSON(r)
	if err != nil {
		return nil, err
	}
	return seal(text), nil
}

// Names of the files at the top of the output folder.
const (
	ReportName   = "report.json"
	overviewName = "overview.png"
	sawName      = "saw.png" // where sheets are parted that are larger than the machine
	cutSheetName = page.CutSheetName
	paperName    = "cut-sheet.pdf"
	templateName = "templates.pdf"
)

// describe is the report of a plan before anything is cut. The plan may be nil.
func describe(r Request, p *plan.Plan, found finding.List) Report {
	report := Report{
		SchemaVersion: SchemaVersion, Job: r.Job.File, Machine: machineName(r),
		Findings: found, Setups: []SetupReport{},
	}
	if p == nil {
		return report
	}
	for _, t := range p.Trays {
		report.Trays = append(report.Trays, describeTray(t))
	}
	report.Proof, report.Dowels = page.Inscriptions(p), describeDowels(p)
	for _, c := range p.Cases {
		report.Cases = append(report.Cases, describeCase(c, p))
	}
	return report
}

func describeTray(t plan.Tray) TrayReport {
	report := TrayReport{
		ID: t.ID, Label: t.Label, Copies: t.Copies,
		SizeMM: [2]float64{t.Length.MM(), t.Width.MM()},
		Layers: []LayerReport{}, Pockets: []PocketReport{},
		WeightG: round(t.FoamG+t.PiecesG, 0.1),
	}
	report.Labels, report.Emblems = describeMarks(t)
	for _, l := range t.Layers {
		layer := LayerReport{Foam: l.Foam.ID, ThicknessMM: l.Sold().MM()}
		if l.Measured() {
			layer.MeasuredMM = l.Thickness.MM()
		}
		report.Layers = append(report.Layers, layer)
	}
	for _, e := range t.Ears {
		report.Ears = append(report.Ears, OffcutReport{round(e.Min.X, 1e-6), round(e.Min.Y, 1e-6), round(e.Width(), 1e-6), round(e.Height(), 1e-6), ""})
	}
	for _, k := range t.Pockets {
		if k.Dowel > 0 {
			at := k.Box.Min.Add(k.Box.Max).Scale(0.5)
			report.Holes = append(report.Holes, HoleReport{round(at.X, 1e-6), round(at.Y, 1e-6), round(k.Box.Width(), 1e-6), k.Dowel.MM()})
			continue
		}
		report.Pockets = append(report.Pockets, PocketReport{
			For: k.For, Name: k.Piece, Waste: k.Waste, Access: k.Access,
			XMM: round(k.Box.Min.X, 1e-6), YMM: round(k.Box.Min.Y, 1e-6),
			LengthMM: round(k.Box.Width(), 1e-6), WidthMM: round(k.Box.Height(), 1e-6),
			DepthMM: k.Depth.MM(), Shape: k.ShapeName, Pieces: k.Packed, PadMM: round(k.Lies.PadMM, 1e-6), Pinned: k.Pinned,
		})
	}
	return report
}

func describeCase(c plan.Case, p *plan.Plan) CaseReport {
	report := CaseReport{
		Name: c.Name, Copies: c.Copies, Stack: []string{},
		HeightMM: c.Height.MM(), RoomMM: c.Room.MM(), WeightG: round(c.WeightG, 0.1),
	}
	for _, i := range c.Stack {
		for _, t := range p.Level(i).Trays {
			report.Stack = append(report.Stack, t.ID)
		}
	}
	return report
}

// round takes what binary fractions add off a printed number.
func round(x, step float64) float64 {
	inverse := 1 / step
	return math.Round(x*inverse) / inverse
}

// add takes what the sheets have to show into the result.
func (r *Result) add(works []*sheetWork) {
	for _, w := range works {
		r.Report.Findings = append(r.Report.Findings, w.found...)
		if w.run.Path == "" {
			continue
		}
		r.Report.DryRun = append(r.Report.DryRun, DescribeRun(w.run))
	}
}

// SealReport is whether a program is the one that was proved: "same", "changed" or
// "none" each, and "unasked" of the plan where there is no job.
type SealReport struct {
	Moves proof.Kept `json:"moves" means:"of what moves: same, changed or none" one:"same|changed|none"`
	Plan  proof.Kept `json:"plan" means:"of the plan: the same, or unasked without a job" one:"same|changed|none|unasked"`
	Words proof.Kept `json:"words" means:"of the comments" one:"same|changed|none"`
}

// DescribeRun is a dry run in the report.
func DescribeRun(r proof.Result) DryRunReport {
	return DryRunReport{
		Path: r.Path, OK: r.OK, Seal: SealReport(r.Seal),
		WorstOvercutMM: round(r.WorstOvercutMM, 1e-4), WorstUndercutMM: round(r.WorstUndercutMM, 1e-4),
		MinMM: placeMM(r.Min), MaxMM: placeMM(r.Max), RemovedMM3: round(r.RemovedMM3, 1),
		Seconds: round(r.Seconds, 0.1), LowerBound: round(r.LowerBoundSeconds, 0.1), CutSeconds: round(r.CutSeconds, 0.1),
		RapidSeconds: round(r.RapidSeconds, 0.1), PlungeSeconds: round(r.PlungeSeconds, 0.1), OnSeconds: round(r.OnSeconds, 0.1),
		Corners: describeCorners(r.Corners), Findings: lineFindings(r.Findings),
	}
}

func lineFindings(found finding.List) []LineFinding {
	list := make([]LineFinding, len(found))
	for i, f := range found {
		list[i] = LineFinding{f.Line, f.Rule, f.Text(), f.Hint}
	}
	return list
}

func placeMM(p proof.Point) [3]float64 {
	return [3]float64{round(p.X, 1e-4), round(p.Y, 1e-4), round(p.Z, 1e-4)}
}

// lay takes a layout on stock into the result.
func (r *Result) lay(l stock.Layout) {
	r.Layout = l
	r.Report.Parted = describeParted(l)
	r.Report.Setups, r.Report.Buy = describeSetups(l), describeBuy(l.Buy)
}

// finish adds the files that speak of the whole job, the report last. Works are what is cut, and
// alone the plan's sheets each on its own: the same, where there is no stock.
func (r *Result) finish(q Request, o Options, works, alone []*sheetWork) error {
	shown := overviewOptions(q, r.Plan, works, alone)
	overview, err := written(overviewName, func(w io.Writer) error { return page.Overview(w, r.Plan, shown) })
	if err != nil {
		return err
	}
	pages := cutSheet(q, r.Plan, works, r.Report.Findings)
	pages.Overview = shown
	drawn, cut := r.drawn(works, alone)
	if err := r.sumUp(q, works, cut, &pages); err != nil {
		return err
	}
	pages.Layout, pages.Printed = r.Layout, o.Printed
	files, err := inWords(pages, o)
	if err != nil {
		return err
	}
	files = append([]File{overview}, files...)
	for _, f := range files {
		r.Report.Files = append(r.Report.Files, FileReport{Path: f.Path, SHA256: Sum(f.Data), Kind: kinds[path.Ext(f.Path)], Machine: r.Report.Machine})
	}
	r.Report.Files = append(r.Report.Files, cut...)
	files = append(files, drawn...)
	look, err := r.look(pages, works, page.LookInput{})
	if err != nil {
		return err
	}
	files = append(files, look)
	text, err := r.Report.JSON()
	if err != nil {
		return err
	}
	r.Files = append([]File{{ReportName, text}}, files...)
	return nil
}

// sumUp puts the job's totals, and what is to be bought, into the report and onto the pages.
func (r *Result) sumUp(q Request, works []*sheetWork, cut []FileReport, pages *page.CutSheet) error {
	r.Report.Totals = &TotalsReport{savedSeconds: r.Plan.RoughingSavesS + r.Layout.RoughingSavesS}
	if err := r.bought(q, works, pages); err != nil {
		return err
	}
	r.Report.Totals.add(cut, works)
	var h hands
	h.sheets(r.Plan, works)
	h.parted(r.Layout.Parted)
	r.Report.Totals.byHand(h)
	pages.InAll = r.Report.Totals.Words(q.Unit)
	return nil
}

// drawn are the files of what is cut, then of the plan's sheets each on its own where there is a
// stock, and what the report says of them.
func (r *Result) drawn(works, alone []*sheetWork) (files []File, reports []FileReport) {
	all := works
	if r.Plan.Job.Stock != nil {
		all = slices.Concat(works, alone)
	}
	for _, w := range all {
		for _, f := range w.files {
			reports = append(reports, w.describe(f, r.Plan.Machine))
			files = append(files, f.File)
		}
	}
	return files, reports
}

// inWords are the pages for the bench.
func inWords(pages page.CutSheet, o Options) ([]File, error) {
	var files []File
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{sawName, func(w io.Writer) error { return page.Saw(w, pages.Layout.Parted, pages.Plan.Letters, pages.Unit) }},
		{cutSheetName, pages.Markdown},
		{paperName, func(w io.Writer) error { return pages.Paper(w, o.Paper) }},
		{templateName, func(w io.Writer) error { return pages.Templates(w, o.Paper) }},
	} {
		if f.name == sawName && len(pages.Layout.Parted) == 0 {
			continue
		}
		file, err := written(f.name, f.write)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	return files, nil
}

// overviewOptions hands the dry runs to the overview, tray by tray: those of the plan's sheets
// alone, and the time of what is cut.
func overviewOptions(r Request, p *plan.Plan, works, alone []*sheetWork) page.OverviewOptions {
	runs := map[*plan.Sheet]proof.Result{}
	for _, w := range alone { // the last program of a sheet leaves all of it cut
		for _, part := range w.makes {
			runs[part.Sheet] = w.run
		}
	}
	o := page.OverviewOptions{Unit: r.Unit, Results: map[string][]proof.Result{}}
	for _, w := range works {
		o.Seconds += finding.Tenth(w.run.Seconds) * float64(w.made())
	}
	for t := range p.Trays {
		for s := range p.Trays[t].Sheets {
			o.Results[p.Trays[t].ID] = append(o.Results[p.Trays[t].ID], runs[&p.Trays[t].Sheets[s]])
		}
	}
	return o
}
