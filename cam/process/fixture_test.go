package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

const tol = 1e-6

func number(v float64) profiles.Number { return profiles.Number{Value: v, Source: "test"} }

func mm(v float64) units.Length { return units.Length(math.Round(v * 1e6)) }

func benchRouter() profiles.Machine {
	return profiles.Machine{
		ID: "test-router", Process: profiles.Router,
		TravelMM:      [3]profiles.Number{number(400), number(300), number(80)},
		RapidMMPerMin: number(3000), MaxFeedMMPerMin: number(2500), AccelerationMMPerS2: number(400),
		CornerMM: number(0.02), ClearanceMM: number(5), ZZero: profiles.ZTop,
	}
}

func benchLaser() profiles.Machine {
	return profiles.Machine{
		ID: "test-laser", Process: profiles.Laser,
		TravelMM:      [3]profiles.Number{number(600), number(400), number(0)},
		RapidMMPerMin: number(12000), MaxFeedMMPerMin: number(6000), AccelerationMMPerS2: number(2000),
		CornerMM: number(0.01),
	}
}

func routerRecipe(foam string) profiles.Recipe {
	return profiles.Recipe{
		Foam: foam, Machine: "test-router", Tool: "cutter-3",
		KerfMM: number(3.175), FeedMMPerMin: number(1800), PlungeMMPerMin: number(600), StepdownMM: number(6),
		Stepover: number(0.4), RPM: number(18000), FinishMM: number(0.4), BreakthroughMM: number(0.3), SkinMM: number(0.6),
		TabCount: number(4), TabWidthMM: number(6), TabHeightMM: number(3), RampDegrees: number(10),
	}
}

func laserRecipe() profiles.Recipe {
	return profiles.Recipe{
		Foam: "pad", Machine: "test-laser", Tool: "beam",
		KerfMM: number(0.3), FeedMMPerMin: number(900), PowerPercent: number(60), Passes: number(2),
		FocusStepMM: number(3), LeadInMM: number(4), CornerRadiusMM: number(0.5),
	}
}

var (
	cutter3 = profiles.Tool{ID: "cutter-3", Number: 1, DiameterMM: number(3.175), ReachMM: number(38), Flutes: 1}
	cutter6 = profiles.Tool{ID: "cutter-6", Number: 2, DiameterMM: number(6), ReachMM: number(60), Flutes: 1}
	beam    = profiles.Tool{ID: "beam", Number: 1, DiameterMM: number(0.2)}
)

// routerSheet is one layer of the given thickness with a tray of 200 x 150 mm.
func routerSheet(thickness float64, cuts ...plan.Cut) plan.Sheet {
	return sheetOf([]profiles.Recipe{routerRecipe("pad")}, []float64{thickness}, cutter3, cuts)
}

func sheetOf(recipes []profiles.Recipe, thicknesses []float64, tool profiles.Tool, cuts []plan.Cut) plan.Sheet {
	s := plan.Sheet{Number: 1}
	top := 0.0
	for _, t := range thicknesses {
		s.Layers = append(s.Layers, plan.Layer{Thickness: mm(t), Top: mm(top)})
		top += t
	}
	for _, c := range cuts {
		if c.Recipes == nil {
			c.Recipes = recipes
		}
		if c.Tool.ID == "" {
			c.Tool = tool
		}
		if c.Through {
			c.DepthMM = top
		}
		s.Cuts = append(s.Cuts, c)
	}
	s.Edge = plan.Cut{
		Name: "outline", Shape: rectangle(0, 0, 200, 150, 8), DepthMM: top, Through: true, Tool: tool, Recipes: recipes,
	}
	return s
}

// made completes a sheet, as the plan does, and makes its moves.
func made(sheet plan.Sheet, m profiles.Machine, tol float64) (Program, error) {
	whole, err := completed(sheet, m)
	if err != nil {
		return Program{}, err
	}
	return Make(whole, m, tol)
}

func completed(sheet plan.Sheet, m profiles.Machine) (plan.Sheet, error) {
	sheet.Cuts = append([]plan.Cut(nil), sheet.Cuts...)
	if len(sheet.Layers) == 0 {
		return sheet, nil
	}
	return sheet, sheet.Complete(MeansOf(m), tol)
}

func laserSheet(cuts ...plan.Cut) plan.Sheet {
	return sheetOf([]profiles.Recipe{laserRecipe()}, []float64{12}, beam, cuts)
}

func rectangle(x, y, length, width, corner float64) geometry.Region {
	box := geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + length, Y: y + width}}
	return geometry.NewRegion(geometry.Rectangle(box, corner))
}

func round(x, y, diameter float64) geometry.Region {
	return geometry.NewRegion(geometry.Circle(geometry.Point{X: x, Y: y}, diameter/2))
}

