package drawing

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// readSVG reads the outlines of an SVG drawing: its paths and basic svgShapes under
// their transforms, in mm, Y up from the lower edge of the page. The page has to
// say its size in mm, cm, in, pt or pc: a size in px, in per cent or in bare
// numbers depends on who reads it and is an error. Errors are a
// finding.List of one, without the file's name, or the context's.
//
// What is inside defs, symbol, clipPath, mask, marker and pattern is not drawn
// by itself and is left out, as is what is hidden by display or visibility.
// Text, images, clones (use) and nested drawings are errors. Style sheets are
// not looked at.
func readSVG(ctx context.Context, data []byte) ([]Piece, error) {
	r := &svgReader{decoder: xml.NewDecoder(bytes.NewReader(data)), pulse: pulse{ctx: ctx}}
	root, err := r.root()
	if err != nil {
		return nil, err
	}
	page, err := readPage(attributes{element: root, line: r.line()})
	if err != nil {
		return nil, err
	}
	if err := r.children(page, 0); err != nil {
		return nil, err
	}
	return r.pieces, nil
}

// deepestGroup is a limit far above any outline's.
const deepestGroup = 64

// svgReader walks the document and gathers what it draws.
type svgReader struct {
	decoder *xml.Decoder
	pieces  []Piece
	pulse   pulse
}

const notSVG = "export the drawing again as plain SVG; if it is one, it was cut short or edited by hand"

// line is where the decoder is.
func (r *svgReader) line() int {
	line, _ := r.decoder.InputPos()
	return line
}

func (r *svgReader) token() (xml.Token, error) {
	if err := r.pulse.stopped(); err != nil {
		return nil, err
	}
	t, err := r.decoder.Token()
	if err == io.EOF {
		return nil, fault(r.line(), "the drawing ends too early", notSVG)
	}
	if err != nil {
		return nil, fault(r.line(), "the drawing is not good XML: "+strings.TrimPrefix(err.Error(), "XML "), notSVG)
	}
	return t, nil
}

// root is the outermost element, which has to be svg.
func (r *svgReader) root() (xml.StartElement, error) {
	for {
		t, err := r.token()
		if err != nil {
			return xml.StartElement{}, err
		}
		start, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		if start.Name.Local != "svg" {
			return start, fault(r.line(), "the drawing begins with "+quote(start.Name.Local)+", not with svg", notSVG)
		}
		return start, nil
	}
}

// Elements by what is done with them. Anything else is not drawn.
var (
	svgContainers  = map[string]bool{"g": true, "a": true, "switch": true}
	svgNotOutlines = map[string]string{
		"text":  "convert the text to paths",
		"image": "trace the picture, or delete it",
		"use":   "unlink the clones, so that each is a path of its own",
		"svg":   "move its content into the outer drawing",
	}
)

// children reads up to the end of the element that is open.
func (r *svgReader) children(m Affine, depth int) error {
	for {
		t, err := r.token()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if err := r.element(t, m, depth); err != nil {
				return err
			}
		}
	}
}

// element reads one element to its end.
func (r *svgReader) element(e xml.StartElement, m Affine, depth int) error {
	a := attributes{element: e, line: r.line()}
	name := e.Name.Local
	if depth >= deepestGroup {
		return fault(a.line, fmt.Sprintf("groups are nested more than %d deep", deepestGroup), "ungroup the drawing")
	}
	if a.hidden() {
		return r.skip()
	}
	if space := e.Name.Space; space != "" && space != "http://www.w3.org/2000/svg" {
		return r.skip()
	}
	if hint, bad := svgNotOutlines[name]; bad {
		return fault(a.line, "a "+name+" element is not an outline that can be read", hint)
	}
	draw, isShape := svgShapes[name]
	if !isShape && !svgContainers[name] {
		return r.skip()
	}
	own, err := a.transform()
	if err != nil {
		return err
	}
	m = m.of(own)
	if svgContainers[name] {
		return r.children(m, depth+1)
	}
	if err := r.draw(draw, &a, m); err != nil {
		return err
	}
	return r.skip()
}

func (r *svgReader) skip() error {
	if err := r.decoder.Skip(); err != nil {
		return fault(r.line(), "the drawing is not good XML: "+err.Error(), notSVG)
	}
	return nil
}

// draw adds a shape's pieces.
func (r *svgReader) draw(shape func(*attributes) []Piece, a *attributes, m Affine) error {
	pieces := shape(a)
	if a.err != nil {
		return a.err
	}
	for _, p := range pieces {
		if len(p.Curves) == 0 {
			continue
		}
		if len(r.pieces) >= mostPieces {
			return fault(a.line, fmt.Sprintf("the drawing has more than %d pieces", mostPieces), alone)
		}
		p.Line = a.line
		r.pieces = append(r.pieces, p.mapped(m))
	}
	return nil
}
