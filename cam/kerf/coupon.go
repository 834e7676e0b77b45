package kerf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Spec is what a coupon is to show.
type CouponSpec struct {
	Foam      string
	Thickness units.Length
	Tool      string         // "" for the machine's first that reaches
	Sizes     []units.Length // of the squares; none: usual ones
	NoSquares bool           // comb or fit strip alone
	Taper     bool           // the table has rows for both faces of the foam; a beam only
	Ladder    CouponLadder   // the zero value: the recipe's own settings alone
	CurrentA  float64        // through a hot wire, whose supply a hand sets: of this piece; 0 is the recipe's
	Piece, Of int            // which piece of a coupon it is, from 1, each with a program of its own, for its current or its foam and tool; 0 for the only one
	Comb      units.Length   // the size that the slots are made for; 0: no comb
	CombStep  units.Length   // between two slots; 0: half a millimetre
	FitStrip  []job.Piece    // pieces to try; none: no strip
	Units     units.Unit     // of messages and of the page
	Profiles  string         // the folder of profiles it is made with, as it is typed beside the table; "" for none
}

// Input is all that a coupon is designed from.
type CouponInput struct {
	CouponSpec
	Catalog *profiles.Catalog
	Machine profiles.Machine
	Means   plan.Means // what the machine's process can do
	// Recipe is the settings for a foam with one of the machine's tools, the
	// shop's limits already applied; false where there are none.
	Recipe func(foam, tool string) (profiles.Recipe, bool)
	// Limit lowers settings to the shop's limits, and tells of each number that it
	// lowered; nil for none. A ladder's setting that it would lower is refused.
	Limit func(profiles.Recipe) (profiles.Recipe, finding.List)
}

// Square is one line to cut along, and where it is.
type Square struct {
	Label string       // engraved, and the operation's name: "B 40"
	Size  units.Length // programmed side
	At    geometry.Point
	Group int // index into Coupon.Groups
}

// Slot is one of the comb's.
type Slot struct {
	Label string
	Width units.Length // finished
	Fits  []string     // the foam's fits that come to this width
}

// Trial is a pocket of the fit strip.
type Trial struct {
	Label         string
	Pieces        []string       // ids of those that it is for
	At            geometry.Point // its box's lower-left corner
	Length, Width units.Length
	Round         bool
	Depth         units.Length // 0: through
	Proud         bool         // the piece stands out of it, because the foam is too thin
}

// Coupon is a designed test piece. Coordinates are mm from its lower-left corner.
type Coupon struct {
	Job     *job.Job // one tray of one layer; its pockets are the squares, the slots and the trials, in that order
	Spec    CouponSpec
	Foam    profiles.Foam
	Machine profiles.Machine
	Tool    profiles.Tool
	Recipe  profiles.Recipe // of everything but a ladder's squares
	Groups  []Group         // of the squares
	Squares []Square
	Slots   []Slot
	Trials  []Trial
	labels  []lettering.Line // where they are engraved
}

// CouponID is the tray's, and the name of the coupon's files.
const CouponID = "coupon"

// DesignCoupon lays the coupon out. Findings say what cannot be; there is no coupon
// then. What a job's checks find, a refused foam or a machine that is too small, is
// left to them, save for what a person would not understand from there.
func DesignCoupon(in CouponInput) (*Coupon, finding.List) {
	d := designer{CouponInput: in}
	d.checkSpec()
	foam, unknown := in.Catalog.FindFoam(in.Foam, CouponID)
	d.found = append(d.found, unknown...)
	if d.found.Failed() {
		return nil, d.found
	}
	d.coupon = Coupon{Spec: in.CouponSpec, Foam: foam, Machine: in.Machine}
	d.pickTool()
	d.settings()
	d.blocks()
	if d.found.Failed() {
		return nil, d.found
	}
	d.lay()
	if d.found.Failed() {
		return nil, d.found
	}
	return &d.coupon, d.found
}

// designer is a coupon on its way.
type designer struct {
	CouponInput
	coupon  Coupon
	pieces  []job.Piece // of the fit strip, one of each
	pockets []job.Pocket
	patches []patch // to lay out
	found   finding.List
}

func (d *designer) add(s finding.Severity, rule, message, hint string) {
	d.found = append(d.found, finding.Finding{Severity: s, Rule: rule, Where: CouponID, Message: message, Hint: hint})
}

func (d *designer) fail(rule, message, hint string) { d.add(finding.Error, rule, message, hint) }
func (d *designer) warn(rule, message, hint string) { d.add(finding.Warning, rule, message, hint) }

func (d *designer) length(l units.Length) string { return l.Format(d.Units) }

// mm is a length that was worked out, rounded for a person.
func (d *designer) mm(v float64) string { return round(v, d.Units) }

// round is a length to a hundredth of a millimetre or a thousandth of an inch.
func round(mm float64, u units.Unit) string {
	step := 0.01
	if u == units.Inch {
		step = 0.0254
	}
	l, err := units.FromMM(math.Round(mm/step) * step)
	if err != nil {
		return fmt.Sprintf("%.4g mm", mm)
	}
	return l.Format(u)
}

// Bounds of a coupon: a sheet for a person with a caliper, not a test of patience.
const (
	mostSizes = 12
	mostSlots = 15
)

