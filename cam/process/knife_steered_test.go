package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

var chordBlade = profiles.Tool{ID: "blade", Number: 1, DiameterMM: number(0.6), ReachMM: number(30), ChordMM: number(2), GougeMM: number(0.1)}

func turningKnife() profiles.Machine {
	m := benchKnife()
	m.TurnRPM, m.Tools = number(100), []profiles.Tool{chordBlade}
	return m
}

func chordSheet(cuts ...plan.Cut) plan.Sheet {
	r := knifeRecipe()
	r.KerfMM, r.LeadInMM = number(0.3), number(0)
	return sheetOf([]profiles.Recipe{r}, []float64{6}, chordBlade, cuts)
}

// pose is a place of the blade's middle in the foam, and where it points.
type pose struct {
	at      geometry.Point
	heading float64
	z       float64
}

// poses walks the moves by itself, finely.
func poses(op Op) (list []pose) {
	at, heading := op.Moves[0].To, op.Moves[0].Heading
	for _, m := range op.Moves {
		if m.Kind != Rapid {
			n := math.Ceil(wayOf(at, m)/0.1) + math.Ceil(math.Abs(m.Heading-heading)/0.02)
			for k := range int(n) + 1 {
				share := float64(k) / n
				if z := at.Z + share*(m.To.Z-at.Z); z < 0 {
					list = append(list, pose{onWay(at, m, share), heading + share*(m.Heading-heading), z})
				}
			}
		}
		at, heading = m.To, m.Heading
	}
	return list
}

// requireChord: no part of the blade, a rectangle as wide as its chord and as thick as the kerf, is
// farther in foam that stays than gouge, its middle nowhere nearer than half a kerf, and every place of the wall
// is touched at the deepest pass.
func requireChord(t require.TestingT, s plan.Sheet, p Program, gouge float64) {
	const half, kerf = 1.0, 0.3
	whole, err := completed(s, turningKnife())
	require.NoError(t, err)
	for _, op := range p.Ops {
		cut, outside := whole.Edge, true
		for _, c := range whole.Cuts {
			if c.Name == op.Name {
				cut, outside = c, false
			}
		}
		room, list := newRoom(cut.Shape, outside), poses(op)
		deepest := 0.0
		for _, q := range list {
			deepest = math.Min(deepest, q.z)
			require.GreaterOrEqual(t, room.depth(q.at), kerf/2-1e-6, "%s, middle at %v", op.Name, q.at)
			sin, cos := math.Sincos(q.heading)
			for _, along := range []float64{-half, half} {
				for _, aside := range []float64{-kerf / 2, kerf / 2} {
					corner := q.at.Add(geometry.Point{X: along*cos - aside*sin, Y: along*sin + aside*cos})
					require.GreaterOrEqual(t, room.depth(corner), -gouge-1e-4, "%s, blade at %v", op.Name, q.at)
				}
			}
		}
		for _, c := range cut.Shape.Contours() {
			track := newTrack(c)
			for along := 0.0; along < track.length(); along += 0.37 {
				wall, best := track.at(along), math.Inf(1)
				if besideLeft(cut, wall, kerf/2+0.002) {
					continue
				}
				for _, q := range list {
					if q.z > deepest+1e-6 {
						continue
					}
					sin, cos := math.Sincos(q.heading)
					off := wall.Sub(q.at)
					x, y := math.Abs(off.X*cos+off.Y*sin)-half, math.Abs(off.Y*cos-off.X*sin)-kerf/2
					best = math.Min(best, math.Hypot(math.Max(0, x), math.Max(0, y)))
				}
				require.Less(t, best, 0.002, "%s, wall at %v", op.Name, wall)
			}
		}
	}
}

