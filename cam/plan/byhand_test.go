package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Everything here is worked out by hand, or counted out by brute force.

// ringed is a square hole of a side with a square island of another about the same middle.
func ringed(x, y, side, island float64) geometry.Region {
	inset := (side - island) / 2
	return geometry.NewRegion(square(x, y, side), square(x+inset, y+inset, island).Reverse())
}

// The least foam is that of the contour that comes nearest, whichever comes first, however little.
func TestLeastDistancesByHand(t *testing.T) {
	m := &maker{Input: Input{TolMM: 1e-6}}
	rim := square(0, 0, 100)
	for _, near := range []float64{0.2, 0.9, 3, 11} {
		assert.InDelta(t, near, m.toRim(ringed(near, 30, 40, 20), rim), 1e-9)
		assert.InDelta(t, near, m.toRim(geometry.NewRegion(square(40, 40, 5), square(60, near, 5)), rim), 1e-9, "the second is nearer")
		k := &mark{contours: []geometry.Contour{square(40, 40, 5), square(near, 60, 5)}, reachMM: 0.1}
		k.Box = geometry.Box{Max: geometry.Point{X: 100, Y: 100}}
		assert.InDelta(t, near-0.1, m.markToRim(k, rim), 1e-9)
		assert.InDelta(t, near-0.1, k.toRegion(geometry.NewRegion(square(10+near, 80, 5), square(40, 45+near, 3))), 1e-9)
		other := &mark{contours: []geometry.Contour{square(90, 90, 2), square(45+near, 40, 5)}, reachMM: 0.05}
		assert.InDelta(t, near-0.15, k.toMark(other), 1e-9)
		far := &mark{contours: []geometry.Contour{square(5000, 40, 5)}}
		assert.InDelta(t, 4955-0.1, k.toMark(far), 1e-9)
		assert.InDelta(t, 4955-0.1, k.toRegion(geometry.NewRegion(square(5000, 40, 5))), 1e-9)
	}
	inside := &mark{contours: []geometry.Contour{square(45, 45, 5)}}
	assert.Negative(t, inside.toRegion(geometry.NewRegion(square(40, 40, 20))))
	assert.Negative(t, m.toRim(geometry.NewRegion(square(200, 200, 5)), rim), "beyond the rim")
	assert.Negative(t, m.toRim(geometry.NewRegion(square(0, 20, 5)), rim), "on the rim")
	assert.Negative(t, m.markToRim(&mark{contours: []geometry.Contour{square(200, 200, 5)}}, rim))
}

// A place is held by a box within all of its four sides, and by none on or beyond one.
func TestPlacesHeldByABox(t *testing.T) {
	b := geometry.Box{Min: geometry.Point{X: -20, Y: -20}, Max: geometry.Point{X: 140, Y: 100}}
	for _, x := range []float64{-21, -20, -19, 60, 139, 140, 141} {
		for _, y := range []float64{-21, -20, -19, 60, 99, 100, 101} {
			in := x > -20 && x < 140 && y > -20 && y < 100
			assert.Equal(t, in, holds(b, geometry.Point{X: x, Y: y}), "%v %v", x, y)
		}
	}
}

// Which letter a place belongs to: the one whose box is nearest, on every side of it.
func TestPartsOfALabel(t *testing.T) {
	var line lettering.Line
	for i, r := range "ab c" {
		if r != ' ' {
			box := geometry.Box{Min: geometry.Point{X: float64(10 * i)}, Max: geometry.Point{X: float64(10*i) + 6, Y: 8}}
			line.Letters = append(line.Letters, lettering.Letter{Rune: r, Box: box})
		}
	}
	for p, want := range map[geometry.Point]string{
		{X: 7, Y: 4}: "a", {X: 9, Y: 4}: "b", {X: -50, Y: 4}: "a", {X: 13, Y: 40}: "b", {X: 13, Y: -40}: "b", {X: 99, Y: 30}: "c", {X: 22, Y: 1}: "b", {X: 24, Y: 1}: "c",
	} {
		assert.Equal(t, "the letter '"+want+"'", (&mark{}).part(line, p), "%v", p)
	}
	assert.Equal(t, "a line", (&mark{}).part(lettering.Line{}, geometry.Point{}))
}

