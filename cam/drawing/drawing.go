// Package drawing reads and writes DXF and SVG drawings of plain contours and
// paths. It knows nothing of tools and machines.
//
// What is written is a [Drawing]: paths in cutting order, each on a layer.
// What is read is a list of [Piece], chains of curves in the order in which
// the file has them, which [Region] makes into a shape: lines and circular
// arcs stay as they are; ellipses, Béziers and splines become lines and arcs
// within a tolerance; pieces whose ends meet are chained into contours; and
// contours become outer ones and holes by how they lie in each other.
//
// Lengths are mm, Y up, angles radians. Drawings are in mm at true size.
package drawing

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/geometry"
)

// Drawing is what one file shows. A sheet may have several.
type Drawing struct {
	Title  string       // any text; DXF has no place for it
	Notes  []string     // likewise
	About  string       // likewise: what the paths are, as a sentence
	Around geometry.Box // a page of SVG holds at least this; the zero value asks for nothing
	Layers []Layer      // in the order in which a file lists them; one without a path is left out
	Paths  []Path       // in cutting order
}

// Layer is a name for paths that are treated alike, and how they look. Machines
// may read power and order out of colours as well as out of names.
type Layer struct {
	Name   string
	Stroke string // colour in SVG: #RRGGBB
	Index  int    // colour in DXF, of the layer and of each path on it: 1 to 255; 7 is white, or black on a white ground
}

// Path is one contour or, where that has no vertex, one open path.
type Path struct {
	Layer   string // name of one of the drawing's layers
	Contour geometry.Contour
	Open    geometry.Path
}

// vertices are the path's corners, and whether the last is joined to the first.
func (p Path) vertices() (v []geometry.Vertex, closed bool) {
	if p.Contour.Len() > 0 {
		return p.Contour.Vertices(), true
	}
	return p.Open.Vertices(), false
}

// segments are the path's sides.
func (p Path) segments() []geometry.Segment {
	if p.Contour.Len() > 0 {
		return slices.Collect(p.Contour.Segments())
	}
	return slices.Collect(p.Open.Segments())
}

// check refuses a drawing without a path, a path without a segment or on no
// layer, and a number that is not finite.
func (d Drawing) check() error {
	if len(d.Paths) == 0 {
		return fmt.Errorf("the drawing has no path")
	}
	for i, p := range d.Paths {
		if err := d.checkPath(p); err != nil {
			return fmt.Errorf("path %d of the drawing, layer %s: %w", i+1, p.Layer, err)
		}
	}
	return nil
}

func (d Drawing) checkPath(p Path) error {
	vertices, _ := p.vertices()
	switch {
	case !slices.ContainsFunc(d.Layers, func(l Layer) bool { return l.Name == p.Layer }):
		return fmt.Errorf("there is no such layer")
	case len(vertices) < 2:
		return fmt.Errorf("a path needs two points, this one has %d", len(vertices))
	}
	for _, v := range vertices {
		if !finite(v.X) || !finite(v.Y) || !finite(v.Bulge) {
			return fmt.Errorf("the point X%g Y%g, bulge %g, is not finite", v.X, v.Y, v.Bulge)
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// layersInUse are the layers that have a path.
func (d Drawing) layersInUse() []Layer {
	used := map[string]bool{}
	for _, p := range d.Paths {
		used[p.Layer] = true
	}
	var list []Layer
	for _, l := range d.Layers {
		if used[l.Name] {
			list = append(list, l)
		}
	}
	return list
}

// Moved is the drawing with all of its paths moved by a vector, mm.
func (d Drawing) Moved(by geometry.Point) Drawing {
	move := geometry.Translate(by.X, by.Y)
	d.Paths = slices.Clone(d.Paths)
	for i, p := range d.Paths {
		d.Paths[i].Contour, d.Paths[i].Open = p.Contour.Transform(move), p.Open.Transform(move)
	}
	return d
}

// Bounds is the box around all paths, their arcs in full; mm.
func (d Drawing) Bounds() geometry.Box {
	box := geometry.EmptyBox()
	for _, p := range d.Paths {
		for _, s := range p.segments() {
			box = box.Union(s.Bounds())
		}
	}
	return box
}

// decimal prints x with at most that many decimals, without exponent, without
// trailing zeros and without a minus before zero.
func decimal(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// lengthDecimals prints mm to a tenth of a nanometre: an arc between two
// rounded ends lies within a nanometre of the arc that was meant, and a
// nanometre is the unit in which the job counts.
const lengthDecimals = 7

// length prints mm.
func length(mm float64) string { return decimal(mm, lengthDecimals) }