// Numbers derived and simulated elsewhere, chord 2 mm, gouge 0.1 mm: 5.74 degrees in one place, no
// curve tighter than 4.95 mm; on 5 mm the ends are 0.09902 mm outside.
func TestATurnedBladesNumbers(t *testing.T) {
	assert.InDelta(t, 5.74, chordBlade.MostTurn(chordBlade.AheadMM(0))*180/math.Pi, 0.005)
	assert.InDelta(t, 4.95, chordBlade.LeastRadiusMM(chordBlade.AheadMM(0)), 1e-9)
	assert.InDelta(t, 0.09902, math.Hypot(5, 1)-5, 5e-6)
	assert.InDelta(t, 0.38516, math.Hypot(5, 2)-5, 5e-6, "with its axis at an end")
	assert.InDelta(t, 2.87, chordBlade.MostTurn(2)*180/math.Pi, 0.005, "likewise")
	slanted := chordBlade
	slanted.SlantDegrees = number(30) // 10 mm deep it is 5.774 mm farther ahead at the top
	assert.InDelta(t, 1+5.774, slanted.AheadMM(10), 5e-4)
}

// A square hole: along each side it comes down a millimetre from the corner and stops a millimetre
// short, by its whole width; round the tray it runs a kerf on.
func TestATurnedBladeKeepsItsChordOutOfCorners(t *testing.T) {
	s := chordSheet(plan.Cut{Name: "hole", Shape: rectangle(30, 25, 40, 30, 0.15), Through: true})
	p, err := made(s, turningKnife(), tol)
	require.NoError(t, err)
	hole := opNamed(t, p, "hole")
	assert.Equal(t, []float64{-3, -6.3}, floors(hole))
	var headings []float64
	each(hole, func(from Point, m Move) {
		if m.Kind == Line && from.Z == m.To.Z {
			require.InDelta(t, from.DistanceTo(m.To.Point), map[bool]float64{true: 40 - 2, false: 30 - 2}[from.Y == m.To.Y], 1e-9)
			headings = append(headings, math.Round(m.Heading*180/math.Pi))
		}
	})
	assert.Equal(t, []float64{0, 90, 180, -90, 0, 90, 180, -90}, headings)
	requireChord(t, s, p, (math.Sqrt2-1)*0.15) // its own corners, in those of the hole as round as half a kerf
}

// What the chord does not fit is refused with a number, and the number does.
func TestWhatAChordDoesNotFitIsRefused(t *testing.T) {
	for _, c := range []struct {
		shape, does geometry.Region
		says, hint  string
	}{
		{rectangle(30, 25, 40, 30, 3), rectangle(30, 25, 40, 30, 5.1), "inside curve of radius 3.00 mm", "radius of 5.10 mm or more"},
		{round(50, 40, 10), round(50, 40, 10.2), "inside curve of radius 5.00 mm", "radius of 5.10 mm or more"},
		{rectangle(30, 25, 40, 1.9, 0.15), rectangle(30, 25, 40, 2.01, 0.15), "a side of 1.90 mm between two inside corners", "2.01 mm or longer"},
	} {
		_, err := made(chordSheet(plan.Cut{Name: "hole", Shape: c.shape, Through: true}), turningKnife(), tol)
		require.ErrorContains(t, err, c.says)
		assert.Contains(t, hintOf(t, err), c.hint)
		_, err = made(chordSheet(plan.Cut{Name: "hole", Shape: c.does, Through: true}), turningKnife(), tol)
		assert.NoError(t, err)
	}
}

