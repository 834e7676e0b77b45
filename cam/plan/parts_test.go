package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/profiles"
)

// A box pushed over one side of the tray by a distance sticks out by that on that side.
func TestOutsideNamesTheSide(t *testing.T) {
	tray := geometry.Box{Max: geometry.Point{X: 100, Y: 80}}
	for side, by := range map[string]geometry.Point{"left": {X: -3}, "right": {X: 3}, "lower": {Y: -3}, "upper": {Y: 3}} {
		pushed := geometry.Box{Min: geometry.Point{X: 1, Y: 1}.Add(by), Max: geometry.Point{X: 99, Y: 79}.Add(by)}
		over, name := outside(pushed, tray)
		assert.Equal(t, side, name)
		assert.InDelta(t, 2, over, 1e-12)
	}
	over, _ := outside(geometry.Box{Min: geometry.Point{X: 7, Y: 9}, Max: geometry.Point{X: 95, Y: 60}}, tray)
	assert.InDelta(t, -5, over, 1e-12, "the least room")
}

// Rows are counted by laying pieces one after the other. Foam gives to the sides; downwards none goes in that has no room.
func TestSeatsAreCounted(t *testing.T) {
	laid := func(room, size, most float64) (n float64) {
		for n < most && (n+1)*size <= room {
			n++
		}
		return n
	}
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(1, 60)
		foot := footprint{length: size.Draw(t, "length"), width: size.Draw(t, "width"), depth: size.Draw(t, "depth")}
		f := form{name: "rect", length: 2 * size.Draw(t, "pocket's length"), width: 2 * size.Draw(t, "pocket's width")}
		depth, give := size.Draw(t, "pocket's depth"), rapid.Float64Range(0, 1).Draw(t, "give")
		most := rapid.IntRange(1, 12).Draw(t, "most")
		room := f.room(foot)
		s, ok := foot.seat(f, most, depth, give)
		along := laid(room[0]+give, foot.length, float64(most))
		across := laid(room[1]+give, foot.width, math.Ceil(float64(most)/math.Max(along, 1)))
		require.Equal(t, []int{int(along), int(across), max(1, int(laid(depth+lostMM, foot.depth, float64(most))))}, []int{s.along, s.across, s.layers})
		require.InDelta(t, room[0]-along*foot.length, s.playX, 1e-9)
		require.InDelta(t, room[1]-across*foot.width, s.playY, 1e-9)
		require.InDelta(t, foot.depth-depth, s.proud, 1e-9)
		require.Equal(t, along > 0 && across > 0, ok)
	})
	pocket := form{name: "rect", length: 30, width: 20}
	for _, flat := range []footprint{{width: 1, depth: 1}, {length: 1, depth: 1}, {length: 1, width: 1}} {
		_, ok := flat.seat(pocket, 1, 10, 0)
		assert.False(t, ok, "a piece without a size sits nowhere")
	}
	_, ok := footprint{length: 0.2, width: 0.2, depth: 0.2}.seat(pocket, 1, 10, 0)
	assert.True(t, ok, "a tiny one does")
	a := seat{along: 2, across: 1, layers: 1, playX: 1, playY: 2}
	for _, worse := range []seat{
		{along: 1, across: 1, layers: 1}, {along: 2, across: 1, layers: 1, playX: 2, playY: 2}, {along: 3, across: 2, layers: 2, proud: 0.5},
	} {
		assert.True(t, a.better(worse, 0.1))
		assert.False(t, worse.better(a, 0.1))
	}
	assert.False(t, a.better(a, 0.1))
}

// However it is turned, a text with a box lies in it: at its left, in its middle or at its
// right as one reads it, and the box's lower-left corner at the label's place.
func TestATextLiesInItsBox(t *testing.T) {
	face, known := lettering.Shipped(lettering.Strokes)
	require.True(t, known)
	line, err := face.Set("Kegs", lettering.Setting{HeightMM: 5})
	require.NoError(t, err)
	w, h := line.Box.Width(), line.Box.Height()
	for _, turn := range []float64{0, 90, 180, -90} {
		for align, off := range map[job.Align]float64{job.AlignLeft: 0, job.AlignCenter: (60 - w) / 2, job.AlignRight: 60 - w} {
			l := &job.Label{Align: align, BoxLength: mm(60), BoxWidth: mm(20)}
			l.X, l.Y, l.Turn = mm(33), mm(21), turn
			left, low := off, (20-h)/2
			want := map[float64]geometry.Box{
				0:   {Min: geometry.Point{X: left, Y: low}, Max: geometry.Point{X: left + w, Y: low + h}},
				90:  {Min: geometry.Point{X: 20 - low - h, Y: left}, Max: geometry.Point{X: 20 - low, Y: left + w}},
				180: {Min: geometry.Point{X: 60 - left - w, Y: 20 - low - h}, Max: geometry.Point{X: 60 - left, Y: 20 - low}},
				-90: {Min: geometry.Point{X: low, Y: 60 - left - w}, Max: geometry.Point{X: low + h, Y: 60 - left}},
			}[turn]
			at := geometry.Point{X: 33, Y: 21}
			assertBox(t, geometry.Box{Min: want.Min.Add(at), Max: want.Max.Add(at)}, placeLine(line, l).Box)
		}
		free := &job.Label{}
		free.X, free.Y, free.Turn = mm(33), mm(21), turn
		want := line.Transform(turned(turn)).Transform(geometry.Translate(33, 21)).Box
		assertBox(t, want, placeLine(line, free).Box)
	}
}

