package drawing

import (
	"bytes"
)

// ReadDXF reads the outlines of an ASCII DXF drawing of any version: the lines,
// arcs, circles, ellipses, polylines with bulges, splines and inserted blocks
// of its model space, in mm, as the drawing declares its units. Layers that
// are off or frozen, text, dimensions, hatches and points are no outlines and
// are left out; solids, meshes and anything unknown are an error, as is a
// drawing that does not say its units. Errors are *Error.
//
// The drawing is read in plan: heights are dropped. What lies in a tilted
// plane is an error.
func ReadDXF(data []byte) ([]Piece, error) {
	if bytes.Contains(data[:min(len(data), 32)], []byte("Binary DXF")) {
		return nil, &Error{Message: "the drawing is a binary DXF", Hint: "save it again as ASCII DXF"}
	}
	groups, err := readGroups(data)
	if err != nil {
		return nil, err
	}
	d, err := readDrawing(groups)
	if err != nil {
		return nil, err
	}
	return d.outlines()
}