// Random shapes with room, by a seed: boxes with sharp corners or round ones that fit, rounds, polygons and stars
// whose foam has sharp corners inside the hole too.
func TestAnyShapeIsCutByATurnedBlade(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shape geometry.Region
		switch rapid.IntRange(0, 3).Draw(t, "shape") {
		case 0:
			corner := rapid.SampledFrom([]float64{0.15, 5.1, 7}).Draw(t, "corner")
			shape = rectangle(20, 20, rapid.Float64Range(15, 45).Draw(t, "length"), rapid.Float64Range(15, 45).Draw(t, "width"), corner)
		case 1:
			shape = round(45, 45, rapid.Float64Range(10.2, 44).Draw(t, "diameter"))
		case 2:
			shape = opened(t, spiked(t, 8, 22, rapid.IntRange(3, 7).Draw(t, "corners")), 0.15)
		default:
			shape = opened(t, spiked(t, 14, 22, rapid.IntRange(8, 16).Draw(t, "corners")), 0.15)
		}
		s := chordSheet(plan.Cut{Name: "hole", Shape: shape, Through: true})
		m := turningKnife()
		if rapid.Bool().Draw(t, "clockwise") {
			m.ACounts = profiles.AClockwise
		}
		p, err := made(s, m, tol)
		require.NoError(t, err)
		p.Ops = p.Ops[:1]
		requireChord(t, s, p, 0.1)
	})
}

// spiked is a polygon about the middle, its corners between two radii.
func spiked(t *rapid.T, least, most float64, n int) geometry.Region {
	var list []geometry.Point
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + rapid.Float64Range(0.1, 0.6).Draw(t, "turn")) / float64(n))
		r := rapid.Float64Range(least, most).Draw(t, "r")
		list = append(list, geometry.Point{X: 45 + r*cos, Y: 45 + r*sin})
	}
	return geometry.NewRegion(geometry.Polygon(list...))
}

// besideLeft reports whether a place is so near to what the plan leaves to a hand.
func besideLeft(cut plan.Cut, at geometry.Point, near float64) bool {
	for _, way := range cut.Left {
		for s := range way.Segments() {
			if on, _ := s.Nearest(at); on.DistanceTo(at) <= near {
				return true
			}
		}
	}
	return false
}

// What the chord does not fit is left where the tray says so, and nothing else is: the blade goes up to it from both
// sides and never into foam that stays, by a seed.
func TestWhatAChordDoesNotFitIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shape geometry.Region
		places, mm := 4, 0.0
		corner := rapid.Float64Range(0.6, 5.05).Draw(t, "corner")
		length, width := rapid.Float64Range(14, 45).Draw(t, "length"), rapid.Float64Range(14, 45).Draw(t, "width")
		switch rapid.IntRange(0, 2).Draw(t, "shape") {
		case 0: // a box with corners that are too tight
			shape, mm = rectangle(20, 20, length, width, corner), 2*math.Pi*(corner-0.15)
		case 1: // a box narrower than the chord
			width = rapid.Float64Range(0.8, 1.99).Draw(t, "narrow")
			shape, places, mm = rectangle(20, 20, length, width, 0.15), 2, 2*(width-0.3)
		default: // a slot, whose ends are too tight
			r := rapid.Float64Range(1, 5.05).Draw(t, "end")
			shape = geometry.NewRegion(geometry.Slot(geometry.Point{X: 30, Y: 40}, geometry.Point{X: 30 + length, Y: 40}, 2*r))
			places, mm = 2, 2*math.Pi*(r-0.15)
		}
		s := chordSheet(plan.Cut{Name: "hole", Shape: shape, Through: true, LeaveTight: true})
		whole, err := completed(s, turningKnife())
		require.NoError(t, err)
		require.Len(t, whole.Cuts[0].Left, places)
		require.InDelta(t, mm, whole.Cuts[0].LeftMM(), 1e-6)
		require.Empty(t, whole.Edge.Left)
		p, err := made(s, turningKnife(), tol)
		require.NoError(t, err)
		p.Ops = p.Ops[:1]
		requireChord(t, s, p, 0.1)
		require.Equal(t, places, p.Left)
		for _, d := range p.Drawn { // no drawing goes along what is left
			require.True(t, d.Kind == Outline || d.Contour.Len() == 0 && d.Path.Length() > 0, "%v", d)
		}
		s.Cuts[0].LeaveTight = false
		_, err = made(s, turningKnife(), tol)
		require.ErrorContains(t, err, "tight_corners: left")
	})
}

