package drawing

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"

	"traywright/geometry"
)

const (
	// marginMM is left free on every side of a page, so that no line is clipped.
	marginMM = 1
	// strokeMM is thinner than any kerf and still seen on paper.
	strokeMM = 0.1
)

// WriteSVG writes the drawing as SVG at true size: one group for each layer
// that has a path, in the order of the layers.
//
// The page is in mm: width and height carry the unit, the viewBox repeats the
// numbers, so one user unit is one mm. Y is turned over in the coordinates
// themselves and not by a transform, which some readers overlook. Arcs stay
// arcs. Source: SVG 1.1, section 8.3 (paths) and 7.7 (viewBox), from memory.
//
// It refuses what WriteDXF refuses; nothing has been written then. Otherwise
// the error is the writer's.
func WriteSVG(w io.Writer, d Drawing) error {
	if err := d.check(); err != nil {
		return err
	}
	var text bytes.Buffer
	text.WriteString(xml.Header)
	encoder := xml.NewEncoder(&text)
	encoder.Indent("", " ")
	if err := encoder.Encode(newSVG(d)); err != nil {
		return err
	}
	text.WriteByte('\n')
	_, err := w.Write(text.Bytes())
	return err
}

// svgDocument is the drawing as XML has it.
type svgDocument struct {
	XMLName     xml.Name   `xml:"http://www.w3.org/2000/svg svg"`
	Version     string     `xml:"version,attr"`
	Width       string     `xml:"width,attr"`
	Height      string     `xml:"height,attr"`
	ViewBox     string     `xml:"viewBox,attr"`
	Title       string     `xml:"title,omitempty"`
	Description string     `xml:"desc"`
	Groups      []svgGroup `xml:"g"`
}

type svgGroup struct {
	ID     string    `xml:"id,attr"`
	Fill   string    `xml:"fill,attr"`
	Stroke string    `xml:"stroke,attr"`
	Width  string    `xml:"stroke-width,attr"`
	Paths  []svgPath `xml:"path"`
}

type svgPath struct {
	Data string `xml:"d,attr"`
}

func newSVG(d Drawing) svgDocument {
	page, layers := newPage(d), d.layersInUse()
	width, height := length(page.box.Width()), length(page.box.Height())
	s := svgDocument{
		Version: "1.1",
		Width:   width + "mm", Height: height + "mm", ViewBox: "0 0 " + width + " " + height,
		Title: d.Title,
		Description: fmt.Sprintf("Lengths in mm. X0 Y0 of the program is at x=%s y=%s on this page. "+
			"%s", length(page.x(0)), length(page.y(0)), d.About),
	}
	for _, note := range d.Notes {
		s.Description += " Note: " + note + "."
	}
	for _, l := range layers {
		s.Groups = append(s.Groups, page.group(l, d.Paths))
	}
	return s
}

// svgPage turns places in the drawing, Y up, into places on the page, Y down
// from its upper edge.
type svgPage struct{ box geometry.Box }

// newPage is the box of all paths and a margin, out to whole thousandths.
func newPage(d Drawing) svgPage {
	box := d.Bounds()
	if d.Around != (geometry.Box{}) {
		box = box.Union(d.Around)
	}
	box = box.Grow(marginMM)
	box.Min.X, box.Min.Y = math.Floor(box.Min.X*1000)/1000, math.Floor(box.Min.Y*1000)/1000
	box.Max.X, box.Max.Y = math.Ceil(box.Max.X*1000)/1000, math.Ceil(box.Max.Y*1000)/1000
	return svgPage{box}
}

func (p svgPage) x(x float64) float64 { return x - p.box.Min.X }
func (p svgPage) y(y float64) float64 { return p.box.Max.Y - y }

func (p svgPage) place(at geometry.Point) string {
	return length(p.x(at.X)) + " " + length(p.y(at.Y))
}

func (p svgPage) group(l Layer, paths []Path) svgGroup {
	g := svgGroup{ID: l.Name, Fill: "none", Stroke: l.Stroke, Width: length(strokeMM)}
	for _, path := range paths {
		if path.Layer == l.Name {
			g.Paths = append(g.Paths, svgPath{p.data(path)})
		}
	}
	return g
}

// data is the d attribute: M, then L and A, then Z for a closed path.
func (p svgPage) data(path Path) string {
	var b strings.Builder
	segments, closed := path.segments(), path.Contour.Len() > 0
	b.WriteString("M " + p.place(segments[0].A))
	for i, s := range segments {
		switch {
		case !flat(s):
			p.arc(&b, s)
		case !closed || i < len(segments)-1: // Z draws a straight last side
			b.WriteString(" L " + p.place(s.B))
		}
	}
	if closed {
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
func (p svgPage) arc(b *strings.Builder, s geometry.Segment) {
	sweepFlag := "1"
	if s.Bulge > 0 {
		sweepFlag = "0" // counter-clockwise: against the page's angles, whose Y is down
	}
	radius := decimal(s.Radius(), 9)
	pieces := math.Ceil(math.Abs(s.Sweep()) / (2 * math.Pi / 3))
	for i := 1.0; i < pieces; i++ {
		fmt.Fprintf(b, " A %s %s 0 0 %s %s", radius, radius, sweepFlag, p.place(s.At(i/pieces)))
	}
	fmt.Fprintf(b, " A %s %s 0 0 %s %s", radius, radius, sweepFlag, p.place(s.B))
}
