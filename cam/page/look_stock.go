package page

import (
	"fmt"
	"strconv"

	"traywright/cam/stock"
	"traywright/geometry"
)

// Sheets of the stock as the page draws them: those that are parted first, then each setup with all that lies
// on it. X and Y count from the sheet's front left corner, mm, as the pages' words do.
type (
	lookSheet struct {
		Head   string      `json:"head"`
		SizeMM [2]float64  `json:"size_mm"`
		Parts  []lookLaid  `json:"parts"` // or panels
		Kept   []lookLaid  `json:"kept"`  // offcuts that go back into the rack
		Cuts   []lookCut   `json:"cuts"`  // straight ones
		Zero   *[2]float64 `json:"zero,omitempty"`
		Arrow  string      `json:"arrow,omitempty"` // path
		Says   []string    `json:"says"`
	}
	lookLaid struct {
		Mark   string      `json:"mark"` // what there is always room for
		Name   string      `json:"name"`
		Path   string      `json:"path"`
		Box    [4]float64  `json:"box"`
		Corner *[2]float64 `json:"corner,omitempty"` // the part's own front left one
	}
	lookCut struct {
		From [2]float64 `json:"from"`
		To   [2]float64 `json:"to"`
		At   string     `json:"at"` // its measure, from the left or the front edge
	}
)

// lookSheets are all of them.
func (c CutSheet) lookSheets() []lookSheet {
	list := []lookSheet{}
	for _, p := range c.Layout.Parted {
		list = append(list, c.lookParted(p))
	}
	for _, s := range c.Layout.Setups {
		list = append(list, c.lookLying(Sheet{Laid: s, Sheet: &s.Tray.Sheets[0], Foams: s.Foam}))
	}
	return list
}

func laidRect(r stock.Rect, mark, name string) lookLaid {
	low := geometry.Point{X: r.XMM, Y: r.YMM}
	box := geometry.Box{Min: low, Max: low.Add(geometry.Point{X: r.LengthMM, Y: r.WidthMM})}
	return lookLaid{Mark: mark, Name: name, Path: svgPath(geometry.NewRegion(geometry.Rectangle(box, 0))), Box: boxOf(box)}
}

// lookParted is a sheet with the cuts that part it.
func (c CutSheet) lookParted(p stock.Parted) lookSheet {
	l := lookSheet{Head: labelled(p.Sheet, p.Label) + ": to be parted first", SizeMM: p.SizeMM, Parts: []lookLaid{}, Kept: []lookLaid{}, Cuts: []lookCut{}, Says: []string{c.parted(p)}}
	for i, r := range p.Panels {
		mark := fmt.Sprintf("p%d", i+1)
		l.Parts = append(l.Parts, laidRect(r, mark, mark+": "+c.size(r.LengthMM, r.WidthMM)))
	}
	for i, r := range p.Rest {
		l.Kept = append(l.Kept, laidRect(r, "", p.Called[i]))
	}
	for _, x := range p.CutsMM() {
		l.Cuts = append(l.Cuts, lookCut{[2]float64{x, 0}, [2]float64{x, p.SizeMM[1]}, c.length(x)})
	}
	for _, s := range p.Strips() {
		for _, y := range s.CutsMM {
			l.Cuts = append(l.Cuts, lookCut{[2]float64{s.XMM, y}, [2]float64{s.XMM + s.LengthMM, y}, c.length(y)})
		}
	}
	return l
}

// lookLying is a setup with its parts, the offcuts that stay, its arrow and its zero.
func (c CutSheet) lookLying(s Sheet) lookSheet {
	laid := s.Laid
	l := lookSheet{
		Head: fmt.Sprintf("%s: %s, %s thick, %s", laid.Name, laid.Foam, c.thick(laid.Layer), c.size(laid.SizeMM[0], laid.SizeMM[1])), SizeMM: laid.SizeMM,
		Parts: []lookLaid{}, Kept: []lookLaid{}, Cuts: []lookCut{}, Zero: &laid.ZeroMM, Says: c.laidParts(s),
	}
	from := geometry.Translate(laid.ZeroMM[0], laid.ZeroMM[1]) // the work order counts from X0 Y0
	for i, edge := range laid.Tray.Sheets[0].Edge.Shape.Transform(from).Contours() {
		p, corner := laid.Parts[i], frontLeft(laid.Parts[i], edge.Bounds())
		l.Parts = append(l.Parts, lookLaid{strconv.Itoa(i + 1), p.Label(), svgPath(regionOf(edge)), boxOf(edge.Bounds()), &[2]float64{corner.X, corner.Y}})
	}
	for i, o := range laid.Offcuts {
		l.Kept = append(l.Kept, laidRect(o, "", laid.Called[i]))
	}
	if laid.Arrow != nil {
		var ways []geometry.Path
		for _, way := range laid.Tray.Sheets[0].Marks[:laid.Tray.Sheets[0].First] {
			ways = append(ways, way.Transform(from))
		}
		l.Arrow = svgWays(ways)
	}
	for _, o := range c.stay(s) {
		l.Says = append(l.Says, "to keep: "+o)
	}
	return l
}

// frontLeft is a part's own front left corner, of the box that its outline lies in on the sheet: a part that lies
// a quarter turn to the left has it at the right.
func frontLeft(p stock.Part, on geometry.Box) geometry.Point {
	if p.Turn == 0 {
		return on.Min
	}
	return geometry.Point{X: on.Max.X, Y: on.Min.Y}
}
