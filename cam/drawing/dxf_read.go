package drawing

import (
	"bytes"
	"context"
)

// readDXF reads the outlines of an ASCII DXF drawing of any version: the lines,
// arcs, circles, ellipses, polylines with bulges, splines and inserted blocks
// of its model space, in mm, as the drawing declares its units. Layers that
// are off or frozen, text, dimensions, hatches and points are no outlines and
// are left out; solids, meshes and anything unknown are an error, as is a
// drawing that does not say its units. Errors are a
// finding.List of one, without the file's name, or the context's.
//
// The drawing is read in plan: heights are dropped. What lies in a tilted
// plane is an error.
func readDXF(ctx context.Context, data []byte) ([]Piece, error) {
	if bytes.Contains(data[:min(len(data), 32)], []byte("Binary DXF")) {
		return nil, fault(0, "the drawing is a binary DXF", "save it again as ASCII DXF")
	}
	groups, err := readGroups(pulse{ctx: ctx}, data)
	if err != nil {
		return nil, err
	}
	d, err := readDrawing(groups)
	if err != nil {
		return nil, err
	}
	return d.outlines(pulse{ctx: ctx})
}
