package drawing

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"
)

// attributes reads an element's attributes and keeps the first thing wrong.
type attributes struct {
	element xml.StartElement
	line    int
	err     error
}

func (a *attributes) text(name string) string {
	for _, at := range a.element.Attr {
		if at.Name.Local == name && at.Name.Space == "" {
			return strings.TrimSpace(at.Value)
		}
	}
	return ""
}

func (a *attributes) fail(message, hint string) {
	if a.err == nil {
		a.err = fault(a.line, message, hint)
	}
}

// hidden reports whether nobody sees the element: display none, or visibility
// hidden, as an attribute or in its style.
func (a *attributes) hidden() bool {
	style := strings.ReplaceAll(a.text("style"), " ", "")
	for _, declaration := range append(strings.Split(style, ";"), "display:"+a.text("display"), "visibility:"+a.text("visibility")) {
		switch declaration {
		case "display:none", "visibility:hidden", "visibility:collapse":
			return true
		}
	}
	return false
}

// cssUnitsMM are the absolute units of CSS. One px is 1/96 in by definition
// (CSS Values and Units, section 6.2, from memory).
var cssUnitsMM = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96}

const mmPerPixel = 25.4 / 96

// split parts a length's number from its unit.
func splitLength(text string) (v float64, unit string, ok bool) {
	s := scanner{text: text}
	v, ok = s.number()
	return v, strings.TrimSpace(text[s.at:]), ok
}

// length is an attribute in user units; 0 when it is left out. A length with an
// absolute unit counts 96 user units to the inch.
func (a *attributes) length(name string) float64 {
	s := a.text(name)
	if s == "" {
		return 0
	}
	v, unit, ok := splitLength(s)
	if unit == "" && ok {
		return v
	}
	mm, known := cssUnitsMM[unit]
	if !ok || !known {
		a.fail(fmt.Sprintf("%s=%s is not a length that can be read", name, quote(s)), "use plain numbers or mm")
		return 0
	}
	return v * mm / mmPerPixel
}

// readPage is the map from user units to mm on the page, Y up from its lower
// edge: from width, height and viewBox, kept in proportion and centred, as
// preserveAspectRatio has it when it is left out.
func readPage(a attributes) (Affine, error) {
	width, height := a.pageSize("width"), a.pageSize("height")
	x, y, w, h := a.viewBox(width, height)
	if a.err != nil {
		return Affine{}, a.err
	}
	if a.text("transform") != "" {
		return Affine{}, fault(a.line, "a transform of the svg element cannot be read", "put it on a group")
	}
	sx, sy := width/w, height/h
	fit := a.text("preserveAspectRatio")
	if fit != "none" {
		if fit != "" && fit != "xMidYMid" && fit != "xMidYMid meet" && math.Abs(sx-sy) > 1e-9*sx {
			return Affine{}, fault(a.line, "preserveAspectRatio="+quote(fit)+" is not known here", "give width, height and viewBox the same proportions")
		}
		scale := math.Min(sx, sy)
		x -= (width/scale - w) / 2
		y -= (height/scale - h) / 2
		sx, sy = scale, scale
	}
	return Affine{A: sx, D: -sy, E: -sx * x, F: height + sy*y}, nil
}

// pageSize is the page's width or height in mm.
func (a *attributes) pageSize(name string) float64 {
	s := a.text(name)
	v, unit, ok := splitLength(s)
	mm, known := cssUnitsMM[unit]
	switch {
	case s == "" || ok && (unit == "" || unit == "px" || unit == "%"):
		a.fail(fmt.Sprintf("the drawing does not say how large it is: %s is %s", name, quote(s)),
			`give the page its true size in the svg element, such as width="120mm" height="80mm", with a viewBox`)
	case !ok || !known:
		a.fail(fmt.Sprintf("%s=%s is not a size that can be read", name, quote(s)), `write it like width="120mm"`)
	case !(v > 0):
		a.fail(fmt.Sprintf("the page's %s is %s", name, quote(s)), "give the page a size larger than zero")
	}
	return v * mm
}

// viewBox is the part of the plane that the page shows; without one the page's
// own size, in px.
func (a *attributes) viewBox(width, height float64) (x, y, w, h float64) {
	s := a.text("viewBox")
	if s == "" {
		return 0, 0, width / mmPerPixel, height / mmPerPixel
	}
	list := scanner{text: s}
	v := list.numbers()
	if list.more() || len(v) != 4 || !(v[2] > 0) || !(v[3] > 0) {
		a.fail("viewBox="+quote(s)+" is not four numbers, the last two above zero", notSVG)
		return 0, 0, 1, 1
	}
	return v[0], v[1], v[2], v[3]
}
