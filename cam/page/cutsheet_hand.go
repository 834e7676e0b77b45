package page

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/profiles"
)

// What the pages say of what is cut by hand. How to hold a blade, a wire and foam: common
// practice, no source, where nothing else stands.

func (c CutSheet) byHand() bool { return c.Plan.Machine.Process.Traits().ByHand }

var handFiles = []string{
	"templates.pdf has every layer in true size, in the order of cutting: print it, measure its bars, and cut along its lines. The .pdf of a layer's name is that layer alone, to print again.",
	"The .svg and .dxf of that name are the same lines for a printer or a plotter that takes them; the .png shows the layer as it will be. All are drawn from the plan.",
	"Those with -finished are the sizes that the foam will have. A hot wire is never led along them: its kerf is not taken off.",
}

// handSheet is what one sheet's page says.
func (c CutSheet) handSheet(s Sheet) sheetText {
	box := s.Sheet.Edge.Shape.Bounds()
	return sheetText{
		Head: s.File, Aside: fmt.Sprintf("%d to make", s.made()), Hand: true, Time: c.size(box.Width(), box.Height()), Image: s.Name + ".png",
		Settings: c.handSettings(s), ZeroHead: "The template", Zero: c.template(s), Work: c.handWork(s), Order: c.handOrder(s), Copies: s.made(), Made: MadeText(s.Parts),
		Owner: s.Owner, Cautions: slices.Concat(s.Cautions, s.labels()), Burns: s.Burns,
	}
}

// handStep is a sheet's row among all.
func (c CutSheet) handStep(s Sheet) stepRow {
	box := s.Sheet.Edge.Shape.Bounds()
	return stepRow{
		File: s.File, Tray: s.trays(), Copies: s.made(), Foam: s.Foams, Thickness: c.thick(s.Sheet.ThicknessMM()), Room: c.size(box.Width(), box.Height()),
	}
}

func (c CutSheet) handSettings(s Sheet) [][2]string {
	facts := [][2]string{
		{"Foam", fmt.Sprintf("%s, %s thick", s.Foams, c.thick(s.Sheet.ThicknessMM()))},
		c.cutTo(s),
		{"Time", "not known: no hand was measured"},
	}
	var told []string
	for _, cut := range s.Sheet.HolesAndEdge() {
		for _, r := range cut.Recipes {
			if text, source := c.setting(r); !slices.Contains(told, r.Tool) {
				told = append(told, r.Tool)
				facts = append(facts, [2]string{cut.Tool.ID, cut.Tool.Name + "; " + text}, [2]string{"", source})
			}
		}
	}
	if len(s.Sheet.Marks) > 0 {
		facts = append(facts, [2]string{"Marks", "labels and emblems that others engrave: drawn with a fine pen, not cut; grey and dashed on the template"})
	}
	return facts
}

// template says how the paper comes onto the foam.
func (c CutSheet) template(s Sheet) []string {
	o := templateOptions{Unit: c.Unit, Printed: c.Printed}
	list := []string{"Print templates.pdf at 100 %, no fit to page, and measure the two black bars of each page: each is " + o.bar().Format(c.Unit) + ", one along the paper's short side, one down its long side. " +
		"Where they are not, cut again with --printed and what they measure, short side first, such as --printed " + PrintedExample(c.Unit) + ": the pages are then drawn as much larger or smaller."}
	if c.Printed != (Printed{}) {
		list[0] = fmt.Sprintf("Print templates.pdf at 100 %%, no fit to page, on the printer that made %s of bars of %s: its pages are stretched for that one. Both black bars then measure %[2]s; on any other printer they will not.", c.Printed.words(c.Unit), o.bar().Format(c.Unit))
	}
	return append(list,
		"Measure both diagonals too, from corner cross to corner cross: they are alike, or the paper was pulled askew. The size stands on the page. Where a layer takes several pages, cut each along its blue line of dashes and dots (no slit: those are short black dashes), lay crosses of equal letters on each other and tape; then measure both diagonals of all of it ("+o.diagonal(c.layerShown(s).box)+"). Bond paper grows by up to 0.4 % with the air's moisture: cut on the day that you print.",
		"The page's upper face lies up, as the layer will lie in the tray. "+c.laidOn(s))
}

