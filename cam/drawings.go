package cam

import (
	"traywright/cam/drawing"
	"traywright/cam/process"
	"traywright/geometry"
)

// Layers of the drawings that are made here, in cutting order. Strokes are from
// the colour-blind-safe set of Okabe and Ito (2008). In DXF every layer is of
// one neutral colour: programs that drive machines may read power and order out
// of colours, and this one gives no such order.
var (
	markLayer     = drawing.Layer{Name: "MARK", Stroke: "#0072B2", Index: neutral}
	pocketLayer   = drawing.Layer{Name: "POCKET", Stroke: "#D55E00", Index: neutral}
	outlineLayer  = drawing.Layer{Name: "OUTLINE", Stroke: "#000000", Index: neutral}
	finishedLayer = drawing.Layer{Name: "FINISHED", Stroke: "#009E73", Index: neutral, Finished: true}
)

// neutral is white, or black on a white ground.
const neutral = 7

// drawn is a program as a drawing: where the tool's centre or the beam runs,
// kerf already taken off, in cutting order. The finished sizes are there only
// on request, because a machine would cut them like the rest.
func drawn(p process.Program, finished bool) drawing.Drawing {
	d := drawing.Drawing{Layers: []drawing.Layer{markLayer, pocketLayer, outlineLayer}}
	for _, path := range p.Drawn {
		d.Paths = append(d.Paths, drawing.Path{Layer: layerOf(path.Kind).Name, Contour: path.Contour, Open: path.Path})
	}
	if finished {
		addFinished(&d, p.Finished)
	}
	return d
}

// layerOf is the layer of an operation's paths.
func layerOf(kind process.OpKind) drawing.Layer {
	switch kind {
	case process.Mark:
		return markLayer
	case process.Pocket:
		return pocketLayer
	}
	return outlineLayer
}

// addFinished adds the sizes that the foam will have.
func addFinished(d *drawing.Drawing, contours []geometry.Contour) {
	d.Layers = append(d.Layers, finishedLayer)
	for _, c := range contours {
		d.Paths = append(d.Paths, drawing.Path{Layer: finishedLayer.Name, Contour: c})
	}
}