// checkSpec finds numbers that make no coupon.
func (d *designer) checkSpec() {
	if d.Thickness <= 0 {
		d.fail("no-thickness", "a thickness of "+d.length(d.Thickness)+" is none", "measure the foam, and give --thickness")
	}
	if len(d.Sizes) > mostSizes {
		d.fail("too-many-sizes", fmt.Sprintf("%d sizes are more than %d", len(d.Sizes), mostSizes), "three or four sizes, well apart, tell kerf and scale apart")
	}
	for _, s := range d.Sizes {
		if s <= 0 {
			d.fail("bad-size", "a square of "+d.length(s)+" is none", "give sizes above 0")
		}
	}
	if d.Comb < 0 || d.CombStep < 0 {
		d.fail("bad-size", "a comb for "+d.length(d.Comb)+" in steps of "+d.length(d.CombStep)+" is none", "give lengths above 0")
	}
	if d.NoSquares && (d.Comb == 0 && len(d.FitStrip) == 0) {
		d.fail("nothing-to-cut", "without squares, a comb or a fit strip there is nothing to cut", "leave out --no-squares, or add --comb or --fit-strip")
	}
	if d.NoSquares && (d.Ladder.Key != "" || d.Taper || len(d.Sizes) > 0) {
		d.fail("nothing-to-cut", "a ladder, sizes and a taper are of the squares, and there are to be none", "leave out --no-squares")
	}
	if d.CurrentA > 0 && !wayOf(d.Machine).melts {
		d.fail("no-current", fmt.Sprintf("%s is a %s, and no current goes through its tools", d.Machine.ID, d.Machine.Process), "leave out --current: it is for a hot wire")
	}
	if d.Taper && !wayOf(d.Machine).taper {
		d.fail("no-taper", "a "+string(d.Machine.Process)+" leaves no taper to measure", "leave out --taper: it is for a beam")
	}
}

// pickTool takes the tool that the coupon is for: the one named, or the first
// with a recipe that reaches with its edges, or else with its shank behind them.
// Where there is no recipe the job's own checks say so.
func (d *designer) pickTool() {
	var ids []string
	var longest profiles.Tool
	found, needed := false, 0.0
	for _, t := range d.Machine.Tools {
		ids = append(ids, t.ID)
		if d.CouponSpec.Tool != "" && t.ID != d.CouponSpec.Tool {
			continue
		}
		r, ok := d.CouponInput.Recipe(d.Foam, t.ID)
		if !ok {
			continue
		}
		deep := d.deepest(r)
		if reach := t.Reach(); reach <= 0 || deep <= reach {
			if short := t.BeyondFlute(deep); !short || !found {
				d.coupon.Tool, d.coupon.Recipe, found = t, r.Through(d.Thickness.MM()), true
				if !short {
					return
				}
			}
		}
		if t.Reach() > longest.Reach() {
			longest, needed = t, deep
		}
	}
	switch {
	case found:
	case d.CouponSpec.Tool != "" && !slices.Contains(ids, d.CouponSpec.Tool):
		d.fail("unknown-tool", fmt.Sprintf("%s has no tool %q", d.Machine.ID, d.CouponSpec.Tool), "its tools: "+strings.Join(ids, ", "))
	case longest.ID != "":
		d.fail("tool-too-short", fmt.Sprintf("the foam is %s thick, so that a coupon is cut %s deep, and the tool %s reaches %s", d.length(d.Thickness), d.mm(needed), longest.ID, d.mm(longest.Reach())),
			"use thinner foam or a longer tool")
	}
}

// deepest is how deep a coupon is cut with a recipe, mm: to the skin that holds it, or,
// where tabs do or nothing has to, through.
func (d *designer) deepest(r profiles.Recipe) float64 {
	if skin := r.SkinMM.Value; d.grooves() && skin > 0 {
		return d.Thickness.MM() - skin
	}
	return d.Thickness.MM() + r.BreakthroughMM.Value
}

// grooves reports whether the squares are grooves that a skin holds.
func (d *designer) grooves() bool { return wayOf(d.Machine).grooves }

// kerfMM is the width that the beam or cutter is believed to remove.
func (d *designer) kerfMM() float64 { return d.coupon.Recipe.KerfMM.Value }

// Name is what the piece's files are called, less their endings.
func (c *Coupon) Name() string {
	if c.Spec.Of < 2 {
		return CouponID
	}
	if c.Spec.CurrentA > 0 {
		return fmt.Sprintf("%s-%ga", CouponID, c.Spec.CurrentA)
	}
	return fmt.Sprintf("%s-%s-%s-%s", CouponID, c.Foam.ID, c.Spec.Thickness.InName(c.Spec.Units), c.Tool.ID)
}

// Subject is what the piece tells the kerf of.
func (s CouponSpec) Subject() string {
	text := fmt.Sprintf("%s, %s", s.Foam, s.Thickness.Exact(s.Units))
	if s.Tool != "" {
		text += ", with " + s.Tool
	}
	return text
}

// title names the coupon for a person.
func (c *Coupon) title() string {
	var what []string
	if len(c.Squares) > 0 {
		what = append(what, "kerf")
	}
	if len(c.Slots) > 0 {
		what = append(what, "comb")
	}
	if len(c.Trials) > 0 {
		what = append(what, "fit strip")
	}
	return fmt.Sprintf("%s: %s %s on %s, %s", strings.Join(what, ", "), c.Foam.ID, c.Spec.Thickness.Exact(c.Spec.Units), c.Machine.ID, c.Tool.ID)
}

// SkinMM is the foam left under a groove so that its plug stays: the recipe's
// skin, or, where tabs would hold, a skin as high as they are. 0 for a beam.
func (c *Coupon) SkinMM() float64 {
	if !c.grooved() {
		return 0
	}
	if s := c.Recipe.SkinMM.Value; s > 0 {
		return s
	}
	return c.Recipe.TabHeightMM.Value
}