// Chords begin and end on the curve, one where the other ended, never farther from it than
// the tolerance, and no more of them than half as many again as need be.
func TestChordsFollowTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := geometry.Segment{
			A: geometry.Point{X: rapid.Float64Range(-50, 50).Draw(t, "x")}, B: geometry.Point{X: 60, Y: rapid.Float64Range(-50, 50).Draw(t, "y")},
			Bulge: rapid.SampledFrom([]float64{0, 0.1, -0.5, 1, 2}).Draw(t, "bulge"),
		}
		tol := rapid.Float64Range(0.01, 2).Draw(t, "tol")
		list := chords(s, tol)
		at := s.A
		for _, c := range list {
			require.InDelta(t, 0, at.DistanceTo(c.A), 1e-9)
			at = c.B
			near, _ := s.Nearest(c.A)
			require.InDelta(t, 0, near.DistanceTo(c.A), 1e-9)
			middle := c.A.Add(c.B).Scale(0.5)
			near, _ = s.Nearest(middle)
			require.LessOrEqual(t, near.DistanceTo(middle), tol+1e-9)
		}
		require.InDelta(t, 0, at.DistanceTo(s.B), 1e-9)
		if !s.IsArc() {
			require.Len(t, list, 1)
		} else if n := len(list); n > 1 {
			sagitta := s.Radius() * (1 - math.Cos(math.Abs(s.Sweep())/float64(n-1)/2))
			require.Greater(t, sagitta, tol-1e-9, "one fewer would do")
		}
	})
}

// The area within r of a straight path is 2 r l + π r² (Steiner); of a long arc 2 r l too.
func TestSweptArea(t *testing.T) {
	for _, bulge := range []float64{0, 0.3, 1} {
		p := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 5, Y: 5}, Bulge: bulge}, geometry.Vertex{Point: geometry.Point{X: 45, Y: 5}})
		got, err := swept([]geometry.Path{p}, 0.5, tol)
		require.NoError(t, err)
		assert.InEpsilon(t, 2*0.5*p.Length()+math.Pi*0.25, got.Area(), 0.01)
		assert.InDelta(t, 45.5, got.Bounds().Max.X, 0.3)
	}
}

// Distances of a mark are to what it removes: less its groove's reach, below 0 where it
// crosses or lies on the wrong side.
func TestDistancesOfMarks(t *testing.T) {
	m := newMaker(Input{Job: &job.Job{}})
	rim := square(0, 0, 100)
	markAt := func(x float64) *mark {
		k := &mark{contours: []geometry.Contour{square(x, 40, 10)}, reachMM: 0.5}
		k.Box = k.contours[0].Bounds()
		k.Design = geometry.NewRegion(k.contours...)
		return k
	}
	assert.InDelta(t, 19.5, m.markToRim(markAt(20), rim), 1e-9)
	assert.InDelta(t, 4.5, m.markToRim(markAt(85), rim), 1e-9)
	assert.InDelta(t, -0.5, m.markToRim(markAt(90), rim), 1e-9, "touching")
	assert.Negative(t, m.markToRim(markAt(120), rim), "outside")
	two := markAt(20)
	two.contours = append(two.contours, square(92, 40, 5))
	assert.InDelta(t, 2.5, m.markToRim(two, rim), 1e-9, "the nearest of its parts")
	pocket := geometry.NewRegion(square(50, 30, 30))
	assert.InDelta(t, 19.5, markAt(20).toRegion(pocket), 1e-9)
	assert.InDelta(t, 9.5, markAt(90).toRegion(pocket), 1e-9)
	assert.LessOrEqual(t, markAt(45).toRegion(pocket), 0.0, "across the wall")
	assert.Negative(t, markAt(60).toRegion(pocket), "inside")
	around := markAt(0)
	around.contours = []geometry.Contour{square(40, 20, 60)}
	around.Design = geometry.NewRegion(around.contours...)
	assert.Negative(t, around.toRegion(pocket), "around it")
}

// By hand: what is removed for sure is the kerf less its tolerance and what the run-out
// takes, at least half; a wall is as far off as the widest kerf above.
func TestKerfsOfACut(t *testing.T) {
	r := func(kerf, off float64) profiles.Recipe {
		return profiles.Recipe{KerfMM: profiles.Number{Value: kerf}, KerfOffMM: profiles.Number{Value: off}}
	}
	one := profiles.Tool{Flutes: 1, RunoutMM: profiles.Number{Value: 0.1}}
	two := profiles.Tool{Flutes: 2, RunoutMM: profiles.Number{Value: 0.1}}
	recipes := []profiles.Recipe{r(3, 0.2), r(2, 0.3), r(0.4, 0.3)}
	assert.InDeltaSlice(t, []float64{2.7, 1.6, 0.2}, sureKerfs(recipes, one), 1e-12)
	assert.InDeltaSlice(t, []float64{2.8, 1.7, 0.2}, sureKerfs(recipes, two), 1e-12)
	c := Cut{KerfMM: []float64{2, 3, 1}}
	for layer, want := range []float64{2, 3, 3} {
		assert.Equal(t, want, c.WallMM(layer))
	}
	assert.Equal(t, 3.0, c.WidestMM())
	assert.InDelta(t, 1.5, radius(recipes), 1e-12)
}

