package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/profiles"
)

// routing is what a turning cutter can do.
type routing struct{}

func (routing) WholeLayers() bool                                            { return false }
func (routing) RoundCorners() bool                                           { return true }
func (routing) LeastRoundMM(profiles.Tool, profiles.Recipe, float64) float64 { return 0 }
func (routing) TakesHeight() bool                                            { return true }

func (routing) cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error) {
	return newRouter(sheet, m, tol)
}

func (routing) Settings(r profiles.Recipe) []Setting {
	return []Setting{
		{Name: "feed", Number: r.FeedMMPerMin, Unit: PerMinute}, {Name: "step-down", Number: r.StepdownMM, Unit: Millimetres},
		{Name: "speed", Number: r.RPM, Unit: TurnsPerMinute}, {Name: "kerf", Number: r.KerfMM, Unit: KerfMillimetres},
	}
}

func (routing) SetZero() string { return "Set the zero point" }
func (routing) FitsTools() bool { return true }

// Lacks names the first number of a recipe that is needed and not usable.
func (routing) Lacks(r profiles.Recipe) string {
	return lacking([]needed{
		{"kerf_mm", r.KerfMM, math.Inf(1)},
		{"feed_mm_per_min", r.FeedMMPerMin, math.Inf(1)},
		{"plunge_mm_per_min", r.PlungeMMPerMin, math.Inf(1)},
		{"stepdown_mm", r.StepdownMM, math.Inf(1)},
		{"stepover", r.Stepover, 1},
		{"ramp_degrees", r.RampDegrees, 90},
	})
}

// needed is a number that a recipe has to have, above 0 and below a limit.
type needed struct {
	key   string
	value profiles.Number
	below float64
}

func lacking(numbers []needed) string {
	for _, n := range numbers {
		if !(n.value.Value > 0 && n.value.Value < n.below) {
			return n.key
		}
	}
	return ""
}

// Passes: none reaches across a glue line; within a layer they are equal and none takes
// more foam than the layer's step-down. The last goes on to where the cut ends below the
// last layer; where that is far, as a part of a step-down, it counts as foam.
func (routing) Passes(fromMM, toMM float64, layers []plan.Bed) []plan.Pass {
	var list []plan.Pass
	for i, l := range layers {
		top, bottom, step := math.Max(l.TopMM, fromMM), math.Min(l.BottomMM, toMM), l.Recipe.StepdownMM.Value
		last := i == len(layers)-1
		if last && toMM > bottom+farBelow*step {
			bottom = toMM
		}
		passes := equalPasses(top, bottom, step, i)
		if n := len(passes); n > 0 && last {
			passes[n-1].ToMM = toMM
		}
		list = append(list, passes...)
	}
	return list
}

// farBelow is the part of a step-down that a last pass may go on below the foam, where the
// board under it gives a cutter a little more to do (judged, no source).
const farBelow = 0.2

// equalPasses forgives a millionth of a step, which rounding can add.
func equalPasses(top, bottom, stepdown float64, layer int) []plan.Pass {
	const forgiven = 1e-6
	height := bottom - top
	steps := math.Ceil(height/stepdown - forgiven)
	var list []plan.Pass
	for k := 1.0; k <= steps; k++ {
		list = append(list, plan.Pass{FromMM: top + height*(k-1)/steps, ToMM: top + height*k/steps, Layer: layer})
	}
	if len(list) > 0 {
		list[len(list)-1].ToMM = bottom
	}
	return list
}

// Hold is a skin under the tray or, where the recipe has none, tabs. With
// neither, the tray would fly loose at the last lap.
func (routing) Hold(bottom profiles.Recipe, thicknessMM float64) (hold plan.Hold, loose string) {
	if skin := bottom.SkinMM.Value; skin > 0 {
		if skin >= thicknessMM {
			return hold, fmt.Sprintf("the outline's skin of %.2f mm is all of a sheet of %.2f mm", skin, thicknessMM)
		}
		return plan.Hold{SkinMM: skin}, ""
	}
	hold = plan.Hold{Tabs: int(bottom.TabCount.Value), TabMM: bottom.TabWidthMM.Value, TabHighMM: bottom.TabHeightMM.Value}
	if hold.Tabs < 1 || hold.TabMM <= 0 || hold.TabHighMM <= 0 || hold.TabHighMM >= thicknessMM {
		return plan.Hold{}, fmt.Sprintf("the recipe for %s with %s leaves neither a skin nor tabs under the outline, and the tray would fly loose", bottom.Foam, bottom.Tool)
	}
	if hold.TabHighMM > thicknessMM/2 {
		return plan.Hold{}, fmt.Sprintf("the outline's tabs of %.2f mm are more than half of a sheet of %.2f mm", hold.TabHighMM, thicknessMM)
	}
	return hold, ""
}

// markShare is how deep a mark is, as a part of a full pass, or how strong, as a
// part of the cutting power, where the recipe does not say: enough to read, not
// enough to weaken the foam. Common practice, no source.
const markShare = 0.1

// Marking goes no deeper than the middle of the layer.
func (routing) Marking(r profiles.Recipe, layerMM float64) (how profiles.Recipe, depthMM float64) {
	depthMM = r.MarkDepthMM.Value
	if depthMM == 0 {
		depthMM = markShare * r.StepdownMM.Value
	}
	return r, math.Min(depthMM, layerMM/2)
}
