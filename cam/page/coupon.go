package page

import (
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/template"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/geometry/units"
	"traywright/profiles"
)

//go:embed coupon.md.tmpl
var couponMarkdown string

var couponTemplate = template.Must(template.New("coupon").Funcs(template.FuncMap{"md": markdown}).Parse(couponMarkdown))

// Coupon is a test piece that is ready for its machine, as the page for the
// person there needs it.
type Coupon struct {
	Coupon   *kerf.Coupon
	Before   []string // conditions, requirements and cautions: boxes to tick
	Burns    []string // what to do in a fire; none for a cold process
	Program  string   // its file, or the drawing that stands in its place
	Findings finding.List
	Seconds  float64  // that the machine takes, an estimate
	Cut      CutSheet // of its one sheet, which is laid and held as any other
}

// Markdown writes the page. The error is w's.
func (c Coupon) Markdown(w io.Writer) error { return couponTemplate.Execute(w, c.text()) }

// couponText is all that the page says, ready to print.
type couponText struct {
	Foam, Thickness, Machine, Tool, Inset, Travel, ZZero, Time, Kerf, Comb, Over string
	Piece                                                                        string // which of several it is; "" for the only one
	Program, Picture, Table                                                      string
	SetZero, Touched                                                             string
	Before, Burns, Laid, Ready, Loose, Sources, Measure                          []string
	Command                                                                      string   // that reads the table
	Beside                                                                       bool     // it has to be run in the table's folder
	Load                                                                         []string // how a machine takes the drawing; none where it takes a program
	Findings                                                                     finding.List
	Columns                                                                      []string // of the settings
	Settings                                                                     []couponSetting
	Squares                                                                      []couponSquare
	Slots                                                                        []couponSlot
	Trials                                                                       []couponTrial
	Ladder, Groove, Proud                                                        bool
}

type (
	couponSetting struct {
		Letter string
		Values []string
	}
	couponSquare struct{ Label, Size string }
	couponSlot   struct{ Label, Width, Fit string }
	couponTrial  struct{ Label, For, At, Size, Depth string }
)

func (c Coupon) text() couponText {
	k := c.Coupon
	t := couponText{
		Command: k.Command(), Beside: k.Spec.Profiles != "",
		Foam: k.Foam.ID, Thickness: c.exact(k.Spec.Thickness), Machine: k.Machine.ID, Tool: "Tool: " + toolName(k.Tool),
		Time:    finding.Duration(c.Seconds),
		Program: c.Program, Picture: k.Name() + ".png", Table: kerf.TableName,
		Kerf: kerfWide(k.Recipe.KerfMM.Value, c.Coupon.Spec.Units), Comb: c.exact(k.Spec.Comb), Over: c.length(kerf.SlotOverMM),
		Before: c.Before, Burns: c.Burns, Findings: c.Findings.Folded(), Sources: sourcesOf(settingsOf(k.Machine, k.Recipe)), Measure: k.HowToMeasure(),
		Ladder: k.Spec.Ladder.Key != "", Groove: k.SkinMM() > 0,
	}
	if of := k.Spec.Of; of > 1 && k.Spec.CurrentA == 0 {
		t.Piece = fmt.Sprintf("This is piece %d of %d, %s: each is cut by its own program and has a page of its own.%s The readings of all go into the one %s", k.Spec.Piece, of, k.Spec.Subject(), c.onOffcut(), kerf.TableName)
	} else if of > 1 {
		t.Piece = fmt.Sprintf("This is piece %d of %d, the one for %.4g A: each is cut from foam of its own, out of the same sheet, by its own program, with the supply set to its own current, and has a page of its own. Cut them in this order, the coolest first; let the wire come to rest at each current before its program runs. The readings of all go into the one %s", k.Spec.Piece, of, k.Spec.CurrentA, kerf.TableName)
	}
	for _, sheet := range c.Cut.Sheets {
		c.laid(&t, sheet)
	}
	c.settings(&t)
	c.rows(&t)
	return t
}