// How far a pocket may be off: tighter by the play and what the foam gives, looser up to what
// the fit or the profile calls loose, higher up to half a millimetre. What is looser
// already is below 0; what is higher already, which is told, or has nothing that says what is too much, has no bound.
func TestPlayByHand(t *testing.T) {
	m := &maker{}
	foam := profiles.Foam{LooseMM: profiles.Number{Value: 3}}
	s := seat{along: 2, across: 1, layers: 1, playX: 1.5, playY: 1, proud: 0.2}
	p := m.playOf(s, 0.5, 0.7, foam)
	assert.InDeltaSlice(t, []float64{1.7, 1.5, 0.3}, []float64{p.TighterMM, p.LooserMM, p.HigherMM}, 1e-12)
	assert.True(t, p.Known)
	assert.InDelta(t, -2, looseBy(s, 2, foam), 1e-12, "two in a row have twice the fit: 4 along, 3 across")
	assert.InDelta(t, 0.5, looseBy(seat{along: 1, across: 3, playX: 3.5, playY: 2}, 1, foam), 1e-12)
	assert.True(t, math.IsInf(looseBy(s, 0, profiles.Foam{}), -1))
	assert.InDelta(t, 1.3, looseBy(s, 0.1, profiles.Foam{}), 1e-12, "the fit alone")
	loose := m.playOf(seat{along: 1, across: 1, playX: 9, playY: 9, proud: 0.6}, 0, 0, foam)
	assert.InDelta(t, 9, loose.TighterMM, 1e-12)
	assert.InDelta(t, -6, loose.LooserMM, 1e-12, "it rattles as planned")
	assert.True(t, math.IsInf(loose.HigherMM, 1))
	told := (&maker{Input: Input{ProudTold: true}}).playOf(s, 0.5, 0, foam)
	assert.True(t, math.IsInf(told.HigherMM, 1))
}

// A foam asks for as much as its strictest layer that the pocket reaches into; one that it
// ends at is not cut.
func TestStrictestLayer(t *testing.T) {
	layer := func(id string, top, ask float64) Layer {
		return Layer{Top: mm(top), Foam: profiles.Foam{ID: id, LeastWallMM: profiles.Number{Value: ask}}}
	}
	b := &board{Tray: Tray{Layers: []Layer{layer("a", 0, 4), layer("b", 10, 7), layer("c", 20, 5)}}}
	for depth, want := range map[float64]string{5: "a", 10: "a", 10.1: "b", 20: "b", 30: "b"} {
		id, most := strictest(b, mm(depth), leastWall)
		assert.Equal(t, want, id, depth)
		assert.Equal(t, map[string]float64{"a": 4, "b": 7}[want], most)
	}
}

// The sheets that fill a room best, against all that there are: the largest sum up to the room,
// with the fewest sheets.
func TestFillersAgainstAllThereAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var stock []stockSheet
		for range rapid.IntRange(1, 5).Draw(t, "kinds") {
			stock = append(stock, stockSheet{"f", units.Length(rapid.IntRange(1, 30).Draw(t, "thickness"))})
		}
		room, most := units.Length(rapid.IntRange(0, 70).Draw(t, "room")), rapid.IntRange(1, 3).Draw(t, "most")
		best, fewest := units.Length(0), 0
		var all func(sum units.Length, n int)
		all = func(sum units.Length, n int) {
			if sum > room {
				return
			}
			if sum > best || sum == best && n < fewest {
				best, fewest = sum, n
			}
			for _, s := range stock {
				if n < most {
					all(sum+s.thickness, n+1)
				}
			}
		}
		all(0, 0)
		list, sum := bestFill(stock, room, most)
		total := units.Length(0)
		for _, s := range list {
			total += s.thickness
		}
		require.Equal(t, best, sum)
		require.Equal(t, sum, total)
		require.Len(t, list, fewest)
	})
}

