package process

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// requireSound checks what holds for every operation: it begins with a rapid at
// clearance height, ends retracted, never stands still, never moves sideways in a
// rapid below clearance height, goes down no steeper than the ramp (or straight
// down, no faster than the plunge feed), up to `deepest`.
func requireSound(t require.TestingT, op Op, r profiles.Recipe, clearZ, deepest float64) {
	require.NotEmpty(t, op.Moves)
	require.Equal(t, Rapid, op.Moves[0].Kind)
	require.Equal(t, clearZ, op.Moves[0].To.Z)
	require.Equal(t, Rapid, op.Moves[len(op.Moves)-1].Kind)
	require.Equal(t, clearZ, op.Moves[len(op.Moves)-1].To.Z)
	slope := math.Tan(r.RampDegrees.Value * math.Pi / 180)
	at := op.Moves[0].To
	floor := 0.0
	for i, m := range op.Moves {
		for _, v := range []float64{m.To.X, m.To.Y, m.To.Z, m.Center.X, m.Center.Y, m.FeedMMPerMin} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "move %d", i)
		}
		require.GreaterOrEqual(t, m.To.Z, -deepest-1e-9, "move %d", i)
		sideways, down := at.DistanceTo(m.To.Point), at.Z-m.To.Z
		if i > 0 {
			require.Greater(t, sideways+math.Abs(down), 0.0, "move %d stands still", i)
		}
		if m.Kind == Rapid {
			if i > 0 && sideways > 0 {
				require.Equal(t, clearZ, m.To.Z, "move %d", i)
				require.Equal(t, clearZ, at.Z, "move %d", i)
			}
			if down > 0 {
				require.GreaterOrEqual(t, m.To.Z, floor+1, "move %d: a rapid down to less than a mm above the foam", i)
			}
		} else {
			require.Greater(t, m.FeedMMPerMin, 0.0)
			require.LessOrEqual(t, m.FeedMMPerMin, r.FeedMMPerMin.Value+1e-9)
			length := sideways
			if m.Kind != Line {
				length = at.DistanceTo(m.Center) * math.Abs(sweep(at.Point, m))
			}
			if down > 0 && length == 0 {
				require.LessOrEqual(t, m.FeedMMPerMin, r.PlungeMMPerMin.Value, "move %d", i)
			} else if down > 1e-9 {
				require.LessOrEqual(t, down/length, slope*(1+1e-6), "move %d", i)
				require.LessOrEqual(t, m.FeedMMPerMin*down/math.Hypot(length, down), r.PlungeMMPerMin.Value*(1+1e-6))
			}
			floor = math.Min(floor, m.To.Z)
		}
		at = m.To
	}
}

// requireCleared checks a pocket's operation against the shape by points: every
// point of the shape is swept at every level, and no point outside it ever.
func requireCleared(t require.TestingT, op Op, shape geometry.Region, radius float64, seed uint64) {
	random := rand.New(rand.NewPCG(seed, 1))
	levels := floors(op)
	require.NotEmpty(t, levels)
	nearest := func(p geometry.Point, keep func(from Point, m Move) bool) float64 {
		d := math.Inf(1)
		each(op, func(from Point, m Move) {
			if m.Kind != Rapid && keep(from, m) {
				d = math.Min(d, away(p, from, m))
			}
		})
		return d
	}
	for _, p := range samples(shape, random, 150) {
		d := edgeDistance(shape, p)
		if shape.Contains(p) && d > 2e-6 {
			for _, z := range levels {
				got := nearest(p, func(from Point, m Move) bool { return from.Z == z && m.To.Z == z })
				require.LessOrEqual(t, got, radius+1e-6, "%v, %.6f mm inside, stays standing at Z%.3f", p, d, z)
			}
		}
		if !shape.Contains(p) && d > 2e-6 {
			got := nearest(p, func(Point, Move) bool { return true })
			require.GreaterOrEqual(t, got, radius+d-2e-6, "%v, %.6f mm outside, is cut", p, d)
		}
	}
}