const passesHead = "How to cut thick foam"

// thickest is the thickest sheet that is cut.
func (c CutSheet) thickest() string {
	most := 0.0
	for _, s := range c.Sheets {
		most = max(most, s.Sheet.ThicknessMM())
	}
	return c.length(most)
}

// passes says how a hand gets through thick foam; nothing where no hand cuts.
func (c CutSheet) passes() []string {
	if !c.byHand() {
		return nil
	}
	var blades, wires bool
	for _, s := range c.Sheets {
		b, w := c.cutWith(s)
		blades, wires = blades || b, wires || w
	}
	var list []string
	if blades {
		list = append(list, c.byBlade()...)
	}
	if wires {
		list = append(list, byWire...)
	}
	var told []string
	for _, s := range c.Sheets {
		for _, cut := range s.Sheet.HolesAndEdge() {
			for _, r := range cut.Recipes {
				if text := c.passText(r, s, cut); !slices.Contains(told, text) {
					told = append(told, text)
				}
			}
		}
	}
	return append(list, told...)
}

// byBlade is how a blade gets through.
func (c CutSheet) byBlade() []string {
	return []string{
		"A blade: fresh, drawn out as far as the foam is thick and a little more, and locked. A blunt one slips, tears and leans: break it off or change it as soon as it drags. Eye protection on when a blade is snapped off: the piece flies.",
		"A cut-resistant glove on the hand that holds the foam, that hand behind the blade or beside it, never in front; the blade goes away from the body. Stand so that a slip ends in nothing. A steel rule with a raised edge guides straight lines.",
		"Score first: a light pass along the whole line, as deep as the blade's tip, is the groove that all others follow, and is not counted. Then go deeper pass by pass, in long strokes, the blade low along the line and never pressed.",
		"Upright, seen from the front and from the side: a blade that leans by a degree is off by a sixtieth of the thickness at the bottom" + c.leans() + ". Look at it from both sides before each pass, and do not turn the wrist in corners: lift the blade out, and stab it in anew.",
		"Corners: cut into each from both sides, beginning in the corner. Curves: shorter strokes, more of the tip.",
		"Turn the sheet over when the tip shows at the back: finish along what shows, from there.",
		"Where a wall of one piece has to be true and the foam is thicker than a hand can follow, glue thinner layers: each has its own template.",
	}
}

// byWire is how a hot wire gets through.
var byWire = []string{
	"A hot wire goes through the whole thickness in one slow pass: let it melt its way and never pull. A wire that bows lags behind in the middle, and rounds corners off.",
	"Nothing but foam touches the wire: no mat, paper, tape, glue, pin or table, under it or beside it.",
	"Bow upright, seen from the front and from the side, and at a steady speed: where a wire stands it melts wider. Go out of a corner as soon as it is turned.",
	"Try it on a scrap of the same foam first: begin with little current, and raise it only until the wire cuts.",
	"Where the wire breaks or glows: its supply off first, for the ends whip and are live until then. Hands off until it is cold.",
}

// leans is how far a leaning blade is off in the thickest sheet.
func (c CutSheet) leans() string {
	most := 0.0
	for _, s := range c.Sheets {
		most = max(most, s.Sheet.ThicknessMM())
	}
	return fmt.Sprintf(", here %s at 2 degrees", tenth(most*math.Tan(2*math.Pi/180), c.Unit))
}

// passText is how a foam is cut in passes, and whence the number comes.
func (c CutSheet) passText(r profiles.Recipe, s Sheet, cut plan.Cut) string {
	return fmt.Sprintf("%s, %s thick, with the %s: %s of at most %s (%s).", r.Foam, c.thick(s.Sheet.ThicknessMM()), cut.Tool.ID, c.passesOf(cut), c.length(r.MMPerPass.Value), r.MMPerPass.Source)
}

// passesOf is in how many passes a cut is made; scoring is none of a blade's.
func (c CutSheet) passesOf(cut plan.Cut) string {
	text := finding.Counted(len(cut.Passes), "pass")
	if !c.hot(cut.Tool) {
		text = "score, then " + text
	}
	return text
}