// A round tool in a corner (from the right triangle between corner, centre and side): it starts
// where it touches both sides, a dog-bone ends with its edge on the corner along the bisector,
// a T-bone with its centre off the longer side; what it left was r(1/sin(t/2) - 1).
func TestReliefsByTheTriangle(t *testing.T) {
	for _, degrees := range []float64{30, 60, 90, 120, 150} {
		for _, lengths := range [][2]float64{{30, 20}, {20, 30}} {
			angle, r := degrees*math.Pi/180, 1.7
			at := geometry.Point{X: 5, Y: 7}
			// Arrives along X, leaves so that the inside, on the left, is the angle.
			before := geometry.Segment{A: geometry.Point{X: 5 - lengths[0], Y: 7}, B: at}
			sin, cos := math.Sincos(math.Pi - angle)
			after := geometry.Segment{A: at, B: at.Add(geometry.Point{X: lengths[1] * cos, Y: lengths[1] * sin})}
			c, ok := cornerBetween(before, after)
			require.True(t, ok)
			assert.InDelta(t, angle/2, c.halfAngle, 1e-9)
			assert.InDelta(t, r*(1/math.Sin(angle/2)-1), c.left(r), 1e-9)
			for _, kind := range []job.Relief{job.Dogbone, job.TBone} {
				from, to := c.reliefPath(kind, r)
				for _, side := range []geometry.Segment{before, after} {
					assert.InDelta(t, r, math.Abs(side.Tangent(0).Cross(from.Sub(at))), 1e-9, "touches both sides")
					assert.Positive(t, side.Tangent(0).Cross(from.Sub(at)), "inside")
				}
				assert.InDelta(t, r, to.DistanceTo(at), 1e-9, "its edge is on the corner")
				if kind == job.Dogbone {
					assert.InDelta(t, 0, to.Sub(at).Cross(from.Sub(at)), 1e-9, "along the bisector")
				} else if lengths[0] > lengths[1] {
					assert.InDelta(t, 0, before.Tangent(0).Dot(to.Sub(at)), 1e-9, "off the longer side")
				} else {
					assert.InDelta(t, 0, after.Tangent(0).Dot(to.Sub(at)), 1e-9, "off the longer side")
				}
			}
			_, ok = cornerBetween(geometry.Segment{A: after.B, B: at}, geometry.Segment{A: at, B: before.A})
			assert.False(t, ok, "the other way round it is a corner of the foam")
		}
	}
}

// Corners of a piece in rounded corners of a pocket, against places along the rounding: it
// presses in by what its corner is farther from the rounding's centre than the radius.
func TestPinchAgainstPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.1, 10).Draw(t, "r")
		x, y := rapid.Float64Range(-0.5, 12).Draw(t, "x"), rapid.Float64Range(-0.5, 12).Draw(t, "y")
		// The pocket's corner is the origin, its rounding's centre (r, r); the piece's corner is (x, y).
		corner := geometry.Point{X: max(0, x), Y: max(0, y)}
		want := 0.0
		if corner.X < r && corner.Y < r {
			want = max(0, corner.DistanceTo(geometry.Point{X: r, Y: r})-r)
		}
		require.InDelta(t, want, pinch(r, x, y), 1e-9)
	})
}

// Pieces of one kind go one to a pocket by turns, tray after tray, or, in piles, one to each and then whole piles; a tray's
// weight is what is packed into it, a copy's share of that.
func TestPiecesAreSharedOut(t *testing.T) {
	crab := &job.Piece{ID: "crab", Count: 7, WeightG: 12}
	full := func(holds int) *hole {
		h := &hole{Pocket: Pocket{For: "crab"}, piece: crab}
		h.Holds = holds
		return h
	}
	a := &board{holes: []*hole{full(3), full(3)}}
	b := &board{holes: []*hole{full(0), full(4)}}
	m := &maker{Input: Input{Job: &job.Job{Roster: []job.Piece{*crab}}}}
	share := func(pile int) (map[*hole]int, []int) {
		m.Job.Roster[0].Pile = pile
		packed := m.shareOut(group{boards: []*board{a, b}})
		return packed, []int{packed[a.holes[0]], packed[a.holes[1]], packed[b.holes[0]], packed[b.holes[1]]}
	}
	_, got := share(0)
	assert.Equal(t, []int{3, 2, 0, 2}, got)
	packed, got := share(3)
	assert.Equal(t, []int{3, 3, 0, 1}, got)
	a.pack(packed, 1)
	assert.InDelta(t, 72, a.PiecesG, 1e-9)
	b.pack(map[*hole]int{b.holes[1]: 6}, 3)
	assert.InDelta(t, 24, b.PiecesG, 1e-9, "6 of 12 g in 3 copies")
	assert.Equal(t, 2, b.holes[1].Packed)
}

