// Package dxf writes a program's paths as an ASCII DXF drawing in millimetres.
//
// A drawing says what will be cut and in which order: layer MARK, then POCKET,
// then OUTLINE, each path where the tool's centre or the beam runs, kerf
// already taken off. Layer FINISHED, the foam's own edges, is there only on
// request, because a machine would cut it like the rest.
//
// The group codes are those of the DXF reference for AC1015 and AC1009; each
// is named beside the line that writes it where its meaning is not plain.
package dxf

import (
	"fmt"
	"io"
	"math"

	"traywright/cam/process"
	"traywright/geometry"
)

// Format is the age of the readers that a drawing is for.
type Format uint8

const (
	R2000 Format = iota // AC1015: LWPOLYLINE, a full set of tables
	R12                 // AC1009: POLYLINE with its VERTEX and SEQEND entities
)

// String is the format's name as people write it.
func (f Format) String() string {
	switch f {
	case R2000:
		return "r2000"
	case R12:
		return "r12"
	}
	return fmt.Sprintf("format %d", uint8(f))
}

// Options of a drawing. The zero value is R2000 without the finished sizes.
type Options struct {
	Format   Format
	Finished bool // adds layer FINISHED: the sizes that the foam will have
}

// Write writes the program's paths, in cutting order, and then the finished
// sizes where they are wanted. It refuses a program without a path, a path
// without a segment and a number that is not finite; nothing has been written
// then. Otherwise the error is the writer's.
func Write(w io.Writer, p process.Program, o Options) error {
	shapes, err := shapesOf(p, o.Finished)
	if err != nil {
		return err
	}
	var text []byte
	switch o.Format {
	case R2000:
		text = r2000(shapes)
	case R12:
		text = r12(shapes)
	default:
		return fmt.Errorf("there is no DXF %s; choose r2000 or r12", o.Format)
	}
	_, err = w.Write(text)
	return err
}

// Layers of a drawing.
const (
	layerMark     = "MARK"
	layerPocket   = "POCKET"
	layerOutline  = "OUTLINE"
	layerFinished = "FINISHED"
)

var layerNames = [...]string{process.Mark: layerMark, process.Pocket: layerPocket, process.Outline: layerOutline}

// shape is one polyline of the drawing.
type shape struct {
	layer    string
	closed   bool
	vertices []geometry.Vertex
}

// flag is group 70 of a polyline: bit 1 closes it.
func (s shape) flag() int {
	if s.closed {
		return 1
	}
	return 0
}

// shapesOf lists what is to be drawn, in cutting order.
func shapesOf(p process.Program, finished bool) ([]shape, error) {
	var shapes []shape
	add := func(layer string, closed bool, vertices []geometry.Vertex) error {
		if err := check(vertices); err != nil {
			return fmt.Errorf("path %d of the drawing, layer %s: %w", len(shapes)+1, layer, err)
		}
		shapes = append(shapes, shape{layer, closed, halveArcs(vertices, closed)})
		return nil
	}
	for i, d := range p.Drawn {
		if int(d.Kind) >= len(layerNames) {
			return nil, fmt.Errorf("path %d of the drawing is of an unknown kind %d", i+1, d.Kind)
		}
		vertices, closed := d.Path.Vertices(), false
		if d.Contour.Len() > 0 {
			vertices, closed = d.Contour.Vertices(), true
		}
		if err := add(layerNames[d.Kind], closed, vertices); err != nil {
			return nil, err
		}
	}
	if finished {
		for _, c := range p.Finished {
			if err := add(layerFinished, true, c.Vertices()); err != nil {
				return nil, err
			}
		}
	}
	if len(shapes) == 0 {
		return nil, fmt.Errorf("the program has no path to draw")
	}
	return shapes, nil
}

func check(vertices []geometry.Vertex) error {
	if len(vertices) < 2 {
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

// halveArcs splits arcs of more than a half circle. The rounding of two end
// points that are near each other would otherwise be multiplied in the radius.
// The last vertex of an open path starts no segment and loses its bulge.
func halveArcs(vertices []geometry.Vertex, closed bool) []geometry.Vertex {
	if n := len(vertices); n > 0 && !closed {
		vertices[n-1].Bulge = 0
	}
	var out []geometry.Vertex
	for i, v := range vertices {
		if math.Abs(v.Bulge) <= 1 {
			out = append(out, v)
			continue
		}
		next := vertices[(i+1)%len(vertices)]
		second := geometry.Segment{A: v.Point, B: next.Point, Bulge: v.Bulge}.Part(0.5, 1)
		out = append(out, geometry.Vertex{Point: v.Point, Bulge: second.Bulge}, geometry.Vertex{Point: second.A, Bulge: second.Bulge})
	}
	return out
}

func (s shape) bounds() geometry.Box {
	if s.closed {
		return geometry.NewContour(s.vertices...).Bounds()
	}
	return geometry.NewPath(s.vertices...).Bounds()
}

// bounds is the box around all shapes.
func bounds(shapes []shape) geometry.Box {
	box := geometry.EmptyBox()
	for _, s := range shapes {
		box = box.Union(s.bounds())
	}
	return box
}

// layersOf lists the layers in use, in the order in which they are first cut.
func layersOf(shapes []shape) []string {
	var names []string
	seen := map[string]bool{}
	for _, s := range shapes {
		if !seen[s.layer] {
			seen[s.layer] = true
			names = append(names, s.layer)
		}
	}
	return names
}
