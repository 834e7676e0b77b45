package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

func spotsAt(xy ...float64) (list []geometry.Point) {
	for i := 0; i+1 < len(xy); i += 2 {
		list = append(list, geometry.Point{X: xy[i], Y: xy[i+1]})
	}
	return list
}

// How far the holes of a flipped or turned layer are off, where least. Computed by hand for a
// tray of 200 x 150: corners inset by 10 are 180 and 130 apart, so three of them go onto each other
// by 130 at best (a flip across X), two on the front-to-back middle and a diagonal pair not at all.
func TestMistakesShow(t *testing.T) {
	box := geometry.Box{Max: geometry.Point{X: 200, Y: 150}}
	for name, c := range map[string]struct {
		holes []geometry.Point
		want  float64
	}{
		"four corners":               {spotsAt(10, 10, 190, 10, 10, 140, 190, 140), 0},
		"four, one moved by 15":      {spotsAt(25, 10, 190, 10, 10, 140, 190, 140), 15},
		"three corners":              {spotsAt(10, 10, 190, 10, 10, 140), 130},
		"two uneven on a centreline": {spotsAt(10, 75, 150, 75), 0},
		"a diagonal pair":            {spotsAt(10, 10, 190, 140), 0},
		"two, one of them moved":     {spotsAt(10, 10, 190, 120), 20},
	} {
		assert.InDelta(t, c.want, mistakeMM(box, c.holes), 1e-9, name)
	}
	square := geometry.Box{Max: geometry.Point{X: 150, Y: 150}}
	assert.InDelta(t, 0, mistakeMM(square, spotsAt(10, 30, 120, 140)), 1e-9, "a square goes onto itself across a diagonal as well")
	assert.InDelta(t, 0, mistakeMM(square, spotsAt(10, 50, 50, 140, 140, 100, 100, 10)), 1e-9, "and by quarter turns")
}

// dowelled is a tray whose layers are registered.
func dowelled(t job.Tray, dowel float64) job.Tray {
	t.Dowel = mm(dowel)
	return t
}

// holesOf are the middles of a tray's registration holes, and how wide they are.
func holesOf(t *Tray) (list []geometry.Point, wide float64) {
	for _, k := range t.Pockets {
		if k.Dowel > 0 {
			list, wide = append(list, k.Box.Min.Add(k.Box.Max).Scale(0.5)), k.Box.Width()
		}
	}
	return list, wide
}

// The same two holes are in every layer of a random tray; they keep wall and edge, measured from
// point to point; and no flip or turn of a layer, each worked out here by its own corners, brings
// both onto those of one that lies right. Trays without room are told, never cut otherwise.
func TestHolesOfAllLayersMeetInOneWay(t *testing.T) {
	drawn, registered := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		t, tb := r, t
		var pockets []job.Pocket
		for i := range rapid.IntRange(0, 4).Draw(t, "n") {
			pockets = append(pockets, drawPocket(t, fmt.Sprint(i)))
		}
		tray := dowelled(pad(pockets...), float64(rapid.IntRange(50, 100).Draw(t, "dowel"))/10)
		if rapid.Bool().Draw(t, "square") {
			tray.Length = tray.Width + mm(float64(rapid.IntRange(0, 8).Draw(t, "longer")))
		}
		tray.Halves = rapid.SampledFrom([]int{1, 1, 2}).Draw(t, "halves")
		p, found := Make(input(tb, bench(tray), rapid.SampledFrom([]string{"bench-router", "bench-laser"}).Draw(t, "machine")))
		drawn++
		without := tray
		without.Dowel = 0
		if _, plain := Make(input(tb, bench(without), p.Machine.ID)); plain.Failed() {
			return // for its pockets
		}
		for i := range p.Trays {
			made := &p.Trays[i]
			holes, wide := holesOf(made)
			if len(holes) == 0 {
				assert.True(t, found.Failed(), "no holes, and nothing is said")
				continue
			}
			registered++
			assert.False(t, found.Failed() && len(p.Trays) == 1, "%v", found)
			meetInOneWay(t, made, holes, wide)
		}
	})
	t.Logf("%d of %d trays registered", registered, drawn)
	assert.Positive(t, registered)
}

