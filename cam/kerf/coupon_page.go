package kerf

import (
	"bytes"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/template"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// PageName is the file of the page for the person at the machine.
const PageName = CouponID + ".md"

//go:embed coupon_page.md.tmpl
var pageText string

var pageTemplate = template.Must(template.New(PageName).Funcs(template.FuncMap{"md": markdown}).Parse(pageText))

var markdownEscapes = strings.NewReplacer(
	"\\", "\\\\", "|", "\\|", "`", "\\`", "*", "\\*", "_", "\\_", "[", "\\[", "]", "\\]",
	"#", "\\#", "<", "&lt;", ">", "&gt;", "&", "&amp;", "\r", " ", "\n", " ",
)

// markdown keeps a text from being read as Markdown or HTML, and on one line.
func markdown(s string) string { return markdownEscapes.Replace(s) }

// Bench is what the page says beside the coupon.
type Bench struct {
	Before   []string // conditions, requirements and cautions: boxes to tick
	Burns    []string // what to do in a fire; none for a cold process
	Findings finding.List
	Seconds  float64
	// The least offcut, mm: all that the tool cuts and a rim to hold the foam by;
	// and how far inside it X0 Y0 lies, from both its left and its front edge.
	RoomMM  [2]float64
	InsetMM float64
}

// page is the template's data, already text.
type benchPage struct {
	Foam, Thickness, Machine, Tool, Room, Inset, ZZero, Time, Skin, Kerf, Comb, Over string
	Program, Picture, Table, Steps, Power                                            string
	Before, Burns, Sources, Measure                                                  []string
	Findings                                                                         finding.List
	Settings                                                                         []settingRow
	Squares                                                                          []squareRow
	Slots                                                                            []slotRow
	Trials                                                                           []trialRow
	Ladder, Groove, Proud                                                            bool
}

type (
	settingRow struct{ Letter, Feed, Steps, Power string }
	squareRow  struct{ Label, Size string }
	slotRow    struct{ Label, Width, Fit string }
	trialRow   struct{ Label, For, At, Size, Depth string }
)

// Page is the page for the person at the machine, in Markdown.
func (c *Coupon) Page(b Bench) ([]byte, error) {
	p := benchPage{
		Foam: c.Foam.ID, Thickness: c.length(c.Spec.Thickness), Machine: c.Machine.ID, Tool: "Tool: " + c.toolName(),
		Room: c.mm(b.RoomMM[0]) + " x " + c.mm(b.RoomMM[1]), Inset: c.mm(b.InsetMM), ZZero: zeroText(c.Machine.ZZero), Time: minutes(b.Seconds),
		Program: CouponID + ".ngc", Picture: CouponID + ".png", Table: TableName, Steps: "step-down", Power: "speed",
		Kerf: c.mm(c.Recipe.KerfMM.Value), Comb: c.length(c.Spec.Comb), Over: c.mm(slotOverMM),
		Before: b.Before, Burns: b.Burns, Findings: b.Findings, Sources: c.sources(), Measure: c.howToMeasure(),
		Ladder: c.Spec.Ladder.Key != "", Groove: c.skinMM() > 0,
	}
	if c.ByPasses() {
		p.Steps, p.Power = "passes", "power"
	}
	if skin := c.Recipe.SkinMM.Value; skin > 0 && c.Grooved() {
		p.Skin = c.mm(skin)
	}
	c.rows(&p)
	var text bytes.Buffer
	if err := pageTemplate.Execute(&text, p); err != nil {
		return nil, err
	}
	return text.Bytes(), nil
}

// rows fills the page's tables.
func (c *Coupon) rows(p *benchPage) {
	settings := c.Groups
	if len(settings) == 0 || len(c.Slots)+len(c.Trials) > 0 && p.Ladder {
		settings = append(slices.Clone(settings), Group{Letter: "the rest", Recipe: c.Recipe})
	}
	for _, s := range settings {
		p.Settings = append(p.Settings, c.settingRow(s))
	}
	for _, s := range c.Squares {
		for _, face := range c.faces() {
			p.Squares = append(p.Squares, squareRow{strings.TrimSpace(s.Label + " " + face), c.length(s.Size)})
		}
	}
	for _, s := range c.Slots {
		p.Slots = append(p.Slots, slotRow{s.Label, c.length(s.Width), strings.Join(s.Fits, ", ")})
	}
	for _, t := range c.Trials {
		p.Trials = append(p.Trials, c.trialRow(t))
		p.Proud = p.Proud || t.Proud
	}
}

func (c *Coupon) settingRow(s Group) settingRow {
	r := s.Recipe
	row := settingRow{Letter: s.Letter, Feed: fmt.Sprintf("%.6g mm/min", r.FeedMMPerMin.Value)}
	if c.ByPasses() {
		row.Steps, row.Power = fmt.Sprintf("%.0f", math.Ceil(r.Passes.Value)), fmt.Sprintf("%.4g %%", r.PowerPercent.Value)
		return row
	}
	row.Steps, row.Power = c.mm(r.StepdownMM.Value), fmt.Sprintf("%.0f rpm", r.RPM.Value)
	return row
}

func (c *Coupon) trialRow(t Trial) trialRow {
	row := trialRow{Label: t.Label, For: strings.Join(t.Pieces, ", "), At: c.mm(t.At.X) + ", " + c.mm(t.At.Y), Size: c.length(t.Length) + " x " + c.length(t.Width), Depth: "through"}
	if t.Round {
		row.Size = "diameter " + c.length(t.Length)
	}
	if t.Depth > 0 {
		row.Depth = c.length(t.Depth)
	}
	if t.Proud {
		row.Depth += ", stands proud"
	}
	return row
}

// sources says where the settings come from, each source once.
func (c *Coupon) sources() []string {
	r := c.Recipe
	numbers := []profiles.Named{{Key: "kerf", Number: r.KerfMM}, {Key: "feed", Number: r.FeedMMPerMin}, {Key: "passes", Number: r.Passes}, {Key: "power", Number: r.PowerPercent}}
	if !c.ByPasses() {
		numbers = append(numbers[:2:2], profiles.Named{Key: "step-down", Number: r.StepdownMM}, profiles.Named{Key: "speed", Number: r.RPM})
	}
	var order []string
	keys := map[string][]string{}
	for _, n := range numbers {
		if n.Source != "" && keys[n.Source] == nil {
			order = append(order, n.Source)
		}
		keys[n.Source] = append(keys[n.Source], n.Key)
	}
	for i, source := range order {
		order[i] = strings.Join(keys[source], ", ") + ": " + source
	}
	return order
}

func (c *Coupon) length(l units.Length) string { return exact(l, c.Spec.Units) }

// mm is a length that was worked out, rounded for a person.
func (c *Coupon) mm(v float64) string { return round(v, c.Spec.Units) }

func (c *Coupon) toolName() string {
	if c.Tool.Name == "" {
		return c.Tool.ID
	}
	return c.Tool.ID + ", " + c.Tool.Name
}

func zeroText(z profiles.ZZero) string {
	if z == profiles.ZBed {
		return "Z zero on the bed"
	}
	return "Z zero on top of the foam"
}

// minutes is a time as a person reads it.
func minutes(seconds float64) string {
	s := int(math.Round(math.Min(seconds, 1e6)))
	if s < 60 {
		return fmt.Sprintf("%d s", s)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}
