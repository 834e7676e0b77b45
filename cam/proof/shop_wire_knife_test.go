package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/gcode"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Small trays for an upright hot wire and for a drag knife, by a seed, through the real stages and
// held as cam holds them.

const (
	trailMM     = 0.5
	wireKerfMM  = 1.0
	bladeKerfMM = 0.2
)

func wireMachine() profiles.Machine {
	m := profiles.Machine{ID: "bench-wire", Process: profiles.HotWire,
		TravelMM:      [3]profiles.Number{number(400), number(300)},
		RapidMMPerMin: number(1000), MaxFeedMMPerMin: number(600), AccelerationMMPerS2: number(100), CornerMM: number(0.05), ZZero: profiles.ZTop,
		Controller: profiles.Controllers()[0], Tools: []profiles.Tool{{ID: "wire", Number: 1, DiameterMM: number(0.4), LengthMM: number(300), TensionN: number(10)}}}
	m.Controller.ToolChange = "none"
	return m
}

func knifeMachine() profiles.Machine {
	m := routerMachine()
	m.ID, m.Process, m.MaxRPM = "bench-knife", profiles.Knife, profiles.Number{}
	m.Tools = []profiles.Tool{{ID: "blade", Number: 1, DiameterMM: number(0.4), ReachMM: number(12), TrailMM: number(trailMM), SlantDegrees: number(10), GougeMM: number(0.4)}}
	m.Controller.ToolChange = "none"
	return m
}

// turnedMachine turns its blade by an A axis, which counts the way that is drawn.
func turnedMachine(r *rand.Rand) profiles.Machine {
	m := knifeMachine()
	m.ID, m.TurnRPM, m.ACounts = "bench-turned", number(100), []profiles.ACounts{profiles.ACounterclockwise, profiles.AClockwise}[r.IntN(2)]
	m.Controller.Axes = []string{"X", "Y", "Z", "A"}
	gouge := 0.1 + 0.1*math.Round(r.Float64())
	chord := 1.2 + 6.5*gouge*r.Float64() // the tightest curve in these trays has 4.5 mm
	m.Tools = []profiles.Tool{{ID: "blade", Number: 1, DiameterMM: number(0.4), ReachMM: number(30), ChordMM: number(chord), GougeMM: number(gouge)}}
	return m
}

func turnedPatient(t testing.TB, number uint64) patient {
	return drawnTray(t, number, turnedMachine(rand.New(rand.NewPCG(number, 15))))
}

func wireRecipe(r *rand.Rand) profiles.Recipe {
	return profiles.Recipe{KerfMM: number(wireKerfMM), FeedMMPerMin: number(40 + math.Round(40*r.Float64())), CurrentA: number(2), LeadInMM: number(20)}
}

func bladeRecipe(r *rand.Rand) profiles.Recipe {
	return profiles.Recipe{KerfMM: number(bladeKerfMM), FeedMMPerMin: number(1200), PlungeMMPerMin: number(300), MMPerPass: number(3), Passes: number(2),
		LeadInMM: number(3.1), OvercutMM: number(0.3 + r.Float64()), BreakthroughMM: number(0.3)}
}

// smallTray has one or two holes of any kind.
func smallTray(t testing.TB, r *rand.Rand, m profiles.Machine, recipe profiles.Recipe, thick float64) plan.Sheet {
	recipes := []profiles.Recipe{recipe}
	s := plan.Sheet{Number: 1, Layers: []plan.Layer{{Thickness: units.Length(math.Round(1e4*thick) * 1e2)}}}
	n := 1 + r.IntN(2)
	for i := range n {
		round := recipe.KerfMM.Value / 2
		if !m.Tools[0].Turned() { // which is lifted in a corner, and follows no curve as tight
			round += 1e-3
		}
		shape := opened(t, smallHole(r, i == 0, box(8+34*float64(i), 8, 26, 22)), round)
		s.Cuts = append(s.Cuts, plan.Cut{Name: fmt.Sprintf("pocket %d", i+1), Tool: m.Tools[0], Recipes: recipes, DepthMM: s.ThicknessMM(), Through: true, Shape: shape, Design: shape})
	}
	edge := geometry.NewRegion(geometry.Rectangle(box(0, 0, 8+34*float64(n), 38), float64(r.IntN(2))*6))
	s.Edge = plan.Cut{Name: "outline", Shape: edge, Design: edge, DepthMM: s.ThicknessMM(), Through: true, Tool: m.Tools[0], Recipes: recipes}
	return s
}

