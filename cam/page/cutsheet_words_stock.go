package page

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/stock"
)

// What the pages say of sheets of the stock: which are bought, how one is parted for the machine,
// what lies where on it, and what of it stays.

// toBuy are the new sheets, and what they and the rest cost and leave.
func (c CutSheet) toBuy() []string {
	var lines []string
	for _, p := range c.Buy {
		line := fmt.Sprintf("%d × %s, %s thick, %s", p.Count, p.Foam, c.thick(p.ThicknessMM), Sold(p.SizeMM[0], p.SizeMM[1], c.Unit))
		if p.Price > 0 {
			line += fmt.Sprintf(", at %.2f each: %.2f", p.Price, p.Price*float64(p.Count))
		}
		line += "; called " + calledInRow(p.Called)
		lines = append(lines, line)
	}
	if len(lines) == 0 {
		lines = append(lines, "Nothing: what is at hand suffices.")
	}
	if rack := c.fromRack(); len(rack) > 0 {
		lines = append(lines, "From the rack: "+strings.Join(rack, "; ")+".")
	}
	if c.Cost > 0 {
		lines = append(lines, fmt.Sprintf("Together %.2f, in the money of the stock.", c.Cost))
	}
	return append(lines, fmt.Sprintf("Of all sheets that are cut up, %.0f %% is in no tray and in no offcut of use.", 100*c.WasteShare))
}

