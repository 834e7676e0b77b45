package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// requireBeam checks a laser operation: rapids are dark, everything else has the
// power given, and no part of the beam's way is nearer to the edge than half a kerf.
func requireBeam(t *testing.T, op Op, shape geometry.Region, power float64, outside bool) {
	t.Helper()
	require.Equal(t, Rapid, op.Moves[0].Kind)
	require.Equal(t, Rapid, op.Moves[len(op.Moves)-1].Kind)
	at := op.Moves[0].To
	for i, m := range op.Moves {
		if i > 0 {
			require.NotEqual(t, at, m.To, "move %d stands still", i)
		}
		if m.Kind == Rapid {
			require.Zero(t, m.PowerPercent)
		} else {
			require.Equal(t, power, m.PowerPercent)
			for u := 0.0; u <= 1; u += 0.05 {
				p := onWay(at, m, u)
				require.GreaterOrEqual(t, edgeDistance(shape, p), 0.15-1e-6, "move %d", i)
				require.NotEqual(t, outside, shape.Contains(p), "move %d", i)
			}
		}
		at = m.To
	}
}

// onWay is the place a part u of the way along a move.
func onWay(from Point, m Move, u float64) geometry.Point {
	if m.Kind == Rapid || m.Kind == Line {
		return from.Add(m.To.Sub(from.Point).Scale(u))
	}
	v := from.Sub(m.Center)
	sin, cos := math.Sincos(u * sweep(from.Point, m))
	return m.Center.Add(geometry.Point{X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y})
}

// litLength is the length that is cut at exactly half a kerf from the edge.
func litLength(op Op, shape geometry.Region) float64 {
	sum := 0.0
	at := op.Moves[0].To
	for _, m := range op.Moves {
		if m.Kind != Rapid && math.Abs(edgeDistance(shape, onWay(at, m, 0.5))-0.15) < 1e-9 {
			s := geometry.Segment{A: at.Point, B: m.To.Point}
			if m.Kind != Line {
				s.Bulge = math.Tan(sweep(at.Point, m) / 4)
			}
			sum += s.Length()
		}
		at = m.To
	}
	return sum
}

func TestLaserFollowsTheEdges(t *testing.T) {
	for name, shape := range shapes(t) {
		for _, machine := range []profiles.Machine{benchLaser(), withZ(benchLaser(), 8), withZ(benchLaser(), 0)} {
			t.Run(name, func(t *testing.T) {
				p, err := made(laserSheet(plan.Cut{Name: name, Shape: shape, Through: true}), machine, tol)
				require.NoError(t, err)
				require.Len(t, p.Ops, 2)
				requireBeam(t, p.Ops[0], shape, 60, false)
				requireBeam(t, p.Ops[1], rectangle(0, 0, 200, 150, 8), 60, true)
				path, err := geometry.Offset(shape, -0.15, tol)
				require.NoError(t, err)
				want := 2 * (path.Length() + 0.3*float64(len(path.Contours()))) // two passes, a kerf more each
				assert.InDelta(t, want, litLength(p.Ops[0], shape), 1e-6)
				assert.Equal(t, 2, p.Ops[0].Passes)
				// Half a kerf outside a tray of 200 x 150 mm with corners of 8 mm, by hand.
				around := 2*(200-16+150-16) + 2*math.Pi*8.15
				assert.InDelta(t, 2*(around+0.3), litLength(p.Ops[1], rectangle(0, 0, 200, 150, 8)), 1e-6)
			})
		}
	}
}

func withZ(m profiles.Machine, clearance float64) profiles.Machine {
	m.TravelMM[2], m.ClearanceMM = number(60), number(clearance)
	return m
}

func TestLaserFocusFollowsTheCut(t *testing.T) {
	sheet := laserSheet(plan.Cut{Name: "hole", Shape: rectangle(20, 20, 40, 30, 2), Through: true})
	fixed, err := made(sheet, benchLaser(), tol)
	require.NoError(t, err)
	moving, err := made(sheet, withZ(benchLaser(), 8), tol)
	require.NoError(t, err)
	assert.Zero(t, fixed.ClearZ)
	assert.Equal(t, 8.0, moving.ClearZ)
	lit := map[float64]bool{}
	each(moving.Ops[0], func(from Point, m Move) {
		if m.Kind != Rapid {
			lit[m.To.Z] = true
		} else if from.Point != m.To.Point {
			assert.Equal(t, 8.0, m.To.Z)
		}
	})
	assert.Equal(t, map[float64]bool{0: true, -3: true}, lit)
	for _, op := range fixed.Ops {
		each(op, func(_ Point, m Move) { assert.Zero(t, m.To.Z) })
	}
}