// Three pockets are named, more are counted.
func TestNamesOfCuts(t *testing.T) {
	b := &board{}
	for _, name := range []string{"a", "b", "c", "d", "e"} {
		h := &hole{}
		h.Name = name
		b.holes = append(b.holes, h)
	}
	for want, group := range map[string][]int{"a": {0}, "a + b": {0, 1}, "a + b + c": {0, 1, 2}, "b + c + d + 1 more": {1, 2, 3, 4}, "a + b + c + 2 more": {0, 1, 2, 3, 4}} {
		assert.Equal(t, want, cutName(b, group))
	}
}

// A notch is as wide as asked, and no wider than what is straight of its side: of a round
// side 19 parts in 20. It reaches 10 mm, 20 across, unless asked otherwise.
func TestNotchesOfEveryForm(t *testing.T) {
	for _, c := range []struct {
		f            form
		north, east  float64
		middleOfEast float64 // where the east side is
	}{
		{form{name: "rect", length: 60, width: 40}, 60, 40, 60}, {form{name: "rect", length: 60, width: 40, corner: 5}, 50, 30, 60},
		{form{name: "round", length: 40, width: 40}, 38, 38, 40}, {form{name: "slot", length: 60, width: 40}, 20, 38, 60}, {form{name: "slot", length: 40, width: 60}, 38, 20, 40},
	} {
		for _, s := range []job.Side{job.North, job.South} {
			assert.InDelta(t, c.north, c.f.longestNotch(s), 1e-9, "%v", c.f)
		}
		for _, s := range []job.Side{job.East, job.West} {
			assert.InDelta(t, c.east, c.f.longestNotch(s), 1e-9, "%v", c.f)
		}
		for _, n := range []struct{ width, reach, wide, far float64 }{{0, 0, min(20, c.east), 10}, {8, 3, 8, 3}, {500, 25, c.east, 25}} {
			list := c.f.notches(job.East, mm(n.width), mm(n.reach))
			require.Len(t, list, 1)
			b := list[0].Bounds()
			assertBox(t, geometry.Box{
				Min: geometry.Point{X: c.f.length / 2, Y: (c.f.width - n.wide) / 2}, Max: geometry.Point{X: c.middleOfEast + n.far, Y: (c.f.width + n.wide) / 2},
			}, b)
		}
		assert.Len(t, c.f.notches(job.North|job.South|job.West, 0, 0), 3)
		assert.Empty(t, c.f.notches(0, 0, 0))
	}
}

// The least foam between neighbours, their grooves taken off: a space is no letter, and two
// that do not follow each other do not count.
func TestLeastGapOfLetters(t *testing.T) {
	at := func(x float64) lettering.Letter {
		return lettering.Letter{Region: geometry.NewRegion(square(x, 0, 5))}
	}
	stroke := lettering.Letter{Strokes: []geometry.Path{geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 12, Y: 0}}, geometry.Vertex{Point: geometry.Point{X: 12, Y: 5}})}}
	for _, c := range []struct {
		letters       []lettering.Letter
		groove, limit float64
		want          float64
	}{
		{nil, 0, 9, 9}, {[]lettering.Letter{at(0)}, 0, 9, 9}, {[]lettering.Letter{at(0), at(7)}, 0, 9, 2}, {[]lettering.Letter{at(0), at(7)}, 0.5, 9, 1.5},
		{[]lettering.Letter{at(0), {}, at(7)}, 0, 9, 2}, {[]lettering.Letter{at(0), at(50), at(7)}, 0, 9, 9}, {[]lettering.Letter{at(0), stroke, at(15)}, 0, 9, 3},
	} {
		assert.InDelta(t, c.want, leastGap(c.letters, c.groove, c.limit), 1e-9, "%v", c)
	}
}

// A mark that is cut takes its depth out of each layer that it reaches, and no more than the
// layer; one that is engraved takes nothing that weighs.
func TestFoamThatAMarkTakes(t *testing.T) {
	k := &mark{}
	k.Make, k.Depth, k.Design = job.Cut, mm(12), geometry.NewRegion(square(0, 0, 10))
	for _, c := range []struct{ top, thick, want float64 }{{0, 20, 12}, {0, 10, 10}, {10, 10, 2}, {12, 5, 0}, {20, 5, 0}} {
		assert.InDelta(t, 100*c.want, k.removed(Layer{Top: mm(c.top), Thickness: mm(c.thick)}), 1e-6, "%v", c)
	}
	k.Make = job.Marked
	assert.Zero(t, k.removed(Layer{Thickness: mm(20)}))
}
