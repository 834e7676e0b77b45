package page

import (
	"bytes"
	"io"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/cam/stock"
	"traywright/geometry/units"
)

// CutSheetName is the file of the Markdown; the paper's says to look there.
const CutSheetName = "cut-sheet.md"

// CutSheet is a job that is ready for its machine, as the pages for the person
// there need it. Nothing on them is worked out from anything else, and what the
// Markdown and the paper say comes from the same words.
type CutSheet struct {
	Plan     *plan.Plan
	Coupon   bool         // it is one, and no job
	Unit     units.Unit   // that lengths are printed in
	Findings finding.List // of the whole job
	Owner    []string     // what the machine's owner requires of the job
	Burns    []string     // what to do if it burns; none where no heat cuts; of all sheets
	Printed  Printed      // what a printer makes of a template's bars
	Eyewear  string       // for a beam; "" for none
	Overview OverviewOptions
	InAll    string  // the job's totals; "" for none
	Sheets   []Sheet // in the order in which they are cut

	Buy        []stock.Purchase // the foam to buy where none is at hand
	WasteShare float64          // of it, what no blank takes
	Cost       float64          // of what of it has a price
	Layout     stock.Layout     // on sheets of the stock; zero without it

	letters *typesetter // of paper; nil where a page shows whatever is written
}

// Sheet is one sheet of the plan, or one block, and its program.
type Sheet struct {
	Name     string       // path of its files, as far as they have it in common
	File     string       // path of its program
	K, Of    int          // which of the sheet's programs it is, from 1, and of how many; 0 for the only one
	Parts    []Part       // what is cut with it, itself first
	Laid     *stock.Setup // what lies on it, where it is a sheet of the stock
	Offcut   *Offcut      // of a test piece, its place on the foam that several are cut from
	Tray     *plan.Tray
	Sheet    *plan.Sheet
	Foams    string // their names, top to bottom
	Program  process.Program
	Stats    process.Stats
	Whole    process.Stats // of all programs of the sheet, which count from one zero
	Run      proof.Result  // the program's dry run
	Picture  PictureOptions
	Drawings Drawings
	BlankMM  [2]float64 // the least foam it is cut from, X and Y, with a rim to hold it by
	InsetMM  [2]float64 // how far from the foam's left and front edge X0 Y0 lies
	ClampMM  float64    // how much of the rim, from outside, may be clamped
	UncutMM  [4]float64 // foam beside all that is cut: left, right, front, back
	Owner    []string   // what the machine's owner requires of the sheet
	Cautions []string
	Burns    []string // what to do if it burns; none where no heat cuts
}

// Markdown writes the pages as one text that any reader of Markdown shows, with
// the pictures beside it. The error is w's.
func (c CutSheet) Markdown(w io.Writer) error {
	return cutSheetTemplate.Execute(w, c.folded())
}

// Paper writes the pages as PDF: the job at a glance, then a page for each sheet of
// foam. Text that is too long for its page becomes smaller, down to 7 point, then
// goes on overleaf. The error is w's.
func (c CutSheet) Paper(w io.Writer, size Paper) error {
	var err error
	if c.letters, err = newTypesetter(lettersOf(c.Plan.Letters)); err != nil {
		return err
	}
	t := c.folded()
	if t.Overview, err = overviewOnPaper(c.Plan, c.Overview); err != nil {
		return err
	}
	if t.Sawn, err = sawPages(c.Layout.Parted, c.Plan.Letters, c.Unit); err != nil {
		return err
	}
	for i := range t.Sheets {
		s := c.Sheets[t.Sheets[i].of]
		t.Sheets[i].Picture = func(paperPX float64) ([]byte, error) {
			var b bytes.Buffer
			err := picture(&b, s.Run, s.Picture, paperPX)
			return b.Bytes(), err
		}
		laid := newSheet(c.letters, s.Run, s.Picture)
		t.Sheets[i].Least = laid.leastRatio
	}
	return t.paper(w, size, lettersOf(c.Plan.Letters), c.Unit)
}

// Templates draws every tray in true size, as PDF: its outline, its pockets as
// asked for, their names and depths, and on every page a bar of 100 mm to
// measure the print by; of what is cut by hand, every sheet: see Template. The error is w's.
func (c CutSheet) Templates(w io.Writer, size Paper) error {
	o := templateOptions{Size: size, Unit: c.Unit, Letters: lettersOf(c.Plan.Letters), Title: c.title() + ": templates"}
	if !c.byHand() {
		return templates(w, c.Plan.Trays, o)
	}
	o.Printed = c.Printed
	var list []shown
	for _, s := range c.Sheets {
		list = append(list, c.layerShown(s))
	}
	return drawTemplates(w, list, o)
}

// Template draws one sheet in true size, as PDF: the lines that a hand cuts along, with the
// kerf of a wire taken off, numbered in the order of cutting. The error is w's.
func (c CutSheet) Template(w io.Writer, s Sheet, size Paper) error {
	return drawTemplates(w, []shown{c.layerShown(s)}, templateOptions{Size: size, Unit: c.Unit, Letters: lettersOf(c.Plan.Letters), Title: c.title() + ": " + s.Name, Printed: c.Printed})
}