// The lead-in is as long as the recipe says, in the waste, and touches the path.
func TestLaserLeadIn(t *testing.T) {
	p, err := made(laserSheet(plan.Cut{Name: "hole", Shape: rectangle(20, 20, 40, 30, 2), Through: true}), benchLaser(), tol)
	require.NoError(t, err)
	for i, op := range p.Ops {
		in, next := op.Moves[1], op.Moves[2]
		require.Equal(t, CCW, in.Kind)
		radius := in.To.DistanceTo(in.Center)
		assert.InDelta(t, 4, radius*math.Abs(sweep(op.Moves[0].To.Point, in)), 1e-9)
		arrive, leave := in.To.Sub(in.Center).Left(), next.To.Sub(in.To.Point)
		assert.InDelta(t, 0, arrive.Cross(leave)/arrive.Norm()/leave.Norm(), 1e-9, "operation %d", i)
	}
}

// Where there is no room for it the lead-in gets shorter, and at last is none.
func TestLaserLeadInFitsTheWaste(t *testing.T) {
	for diameter, want := range map[float64]float64{20: 4, 3.6: 2, 1.9: 1, 0.7: 0} {
		shape := round(50, 50, diameter)
		p, err := made(laserSheet(plan.Cut{Name: "hole", Shape: shape, Through: true}), benchLaser(), tol)
		require.NoError(t, err)
		requireBeam(t, p.Ops[0], shape, 60, false)
		in := p.Ops[0].Moves[1]
		length := 0.0
		if in.Center != (geometry.Point{X: 50, Y: 50}) {
			length = in.To.DistanceTo(in.Center) * math.Pi / 2
		}
		if want == 0 {
			assert.InDelta(t, diameter/2-0.15, in.To.DistanceTo(geometry.Point{X: 50, Y: 50}), 1e-9)
			continue
		}
		assert.InDelta(t, want, length, 1e-9, "%v mm", diameter)
	}
}

func TestLaserCutsInsideFirst(t *testing.T) {
	ring := shapes(t)["ring with island"]
	sheet := laserSheet(
		plan.Cut{Name: "around", Shape: ring, Through: true},
		plan.Cut{Name: "inside its island", Shape: round(70, 65, 12), Through: true},
		plan.Cut{Name: "elsewhere", Shape: round(170, 130, 12), Through: true})
	p, err := made(sheet, benchLaser(), tol)
	require.NoError(t, err)
	at := map[string]int{}
	for i, op := range p.Ops {
		at[op.Name] = i
	}
	assert.Equal(t, at["inside its island"]+1, at["around"])
	assert.Equal(t, 3, at["outline"])
	// Of the ring itself, the island's edge comes first, both passes of it.
	var onOuter []bool
	each(opNamed(t, p, "around"), func(from Point, m Move) {
		if m.Kind == Line {
			x := from.Add(m.To.Point).Scale(0.5)
			onOuter = append(onOuter, x.X < 30 || x.X > 120 || x.Y < 30 || x.Y > 100)
		}
	})
	for i := 1; i < len(onOuter); i++ {
		assert.False(t, onOuter[i-1] && !onOuter[i], "back to the island at move %d", i)
	}
}

func TestLaserMarksFaintlyAndFirst(t *testing.T) {
	sheet := laserSheet(plan.Cut{Name: "hole", Shape: round(50, 50, 20), Through: true})
	sheet.Marks = []geometry.Path{geometry.NewPath(
		geometry.Vertex{Point: geometry.Point{X: 100, Y: 20}}, geometry.Vertex{Point: geometry.Point{X: 120, Y: 20}})}
	p, err := made(sheet, benchLaser(), tol)
	require.NoError(t, err)
	assert.Equal(t, Mark, p.Ops[0].Kind)
	assert.Equal(t, 6.0, p.Ops[0].Moves[1].PowerPercent)
	assert.Equal(t, 1, p.Ops[0].Passes)
	sheet.Edge.Recipes[0].MarkShare = number(0.25)
	fainter, err := made(sheet, benchLaser(), tol)
	require.NoError(t, err)
	assert.Equal(t, 15.0, fainter.Ops[0].Moves[1].PowerPercent)
	var kinds []OpKind
	for _, d := range p.Drawn {
		kinds = append(kinds, d.Kind)
	}
	assert.Equal(t, []OpKind{Mark, Pocket, Outline}, kinds)
	assert.InDelta(t, math.Pi*(20-0.3), p.Drawn[1].Contour.Length(), 1e-9)
	assert.InDelta(t, math.Pi*20, p.Finished[0].Contour.Length(), 1e-9)
}

