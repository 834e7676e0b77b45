// Package svg writes a program's paths as an SVG drawing at true size.
//
// The page is in mm: width and height carry the unit, the viewBox repeats the
// numbers, so one user unit is one mm. Y is turned over in the coordinates
// themselves and not by a transform, which some readers overlook. Arcs stay
// arcs. Source: SVG 1.1, section 8.3 (paths) and 7.7 (viewBox), from memory.
package svg

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/process"
	"traywright/geometry"
)

// Options of a drawing. The zero value has no title and no finished sizes.
type Options struct {
	Finished bool     // adds group FINISHED: the sizes that the foam will have
	Title    string   // any text; it is escaped
	Notes    []string // go into the description, likewise
}

// MarginMM is left free on every side of the page, so that no line is clipped.
const MarginMM = 1

// Stroke colours are from the colour-blind-safe set of Okabe and Ito (2008).
// The width is thinner than any kerf and still seen on paper.
const (
	blue        = "#0072B2"
	vermillion  = "#D55E00"
	black       = "#000000"
	bluishGreen = "#009E73"

	strokeMM = 0.1
)

// Write writes one group for each layer name, in cutting order: MARK, POCKET,
// OUTLINE, and FINISHED where it is wanted. It refuses a program without a
// path, a path without a segment and a number that is not finite; nothing has
// been written then. Otherwise the error is the writer's.
func Write(w io.Writer, p process.Program, o Options) error {
	layers, err := layersOf(p, o.Finished)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	text.WriteString(xml.Header)
	encoder := xml.NewEncoder(&text)
	encoder.Indent("", " ")
	if err := encoder.Encode(newDrawing(layers, o)); err != nil {
		return err
	}
	text.WriteByte('\n')
	_, err = w.Write(text.Bytes())
	return err
}

// layer is a group to be drawn.
type layer struct {
	name, colour string
	chains       []chain
}

// chain is one path: the segments of a contour or of an open path.
type chain struct {
	closed   bool
	segments []geometry.Segment
}

// layersOf sorts the paths by layer, in cutting order, and checks them. A
// layer without a path is left out.
func layersOf(p process.Program, finished bool) ([]layer, error) {
	all := []layer{
		process.Mark:    {name: "MARK", colour: blue},
		process.Pocket:  {name: "POCKET", colour: vermillion},
		process.Outline: {name: "OUTLINE", colour: black},
	}
	for i, d := range p.Drawn {
		if int(d.Kind) >= len(all) {
			return nil, fmt.Errorf("path %d is of an unknown kind %d", i+1, d.Kind)
		}
		l := &all[d.Kind]
		l.chains = append(l.chains, newChain(d.Contour, d.Path))
	}
	if finished {
		l := layer{name: "FINISHED", colour: bluishGreen}
		for _, c := range p.Finished {
			l.chains = append(l.chains, newChain(c, geometry.Path{}))
		}
		all = append(all, l)
	}
	var used []layer
	for _, l := range all {
		if len(l.chains) > 0 {
			used = append(used, l)
		}
		if err := l.check(); err != nil {
			return nil, err
		}
	}
	if len(used) == 0 {
		return nil, fmt.Errorf("the program has no path to draw")
	}
	return used, nil
}

func newChain(c geometry.Contour, p geometry.Path) chain {
	if c.Len() > 0 {
		return chain{closed: true, segments: slices.Collect(c.Segments())}
	}
	return chain{segments: slices.Collect(p.Segments())}
}