// samples are points of the shape's box, and points close to both sides of its edge.
func samples(shape geometry.Region, random *rand.Rand, count int) []geometry.Point {
	var list []geometry.Point
	box := shape.Bounds().Grow(2)
	for range count {
		list = append(list, geometry.Point{X: box.Min.X + random.Float64()*box.Width(), Y: box.Min.Y + random.Float64()*box.Height()})
	}
	for _, c := range shape.Contours() {
		for s := range c.Segments() {
			for range 6 {
				u := random.Float64()
				for _, side := range []float64{1e-5, -1e-5, 0.01, 0.3, 1.6} {
					list = append(list, s.At(u).Add(s.Tangent(u).Left().Scale(side)))
				}
			}
		}
	}
	return list
}

func edgeDistance(shape geometry.Region, p geometry.Point) float64 {
	d := math.Inf(1)
	for _, c := range shape.Contours() {
		for s := range c.Segments() {
			q, _ := s.Nearest(p)
			d = math.Min(d, q.DistanceTo(p))
		}
	}
	return d
}

func TestPocketsAreClearedAndNoMore(t *testing.T) {
	for name, shape := range shapes(t) {
		for _, stepover := range []float64{0.3, 0.5, 0.6, 0.95} {
			for _, finish := range []float64{0, 0.4} {
				t.Run(name, func(t *testing.T) {
					recipe := routerRecipe("pad")
					recipe.Stepover, recipe.FinishMM = number(stepover), number(finish)
					sheet := routerSheet(25.4, plan.Cut{Name: name, Shape: shape, DepthMM: 20, Recipes: []profiles.Recipe{recipe}})
					p, err := made(sheet, benchRouter(), tol)
					require.NoError(t, err)
					op := opNamed(t, p, name)
					requireSound(t, op, recipe, p.ClearZ, 20)
					requireCleared(t, op, shape, 3.175/2, 7)
					require.InDeltaSlice(t, []float64{-5, -10, -15, -20}, floors(op), 1e-12)
					require.Equal(t, 4, op.Passes)
				})
			}
		}
	}
}

func TestRandomPocketsAreCleared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const kerf = 3.175
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var points []geometry.Point
		for i := range n {
			r := rapid.Float64Range(6, 45).Draw(t, "radius")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			points = append(points, geometry.Point{X: 60 + r*cos, Y: 60 + r*sin})
		}
		shape := opened(t, geometry.NewRegion(geometry.Polygon(points...)), kerf/2)
		if shape.Empty() {
			t.Skip("too narrow for the tool")
		}
		recipe := routerRecipe("pad")
		recipe.Stepover = number(rapid.Float64Range(0.1, 0.98).Draw(t, "stepover"))
		recipe.FinishMM = number(rapid.Float64Range(0, 1).Draw(t, "finish"))
		recipe.RampDegrees = number(rapid.Float64Range(2, 45).Draw(t, "ramp"))
		recipe.StepdownMM = number(rapid.Float64Range(3, 12).Draw(t, "stepdown"))
		depth := rapid.Float64Range(1, 20).Draw(t, "depth")
		sheet := routerSheet(25.4, plan.Cut{Name: "hole", Shape: shape, DepthMM: depth, Recipes: []profiles.Recipe{recipe}})
		p, err := made(sheet, benchRouter(), tol)
		require.NoError(t, err)
		requireSound(t, p.Ops[0], recipe, p.ClearZ, depth)
		requireCleared(t, p.Ops[0], shape, kerf/2, 3)
		require.InDelta(t, -depth, floors(p.Ops[0])[p.Ops[0].Passes-1], 1e-9)
	})
}

