package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/profiles"
)

// layer is one foam of a sheet: where it lies, mm below the sheet's top.
type layer struct{ top, bottom float64 }

func layersOf(sheet plan.Sheet) []layer {
	list := make([]layer, len(sheet.Layers))
	depth := sheet.Layers[0].Top
	for i, l := range sheet.Layers {
		list[i].top = (depth - sheet.Layers[0].Top).MM()
		depth += l.Thickness
		list[i].bottom = (depth - sheet.Layers[0].Top).MM()
	}
	return list
}

// level is one pass in depth: heights, 0 at the top of the foam and negative
// below, and the layer that the tool's tip works in.
type level struct {
	above, z float64 // the floor it starts from, the floor it leaves
	layer    int
}

// levels divides the way from one depth to another (mm below the top) into
// passes. No pass reaches across a glue line; within a layer they are equal and
// none is deeper than the layer's step-down. What goes below the last layer
// counts as that layer.
func levels(from, to float64, layers []layer, recipes []profiles.Recipe) []level {
	var list []level
	for i, l := range layers {
		top, bottom := math.Max(l.top, from), math.Min(l.bottom, to)
		if i == len(layers)-1 {
			bottom = to
		}
		list = append(list, equalLevels(top, bottom, recipes[i].StepdownMM.Value, i)...)
	}
	return list
}

// equalLevels forgives a millionth of a step, which rounding can add.
func equalLevels(top, bottom, stepdown float64, layer int) []level {
	const forgiven = 1e-6
	height := bottom - top
	steps := math.Ceil(height/stepdown - forgiven)
	var list []level
	for k := 1.0; k <= steps; k++ {
		list = append(list, level{above: -(top + height*(k-1)/steps), z: -(top + height*k/steps), layer: layer})
	}
	if len(list) > 0 {
		list[len(list)-1].z = -bottom
	}
	return list
}