// smallHole fills a box, with corners sharp or round enough for a blade; or with sharp ones for certain.
func smallHole(r *rand.Rand, sharp bool, b geometry.Box) geometry.Region {
	middle := b.Min.Add(b.Max).Scale(0.5)
	kind := r.IntN(3)
	if sharp {
		kind = 2
	}
	switch kind {
	case 0:
		return geometry.NewRegion(geometry.Rectangle(b.Grow(-2*r.Float64()), []float64{0, 4.5, 6}[r.IntN(3)]))
	case 1:
		return geometry.NewRegion(geometry.Circle(middle, 9+2*r.Float64()))
	}
	var corners []geometry.Point
	n := 3 + r.IntN(4)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.4*r.Float64()) / float64(n))
		corners = append(corners, middle.Add(geometry.Point{X: 13 * cos, Y: 11 * sin}))
	}
	return geometry.NewRegion(geometry.Polygon(corners...))
}

// drawnTray is the program of a small tray by its number.
func drawnTray(t testing.TB, number uint64, m profiles.Machine) patient {
	r := rand.New(rand.NewPCG(number, 14))
	recipe, thick := wireRecipe(r), 15+10*r.Float64()
	if m.Process == profiles.Knife {
		recipe, thick = bladeRecipe(r), 4+1.9*r.Float64()
		if r.IntN(2) == 0 {
			m.ZZero = profiles.ZBed
		}
	}
	return patientOf(t, smallTray(t, r, m, recipe, thick), m, recipe)
}

// patientOf is a sheet's program, held as cam holds it.
func patientOf(t testing.TB, s plan.Sheet, m profiles.Machine, recipe profiles.Recipe) patient {
	require.NoError(t, s.Complete(process.MeansOf(m), meetMM))
	p, err := process.Make(s, m, meetMM)
	require.NoError(t, err)
	setup := proof.Setup{Machine: m, KerfMM: map[int]float64{1: recipe.KerfMM.Value}, ThicknessMM: s.ThicknessMM(), BreakthroughMM: recipe.BreakthroughMM.Value, Tool: 1}
	want := proof.Wanted{Outline: s.Edge.Shape, OutlineDepthMM: s.Edge.DepthMM, OutlineLimits: limitsAsCam(s, s.Edge), LeadInMM: recipe.LeadInMM.Value, Marks: []proof.WantedMark{}}
	for _, c := range s.Cuts {
		want.Cuts = append(want.Cuts, proof.WantedCut{Name: c.Name, Shape: c.Shape, DepthMM: c.DepthMM, Through: true, Limits: limitsAsCam(s, c)})
	}
	if m.Process == profiles.Knife {
		want.Way = wayOf(p, m)
	} else {
		for _, d := range p.Drawn {
			if v := d.Slit.Vertices(); len(v) == 2 {
				want.Slits = append(want.Slits, proof.WantedSlit{From: v[0].Point, To: v[1].Point, WidthMM: recipe.KerfMM.Value, Name: d.Name})
			}
		}
	}
	return patient{name: strings.TrimPrefix(m.ID, "bench-"), text: string(written(t, p, gcode.Header{}, m)), setup: setup, want: want}
}

// limitsAsCam are those of a cut, where what one pass may take is the blade's step down.
func limitsAsCam(s plan.Sheet, c plan.Cut) []proof.Limits {
	list := limitsOf(s, c)
	for i := range list {
		list[i].StepDownMM, list[i].MMPerPass = c.Recipes[i].MMPerPass.Value, c.Recipes[i].MMPerPass.Value
	}
	return list
}