// A thinner sheet in a layer's place is one in which no piece stands farther out: the pocket is
// less deep by what the layer is thinner where it goes beyond the layer's new bottom, and as
// deep as before where it ends above it.
func TestThinnerLayersKeepPieces(t *testing.T) {
	for _, c := range []struct {
		top, sold, pocket, piece, thinner float64
		keeps                             bool
	}{
		{0, 25.4, 10, 9, 12.7, true},    // ends above
		{0, 25.4, 12.7, 12, 12.7, true}, // ends at it
		{0, 25.4, 20, 6, 12.7, true},    // 7.3 deep, and the piece 6 high
		{0, 25.4, 20, 7.7, 12.7, true},  // stands 0.4 out, which is no word worth
		{0, 25.4, 20, 8, 12.7, false},   // 0.7
		{0, 25.4, 20, 19, 24, true},     // 18.6 deep: 0.4 out
		{10, 25.4, 22, 20, 12.7, true},  // a lower layer, ends above its new bottom at 22.7
		{10, 25.4, 30, 20, 12.7, false}, // 17.3 deep, the piece 20 high
		{10, 25.4, 30, 17, 12.7, true},
		{10, 25.4, 11, 20, 12.7, true},  // ends in it, and stood out before
		{10, 25.4, 34.5, 44, 24, false}, // stood 9.5 out, then 10.9
	} {
		h := &hole{
			Pocket: Pocket{For: "crab", Depth: mm(c.pocket)}, source: &job.Pocket{Fit: "snug"},
			piece:   &job.Piece{ID: "crab", Count: 1, Length: mm(20), Width: mm(10), Height: mm(c.piece), Pose: job.Upright},
			pattern: &pattern{patternKey: patternKey{form: form{name: "rect", length: 21, width: 11}}},
		}
		foam := profiles.Foam{ID: "f", Fits: map[string]profiles.Number{"snug": {}}}
		b := &board{Tray: Tray{Layers: []Layer{{Foam: foam}}}, source: &job.Tray{}, holes: []*hole{h}}
		l := stackLayer{tray: b, number: 1, times: 1, layer: Layer{Foam: foam, Top: mm(c.top), Thickness: mm(c.sold)}}
		assert.Equal(t, c.keeps, (&maker{Input: Input{TolMM: 1e-6}}).keepsPieces(l, mm(c.thinner)), "%+v", c)
	}
}

// The tools of a sheet: its first, and of the others one that stands out differently before any.
func TestToolsOfASheet(t *testing.T) {
	cut := func(number int, out float64) Cut {
		if number == 0 {
			return Cut{}
		}
		return Cut{Tool: profiles.Tool{ID: string(rune('a' + number)), Number: number, StickoutMM: profiles.Number{Value: out}}}
	}
	for _, c := range []struct {
		cuts    []Cut
		other   int
		several bool
	}{
		{[]Cut{cut(1, 20), cut(1, 20)}, 0, false},
		{[]Cut{cut(1, 20), cut(0, 0), cut(2, 20)}, 2, true},
		{[]Cut{cut(1, 20), cut(2, 20), cut(3, 30)}, 3, true},
		{[]Cut{cut(1, 20), cut(3, 30), cut(2, 20)}, 3, true},
		{[]Cut{cut(0, 0), cut(1, 20), cut(2, 20), cut(1, 20)}, 2, true},
	} {
		first, other, several := Sheet{Edge: c.cuts[0], Cuts: c.cuts[1:]}.tools()
		assert.Equal(t, []any{1, c.other, c.several}, []any{first.Number, other.Number, several})
	}
	one := Sheet{Marks: make([]geometry.Path, 1), Marking: Cut{Name: "marks", Recipes: make([]profiles.Recipe, 1)}}
	assert.Len(t, one.All(), 2, "one mark is one more cut")
	one.Marks = nil
	assert.Len(t, one.All(), 1)
	assert.Len(t, Sheet{Marks: make([]geometry.Path, 1)}.All(), 1, "marks without a recipe of their own")
}

