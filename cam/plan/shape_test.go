package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry"
)

const tol = 1e-6

// Areas and lengths of the shapes, by the formulas of plane geometry; ID-1 is
// the card of ISO/IEC 7810 with corners of 3.18 mm, after a secondary text.
func TestForms(t *testing.T) {
	for _, c := range []struct {
		form         form
		area, length float64
	}{
		{form{"rect", 74, 105, 0, nil}, 74 * 105, 2 * (74 + 105)}, // A7, ISO 216
		{form{"rect", 85.60, 53.98, 3.18, nil}, 4612.007, 273.701},
		{form{"round", 25.75, 25.75, 0, nil}, 520.768, math.Pi * 25.75}, // 2 euro, Regulation (EC) 975/98
		{form{"slot", 40, 10, 0, nil}, 300 + math.Pi*25, 60 + math.Pi*10},
		{form{"slot", 10, 40, 0, nil}, 300 + math.Pi*25, 60 + math.Pi*10},
	} {
		t.Run(fmt.Sprint(c.form), func(t *testing.T) {
			assert.InDelta(t, c.area, c.form.contour().Area(), 5e-4)
			assert.InDelta(t, c.length, c.form.contour().Length(), 5e-4)
			assertBox(t, c.form.box(), c.form.contour().Bounds())
		})
	}
}

// A notch adds its tongue beyond the side: a half disc where it reaches half
// its width, with a straight part where more, a circular segment where less.
func TestNotches(t *testing.T) {
	pocket := form{"rect", 60, 40, 0, nil}
	segment := func(w, h float64) float64 { // area of the circular segment on chord w with height h
		r := (w*w/4 + h*h) / (2 * h)
		half := math.Asin(w / 2 / r)
		return r*r*half - w/2*(r-h)
	}
	for _, c := range []struct {
		sides        job.Side
		width, reach float64
		added        float64
		box          geometry.Box
	}{
		{job.North, 0, 0, math.Pi * 50, geometry.Box{Max: geometry.Point{X: 60, Y: 50}}},
		{job.South, 20, 15, math.Pi*50 + 100, geometry.Box{Min: geometry.Point{Y: -15}, Max: geometry.Point{X: 60, Y: 40}}},
		{job.East, 20, 4, segment(20, 4), geometry.Box{Max: geometry.Point{X: 64, Y: 40}}},
		{job.West | job.East, 12, 6, math.Pi * 36, geometry.Box{Min: geometry.Point{X: -6}, Max: geometry.Point{X: 66, Y: 40}}},
		{job.East, 500, 20, math.Pi * 200, geometry.Box{Max: geometry.Point{X: 80, Y: 40}}}, // no wider than its side
	} {
		m := newMaker(Input{Job: &job.Job{}})
		p, err := m.pattern(patternKey{form: pocket, notch: c.sides, notchWidth: mm(c.width), notchReach: mm(c.reach)})
		require.NoError(t, err)
		assert.Len(t, p.bare.Contours(), 1, "one contour")
		assert.InDelta(t, 2400+c.added, p.bare.Area(), 1e-6)
		assertBox(t, c.box, p.bare.Bounds())
		assertBox(t, pocket.box(), p.box)
	}
}

func assertBox(t *testing.T, want, got geometry.Box) {
	t.Helper()
	for _, pair := range [][2]float64{{want.Min.X, got.Min.X}, {want.Min.Y, got.Min.Y}, {want.Max.X, got.Max.X}, {want.Max.Y, got.Max.Y}} {
		assert.InDelta(t, pair[0], pair[1], 1e-6, "want %v, got %v", want, got)
	}
}

// A round pocket's notch still meets the circle.
func TestNotchOfRound(t *testing.T) {
	m := newMaker(Input{Job: &job.Job{}})
	p, err := m.pattern(patternKey{form: form{"round", 25.75, 25.75, 0, nil}, notch: job.North})
	require.NoError(t, err)
	assert.Len(t, p.bare.Contours(), 1)
	assert.InDelta(t, 35.75, p.bare.Bounds().Max.Y, 1e-6)
	assert.Greater(t, p.bare.Area(), 520.768)
}