func TestThroughPocketEndsBelowTheFoam(t *testing.T) {
	sheet := routerSheet(12.7, plan.Cut{Name: "dice", Shape: rectangle(20, 20, 40, 30, 2), Through: true})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	assert.Equal(t, 0.3, p.BreakthroughMM)
	assert.InDeltaSlice(t, []float64{-12.7 / 3, -25.4 / 3, -13}, floors(opNamed(t, p, "dice")), 1e-12)
	requireSound(t, opNamed(t, p, "dice"), routerRecipe("pad"), p.ClearZ, 13)
}

func TestBlockChangesSettingsAtTheGlueLine(t *testing.T) {
	soft, firm := routerRecipe("soft"), routerRecipe("firm")
	firm.StepdownMM, firm.FeedMMPerMin, firm.Stepover = number(2), number(1000), number(0.3)
	sheet := sheetOf([]profiles.Recipe{soft, firm}, []float64{25.4, 6.35}, cutter3,
		[]plan.Cut{{Name: "kraken", Shape: rectangle(20, 20, 40, 30, 2), DepthMM: 29.4}})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	op := opNamed(t, p, "kraken")
	want := []float64{-5.08, -10.16, -15.24, -20.32, -25.4, -27.4, -29.4}
	require.InDeltaSlice(t, want, floors(op), 1e-9)
	each(op, func(from Point, m Move) {
		if m.Kind == Rapid || from.Z != m.To.Z {
			return
		}
		if m.To.Z < -25.4-1e-9 {
			assert.Equal(t, 1000.0, m.FeedMMPerMin)
		} else if m.To.Z < 0 && m.To.Z > -25.4+1e-9 {
			assert.Equal(t, 1800.0, m.FeedMMPerMin)
		}
	})
	requireSound(t, op, soft, p.ClearZ, 29.4)
}

// A tool that cuts wider in the lower foam runs farther from the wall there; one
// that cuts narrower does not come nearer, because it would cut the foam above.
func TestBlockKeepsOffTheUpperWall(t *testing.T) {
	for lower, want := range map[float64]float64{3.6: 1.8, 2.8: 3.175 / 2} {
		a, b := routerRecipe("soft"), routerRecipe("firm")
		b.KerfMM = number(lower)
		sheet := sheetOf([]profiles.Recipe{a, b}, []float64{10, 10}, cutter3,
			[]plan.Cut{{Name: "kraken", Shape: rectangle(20, 20, 40, 30, 2), DepthMM: 20}})
		p, err := made(sheet, benchRouter(), tol)
		require.NoError(t, err)
		least := math.Inf(1)
		each(opNamed(t, p, "kraken"), func(from Point, m Move) {
			if from.Z < -10 && m.Kind != Rapid {
				least = math.Min(least, math.Min(m.To.X-20, 60-m.To.X))
			}
		})
		assert.InDelta(t, want, least, 1e-9)
	}
}

func TestDeeperPocketStartsOnTheFloorOfTheShallower(t *testing.T) {
	sheet := routerSheet(25.4,
		plan.Cut{Name: "well", Shape: rectangle(40, 40, 20, 20, 3), DepthMM: 20},
		plan.Cut{Name: "shelf", Shape: rectangle(20, 20, 80, 60, 3), DepthMM: 8},
		plan.Cut{Name: "corner", Shape: rectangle(90, 70, 30, 30, 3), DepthMM: 14})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	at := map[string]int{}
	for i, op := range p.Ops {
		at[op.Name] = i
	}
	assert.Less(t, at["shelf"], at["well"])
	assert.Less(t, at["shelf"], at["corner"])
	assert.InDeltaSlice(t, []float64{-14, -20}, floors(opNamed(t, p, "well")), 1e-9)
	assert.InDelta(t, -14.0/3, floors(opNamed(t, p, "corner"))[0], 1e-9)
	assert.Equal(t, 2, opNamed(t, p, "well").Passes)
}

