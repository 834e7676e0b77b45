package process

import (
	"math"

	"traywright/cam/plan"
)

// markShare is how deep or how strong a mark is, as a part of a full pass or of
// the cutting power, where the recipe does not say: enough to read, not enough
// to weaken the foam. Common practice, no source.
const markShare = 0.1

// markingOf is how a sheet's marks are engraved: as the plan says, else with
// the outline's tool and recipe.
func markingOf(sheet plan.Sheet) plan.Cut {
	cut := sheet.Marking
	if len(cut.Recipes) == 0 {
		cut = sheet.Edge
		cut.DepthMM = 0
	}
	cut.Name = "marks"
	return cut
}

// markDepth is how deep a cutter engraves, mm, never past the middle of a layer
// of that thickness.
func markDepth(cut plan.Cut, thickness float64) float64 {
	recipe, depth := cut.Recipes[0], cut.DepthMM
	if depth == 0 {
		depth = recipe.MarkDepthMM.Value
	}
	if depth == 0 {
		depth = markShare * recipe.StepdownMM.Value
	}
	return math.Min(depth, thickness/2)
}

// MarkDepthMM is how deep the program of a sheet engraves its marks; 0 without
// marks and for a beam, which only darkens the face.
func MarkDepthMM(sheet plan.Sheet) float64 {
	cut := markingOf(sheet)
	if len(sheet.Marks) == 0 || len(cut.Recipes) == 0 || cut.Recipes[0].StepdownMM.Value == 0 {
		return 0
	}
	return markDepth(cut, sheet.Layers[0].Thickness.MM())
}