func (l layer) check() error {
	for i, c := range l.chains {
		if len(c.segments) == 0 || c.closed && len(c.segments) < 2 {
			return fmt.Errorf("path %d of layer %s has fewer than two points", i+1, l.name)
		}
		for _, s := range c.segments {
			if !finite(s.A.X) || !finite(s.A.Y) || !finite(s.B.X) || !finite(s.B.Y) || !finite(s.Bulge) {
				return fmt.Errorf("path %d of layer %s: the segment from X%g Y%g, bulge %g, is not finite", i+1, l.name, s.A.X, s.A.Y, s.Bulge)
			}
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// drawing is the document as XML has it.
type drawing struct {
	XMLName     xml.Name `xml:"http://www.w3.org/2000/svg svg"`
	Version     string   `xml:"version,attr"`
	Width       string   `xml:"width,attr"`
	Height      string   `xml:"height,attr"`
	ViewBox     string   `xml:"viewBox,attr"`
	Title       string   `xml:"title,omitempty"`
	Description string   `xml:"desc"`
	Groups      []group  `xml:"g"`
}

type group struct {
	ID     string  `xml:"id,attr"`
	Fill   string  `xml:"fill,attr"`
	Stroke string  `xml:"stroke,attr"`
	Width  string  `xml:"stroke-width,attr"`
	Paths  []curve `xml:"path"`
}

type curve struct {
	Data string `xml:"d,attr"`
}

func newDrawing(layers []layer, o Options) drawing {
	page := newPage(layers)
	width, height := decimal(page.box.Width()), decimal(page.box.Height())
	d := drawing{
		Version: "1.1",
		Width:   width + "mm", Height: height + "mm", ViewBox: "0 0 " + width + " " + height,
		Title: o.Title,
		Description: fmt.Sprintf("Lengths in mm. X0 Y0 of the program is at x=%s y=%s on this page. "+
			"Paths are in cutting order, kerf taken off%s.", decimal(page.x(0)), decimal(page.y(0)), finishedNote(layers)),
	}
	for _, note := range o.Notes {
		d.Description += " Note: " + note + "."
	}
	for _, l := range layers {
		d.Groups = append(d.Groups, page.group(l))
	}
	return d
}

// finishedNote warns of the one group that is not to be cut.
func finishedNote(layers []layer) string {
	if layers[len(layers)-1].name != "FINISHED" {
		return ""
	}
	return ", save in group FINISHED, which has the sizes that the foam will have and is not for cutting"
}

// page turns places in the program, Y up, into places on the page, Y down
// from its upper edge.
type page struct{ box geometry.Box }

// newPage is the box of all paths and a margin, out to whole thousandths.
func newPage(layers []layer) page {
	box := geometry.EmptyBox()
	for _, l := range layers {
		for _, c := range l.chains {
			for _, s := range c.segments {
				box = box.Union(s.Bounds())
			}
		}
	}
	box = box.Grow(MarginMM)
	box.Min.X, box.Min.Y = math.Floor(box.Min.X*1000)/1000, math.Floor(box.Min.Y*1000)/1000
	box.Max.X, box.Max.Y = math.Ceil(box.Max.X*1000)/1000, math.Ceil(box.Max.Y*1000)/1000
	return page{box}
}

func (p page) x(x float64) float64 { return x - p.box.Min.X }
func (p page) y(y float64) float64 { return p.box.Max.Y - y }

func (p page) place(at geometry.Point) string {
	return decimal(p.x(at.X)) + " " + decimal(p.y(at.Y))
}

func (p page) group(l layer) group {
	g := group{ID: l.name, Fill: "none", Stroke: l.colour, Width: decimal(strokeMM)}
	for _, c := range l.chains {
		g.Paths = append(g.Paths, curve{p.data(c)})
	}
	return g
}

// data is the d attribute: M, then L and A, then Z for a closed path.
func (p page) data(c chain) string {
	var b strings.Builder
	b.WriteString("M " + p.place(c.segments[0].A))
	for i, s := range c.segments {
		switch {
		case !flat(s):
			p.arc(&b, s)
		case !c.closed || i < len(c.segments)-1: // Z draws a straight last side
			b.WriteString(" L " + p.place(s.B))
		}
	}
	if c.closed {
		b.WriteString(" Z")
	}
	return b.String()
}

// flat reports whether the bow of s vanishes in what rounding does to coordinates.
func flat(s geometry.Segment) bool {
	return math.Abs(s.Bulge)*s.A.DistanceTo(s.B)/2 < 0.5e-7
}

// arc writes an arc in pieces of at most a third of a circle. SVG gives an arc
// by its ends and its radius, and near a half circle a rounding of the radius
// by r moves the centre by many times r.
func (p page) arc(b *strings.Builder, s geometry.Segment) {
	sweepFlag := "1"
	if s.Bulge > 0 {
		sweepFlag = "0" // counter-clockwise: against the page's angles, whose Y is down
	}
	radius := fixed(s.Radius(), 9)
	pieces := math.Ceil(math.Abs(s.Sweep()) / (2 * math.Pi / 3))
	for i := 1.0; i < pieces; i++ {
		fmt.Fprintf(b, " A %s %s 0 0 %s %s", radius, radius, sweepFlag, p.place(s.At(i/pieces)))
	}
	fmt.Fprintf(b, " A %s %s 0 0 %s %s", radius, radius, sweepFlag, p.place(s.B))
}

// decimal prints mm to a tenth of a nanometre: an arc that is read from its
// rounded ends lies within a nanometre of the arc that was meant. Without exponent, without trailing zeros
// and without a minus before zero.
func decimal(mm float64) string { return fixed(mm, 7) }

func fixed(mm float64, decimals int) string {
	s := strconv.FormatFloat(mm, 'f', decimals, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