func TestOutlineLeavesASkin(t *testing.T) {
	p, err := made(routerSheet(12.7), benchRouter(), tol)
	require.NoError(t, err)
	op := opNamed(t, p, "outline")
	requireSound(t, op, routerRecipe("pad"), p.ClearZ, 12.1)
	each(op, func(from Point, m Move) {
		assert.False(t, m.Kind != Rapid && m.To.Z > from.Z, "a lap that goes on where the one before it ended never rises: %v to %v", from, m.To)
	})
	assert.Equal(t, 0.6, p.SkinMM)
	assert.InDelta(t, -12.1, floors(op)[2], 1e-12)
	requireOutside(t, op, rectangle(0, 0, 200, 150, 8))
}

// requireOutside checks by points: nothing of the tray is cut, and all of a strip
// around it is, at each level or on the way to the next.
func requireOutside(t *testing.T, op Op, tray geometry.Region) {
	random := rand.New(rand.NewPCG(5, 5))
	levels := floors(op)
	for _, p := range samples(tray, random, 200) {
		d := edgeDistance(tray, p)
		each(op, func(from Point, m Move) {
			if m.Kind != Rapid && tray.Contains(p) {
				require.GreaterOrEqual(t, away(p, from, m), 3.175/2+d-2e-6)
			}
		})
		if tray.Contains(p) || d > 3.175-1e-4 || d < 1e-4 {
			continue
		}
		for _, z := range levels {
			least := math.Inf(1)
			each(op, func(from Point, m Move) {
				if math.Max(from.Z, m.To.Z) <= z && m.Kind != Rapid { // there, or on the way deeper
					least = math.Min(least, away(p, from, m))
				}
			})
			require.LessOrEqual(t, least, 3.175/2+1e-6, "%v at Z%.2f", p, z)
		}
	}
}

func TestTabsHoldTheTray(t *testing.T) {
	for _, count := range []int{1, 4, 13} { // of many, some lie where the last lap begins
		requireTabs(t, count)
	}
}

func requireTabs(t *testing.T, count int) {
	recipe := routerRecipe("pad")
	recipe.SkinMM, recipe.TabCount = number(0), number(float64(count))
	sheet := sheetOf([]profiles.Recipe{recipe}, []float64{12.7}, cutter3, nil)
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	op := opNamed(t, p, "outline")
	requireSound(t, op, recipe, p.ClearZ, 13)
	assert.Zero(t, p.SkinMM)

	// Points of the cut's middle line that are never reached below the tabs' tops.
	middle, err := geometry.Offset(sheet.Edge.Shape, 3.175/2, tol)
	require.NoError(t, err)
	way := newTrack(middle.Contours()[0])
	var standing []bool
	const step = 0.05
	for s := 0.0; s < way.length(); s += step {
		q := way.at(s)
		least := math.Inf(1)
		each(op, func(from Point, m Move) {
			if m.Kind != Rapid && math.Max(from.Z, m.To.Z) < -12.7+3-1e-9 {
				least = math.Min(least, away(q, from, m))
			}
		})
		standing = append(standing, least > 3.175/2)
	}
	var widths []float64
	for i := range standing {
		if standing[i] && !standing[(i+len(standing)-1)%len(standing)] {
			n := 0
			for standing[(i+n)%len(standing)] {
				n++
			}
			widths = append(widths, float64(n)*step)
			q := way.at((float64(i) + float64(n)/2) * step)
			straight := q.X > 12 && q.X < 188 || q.Y > 12 && q.Y < 138
			assert.True(t, straight, "a tab at a corner: %v", q)
		}
	}
	require.Len(t, widths, count)
	assert.InDeltaSlice(t, slices.Repeat([]float64{6}, count), widths, 3*step)
}