func TestLaserRefusals(t *testing.T) {
	block := sheetOf([]profiles.Recipe{laserRecipe(), laserRecipe()}, []float64{12, 6}, beam, nil)
	_, err := made(block, benchLaser(), tol)
	require.ErrorContains(t, err, "one layer at a time")

	for name, c := range map[string]struct {
		cut  plan.Cut
		says string
	}{
		"part of a layer": {plan.Cut{Name: "hole", Shape: round(50, 50, 20), DepthMM: 5}, "inside a layer"},
		"within the kerf": {plan.Cut{Name: "hole", Shape: round(50, 50, 0.25), Through: true}, "does not fit"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := made(laserSheet(c.cut), benchLaser(), tol)
			var refused finding.List
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, "hole", refused[0].Where)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// A lap closes on what a slow power supply takes until the beam has its power: rise time by
// feed, and never less than a kerf. Passes but the first begin after a pause in the dark.
func TestALapClosesOnASlowPowerSupplyAndPauses(t *testing.T) {
	hole := rectangle(20, 20, 40, 30, 2)
	sheet := laserSheet(plan.Cut{Name: "hole", Shape: hole, Through: true}) // 0.3 mm of kerf, two passes
	for i := range sheet.Cuts {
		sheet.Cuts[i].Recipes[0].PauseS = number(3)
	}
	sheet.Edge.Recipes[0].PauseS = number(3)
	feed := sheet.Edge.Recipes[0].FeedMMPerMin.Value
	litMM := func(runOn float64) (mm float64, waits []float64) {
		m := benchLaser()
		m.RiseS = number(runOn / feed * 60)
		p, err := made(sheet, m, tol)
		require.NoError(t, err)
		for _, op := range p.Ops {
			for _, move := range op.Moves {
				if move.WaitS > 0 {
					assert.Equal(t, Rapid, move.Kind)
					waits = append(waits, move.WaitS)
				}
			}
		}
		return litLength(p.Ops[0], hole), waits
	}
	fast, waits := litMM(0)
	assert.Equal(t, []float64{3, 3}, waits, "two passes of the hole, and of the outline")
	kerf, _ := litMM(0.2)
	assert.InDelta(t, fast, kerf, 1e-9, "less than a kerf")
	slow, _ := litMM(3)
	assert.InDelta(t, 2*(3-0.3), slow-fast, 1e-6)
}

// A stop from speed v at acceleration a takes v/a beside its way, in which a beam would have gone v2/a: 4 mm at 900 mm/min and
// 56.25 mm/s2. A controller that lowers its power with its speed burns no corner, and the hint's feed does.
func TestABeamThatStandsInCorners(t *testing.T) {
	m := profiles.Machine{Process: profiles.Laser, Controller: profiles.Controller{Class: profiles.PC}}
	r := profiles.Recipe{FeedMMPerMin: number(900), PowerPercent: number(45)}
	for _, c := range []struct {
		feed, acceleration float64
		on                 string
		refused            bool
	}{{900, 1500, "M3", false}, {900, 56.3, "M3", false}, {900, 56.2, "M3", true}, {900, 1, "M3", true}, {120, 1, "M3", false}, {900, 1, "M4", false}, {900, 0, "M3", false}, {2400, 500, "M3", false}} {
		m.AccelerationMMPerS2, m.Controller.LaserOn = number(c.acceleration), c.on
		r.FeedMMPerMin = number(c.feed)
		err := stopsAt(r, m)
		assert.Equal(t, c.refused, err != nil, "%+v", c)
		if c.feed == 900 && c.acceleration == 1 && err != nil {
			assert.ErrorContains(t, err, "each stop takes as long as 225 mm of cut")
			var found finding.List
			require.ErrorAs(t, err, &found)
			assert.Contains(t, found[0].Hint, "set feed_mm_per_min to 120 and power_percent to 6")
		}
	}
}
