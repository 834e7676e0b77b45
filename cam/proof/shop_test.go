package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// A small workshop: two machines and the simplest paths that cut a tray well.
// It makes its own paths, so that these tests judge the dry run and nothing else.

const (
	cutterMM  = 3.175
	kerfMM    = 0.2
	thickMM   = 20.0
	throughMM = 0.5 // breakthrough
)

func number(v float64) profiles.Number { return profiles.Number{Value: v} }

func routerMachine() profiles.Machine {
	return profiles.Machine{ID: "bench-router", Process: profiles.Router,
		TravelMM:      [3]profiles.Number{number(400), number(300), number(80)},
		RapidMMPerMin: number(5000), MaxFeedMMPerMin: number(3000), AccelerationMMPerS2: number(500), CornerMM: number(0.05),
		ClearanceMM: number(5), ZZero: profiles.ZTop, MaxRPM: number(24000),
		Controller: profiles.Controllers()[0],
		Tools:      []profiles.Tool{{ID: "thin", Number: 1, Name: "thin cutter", DiameterMM: number(cutterMM), ReachMM: number(38)}}}
}

func laserController() profiles.Controller {
	c := profiles.Controllers()[0]
	c.PowerScale, c.ToolChange, c.Air = 1000, "none", []string{"M8", "M9"}
	return c
}

func laserMachine() profiles.Machine {
	return profiles.Machine{ID: "bench-laser", Process: profiles.Laser,
		TravelMM:      [3]profiles.Number{number(600), number(400), number(40)},
		RapidMMPerMin: number(12000), MaxFeedMMPerMin: number(6000), AccelerationMMPerS2: number(1500), CornerMM: number(0.05),
		ZZero: profiles.ZBed, Controller: laserController(),
		Tools: []profiles.Tool{{ID: "beam", DiameterMM: number(kerfMM)}}}
}

func box(x, y, length, width float64) geometry.Box {
	return geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + length, Y: y + width}}
}

// follow is cutting moves along a contour at a height, from where it starts.
func follow(c geometry.Contour, z, feed, power float64) []process.Move {
	var moves []process.Move
	for s := range c.Segments() {
		m := process.Move{To: process.Point{Point: s.B, Z: z}, Kind: process.Line, FeedMMPerMin: feed, PowerPercent: power}
		if s.IsArc() {
			m.Kind, m.Center = process.CW, s.Center()
			if s.Bulge > 0 {
				m.Kind = process.CCW
			}
		}
		moves = append(moves, m)
	}
	return moves
}

func start(c geometry.Contour) geometry.Point { return c.Vertices()[0].Point }

// routed clears a pocket of rectangles or circles one inside the other, ramps
// none: it plunges in the middle, pass by pass.
func routed(name string, rings []geometry.Contour, depth, step float64) process.Op {
	op := process.Op{Kind: process.Pocket, Name: name, Tool: routerMachine().Tools[0], RPM: 18000, KerfMM: cutterMM}
	first := start(rings[0])
	op.Moves = append(op.Moves, process.Move{To: process.Point{Point: first, Z: 5}})
	passes := math.Ceil(depth/step - 1e-9)
	for pass := 1.0; pass <= passes; pass++ {
		z := -depth * pass / passes
		op.Moves = append(op.Moves, process.Move{Kind: process.Line, To: process.Point{Point: first, Z: z}, FeedMMPerMin: 300})
		for _, ring := range rings {
			op.Moves = append(op.Moves, process.Move{Kind: process.Line, To: process.Point{Point: start(ring), Z: z}, FeedMMPerMin: 1200})
			op.Moves = append(op.Moves, follow(ring, z, 1200, 0)...)
		}
		op.Moves = append(op.Moves, process.Move{Kind: process.Line, To: process.Point{Point: first, Z: z}, FeedMMPerMin: 1200})
	}
	op.Moves = append(op.Moves, process.Move{To: process.Point{Point: first, Z: 5}})
	return op
}

// rectanglePocket is a pocket with corners as round as the cutter, and its path.
func rectanglePocket(name string, b geometry.Box, depth float64, through bool) (process.Op, proof.WantedCut) {
	r := cutterMM / 2
	var rings []geometry.Contour
	for inset := math.Min(b.Width(), b.Height())/2 - 0.1; inset > r; inset -= 1.2 {
		rings = append(rings, geometry.Rectangle(b.Grow(-inset), 0))
	}
	rings = append(rings, geometry.Rectangle(b.Grow(-r), 0))
	cut := proof.WantedCut{Name: name, Shape: geometry.NewRegion(geometry.Rectangle(b, r)), DepthMM: depth, Through: through, Limits: routerLimits()}
	return routed(name, rings, depth+breakthrough(through), 5), cut
}

func breakthrough(through bool) float64 {
	if through {
		return throughMM
	}
	return 0
}

// roundPocket is a round pocket and its path.
func roundPocket(name string, center geometry.Point, radius, depth float64) (process.Op, proof.WantedCut) {
	r := cutterMM / 2
	var rings []geometry.Contour
	for ring := 1.0; ring < radius-r; ring += 1.2 {
		rings = append(rings, geometry.Circle(center, ring))
	}
	rings = append(rings, geometry.Circle(center, radius-r))
	cut := proof.WantedCut{Name: name, Shape: geometry.NewRegion(geometry.Circle(center, radius)), DepthMM: depth, Limits: routerLimits()}
	return routed(name, rings, depth, 5), cut
}