// A hole that the blade fits nowhere is refused either way.
func TestAHoleThatNothingOfIsCutIsRefused(t *testing.T) {
	for _, shape := range []geometry.Region{round(50, 40, 8), rectangle(30, 25, 1.9, 1.9, 0.15)} {
		_, err := made(chordSheet(plan.Cut{Name: "hole", Shape: shape, Through: true, LeaveTight: true}), turningKnife(), tol)
		require.ErrorContains(t, err, "has no side that a blade 2.00 mm wide can cut")
	}
}

// A blade that oscillates, 100 strokes a second at 20 mm/s: it goes 0.2 mm a stroke, and its edge, which runs a way of 1 mm up
// and down as a sine, slices 10 mm for each mm that it pushes, 2 A f / v (facts J, derived, here added up over its strokes). The feeds
// that ship are no faster than 0.2 mm a stroke.
func TestStrokesOfABladeThatOscillates(t *testing.T) {
	const strokes, mmPerS, way, n = 100.0, 20.0, 1.0, 200_000
	assert.InDelta(t, 0.2, mmPerS/strokes, 1e-12)
	sliced, at := 0.0, 0.0
	for i := range n { // one second
		next := way / 2 * math.Sin(2*math.Pi*strokes*float64(i+1)/n)
		sliced, at = sliced+math.Abs(next-at), next
	}
	assert.InDelta(t, 10, sliced/mmPerS, 1e-3)
	assert.InDelta(t, 2*way*strokes/mmPerS, sliced/mmPerS, 1e-3)
	catalog, err := profiles.Shipped()
	require.NoError(t, err)
	looked := 0
	for _, r := range catalog.Recipes() {
		if r.Machine == "bench-knife" {
			looked++
			assert.LessOrEqual(t, r.FeedMMPerMin.Value/60/strokes, 0.2+1e-12, r.Foam)
		}
	}
	assert.Positive(t, looked)
}

// Wherever it begins, the blade comes down and is lifted where all of it lies along one side or one curve: there its
// ends are as far beside the wall as each other.
func TestATurnedBladeComesDownAlongOneSide(t *testing.T) {
	const reach = 1 - 0.3/2
	rapid.Check(t, func(t *rapid.T) {
		corner := rapid.Float64Range(5.15, 14).Draw(t, "corner")
		shape := rectangle(20, 20, rapid.Float64Range(29, 45).Draw(t, "length"), rapid.Float64Range(29, 45).Draw(t, "width"), corner)
		sheet, err := completed(chordSheet(plan.Cut{Name: "hole", Shape: shape, Through: true}), turningKnife())
		require.NoError(t, err)
		sheet.Edge.Shape = rectangle(0, 0, 90, 90, corner/4)
		k := &steered{bladed{machine: turningKnife(), sheet: sheet, tol: tol}}
		k.round = k.contours
		near := geometry.Point{X: rapid.Float64Range(0, 90).Draw(t, "x"), Y: rapid.Float64Range(0, 90).Draw(t, "y")}
		for i, cut := range []plan.Cut{sheet.Cuts[0], sheet.Edge} {
			done, err := []func(plan.Cut, geometry.Point) (finished, error){k.pocket, k.outline}[i](cut, near)
			require.NoError(t, err)
			room, ends := newRoom(cut.Shape, i > 0), 0
			each(done.op, func(from Point, m Move) {
				if from.Point == m.To.Point && (from.Z < 0) != (m.To.Z < 0) {
					ends++
					sin, cos := math.Sincos(m.Heading)
					ahead := geometry.Point{X: reach * cos, Y: reach * sin}
					require.InDelta(t, room.depth(m.To.Add(ahead)), room.depth(m.To.Sub(ahead)), 1e-6, "at %v", m.To)
				}
			})
			require.Equal(t, 2*len(cut.Passes), ends)
		}
	})
}