// opened is the shape as a round tool leaves it.
func opened(t require.TestingT, r geometry.Region, radius float64) geometry.Region {
	inner, err := geometry.Offset(r, -radius, tol)
	require.NoError(t, err)
	outer, err := geometry.Offset(inner, radius, tol)
	require.NoError(t, err)
	return outer
}

func union(t require.TestingT, regions ...geometry.Region) geometry.Region {
	r, err := geometry.Union(tol, regions...)
	require.NoError(t, err)
	return r
}

// shapes are the pockets that every property is tried on, as the 3.175 mm cutter
// leaves them.
func shapes(t require.TestingT) map[string]geometry.Region {
	const r = 3.175 / 2
	island := rectangle(40, 40, 60, 50, 4).Contours()[0]
	l := union(t, rectangle(20, 20, 70, 25, 0), rectangle(20, 20, 22, 80, 0), round(90, 32, 20))
	keyhole := union(t, round(40, 60, 30), rectangle(50, 58, 50, 3.2, 0))
	dumbbell := union(t, round(40, 60, 40), round(110, 60, 34), rectangle(40, 56, 70, 8, 0))
	star := geometry.NewRegion(geometry.Polygon(
		geometry.Point{X: 20, Y: 20}, geometry.Point{X: 70, Y: 35}, geometry.Point{X: 120, Y: 22},
		geometry.Point{X: 95, Y: 60}, geometry.Point{X: 118, Y: 105}, geometry.Point{X: 70, Y: 84}, geometry.Point{X: 22, Y: 110}))
	return map[string]geometry.Region{
		"rectangle":           rectangle(30, 25, 60, 40, 3),
		"rectangle, tightest": opened(t, rectangle(30, 25, 31.7, 31.7, 0), r),
		"round":               round(60, 60, 25.75),
		"round, just fits":    round(60, 60, 3.4),
		"slot":                geometry.NewRegion(geometry.Slot(geometry.Point{X: 30, Y: 30}, geometry.Point{X: 90, Y: 55}, 9)),
		"slot, just fits":     geometry.NewRegion(geometry.Slot(geometry.Point{X: 30, Y: 30}, geometry.Point{X: 90, Y: 55}, 3.3)),
		"L with notch":        opened(t, l, r),
		"ring with island":    geometry.NewRegion(rectangle(25, 25, 100, 80, 6).Contours()[0], island.Reverse()),
		"two rounds":          geometry.NewRegion(round(40, 40, 30).Contours()[0], round(80, 50, 24).Contours()[0]),
		"dumbbell":            opened(t, dumbbell, r),
		"keyhole":             opened(t, keyhole, r),
		"star":                opened(t, star, r),
	}
}

// away is how far a point is from the way of a move: straight from the
// definitions of line and arc, nothing of the package's own.
func away(p geometry.Point, from Point, m Move) float64 {
	a, b := from.Point, m.To.Point
	if m.Kind == Rapid || m.Kind == Line {
		d := b.Sub(a)
		t := 0.0
		if n := d.Dot(d); n > 0 {
			t = math.Min(1, math.Max(0, p.Sub(a).Dot(d)/n))
		}
		return p.DistanceTo(a.Add(d.Scale(t)))
	}
	angle := func(q geometry.Point) float64 {
		v := q.Sub(m.Center)
		return math.Atan2(v.Y, v.X)
	}
	start, end, at := angle(a), angle(b), angle(p)
	if m.Kind == CW {
		start, end = end, start
	}
	for end <= start+1e-12 {
		end += 2 * math.Pi
	}
	for at < start {
		at += 2 * math.Pi
	}
	if at <= end {
		return math.Abs(p.DistanceTo(m.Center) - a.DistanceTo(m.Center))
	}
	return math.Min(p.DistanceTo(a), p.DistanceTo(b))
}

// each calls f with every move of an operation and where it starts.
func each(op Op, f func(from Point, m Move)) {
	at := op.Moves[0].To
	for _, m := range op.Moves {
		f(at, m)
		at = m.To
	}
}

// floors are the heights at which an operation cuts level, in the order in
// which they first come.
func floors(op Op) []float64 {
	var list []float64
	each(op, func(from Point, m Move) {
		if m.Kind == Rapid || from.Z != m.To.Z || from.Point == m.To.Point {
			return
		}
		for _, z := range list {
			if z == m.To.Z {
				return
			}
		}
		list = append(list, m.To.Z)
	})
	return list
}

func opNamed(t *testing.T, p Program, name string) Op {
	for _, op := range p.Ops {
		if op.Name == name {
			return op
		}
	}
	require.Fail(t, "no operation "+name)
	return Op{}
}