func TestRouterIsClimbCut(t *testing.T) {
	sheet := routerSheet(12.7, plan.Cut{Name: "hole", Shape: shapes(t)["ring with island"], DepthMM: 6})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	for _, op := range p.Ops {
		tray, wall := sheet.Edge.Shape, sheet.Cuts[0].Shape
		each(op, func(from Point, m Move) {
			if m.Kind != Line || from.Z != m.To.Z || m.To.Z >= 0 {
				return
			}
			direction := m.To.Sub(from.Point)
			right := direction.Left().Scale(-1.01 * 3.175 / 2 / direction.Norm())
			beside := from.Add(m.To.Point).Scale(0.5).Add(right)
			left := from.Add(m.To.Point).Scale(0.5).Sub(right)
			if op.Kind == Outline {
				assert.True(t, tray.Contains(beside))
			} else if !wall.Contains(left) {
				assert.Fail(t, "the wall is on the left", "%v -> %v", from, m.To)
			}
		})
	}
}

// The lead-in touches the wall: the direction does not change where it ends.
func TestFinishPassComesInOnATangent(t *testing.T) {
	sheet := routerSheet(12.7, plan.Cut{Name: "hole", Shape: rectangle(20, 20, 40, 30, 3), DepthMM: 6})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	moves := p.Ops[0].Moves
	in, next := -1, -1
	for i := range moves {
		if moves[i].Kind == CCW && math.Abs(moves[i].To.Z-moves[i-1].To.Z) < 1e-12 &&
			math.Abs(edgeDistance(sheet.Cuts[0].Shape, moves[i].To.Point)-3.175/2) < 1e-9 && in < 0 {
			in, next = i, i+1
		}
	}
	require.Positive(t, in)
	arrive := moves[in].To.Sub(moves[in].Center).Left()
	leave := moves[next].To.Sub(moves[in].To.Point)
	assert.InDelta(t, 0, arrive.Cross(leave)/arrive.Norm()/leave.Norm(), 1e-9)
	assert.GreaterOrEqual(t, arrive.Norm(), 3.175/4)
}

func TestRouterRefusals(t *testing.T) {
	hole := func(c plan.Cut) plan.Sheet { return routerSheet(25.4, c) }
	for name, c := range map[string]struct {
		sheet plan.Sheet
		says  string
	}{
		"tool too wide":   {hole(plan.Cut{Name: "hole", Shape: round(50, 50, 3), DepthMM: 10}), "does not fit"},
		"loose island":    {hole(plan.Cut{Name: "hole", Shape: shapes(t)["ring with island"], Through: true}), "fly loose"},
		"recipes missing": {hole(plan.Cut{Name: "hole", Shape: round(50, 50, 30), DepthMM: 10, Recipes: []profiles.Recipe{}}), "the plan has no passes"},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := made(c.sheet, benchRouter(), tol)
			var refused finding.List
			require.ErrorAs(t, err, &refused)
			assert.Contains(t, err.Error(), c.says)
			assert.NotEmpty(t, refused[0].Hint)
			assert.NotEmpty(t, refused[0].Where)
			assert.Empty(t, p.Ops)
		})
	}
}

// waysIn sorts the descents of a pocket into foam by kind: along arcs, along
// lines, straight down.
func waysIn(op Op) (arcs, lines, straight int) {
	each(op, func(from Point, m Move) {
		switch {
		case m.Kind == Rapid || m.To.Z >= from.Z-1e-9 || from.Z > 1e-9:
		case m.Kind != Line:
			arcs++
		case from.Point == m.To.Point:
			straight++
		default:
			lines++
		}
	})
	return arcs, lines, straight
}

func TestEntries(t *testing.T) {
	for _, c := range []struct {
		name                  string
		shape                 geometry.Region
		arcs, lines, straight bool
	}{
		{"a round pocket is entered on a helix", round(60, 60, 25.75), true, false, false},
		{"a square one too, its middle being small", rectangle(20, 20, 31, 31, 2), true, false, false},
		{"a long one on a ramp", rectangle(20, 20, 90, 20, 2), false, true, false},
		{"a narrow round one on a narrow helix", round(60, 60, 5), true, false, false},
		{"one as wide as the tool straight down", round(60, 60, 3.2), false, false, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: c.shape, DepthMM: 11}), benchRouter(), tol)
			require.NoError(t, err)
			arcs, lines, straight := waysIn(p.Ops[0])
			assert.Equal(t, []bool{c.arcs, c.lines, c.straight}, []bool{arcs > 0, lines > 0, straight > 0})
		})
	}
}