// routerTray is a tray of 90 x 70 mm with three pockets and its outline, which
// leaves a skin of 1 mm.
func routerTray() (process.Program, proof.Wanted) {
	a, wantA := rectanglePocket("pocket 1 (logbook)", box(10, 10, 30, 40), 12, false)
	b, wantB := rectanglePocket("pocket 2 (dice)", box(48, 10, 30, 20), thickMM, true)
	c, wantC := roundPocket("pocket 3 (token)", geometry.Point{X: 62, Y: 50}, 12.875, 8)
	sheet := box(0, 0, 90, 70)
	edge := routed("outline", []geometry.Contour{geometry.Slot(geometry.Point{X: -3, Y: -3}, geometry.Point{X: -2.9, Y: -3}, 0.1), outlinePath(sheet, cutterMM/2)}, thickMM-1, 5)
	edge.Kind = process.Outline
	return process.Program{Ops: []process.Op{a, b, c, edge}, ClearZ: 5, ThicknessMM: thickMM, BreakthroughMM: throughMM, SkinMM: 1},
		proof.Wanted{Cuts: []proof.WantedCut{wantA, wantB, wantC}, Outline: geometry.NewRegion(geometry.Rectangle(sheet, 4)), OutlineDepthMM: thickMM - 1, OutlineLimits: routerLimits()}
}

// outlinePath goes round a sheet with corners of 4 mm.
func outlinePath(sheet geometry.Box, r float64) geometry.Contour {
	return geometry.Rectangle(sheet.Grow(r), 4+r)
}

// burned cuts along contours with a beam, pass by pass, from the waste.
func burned(name string, kind process.OpKind, c geometry.Contour, lead geometry.Point, passes int) process.Op {
	op := process.Op{Kind: kind, Name: name, Tool: laserMachine().Tools[0], KerfMM: kerfMM, Passes: passes}
	for pass := range passes {
		z := -float64(pass) * 2
		op.Moves = append(op.Moves, process.Move{To: process.Point{Point: lead, Z: z}},
			process.Move{Kind: process.Line, To: process.Point{Point: start(c), Z: z}, FeedMMPerMin: 900, PowerPercent: 60})
		op.Moves = append(op.Moves, follow(c, z, 900, 60)...)
	}
	return op
}

// laserTray is the same tray cut through everywhere, in two passes.
func laserTray() (process.Program, proof.Wanted) {
	var p process.Program
	var w proof.Wanted
	add := func(name string, shape, path geometry.Contour, lead geometry.Point) {
		p.Ops = append(p.Ops, burned(name, process.Pocket, path, lead, 2))
		w.Cuts = append(w.Cuts, proof.WantedCut{Name: name, Shape: geometry.NewRegion(shape), DepthMM: thickMM, Through: true, Limits: laserLimits()})
	}
	rect := box(10, 10, 30, 40)
	add("pocket 1 (logbook)", geometry.Rectangle(rect, 2), geometry.Rectangle(rect.Grow(-kerfMM/2), 2-kerfMM/2), geometry.Point{X: 25, Y: 20})
	center := geometry.Point{X: 62, Y: 50}
	add("pocket 2 (token)", geometry.Circle(center, 12.875), geometry.Circle(center, 12.875-kerfMM/2), center)
	sheet := box(0, 0, 90, 70)
	p.Ops = append(p.Ops, burned("outline", process.Outline, outlinePath(sheet, kerfMM/2), geometry.Point{X: -3, Y: -3}, 2))
	p.ThicknessMM = thickMM
	w.Outline, w.OutlineDepthMM, w.OutlineLimits = geometry.NewRegion(geometry.Rectangle(sheet, 4)), thickMM, laserLimits()
	return p, w
}

// routerLimits and laserLimits are the numbers that the paths above are made with.
func routerLimits() []proof.Limits {
	return []proof.Limits{{Tool: 1, FeedMMPerMin: 1200, PlungeMMPerMin: 300, StepDownMM: 5, RPM: 18000}}
}

func laserLimits() []proof.Limits {
	return []proof.Limits{{FeedMMPerMin: 900, PowerPercent: 60, Passes: 2, FocusMM: []float64{0, 2}}}
}

func routerSetup() proof.Setup {
	return proof.Setup{Machine: routerMachine(), KerfMM: map[int]float64{1: cutterMM}, ThicknessMM: thickMM, BreakthroughMM: throughMM}
}

func laserSetup() proof.Setup {
	return proof.Setup{Machine: laserMachine(), KerfMM: map[int]float64{0: kerfMM}, ThicknessMM: thickMM, Passes: 2}
}

func text(t testing.TB, p process.Program, m profiles.Machine) []byte {
	return written(t, p, gcode.Header{Job: "Tidewrack"}, m)
}

func written(t testing.TB, p process.Program, h gcode.Header, m profiles.Machine) []byte {
	body, err := gcode.Body(p, m)
	require.NoError(t, err)
	return append(gcode.Opening(p, process.Measure(p), h, m), body...)
}