// cutSheetText is all that a cut sheet says, ready to print.
type cutSheetText struct {
	Title, Machine, Process string
	Stocked                 bool     // it is laid on sheets of the job's stock
	Drawn                   bool     // the machine takes drawings, and no program
	Hand                    bool     // a hand cuts along templates
	Passes                  []string // how a hand cuts thick foam
	Thickest                string   // of what it cuts
	Time                    string   // of all programs, each as often as it is run
	InAll                   string   // the job's totals
	Overview                [][]byte // pictures; only the paper has them
	Sawn                    [][]byte // pictures of what Saw says, for the paper as well
	Before                  []string
	Files                   []string // which is for whom
	Findings                finding.List
	Material                []materialRow
	Buy                     []string // the same foam, as it is sold
	Saw                     []string // how sheets of the stock are parted for the machine
	Steps                   []stepRow
	ByTool                  bool      // a hand puts tools in
	Trays, Blocks           []trayRow // blocks are the trays that are glued before they are cut
	Gluing                  []string  // how layers become trays, step by step
	Cases                   []caseText
	Sheets                  []sheetText
	Glued                   []gluedText // trays that are cut out of sheets of the stock
}

// InTurn is how several programs of one sheet follow each other, however often each is run.
func (t cutSheetText) InTurn() string {
	what := "programs"
	if t.Drawn {
		what = "drawings"
	}
	return "A sheet that takes several " + what + " gets them all, one after another, before the next piece of foam is laid"
}

// sheetText is what the page of one sheet says.
type sheetText struct {
	of          int // its sheet's place in the job
	Head, Aside string
	Hand        bool // what it is cut by; then Time is its size, for nobody knows the time
	Time        string
	Image       string // the picture's file
	Together    bool   // it shows what several programs leave
	// Picture draws it about so many pixels high; only the paper has one.
	Picture         func(paperPX float64) ([]byte, error)
	Least           func(paperPX float64) float64 // the least height over width of that, without drawing it
	Parted          bool                          // it shows several parts
	Settings        [][2]string
	ZeroHead        string
	Zero            []string
	Work            []string    // in order, each with a box to tick
	whole           []string    // the last of it: which trays are all cut then
	Order           [][2]string // of what the program cuts
	Copies          int
	Alike           []string // sheets of the stock that this page is for, each with a box to tick; none where it is for one
	Owner, Cautions []string
	Burns           []string
	Made            string // how often, and for what; "" for once
	Trays           []trayText
}

// trayText is a tray that a sheet goes into: how it is glued, and what is put into it.
type trayText struct {
	Tray    *plan.Tray
	Number  int    // of the sheet, counts layers from the top, 1 first; 0 is the block of all
	Section string // the tray in section, drawn in letters
	Glue    string // where its dowels go, and the order of its layers; "" for one layer
	Packing []packingRow
}

// GlueHead is the heading of how a tray is glued; it names the tray where the page
// has several. One of a single layer is not glued.
func (s sheetText) GlueHead(t trayText) string {
	head, end := "Glue-up", ", top to bottom"
	if len(t.Tray.Layers) == 1 {
		head, end = "Section", ""
	}
	if len(s.Trays) > 1 {
		head += " of " + t.Tray.ID
	}
	return head + end
}

// text turns the job into words, once for all pages.
func (c CutSheet) text() cutSheetText {
	t := cutSheetText{
		Title: c.title(), Stocked: c.Plan.Job.Stock != nil, Machine: c.Plan.Machine.Name, Process: string(c.Plan.Machine.Process), Drawn: c.Plan.Machine.DrawingsOnly(), Time: c.time(), InAll: c.InAll,
		Hand: c.byHand(), Passes: c.passes(), Thickest: c.thickest(),
		Before: c.before(), Files: c.whichFile(), Findings: toldHere(c.Findings), Material: c.material(), Buy: c.buy(), Saw: c.saw(), Gluing: c.gluingUp(), Steps: c.steps(), Trays: c.trays(), Cases: c.cases(),
	}
	t.ByTool = slices.ContainsFunc(t.Steps, func(s stepRow) bool { return s.Tools != "" })
	for _, row := range t.Trays {
		if row.block {
			t.Blocks = append(t.Blocks, row)
		}
	}
	packing, told := c.packing(), c.told()
	if t.Stocked {
		t.Glued = c.trayPages(packing)
	}
	last := map[*plan.Tray]string{} // file after which all of it is cut
	for _, s := range c.Sheets {
		for _, p := range told[s.File] {
			last[p.Tray] = s.File
		}
	}
	for i, s := range c.Sheets {
		text := c.sheet(s)
		text.of = i
		if t.Stocked {
			text.whole = wholeNow(told[s.File])
			text.Work = append(text.Work, text.whole...)
			t.Sheets = append(t.Sheets, text)
			continue
		}
		for _, p := range told[s.File] {
			tray := trayText{p.Tray, p.Sheet.Number, sectionText(p.Tray, p.Sheet.Number, c.Unit), c.gluedSo(p.Tray), nil}
			if last[p.Tray] == s.File {
				tray.Packing = packing[p.Tray.ID]
			}
			text.Trays = append(text.Trays, tray)
		}
		t.Sheets = append(t.Sheets, text)
	}
	return t
}

// time is what all programs take, each as often as it is run.
func (c CutSheet) time() string {
	if c.byHand() {
		return ""
	}
	sum := 0.0
	for _, s := range c.Sheets {
		sum += finding.Tenth(s.Run.Seconds) * float64(s.made())
	}
	return finding.Duration(sum)
}

// title is the job's name for a person.
func (c CutSheet) title() string {
	if c.Plan.Job.Game != "" {
		return apart(c.Plan.Job.Game)
	}
	return c.Plan.Job.File
}