// `at` is the lower-left corner of the turned shape's own box, without notches.
func TestTurnedPlace(t *testing.T) {
	s, c := math.Sincos(15 * math.Pi / 180)
	for _, k := range []struct {
		turn, length, width float64
	}{{0, 30, 20}, {90, 20, 30}, {-90, 20, 30}, {180, 30, 20}, {15, 30*c + 20*s, 30*s + 20*c}} {
		pocket := with(rect(20, 25, 30, 20), func(p *job.Pocket) { p.Corner, p.Turn, p.Notch = 0, k.turn, job.East })
		plan, _ := make1(t, bench(pad(pocket)))
		got := plan.Trays[0].Pockets[0]
		assertBox(t, geometry.Box{Min: geometry.Point{X: 20, Y: 25}, Max: geometry.Point{X: 20 + k.length, Y: 25 + k.width}}, got.Box)
		assert.InDelta(t, 600+math.Pi*50, got.Design.Area(), 1e-6, "the notch turns with the pocket")
	}
}

// The dog-bone moves r(sqrt2 - 1) past the tool's place in the corner, the
// T-bone r along one side; in a corner of angle t the dog-bone moves
// r(1/sin(t/2) - 1). r = 3.175 gives 1.3151 mm. Derived.
func TestReliefMoves(t *testing.T) {
	const r = 3.175
	square := geometry.NewRegion(form{"rect", 40, 30, 0, nil}.contour())
	corners := sharpCorners(square, r)
	require.Len(t, corners, 4)
	for _, c := range corners {
		from, to := c.reliefPath(job.Dogbone, r)
		assert.InDelta(t, 1.3151, from.DistanceTo(to), 5e-5)
		assert.InDelta(t, r, to.DistanceTo(c.at), 1e-9, "the tool's edge touches the corner")
		from, to = c.reliefPath(job.TBone, r)
		assert.InDelta(t, r, from.DistanceTo(to), 1e-9)
		assert.InDelta(t, r, to.DistanceTo(c.at), 1e-9)
		assert.InDelta(t, c.at.X, to.X, 1e-9, "along the longer side")
	}
	triangle := geometry.NewRegion(geometry.Polygon(geometry.Point{}, geometry.Point{X: 60}, geometry.Point{X: 30, Y: 30 * math.Sqrt(3)}))
	for _, c := range sharpCorners(triangle, r) {
		from, to := c.reliefPath(job.Dogbone, r)
		assert.InDelta(t, r, from.DistanceTo(to), 1e-9, "1/sin 30° - 1 = 1")
	}
}

// With its reliefs, a rectangle of the size asked for goes into the pocket as
// the tool leaves it, and the reliefs are no larger than they must be.
func TestReliefLetsCornersIn(t *testing.T) {
	const r = 3.175
	design := geometry.NewRegion(form{"rect", 40, 30, 0, nil}.contour())
	for kind, ear := range map[job.Relief]float64{job.Dogbone: 1.6, job.TBone: 3.6} {
		whole, err := relieved(design, sharpCorners(design, r), kind, r, tol)
		require.NoError(t, err)
		left, err := reach(whole, r, leastRoomMM, tol)
		require.NoError(t, err)
		assert.False(t, left.narrow)
		assert.False(t, left.corners)
		missing, err := geometry.Difference(design, left.shape, tol)
		require.NoError(t, err)
		assert.InDelta(t, 0, missing.Area(), 1e-3)
		box := left.shape.Bounds()
		assert.Less(t, box.Width(), 40+2*ear)
	}
}