// laid says how the offcut is laid and held, how the cutter stands out, where zero is, and then, as on
// any sheet, what is looked at and switched on.
func (c Coupon) laid(t *couponText, s Sheet) {
	t.Laid, t.Load = c.Cut.laid(s), c.Cut.load(s)
	if stays := c.foamStays(); stays != "" {
		t.Laid[0] = stays // held as this one's tool wants it
	}
	for _, line := range slices.Concat(c.Cut.tools(s), c.Cut.controller(s)) {
		t.Laid = append(t.Laid, line[0]+": "+line[1]+".")
	}
	fit, zero := c.Cut.fit(s)
	t.Laid, t.SetZero, t.Touched = append(t.Laid, fit...), zero, c.Cut.touched(s)
	t.ZZero, t.Travel = c.Cut.zeroOf(s.Sheet.On(c.Cut.Plan.Machine).ZZero), c.Cut.travel(s)
	t.Ready = c.Cut.ready(s)
	t.Loose = slices.Concat(c.Cut.loosened(s), c.Cut.released(s))
	if c.Cut.wired() {
		t.Loose = []string{wireOff + wireLift}
	}
	t.Loose = c.released(t.Loose)
	t.Inset = fmt.Sprintf("%s from the foam's left edge and %s from its front edge", c.length(s.InsetMM[0]), c.length(s.InsetMM[1]))
}

// settings fills the table of the coupon's settings, the kerf left out: it is
// what the coupon is to find.
func (c Coupon) settings(t *couponText) {
	k := c.Coupon
	groups := k.Groups
	if len(groups) == 0 || len(k.Slots)+len(k.Trials) > 0 && t.Ladder {
		groups = append(slices.Clone(groups), kerf.Group{Letter: "the rest", Recipe: k.Recipe})
	}
	for _, g := range groups {
		row := couponSetting{Letter: g.Letter}
		for _, s := range settingsOf(k.Machine, g.Recipe) {
			at := slices.Index(t.Columns, s.Name)
			if s.Name == "kerf" {
				continue
			} else if at < 0 { // a single pass has no pause
				at, t.Columns = len(t.Columns), append(t.Columns, s.Name)
			}
			row.Values = append(row.Values, make([]string, max(0, at+1-len(row.Values)))...)
			row.Values[at] = settingValue(s, k.Spec.Units)
		}
		t.Settings = append(t.Settings, row)
	}
	for i := range t.Settings {
		t.Settings[i].Values = append(t.Settings[i].Values, make([]string, len(t.Columns)-len(t.Settings[i].Values))...)
	}
}

// rows fills the tables of what is cut.
func (c Coupon) rows(t *couponText) {
	for _, s := range c.Coupon.Squares {
		for _, face := range c.Coupon.Faces() {
			t.Squares = append(t.Squares, couponSquare{strings.TrimSpace(s.Label + " " + face), c.exact(s.Size)})
		}
	}
	for _, s := range c.Coupon.Slots {
		t.Slots = append(t.Slots, couponSlot{s.Label, c.length(s.Width.MM()), strings.Join(s.Fits, ", ")})
	}
	for _, trial := range c.Coupon.Trials {
		t.Trials = append(t.Trials, c.trial(trial))
		t.Proud = t.Proud || trial.Proud
	}
}

func (c Coupon) trial(t kerf.Trial) couponTrial {
	row := couponTrial{
		Label: t.Label, For: rosterNames(c.Coupon.Job.Roster, nil)(strings.Join(t.Pieces, ", ")), At: c.length(t.At.X) + ", " + c.length(t.At.Y),
		Size: c.exact(t.Length) + " × " + c.exact(t.Width), Depth: "through",
	}
	if t.Round {
		row.Size = "diameter " + c.exact(t.Length)
	}
	if t.Depth > 0 {
		row.Depth = c.exact(t.Depth)
	}
	if t.Proud {
		row.Depth += ", stands proud"
	}
	return row
}

// exact is a length that was asked for, never rounded.
func (c Coupon) exact(l units.Length) string { return l.Exact(c.Coupon.Spec.Units) }

// length is a length that was worked out.
func (c Coupon) length(mm float64) string { return Length(mm, c.Coupon.Spec.Units) }

func toolName(t profiles.Tool) string {
	if t.Name == "" {
		return t.ID
	}
	return t.ID + ", " + t.Name
}
