package page

import (
	"fmt"
	"strings"

	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
)

// numbered are the lines of one cut, with its number in the order of cutting: the same as
// in its picture.
type numbered struct {
	number int
	name   string // "marks" for what a pen draws
	lines  []process.Drawn
}

// numberedLines are a sheet's cuts in the order of cutting.
func numberedLines(s Sheet) []numbered {
	var list []numbered
	for _, d := range s.Program.Drawn {
		name := d.Name
		if d.Kind == process.Mark {
			name = s.Sheet.Marking.Name
		}
		if n := len(list); n == 0 || list[n-1].name != name {
			list = append(list, numbered{number: n + 1, name: name})
		}
		last := &list[len(list)-1]
		last.lines = append(last.lines, d)
	}
	return list
}

func (n numbered) box() geometry.Box {
	box := geometry.EmptyBox()
	for _, d := range n.lines {
		if d.Contour.Len() > 0 {
			box = box.Union(d.Contour.Bounds())
		} else {
			box = box.Union(d.Path.Bounds())
		}
	}
	return box
}

// foot is where the lower edge of a contour begins: left of it a word would lie on its round corner,
// along which a hand cuts.
func (n numbered) foot() geometry.Point {
	box := n.box()
	foot := geometry.Point{X: box.Max.X, Y: box.Min.Y}
	for _, p := range n.lines[0].Contour.Vertices() {
		if p.Y < box.Min.Y+1e-6 {
			foot.X = min(foot.X, p.X)
		}
	}
	if foot.X == box.Max.X {
		foot.X = box.Min.X
	}
	return foot
}

// layerShown is a sheet as a hand cuts it.
func (c CutSheet) layerShown(s Sheet) shown {
	list := numberedLines(s)
	edge := s.Sheet.Edge.Shape.Bounds()
	what := shown{
		box: geometry.EmptyBox(), byHand: true, figure: c.size(edge.Width(), edge.Height()), title: c.layerTitle(s), about: c.layerAbout(s, list),
		draw: func(t *trueSize, tile geometry.Box, v sheetView) { c.drawLayer(t, s, list, tile, v) },
	}
	for _, n := range list {
		what.box = what.box.Union(n.box())
		if n.lines[0].Kind != process.Outline {
			what.avoid = append(what.avoid, n.box().Grow(markMM))
		}
	}
	what.box = what.box.Grow(0.2) // the line's own width
	return what
}

// layerTitle is the tray, and which of its layers, from the top, as they are glued.
func (c CutSheet) layerTitle(s Sheet) string {
	return fmt.Sprintf("%s · layer %d of %d", s.Tray.ID, s.Sheet.Number, len(s.Tray.Layers))
}

// layerAbout says how the layer is cut.
func (c CutSheet) layerAbout(s Sheet, list []numbered) string {
	text := fmt.Sprintf("%s, %s; ", s.Foams, c.thick(s.Sheet.ThicknessMM()))
	if s.made() > 1 {
		text += fmt.Sprintf("%d to make; ", s.made())
	}
	for i, by := range c.cutBy(s) {
		if i > 0 {
			text += ", "
		}
		text += by
	}
	if list[0].lines[0].Kind == process.Mark {
		text += "; 1 with a pen"
	}
	return text + fmt.Sprintf("; by number, %d, the outline, last", len(list))
}

// cutBy is each tool that cuts the sheet, and in how many passes.
func (c CutSheet) cutBy(s Sheet) []string {
	var list []string
	for _, cut := range s.Sheet.HolesAndEdge() {
		text := fmt.Sprintf("%s, %s", cut.Tool.ID, c.passesOf(cut))
		if cut.KerfMM[0] > 0 {
			text = fmt.Sprintf("%s, kerf %s taken off", cut.Tool.ID, kerfWide(cut.KerfMM[0], c.Unit))
		}
		if !strings.Contains(strings.Join(list, "; "), text) {
			list = append(list, text)
		}
	}
	return list
}

// drawLayer draws what of the layer is on the page.
func (c CutSheet) drawLayer(t *trueSize, s Sheet, list []numbered, tile geometry.Box, v sheetView) {
	for _, n := range list {
		if part := shared(n.box(), tile); part.Width() < 0 || part.Height() < 0 {
			continue
		}
		for _, d := range n.lines {
			c.drawLine(t, d, v)
		}
	}
	for _, n := range list {
		switch kind := n.lines[0].Kind; {
		case kind == process.Outline:
			at := v.at(n.foot())
			t.text(at.X+1.5, at.Y-1.5, fmt.Sprintf("%d %s, last", n.number, n.tool().ID), noteStyle, ink, 0)
		case kind == process.Mark:
			text, part := fmt.Sprintf("%d pen, not cut", n.number), shared(n.box(), tile)
			if at := v.at(geometry.Point{X: part.Min.X, Y: n.box().Max.Y}); part.Width() >= min(n.box().Width(), t.width(text, noteStyle)) {
				t.text(at.X, at.Y-0.8, text, noteStyle, softInk, 0)
			}
		case pocketOf(s, n.name) != nil && pocketOf(s, n.name).Dowel == 0:
			k := pocketOf(s, n.name)
			t.name(n.box(), strings.TrimSpace(fmt.Sprintf("%d %s", n.number, t.letters.called(k))), n.tool().ID, tile, v)
		default:
			at, text := v.at(geometry.Point{X: n.box().Min.X, Y: n.box().Max.Y}), fmt.Sprintf("%d %s", n.number, n.tool().ID)
			if k := pocketOf(s, n.name); k != nil { // too small for words
				text = fmt.Sprintf("%d %s, %s", n.number, t.letters.called(k), n.tool().ID)
			}
			t.text(at.X, at.Y-0.8, text, noteStyle, ink, 0)
		}
	}
}

// pocketOf is the first pocket of the cut of that name; nil for a label's.
func pocketOf(s Sheet, name string) *plan.Pocket {
	for _, cut := range s.Sheet.Cuts {
		if cut.Name == name && len(cut.Pockets) > 0 {
			return &s.Tray.Pockets[cut.Pockets[0]]
		}
	}
	return nil
}

// drawLine draws a line to cut along, black; a slit, dashed; a pen's, grey and dashed finer.
func (c CutSheet) drawLine(t *trueSize, d process.Drawn, v sheetView) {
	if d.Kind == process.Mark {
		t.stroke(softInk, 0.15)
		t.SetDashPattern([]float64{0.8, 0.5}, 0)
		t.follow(d.Path.Segments(), v)
		t.DrawPath("D")
		t.SetDashPattern(nil, 0)
		return
	}
	t.stroke(ink, 0.25)
	t.region(geometry.NewRegion(d.Contour), v, "D")
	if len(d.Slit.Vertices()) > 0 {
		t.SetDashPattern([]float64{1.5, 1}, 0)
		t.follow(d.Slit.Segments(), v)
		t.DrawPath("D")
		t.SetDashPattern(nil, 0)
	}
}