// fromRack are the sheets at hand that are cut up.
func (c CutSheet) fromRack() (list []string) {
	for _, s := range c.Sheets {
		if l := s.Laid; l != nil && l.From.AtHand {
			name := labelled(cmp.Or(l.From.Sheet, l.Name), l.From.Label)
			if text := fmt.Sprintf("%s, %s of %s, %s thick", name, c.size(l.From.SizeMM[0], l.From.SizeMM[1]), l.Foam, c.thick(l.Layer)); !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	return list
}

// calledInRow are names of sheets, of which many come one after another: sheet-3 to sheet-12.
func calledInRow(names []string) string {
	number := func(name string) int {
		n, _ := strconv.Atoi(name[strings.LastIndex(name, "-")+1:])
		return n
	}
	if n := len(names); n > 2 && number(names[n-1])-number(names[0]) == n-1 {
		return names[0] + " to " + names[n-1]
	}
	return Listed(names)
}

// saw says how each sheet that is larger than the machine is parted: lines from edge to edge, with
// their measures from the lower-left corner.
func (c CutSheet) saw() []string {
	var lines []string
	for _, p := range c.Layout.Parted {
		lines = append(lines, c.parted(p))
	}
	if len(lines) == 0 {
		return nil
	}
	return append(lines, fmt.Sprintf("For all of them: draw every line with its measure from that edge of the whole sheet, before the first cut, so that no error adds to the next, and saw along the lines' middle. A panel that comes out up to %s smaller along X and along Y still holds its parts, and what is said of its clamps or pins counts on that; a smaller one, cut anew. What stays is as much smaller: measure it, and correct its size in the rack.", c.length(stock.SawMM)))
}

func (c CutSheet) parted(p stock.Parted) string {
	text := fmt.Sprintf("%s, %s of %s, %s thick, laid with its %s along X:", labelled(p.Sheet, p.Label), c.size(p.SizeMM[0], p.SizeMM[1]), p.Foam, c.thick(p.Layer), c.length(p.SizeMM[0]))
	var steps []string
	cuts := p.CutsMM()
	if len(cuts) > 0 {
		steps = append(steps, fmt.Sprintf(" cut from front to back at X %s from the left edge", c.lengths(cuts)))
	}
	strips := p.Strips()
	for i := 0; i < len(strips); {
		first, n := strips[i], alike(strips[i:], func(s stock.Strip) string { return c.lengths(s.CutsMM) })
		last := strips[i+n-1]
		i += n
		if len(first.CutsMM) == 0 {
			continue
		}
		what := " cut"
		switch {
		case n == len(strips) && n > 1 && len(cuts) < n: // to the sheet's edge
			what = " each strip"
		case n > 1:
			what = fmt.Sprintf(" each strip between X %s and %s", c.length(first.XMM), c.length(last.XMM+last.LengthMM))
		case len(steps) > 0:
			what = fmt.Sprintf(" the strip from X %s to %s", c.length(first.XMM), c.length(first.XMM+first.LengthMM))
		}
		steps = append(steps, fmt.Sprintf("%s from left to right at Y %s from the front edge", what, c.lengths(first.CutsMM)))
	}
	return text + strings.Join(steps, "; then") + ". Strip by strip, each from the front: " + c.panels(p) + "." + c.beside(p)
}

// beside is what stays of a sheet beside its panels, and is wide enough to keep.
func (c CutSheet) beside(p stock.Parted) string {
	var sizes []string
	for i, r := range p.Rest {
		sizes = append(sizes, fmt.Sprintf("%q, %s", p.Called[i], c.size(r.LengthMM, r.WidthMM)))
	}
	if len(sizes) == 0 {
		return ""
	}
	return " To keep, beside them, each with its name written on it: " + strings.Join(sizes, "; ") + "."
}

// panels are those of a sheet strip by strip, whatever their numbers: one that is cut from what an earlier
// strip had left comes behind others.
func (c CutSheet) panels(p stock.Parted) string {
	var order []int
	for _, s := range p.Strips() {
		order = append(order, s.Panels...)
	}
	size := func(n int) string { return c.size(p.Panels[n-1].LengthMM, p.Panels[n-1].WidthMM) }
	var texts []string
	for i := 0; i < len(order); {
		first, n := order[i], 1
		for i+n < len(order) && order[i+n] == first+n && size(first+n) == size(first) {
			n++
		}
		text := fmt.Sprintf("p%d is %s", first, size(first))
		if n > 1 {
			text = fmt.Sprintf("p%d to p%d are %s", first, first+n-1, size(first))
		}
		texts = append(texts, text)
		i += n
	}
	return strings.Join(texts, "; ")
}

// alike is how many of a list's first read the same.
func alike[T any](list []T, text func(T) string) int {
	n := 1
	for n < len(list) && text(list[n]) == text(list[0]) {
		n++
	}
	return n
}

func (c CutSheet) lengths(mm []float64) string {
	var list []string
	for _, l := range mm {
		list = append(list, c.length(l))
	}
	return strings.Join(list, ", ")
}

// sheetOf is the sheet, or the panel, that a setup is.
func (c CutSheet) sheetOf(s Sheet) string {
	l, name := s.Laid, s.Laid.Name
	if l.From.Sheet == "" {
		name = labelled(name, l.From.Label)
	}
	text := fmt.Sprintf("%s, %s, %s thick, %s, its %s along X", name, s.Foams, c.thick(s.Sheet.ThicknessMM()), c.size(l.SizeMM[0], l.SizeMM[1]), c.length(l.SizeMM[0]))
	if l.Tray.Layers[0].Foam.Grain {
		text += " and its grain as well"
	}
	if l.From.Sheet != "" {
		text += " " + whichPanel(l)
	}
	const keep = "the face that is up is the top of every part, and the parts keep no other mark"
	if l.Arrow != nil {
		return text + ". Before it is cut, write its name on its rim, front left. " + c.arrow(*l.Arrow, keep)
	}
	m, why := c.Plan.Machine, "no waste has room for an arrow of the program's"
	switch {
	case !m.Engraves() || m.Process.Traits().Wire:
		why = "the machine marks nothing"
	case len(m.Clamps) > 0:
		why += " that keeps off the clamps"
	}
	return text + ". Before it is cut, write its name, an arrow to the back and UP on its rim, front left, for " + why + ": " + keep
}

// arrow is where the program's arrow lies, what it tells, and for how long.
func (c CutSheet) arrow(a stock.Arrow, keep string) string {
	at := fmt.Sprintf("at X %s, Y %s", c.length(a.FootMM[0]), c.length(a.FootMM[1]))
	if a.In == "" {
		return fmt.Sprintf("The program first engraves an arrow to the back in the waste, %s, into the face that is up, X and Y from the sheet's front left corner: %s. Where it does not show, draw it by hand before you lift anything", at, keep)
	}
	how, draw := "is milled away later", "before you start, draw one by hand on the rim as well"
	if a.Plug {
		how, draw = "comes out whole later", "before you lift anything, draw one by hand on the rim"
	}
	return fmt.Sprintf("No waste beside the parts has room for an arrow, so that the program first engraves one to the back into foam of %s that %s, %s, into the face that is up, X and Y from the sheet's front left corner: %s. It tells side and front only until then: %s", a.In, how, at, keep, draw)
}

// labelled is a sheet's name, with what its owner has written on it where that is another.
func labelled(name, label string) string {
	if label == "" {
		return name
	}
	return fmt.Sprintf("%s, labelled %s", name, apart(strconv.Quote(label)))
}

// corner is where X0 Y0 lies.
func (c CutSheet) corner(s Sheet) string {
	if s.Laid.ZeroMM == [2]float64{} {
		return "the sheet's own front left corner"
	}
	return fmt.Sprintf("%s to the right and %s to the back of the sheet's own front left corner, which the machine does not come to", c.length(s.Laid.ZeroMM[0]), c.length(s.Laid.ZeroMM[1]))
}

// lying is what lies where on a setup, from the sheet's corner, and what stays of it.
func (c CutSheet) lying(s Sheet) string {
	text := strings.Join(c.laidParts(s), "; ") + ", all from the sheet's front left corner, good face up"
	if s.Laid.Tray.Layers[0].Foam.Grain {
		text += ", none of them turned, for the foam has a grain"
	}
	if stay := c.stay(s); len(stay) > 0 {
		text += ". Offcuts to keep, each with its name written on it: " + strings.Join(stay, "; ")
	}
	return text
}

// laidParts are the parts of a setup, each with its number on the picture and where it lies.
func (c CutSheet) laidParts(s Sheet) (list []string) {
	outlines := s.Laid.Tray.Sheets[0].Edge.Shape.Contours()
	for i, p := range s.Laid.Parts {
		at := outlines[i].Bounds().Min // of the foam, which has its ease
		text := fmt.Sprintf("%d: %s at X %s, Y %s", i+1, p.Label(), c.length(at.X+s.Laid.ZeroMM[0]), c.length(at.Y+s.Laid.ZeroMM[1]))
		if p.Turn != 0 {
			text += fmt.Sprintf(", turned %d° to the left", p.Turn)
		}
		list = append(list, text)
	}
	return list
}

// stay are the offcuts of a setup that go back into the rack.
func (c CutSheet) stay(s Sheet) (list []string) {
	if s.Laid == nil {
		return nil
	}
	for i, o := range s.Laid.Out {
		list = append(list, fmt.Sprintf("%q, %s from X %s, Y %s", s.Laid.Called[i], c.size(o.LengthMM, o.WidthMM), c.length(o.XMM), c.length(o.YMM)))
	}
	return list
}

// keepOffcuts is the step that takes them out of what is left.
func (c CutSheet) keepOffcuts(s Sheet) []string {
	if stay := c.stay(s); len(stay) > 0 {
		return []string{"Cut out of what is left what goes back into the rack, and write its name on each: " + strings.Join(stay, "; ") + ", all from the sheet's front left corner."}
	}
	return nil
}

// part is what a person calls one of the parts that a sheet's outlines bound, 1 first.
func (c CutSheet) part(s Sheet, number int) string {
	if s.Laid == nil || number > len(s.Laid.Parts) {
		return c.whole("the tray")
	}
	return fmt.Sprintf("part %d, %s", number, s.Laid.Parts[number-1].Label())
}

// nameParts is to write on the parts of a setup what they are, and where their own front left is, which nobody sees any more when they
// are out of their sheet.
func nameParts(s Sheet) (steps []string) {
	if s.Laid == nil || s.K != s.Of {
		return nil
	}
	var list []string
	glued := false
	for i, p := range s.Laid.Parts {
		list = append(list, fmt.Sprintf("%d: %s", i+1, p.Label()))
		glued = glued || len(p.Tray.Layers) > 1
	}
	steps = append(steps, "Before you lift anything out, write what each part is on a bit of paper, and tape or pin that to it, numbers as on the picture: "+strings.Join(list, "; ")+".")
	if glued {
		steps = append(steps, "Mark each part's own front left corner, turned back as Parts says, with a pencil on its side before you lift it out: it is glued by that.")
	}
	return steps
}