// A hole with just the room for the narrowest helix is gone down into on one wherever it lies:
// how its numbers are rounded does not decide.
func TestRoundingDoesNotPlunge(t *testing.T) {
	recipe := routerRecipe("pad")
	recipe.StepdownMM = number(20)
	wide := recipe.KerfMM.Value*(1+2*plan.LeastTurn) - 1e-9
	for i := range 40 {
		at := 40 + float64(i)/7
		p, err := made(routerSheet(50, plan.Cut{Name: "hole", Shape: round(at, at/1.1, wide), DepthMM: 24, Recipes: []profiles.Recipe{recipe}}), benchRouter(), tol)
		require.NoError(t, err)
		assert.Zero(t, p.Ops[0].StraightMM, "at %v", at)
	}
}

// Every level of a hole with room for the narrowest helix is gone down into on one, however deep
// the level is; one without is said to be plunged, by as much as its deepest level.
func TestEveryLevelWindsDown(t *testing.T) {
	for _, c := range []struct{ wide, step, straight float64 }{
		{3.9, 6, 0}, {3.9, 12, 0}, {3.9, 20, 0}, {5, 20, 0}, {3.3, 6, 6}, {3.3, 9, 8},
	} {
		recipe := routerRecipe("pad")
		recipe.StepdownMM = number(c.step)
		p, err := made(routerSheet(50, plan.Cut{Name: "hole", Shape: round(60, 60, c.wide), DepthMM: 24, Recipes: []profiles.Recipe{recipe}}), benchRouter(), tol)
		require.NoError(t, err)
		assert.InDelta(t, c.straight, p.Ops[0].StraightMM, 1e-9, "%+v", c)
		straight := 0.0
		each(p.Ops[0], func(from Point, m Move) {
			if m.Kind == Line && from.Point == m.To.Point && from.Z <= 1e-9 {
				straight = max(straight, from.Z-m.To.Z)
			}
		})
		assert.InDelta(t, c.straight, straight, 1e-9, "%+v", c)
	}
}

// A pocket without islands is cut in one go: the tool is lifted at the end only.
func TestLapsAreLinkedWithoutLifting(t *testing.T) {
	for name, lifts := range map[string]int{"rectangle": 1, "round": 1, "slot": 1, "L with notch": 1, "star": 1} {
		p, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: shapes(t)[name], DepthMM: 11}), benchRouter(), tol)
		require.NoError(t, err)
		got := 0
		each(p.Ops[0], func(from Point, m Move) {
			if m.Kind == Rapid && m.To.Z > from.Z {
				got++
			}
		})
		assert.Equal(t, lifts, got, name)
	}
}

func TestNothingIsNowhere(t *testing.T) {
	far := geometry.NewRegion(geometry.Polygon(geometry.Point{X: math.Inf(1)}, geometry.Point{X: 1}, geometry.Point{Y: 1}))
	odd := geometry.NewRegion(geometry.Polygon(geometry.Point{X: math.NaN()}, geometry.Point{X: 1}, geometry.Point{Y: 1}))
	for _, shape := range []geometry.Region{{}, far, odd} {
		_, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: shape, DepthMM: 11}), benchRouter(), tol)
		require.ErrorContains(t, err, "hole: it has no shape")
	}
	sheet := routerSheet(25.4)
	sheet.Edge.Shape = geometry.Region{}
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	assert.Empty(t, p.Ops)
	_, err = made(plan.Sheet{}, benchRouter(), tol)
	require.ErrorContains(t, err, "no layers")
}

