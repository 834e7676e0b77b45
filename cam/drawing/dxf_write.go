package drawing

import (
	"fmt"
	"io"
	"math"

	"traywright/geometry"
)

// DXFVersion is the age of the readers that a drawing is for.
type DXFVersion uint8

const (
	R2000 DXFVersion = iota // AC1015: LWPOLYLINE, a full set of tables
	R12                     // AC1009: POLYLINE with its VERTEX and SEQEND entities
)

// String is the version's name as people write it.
func (v DXFVersion) String() string {
	switch v {
	case R2000:
		return "r2000"
	case R12:
		return "r12"
	}
	return fmt.Sprintf("version %d", uint8(v))
}

// WriteDXF writes the drawing's paths as an ASCII DXF drawing in millimetres,
// in their order, each a polyline on its layer. The group codes are those of
// the DXF reference for AC1015 and AC1009; each is named beside the line that
// writes it where its meaning is not plain.
//
// It refuses a drawing without a path, a path without a segment or on a layer
// that is not the drawing's, and a number that is not finite; nothing has been
// written then. Otherwise the error is the writer's.
func WriteDXF(w io.Writer, d Drawing, v DXFVersion) error {
	if err := d.check(); err != nil {
		return err
	}
	var text []byte
	switch v {
	case R2000:
		text = r2000(d)
	case R12:
		text = r12(d)
	default:
		return fmt.Errorf("there is no DXF %s; choose r2000 or r12", v)
	}
	_, err := w.Write(text)
	return err
}

// polyline is one path as DXF has it.
type polyline struct {
	layer    string
	colour   int // the layer's, said again: some readers go by one and some by the other
	closed   bool
	vertices []geometry.Vertex
}

// flag is group 70 of a polyline: bit 1 closes it.
func (l polyline) flag() int {
	if l.closed {
		return 1
	}
	return 0
}

// polylines are the drawing's paths in their order.
func polylines(d Drawing) []polyline {
	colours := map[string]int{}
	for _, l := range d.Layers {
		colours[l.Name] = l.Index
	}
	var list []polyline
	for _, p := range d.Paths {
		vertices, closed := p.vertices()
		list = append(list, polyline{p.Layer, colours[p.Layer], closed, halveArcs(vertices, closed)})
	}
	return list
}

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