func meetInOneWay(t *rapid.T, made *Tray, holes []geometry.Point, wide float64) {
	require.Len(t, holes, 2)
	length, width := made.Length.MM(), made.Width.MM()
	assert.Greater(t, holes[0].DistanceTo(holes[1]), math.Hypot(length, width)/3, "dowels near each other hold no turn")
	for _, h := range holes {
		assert.GreaterOrEqual(t, math.Min(math.Min(h.X, length-h.X), math.Min(h.Y, width-h.Y))-wide/2, 10-1e-4, "edge")
		for _, k := range made.Pockets {
			if k.Dowel > 0 {
				continue
			}
			assert.False(t, k.Design.Contains(h))
			for _, p := range around(k.Design) {
				assert.GreaterOrEqual(t, p.DistanceTo(h)-wide/2, 6-1e-4, "wall to %s", k.Name)
			}
		}
	}
	for _, s := range made.Sheets {
		for _, h := range holes {
			n := 0
			for _, c := range s.Cuts {
				if c.Through && len(c.Pockets) > 0 && made.Pockets[c.Pockets[0]].Dowel > 0 && c.Shape.Bounds().Min.Add(c.Shape.Bounds().Max).Scale(0.5).DistanceTo(h) < 1e-6 {
					n++
				}
			}
			assert.Equal(t, 1, n, "layer %d has the hole once", s.Number)
		}
	}
	flipsShow(t, length, width, holes, wide)
}

// flipsShow holds that each way in which a layer lies wrong has a hole far from all others.
func flipsShow(t *rapid.T, length, width float64, holes []geometry.Point, wide float64) {
	ways := [][4]float64{{-1, 0, 0, 1}, {1, 0, 0, -1}, {-1, 0, 0, -1}}
	if math.Abs(length-width) < 8 {
		ways = append(ways, [4]float64{0, 1, 1, 0}, [4]float64{0, -1, -1, 0}, [4]float64{0, 1, -1, 0}, [4]float64{0, -1, 1, 0})
	}
	for _, w := range ways {
		off := 0.0
		for _, h := range holes {
			x, y := h.X-length/2, h.Y-width/2
			moved := geometry.Point{X: w[0]*x + w[1]*y + length/2, Y: w[2]*x + w[3]*y + width/2}
			off = math.Max(off, math.Min(moved.DistanceTo(holes[0]), moved.DistanceTo(holes[1])))
		}
		assert.Greater(t, off, 1.5*wide, "%v brings both near to holes", w)
	}
}

// A hint that names a dowel names one that goes in: it is followed.
func TestDowelHintsAreFollowed(t *testing.T) {
	full := pad(rect(10, 10, 100, 26), rect(10, 44, 78, 26))
	full.Wall = mm(4)
	for name, c := range map[string]struct {
		tray job.Tray
		rule string
	}{
		"thinner than the cutter": {dowelled(pad(), 3), "dowel-and-tool"},
		"too large for the room":  {dowelled(full, 20), "no-room-for-dowels"},
		"no room at all":          {dowelled(pad(rect(10, 10, 100, 60)), 8), "no-room-for-dowels"},
		"no room for ears either": {dowelled(sized(pad(rect(10, 10, 30, 30)), 50, 50), 8), "no-room-for-dowels"},
		"asked for ears":          {eared(sized(pad(rect(10, 10, 30, 30)), 50, 50), 8), "no-room-for-dowels"},
	} {
		_, found := make1(t, bench(c.tray))
		f := only(t, found, c.rule)
		size, named := strings.CutPrefix(f.Hint, "write `dowel: ")
		switch {
		case strings.HasPrefix(f.Hint, "write `registration: ears`"):
			c.tray.Ears = true
		case !named:
			assert.Contains(t, f.Hint, "`registration: none`", name)
			c.tray.Dowel = 0
		default:
			size, _, _ = strings.Cut(size, "`")
			l, err := units.Parse(size, units.Millimetre)
			require.NoError(t, err)
			c.tray.Dowel = l
		}
		_, found = make1(t, bench(c.tray))
		assert.False(t, found.Failed(), "%s: %s, and then %v", name, f.Hint, found)
	}
}

// Of cutters that are all too wide, the message names the thinnest: it decides. By facts of the
// shipped machine, flat-3 is 3.175 mm wide and flat-6 6 mm; a fifth more lets it wind down (formula).
func TestThinnestCutterDecidesOnDowels(t *testing.T) {
	for _, dowel := range []float64{1, 2, 3, 3.5} {
		_, found := make1(t, bench(dowelled(pad(), dowel)))
		assert.Contains(t, only(t, found, "dowel-and-tool").Message, "too narrow for the tool flat-3, which needs more than 3.81 mm", "dowel %g", dowel)
	}
}

// handStub has no feeds and powers to ask for.
type handStub struct{ stub }

func (handStub) Lacks(profiles.Recipe) string { return "" }

// byHand is a tray that is cut by hand, with such a kerf of its wire.
func byHand(t testing.TB, tray job.Tray, wireKerf float64) Input {
	in := input(t, bench(tray), "by-hand")
	in.Means = handStub{stub{beam: true}} // it takes whole layers too
	shipped := in.Recipe
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
		r, ok := shipped(foam, tool)
		if tool == "bow" {
			r.KerfMM.Value = wireKerf
		}
		return r, ok
	}
	return in
}