// A round tool leaves r²(S - π) of a convex polygon, S the sum of
// cot(t/2) over its angles: 0.8584 r² of a rectangle, 2.1633 mm² a corner at
// r = 3.175. Derived.
func TestReach(t *testing.T) {
	const r = 3.175
	for _, c := range []struct {
		name    string
		shape   geometry.Contour
		left    float64
		narrow  bool
		corners bool
	}{
		{"rectangle", form{"rect", 40, 30, 0, nil}.contour(), 4 * 2.1633, false, true},
		{"rounded", form{"rect", 40, 30, 4, nil}.contour(), 0, false, false},
		{"rounded as the tool", form{"rect", 40, 30, r, nil}.contour(), 0, false, false},
		{"round", form{"round", 10, 10, 0, nil}.contour(), 0, false, false},
		{"slit", form{"rect", 40, 6, 0, nil}.contour(), 240, true, false},
		{"triangle", geometry.Polygon(geometry.Point{}, geometry.Point{X: 60}, geometry.Point{X: 30, Y: 30 * math.Sqrt(3)}), r * r * (3*math.Sqrt(3) - math.Pi), false, true},
		// Two rooms joined by a passage 5 mm wide.
		{"passage", geometry.Polygon(points(0, 0, 20, 0, 20, 7.5, 30, 7.5, 30, 0, 50, 0, 50, 20, 30, 20, 30, 12.5, 20, 12.5, 20, 20, 0, 20)...), 0, true, true},
		{"short passage", geometry.Polygon(points(0, 0, 20, 0, 20, 7.5, 22.5, 7.5, 22.5, 0, 50, 0, 50, 20, 22.5, 20, 22.5, 12.5, 20, 12.5, 20, 20, 0, 20)...), 0, true, true},
		{"shallow niche", geometry.Polygon(points(0, 0, 20, 0, 20, 7.5, 22, 7.5, 22, 12.5, 20, 12.5, 20, 20, 0, 20)...), 0, true, true},
		// A room with a passage that leads nowhere.
		{"dead end", geometry.Polygon(points(0, 0, 20, 0, 20, 7.5, 30, 7.5, 30, 12.5, 20, 12.5, 20, 20, 0, 20)...), 0, true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := reach(geometry.NewRegion(c.shape), r, leastRoomMM, tol)
			require.NoError(t, err)
			assert.Equal(t, c.narrow, got.narrow)
			if !c.narrow {
				assert.Equal(t, c.corners, got.corners)
				assert.InDelta(t, c.left, c.shape.Area()-got.shape.Area(), 5e-4)
			}
		})
	}
}

// The corners of a piece of the pocket's own size press into the rounding by
// r(sqrt2 - 1): 1.3151 mm at r = 3.175. Derived.
func TestPinch(t *testing.T) {
	assert.InDelta(t, 1.3151, pinch(3.175, 0, 0), 5e-5)
	assert.InDelta(t, 1.3151, pinch(3.175, -1, -1), 5e-5)
	assert.Zero(t, pinch(3.175, 3.175, 0))
	assert.Zero(t, pinch(3.175, 3.175*(1-math.Sqrt2/2), 3.175*(1-math.Sqrt2/2)+1e-9))
}

func points(xy ...float64) []geometry.Point {
	var list []geometry.Point
	for i := 0; i+1 < len(xy); i += 2 {
		list = append(list, geometry.Point{X: xy[i], Y: xy[i+1]})
	}
	return list
}

// The outline is the tray grown by its ease, corners grown with it: by Steiner's
// formula its area is A + Pr + πr².
func TestOutlineGrowsByEase(t *testing.T) {
	tray := pad()
	tray.Corner, tray.Ease = mm(8), mm(1)
	plan, _ := make1(t, bench(tray))
	outline := plan.Trays[0].Outline
	inner := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 120, Y: 80}}, 8)
	assert.InDelta(t, inner.Area()+inner.Length()+math.Pi, outline.Area(), 1e-6)
	assertBox(t, geometry.Box{Min: geometry.Point{X: -1, Y: -1}, Max: geometry.Point{X: 121, Y: 81}}, outline.Bounds())
	assert.NoError(t, geometry.NewRegion(outline).Validate(tol))
	tray.Corner = mm(40)
	plan, _ = make1(t, bench(tray))
	assert.NoError(t, geometry.NewRegion(plan.Trays[0].Outline).Validate(tol))
}