// Pockets that differ in one thing only do not share a path.
func TestDifferentPocketsHaveTheirOwnPaths(t *testing.T) {
	finer := routerRecipe("pad")
	finer.Stepover = number(0.2)
	cuts := []plan.Cut{
		{Name: "a", Shape: rectangle(10, 10, 30, 20, 3), DepthMM: 6},
		{Name: "taller", Shape: rectangle(50, 10, 30, 25, 3), DepthMM: 6},
		{Name: "longer", Shape: rectangle(90, 10, 35, 20, 3), DepthMM: 6},
		{Name: "rounder", Shape: rectangle(130, 10, 30, 20, 4), DepthMM: 6},
		{Name: "deeper", Shape: rectangle(10, 50, 30, 20, 3), DepthMM: 9},
		{Name: "finer", Shape: rectangle(50, 50, 30, 20, 3), DepthMM: 6, Recipes: []profiles.Recipe{finer}},
		{Name: "a again", Shape: rectangle(90, 50, 30, 20, 3), DepthMM: 6},
	}
	p, err := made(routerSheet(25.4, cuts...), benchRouter(), tol)
	require.NoError(t, err)
	length := map[string]float64{}
	for _, c := range cuts {
		op := opNamed(t, p, c.Name)
		requireCleared(t, op, c.Shape, 3.175/2, 1)
		length[c.Name] = Measure(oneOp(op.Moves[1:]...)).CutLengthMM
		assert.InDelta(t, -c.DepthMM, floors(op)[len(floors(op))-1], 1e-9)
	}
	assert.Greater(t, length["finer"], 1.5*length["a"])
	assert.Equal(t, len(opNamed(t, p, "a").Moves), len(opNamed(t, p, "a again").Moves))
}

// From the inside out: no lap is nearer to the wall than one that comes later.
func TestLapsGoFromTheInsideOut(t *testing.T) {
	for _, shape := range []geometry.Region{rectangle(20, 20, 60, 40, 3), round(60, 60, 40)} {
		p, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: shape, DepthMM: 6}), benchRouter(), tol)
		require.NoError(t, err)
		last := math.Inf(1)
		each(p.Ops[0], func(from Point, m Move) {
			d := edgeDistance(shape, onWay(from, m, 0.5))
			if m.Kind == Rapid || from.Z != m.To.Z || math.Abs(d-edgeDistance(shape, m.To.Point)) > 1e-9 || last < 3.175/2+1e-9 {
				return // no part of a lap, or the lead-out
			}
			assert.LessOrEqual(t, d, last+1e-9)
			last = d
		})
		assert.InDelta(t, 3.175/2, last, 1e-9)
	}
}

// Every wall has its lead-in and lead-out, on every level, even where the tool
// has to be lifted to get to it.
func TestEveryWallHasItsLeads(t *testing.T) {
	for name, walls := range map[string]int{"rectangle": 1, "two rounds": 2, "ring with island": 2} {
		shape := shapes(t)[name]
		p, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: shape, DepthMM: 11}), benchRouter(), tol)
		require.NoError(t, err)
		along := func(p geometry.Point) bool { return math.Abs(edgeDistance(shape, p)-3.175/2) < 1e-6 }
		in, out := 0, 0
		each(p.Ops[0], func(from Point, m Move) {
			if along(from.Point) == along(m.To.Point) {
				return
			}
			assert.Equal(t, CCW, m.Kind, "%s: %v to %v", name, from, m.To)
			assert.Equal(t, from.Z, m.To.Z, name)
			assert.GreaterOrEqual(t, m.To.DistanceTo(m.Center), 3.175/4, name)
			if along(m.To.Point) {
				in++
			} else {
				out++
			}
		})
		assert.Equal(t, [2]int{2 * walls, 2 * walls}, [2]int{in, out}, name)
	}
}