// Two pockets that meet are worth a warning where both hold pieces, and a note else.
func TestPocketsThatMeet(t *testing.T) {
	for _, c := range []struct{ first, second, want string }{
		{"", "", "note:pockets-joined"}, {"crab", "", "note:pockets-joined"}, {"", "crab", "note:pockets-joined"}, {"crab", "die", "error:pieces-in-one-place"},
	} {
		one, two := with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For = c.first }), with(rect(40, 30, 30, 20), func(p *job.Pocket) { p.For = c.second })
		_, found := make1(t, bench(pad(one, two), piece("crab", 1, 29, 19, 6), piece("die", 1, 29, 19, 6)))
		assert.Contains(t, rules(found), c.want, "%+v: %v", c, found)
		if c.want[0] == 'n' {
			assert.NotContains(t, rules(found), "warning:pockets-joined")
		}
	}
}

// Pieces of 29 x 19 in pockets of 30 x 20 may each lie half a millimetre from the middle: they have room for both where
// their middles are 28 apart along X, or 18 along Y. Rounds of 29 in rounds of 30 have it 28 apart either way; a pocket
// whose pieces, 6 high, lie all below the floor of another one is a step: they may lie on each other.
func TestPiecesInOnePlace(t *testing.T) {
	box := func(x, y float64) job.Pocket { return rect(x, y, 30, 20) }
	disc := func(x, y float64) job.Pocket { return round(x, y, 30) }
	for _, c := range []struct {
		first, second func(x, y float64) job.Pocket
		x, y          float64
		deep          float64
		want          string
	}{
		{box, box, 1, 0, 10, "error"}, {box, box, 27.9, 17.9, 10, "error"}, {box, box, 28.1, 0, 10, "warning"}, {box, box, 0, 18.1, 10, "warning"},
		{box, box, 1, 0, 12, "error"}, {box, box, 1, 0, 15.9, "error"}, {box, box, 1, 0, 16, "stepped"}, {disc, disc, 10, 10, 10, "error"}, {disc, disc, 19.7, 19.7, 10, "error"}, {disc, disc, 20, 20, 10, "warning"},
		// of a box and a round, 5 mm higher in its pocket: 14 and 9 from the one's middle to its sides, less what it may be moved, and 14 from the other's
		{box, disc, 0, 0, 10, "error"}, {box, disc, 27.9, 4, 10, "error"}, {box, disc, 28.6, 4, 10, "warning"}, {box, disc, 22, 15, 10, "error"}, {box, disc, 23.5, 15.5, 10, "warning"},
	} {
		one, two := c.first(20, 20), c.second(20+c.x, 20+c.y)
		one.For, two.For, one.Depth, two.Depth = "a", "b", mm(10), mm(c.deep)
		a, b := piece("a", 1, 29, 19, 6), piece("b", 1, 29, 19, 6)
		for k, p := range map[*job.Piece]job.Pocket{&a: one, &b: two} {
			if p.Shape == job.RoundShape {
				k.Width, k.Shape = mm(29), job.Round
			}
		}
		_, found := make1(t, bench(pad(one, two), a, b))
		want := map[string]string{"error": "error:pieces-in-one-place", "warning": "warning:pockets-joined", "stepped": "warning:pockets-stepped"}[c.want]
		assert.Contains(t, rules(found), want, "%+v", c)
		assert.Equal(t, c.want == "error", strings.Contains(rules(found), "pieces-in-one-place"), "%+v", c)
	}
}