// A hand makes no hole under 5 mm (judged, no source), and a bow none under its kerf: both are
// told once, and the dowel that the hint names goes in. Fits of the foams: see below.
func TestDowelsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		foam, tool  string
		dowel, kerf float64
		message     string
		hint        string // "" where the dowel goes in
	}{
		"a knife, soft":        {"pe-30", "", 1, 1, "holes of 0.5 mm for dowels of 1 mm: a hole is too narrow for a hand, which cuts holes of 5 mm and wider", "6 mm"},
		"a knife, just under":  {"pe-30", "", 5.4, 1, "too narrow for a hand", "6 mm"},
		"a knife, just enough": {"pe-30", "", 5.5, 1, "", ""},
		"a bow, rigid":         {"xps-32", "bow", 1, 1, "too narrow for a hand", "5 mm"},
		"a bow, wide kerf":     {"xps-32", "bow", 6, 7, "too narrow for the tool bow, which needs more than 7 mm", "8 mm"},
		"a knife, its bow so":  {"xps-32", "", 6, 7, "", ""},
	} {
		tray := dowelled(pad(), c.dowel)
		tray.Tool, tray.Layers = c.tool, []job.Layer{layer(c.foam, mm(20)), layer(c.foam, mm(20))}
		_, found := Make(byHand(t, tray, c.kerf))
		if c.hint == "" {
			assert.False(t, found.Failed(), "%s: %v", name, found)
			continue
		}
		assert.Equal(t, "error:dowel-and-tool", rules(found), "%s, once: %v", name, found)
		assert.Contains(t, found[0].Message, c.message, name)
		assert.Contains(t, found[0].Hint, "write `dowel: "+c.hint+"`", name)
		l, err := units.Parse(c.hint, units.Millimetre)
		require.NoError(t, err)
		tray.Dowel = l
		_, found = Make(byHand(t, tray, c.kerf))
		assert.False(t, found.Failed(), "%s: followed, %v", name, found)
	}
}

// What no hole can be made for and no rim either is told of the rim alone.
func TestDowelsWithoutTheRimsTool(t *testing.T) {
	tray := dowelled(pad(), 8)
	tray.Tool = "nope"
	_, found := Make(byHand(t, tray, 1))
	assert.Equal(t, "error:unknown-tool error:unknown-tool", rules(found), "one for each layer")
}

// What is glued before it is cut, and what has one layer, needs no holes, and is told so.
func TestWhatNeedsNoDowels(t *testing.T) {
	block, single := dowelled(pad(), 8), dowelled(pad(), 8)
	block.Cut, single.Layers = job.Block, single.Layers[:1]
	for _, tray := range []job.Tray{block, single} {
		p, found := make1(t, bench(tray))
		only(t, found, "no-dowels-needed")
		assert.False(t, found.Failed(), "%v", found)
		holes, _ := holesOf(&p.Trays[0])
		assert.Empty(t, holes)
	}
}

// Tight in the foam that gives least, and at most 0.5 mm under: pe-30 has -1 and pe-45 -0.5, rigid
// xps-32 0.3 (profiles/data).
func TestHolesAreWideForTheirDowel(t *testing.T) {
	soft, rigid := dowelled(pad(), 8), dowelled(pad(), 8)
	rigid.Layers[1].Foam, rigid.Layers[1].Thickness = "xps-32", mm(20)
	for want, tray := range map[float64]job.Tray{7.5: soft, 8.3: rigid} {
		p, _ := make1(t, bench(tray))
		_, wide := holesOf(&p.Trays[0])
		assert.InDelta(t, want, wide, 1e-9)
	}
}

// What the holes take out is not weighed: two cylinders, by formula.
func TestHolesAreNotWeighed(t *testing.T) {
	with, _ := make1(t, bench(dowelled(pad(), 8)))
	without, _ := make1(t, bench(pad()))
	want := 2 * math.Pi / 4 * 7.5 * 7.5 * (25.4*30 + 6.35*45) * 1e-6
	assert.InDelta(t, want, without.Trays[0].FoamG-with.Trays[0].FoamG, 1e-6)
}

// Holes keep their walls to what a relief takes beside a pocket as well.
func TestHolesKeepOffReliefs(t *testing.T) {
	for i := range 20 {
		at := 20 + float64(i)/2
		_, found := make1(t, bench(dowelled(pad(with(rect(at, at, 60, 30), func(p *job.Pocket) { p.Corner, p.Relief = 0, job.TBone })), 8)))
		assert.False(t, found.Failed(), "%v: %v", at, found)
	}
}