// Halves lie side by side: the second one's coordinates are its own, the cut
// faces have neither ease nor rounding, and together they are the tray.
func TestHalves(t *testing.T) {
	tray := pad(rect(12, 20, 30, 20), rect(75, 21, 30, 20))
	tray.Halves, tray.Corner, tray.Ease = 2, mm(8), mm(1)
	tray.Length += 1 // an odd number of nanometres
	plan, found := make1(t, bench(tray))
	require.False(t, found.Failed(), "%v", found)
	require.Len(t, plan.Trays, 2)
	first, second := plan.Trays[0], plan.Trays[1]
	assert.Equal(t, "pad-1", first.ID)
	assert.Equal(t, "pad-2", second.ID)
	assert.Equal(t, tray.Length, first.Length+second.Length)
	assertBox(t, geometry.Box{Min: geometry.Point{X: -1, Y: -1}, Max: geometry.Point{X: 60, Y: 81}}, first.Outline.Bounds())
	assertBox(t, geometry.Box{Min: geometry.Point{Y: -1}, Max: geometry.Point{X: 61, Y: 81}}, second.Outline.Bounds())
	require.Len(t, second.Pockets, 1)
	assertBox(t, geometry.Box{Min: geometry.Point{X: 15, Y: 21}, Max: geometry.Point{X: 45, Y: 41}}, second.Pockets[0].Box)
	assert.Equal(t, "pocket 2", second.Pockets[0].Name)

	tall := pad(rect(12, 62, 30, 20))
	tall.Length, tall.Width, tall.Halves = mm(80), mm(120), 2
	plan, _ = make1(t, bench(tall))
	assert.Equal(t, mm(60), plan.Trays[0].Width)
	assertBox(t, geometry.Box{Min: geometry.Point{X: 12, Y: 2}, Max: geometry.Point{X: 42, Y: 22}}, plan.Trays[1].Pockets[0].Box)
}

func TestFootprints(t *testing.T) {
	harpooner := piece("harpooner", 1, 40, 25, 55)
	for _, c := range []struct {
		pose   job.Pose
		shape  job.Shape
		name   string
		length float64
		width  float64
	}{
		{job.AnyPose, job.Rect, "rect", 41.5, 26.5},
		{job.Upright, job.Rect, "rect", 41.5, 26.5},
		{job.Lying, job.Rect, "rect", 41.5, 56.5},
		{job.Upright, job.Round, "round", 41.5, 41.5},
		{job.Lying, job.Round, "rect", 41.5, 56.5},
	} {
		harpooner.Pose, harpooner.Shape = c.pose, c.shape
		tray := pad(job.Pocket{For: "harpooner", X: mm(12), Y: mm(12), Fit: "easy"}) // easy in pe-30 adds 1.5 mm
		plan, _ := make1(t, bench(tray, harpooner))
		got := plan.Trays[0].Pockets[0]
		assert.Equal(t, c.name, got.ShapeName)
		assert.InDelta(t, c.length, got.Box.Width(), 1e-9)
		assert.InDelta(t, c.width, got.Box.Height(), 1e-9)
	}
}

// A shape exactly as wide as a cutter is too narrow, however it is made and turned: there is no
// path in it, and rounding is not to decide (derived; the room beside it is judged, no source).
func TestAsWideAsTheCutterIsTooNarrow(t *testing.T) {
	const r = 3.175 / 2
	for _, wide := range []float64{-1e-9, 0, 1e-9, 5e-4} {
		for _, f := range []form{{"rect", 40, 2*r + wide, 0, nil}, {"rect", 2*r + wide, 40, 0, nil}, {"round", 2*r + wide, 2*r + wide, 0, nil}} {
			assert.True(t, f.reach(r, leastRoomMM).narrow, "%+v", f)
			for turn := 0.0; turn < 3; turn += 0.37 {
				got, err := reach(geometry.NewRegion(f.contour()).Transform(geometry.Rotate(turn, geometry.Point{})), r, leastRoomMM, tol)
				require.NoError(t, err)
				assert.True(t, got.narrow, "%+v turned %g", f, turn)
			}
		}
	}
	assert.False(t, form{"rect", 40, 2*r + 2*leastRoomMM, 0, nil}.reach(r, leastRoomMM).narrow)
	assert.False(t, form{"rect", 40, 2 * r, 0, nil}.reach(r, 0).narrow, "the foam's least corner takes no room beside it")
	got, err := reach(geometry.NewRegion(form{"rect", 40, 2*r + 3*leastRoomMM, r, nil}.contour()), r, leastRoomMM, tol)
	require.NoError(t, err)
	assert.False(t, got.narrow)
}
