package plan

import (
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

var lengthInText = regexp.MustCompile(`([0-9.]+) mm`)

// lengthsIn are the lengths that a text names, in mm.
func lengthsIn(t *testing.T, text string) (all []float64) {
	for _, m := range lengthInText.FindAllStringSubmatch(text, -1) {
		v, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		all = append(all, v)
	}
	return all
}

// A hint, followed literally, works; followed by a tenth of a millimetre less than it says,
// it does not: it asks for no more than is needed.
func TestHintsFollowedLiterallyWork(t *testing.T) {
	crab := piece("crab", 1, 30, 20, 20)
	halved := pad(rect(40, 20, 30, 20))
	halved.Halves = 2
	thin := pad(rect(20, 20, 30, 20), rect(53.7, 20, 30, 20))
	thin.Wall = mm(2)
	slim := pad(rect(5.3, 20, 30, 20))
	slim.Edge = mm(5)
	slender := pad(rect(20, 20, 30, 20), rect(55, 20, 30, 20))
	slender.Wall = mm(5)
	slenderEdge := pad(with(rect(8, 30, 30, 20), depth(45)))
	slenderEdge.Edge, slenderEdge.Layers = mm(8), []job.Layer{layer("pe-30", 2*inch)}
	for _, c := range []struct {
		name, rule string
		tray       job.Tray
		roster     []job.Piece
		which      int // of the hint's lengths
		follow     func(tray *job.Tray, by units.Length)
	}{
		{"a wall", "wall-too-thin", pad(rect(20, 20, 30, 20), rect(53.7, 20, 30, 20)), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[1].X += by }},
		{"a wall across", "wall-too-thin", pad(round(20, 20, 20), round(20, 43.25, 20)), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[1].Y += by }},
		{"a foam's wall", "wall-thin-for-foam", thin, nil, 0, func(p *job.Tray, by units.Length) { p.Wall, p.Pockets[1].X = by, mm(50)+by }},
		{"the edge on the left", "edge-too-thin", pad(rect(7.6, 20, 30, 20)), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].X += by }},
		{"the edge on the right", "edge-too-thin", pad(rect(83.3, 20, 30, 20)), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].X -= by }},
		{"the upper edge", "edge-too-thin", pad(rect(20, 52.45, 30, 20)), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].Y -= by }},
		{"a foam's edge", "edge-thin-for-foam", slim, nil, 0, func(p *job.Tray, by units.Length) { p.Edge, p.Pockets[0].X = by, by }},
		{"a slender wall, thicker", "wall-slender", slender, nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[1].X = mm(50) + by }},
		{"a slender wall, lower", "wall-slender", slender, nil, 1, func(p *job.Tray, by units.Length) { p.Pockets[1].Depth = mm(50) - by }}, // said 25
		{"a slender edge, thicker", "edge-slender", slenderEdge, nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].X = by }},
		{"a slender edge, lower", "edge-slender", slenderEdge, nil, 1, func(p *job.Tray, by units.Length) { p.Pockets[0].Depth = mm(80) - by }}, // said 40
		{"beyond the left side", "pocket-outside-tray", pad(rect(-3.5, 20, 30, 20)), nil, -1, func(p *job.Tray, by units.Length) { p.Pockets[0].X += by }},
		{"beyond the upper side", "pocket-outside-tray", pad(rect(20, 63.5, 30, 20)), nil, -1, func(p *job.Tray, by units.Length) { p.Pockets[0].Y -= by }},
		{"beyond the lower side", "pocket-outside-tray", pad(rect(20, -4.25, 30, 20)), nil, -1, func(p *job.Tray, by units.Length) { p.Pockets[0].Y += by }},
		{"beyond the right side", "pocket-outside-tray", pad(rect(95.5, 20, 30, 20)), nil, -1, func(p *job.Tray, by units.Length) { p.Pockets[0].X -= by }},
		{"over the cut, to the left", "pocket-across-halves", halved, nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].X -= by }},
		{"over the cut, to the right", "pocket-across-halves", halved, nil, 1, func(p *job.Tray, by units.Length) { p.Pockets[0].X += by }},
		{"a floor", "floor-too-thin", pad(with(rect(20, 20, 30, 20), depth(24))), nil, 0, func(p *job.Tray, by units.Length) { p.Pockets[0].Depth = inch - by }},
		{"a piece that stands proud", "piece-stands-proud", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "crab", mm(17) })), []job.Piece{crab}, -2,
			func(p *job.Tray, by units.Length) { p.Pockets[0].Depth += by - mm(proudMM) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, found := make1(t, bench(c.tray, c.roster...))
			f := only(t, found, c.rule)
			said, which := lengthsIn(t, f.Hint), c.which
			if which < 0 { // the message says it, and the hint what to do about it
				said, which = lengthsIn(t, f.Message), -1-which
			}
			enough := mm(said[which])
			if c.rule == "pocket-outside-tray" {
				enough += mm(0.1) // touching the rim is not inside
			}
			for _, follow := range []struct {
				by   units.Length
				well bool
			}{{enough, true}, {mm(said[which] - 0.1), false}} {
				tray := c.tray
				tray.Pockets = slices.Clone(tray.Pockets)
				c.follow(&tray, follow.by)
				_, found := make1(t, bench(tray, c.roster...))
				gone := true
				for _, g := range found {
					gone = gone && g.Rule != c.rule
				}
				assert.Equal(t, follow.well, gone, "%s: %s; followed by %v", f.Message, f.Hint, follow.by)
			}
		})
	}
}

// Of all ways to fill the room with up to three sheets the fullest is named, and of those one
// of the fewest sheets; counted out here one by one.
func TestRoomIsFilledBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var stock []stockSheet
		for _, n := range rapid.SliceOfNDistinct(rapid.IntRange(1, 60), 1, 5, rapid.ID).Draw(t, "stock") {
			stock = append(stock, stockSheet{"pe-30", units.Length(n)})
		}
		slices.SortFunc(stock, func(a, b stockSheet) int { return int(b.thickness - a.thickness) })
		room := units.Length(rapid.IntRange(1, 150).Draw(t, "room"))
		var most units.Length
		fewest := 0
		none := append([]stockSheet{{}}, stock...)
		for _, a := range none {
			for _, b := range none {
				for _, c := range none {
					sum, n := a.thickness+b.thickness+c.thickness, 0
					for _, s := range []stockSheet{a, b, c} {
						if s.thickness > 0 {
							n++
						}
					}
					if sum <= room && (sum > most || sum == most && n < fewest) {
						most, fewest = sum, n
					}
				}
			}
		}
		best, sum := bestFill(stock, room, mostFillers)
		assert.Equal(t, most, sum)
		assert.Len(t, best, fewest)
	})
}

// The two halves of a tray are one level of a stack.
func TestLevels(t *testing.T) {
	j := three()
	j.Trays[2].Halves = 2
	plan, found := make1(t, j)
	require.False(t, found.Failed(), "%v", found)
	var names []string
	for i := range plan.Trays {
		names = append(names, plan.Level(i).Name())
	}
	assert.Equal(t, []string{"cover", "riders", "crew-1 + crew-2", "crew-2", "stores"}, names)
}

// Small corners grow with the ease as large ones do (Steiner: A + Pr + pi r2), and a sharp
// one stays sharp: then the area is that of the longer and wider box.
func TestEaseOfAnyCorner(t *testing.T) {
	for _, corner := range []float64{0, 0.5, 1, 8} {
		for _, halves := range []int{0, 2} {
			tray := pad()
			tray.Length, tray.Width = mm(80), mm(120)
			tray.Corner, tray.Ease, tray.Halves = mm(corner), mm(1), halves
			plan, _ := make1(t, bench(tray))
			inner := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 80, Y: 120}}, corner)
			want := inner.Area() + inner.Length() + 3.141592653589793
			if corner == 0 {
				want = 82 * 122
			}
			area := 0.0
			for _, half := range plan.Trays {
				area += half.Outline.Area()
				assert.InDelta(t, 82, half.Outline.Bounds().Width(), 1e-9)
			}
			assert.InDelta(t, want, area, 1e-6, "corner %v, halves %v", corner, halves)
		}
	}
}

// A sheet that is half as thick again as its label, or half as thick, is another sheet; what is
// near it is measured.
func TestMeasuredFarOff(t *testing.T) {
	for share, far := range map[float64]bool{0.45: true, 0.55: false, 0.95: false, 1.45: false, 1.55: true} {
		tray := pad()
		tray.Layers[0].Measured = mm(25.4 * share)
		_, found := make1(t, bench(tray))
		assert.Equal(t, far, found.Failed(), "%v: %v", share, found)
	}
}

// What is the same at many places is told once, with how many more there are.
func TestTheSameIsToldOnce(t *testing.T) {
	edges := pad(rect(6, 8, 20, 20), rect(6, 46, 20, 20), rect(50, 30, 20, 20), rect(96, 30, 18, 20))
	edges.Edge = mm(5)
	_, found := make1(t, bench(edges))
	assert.Contains(t, only(t, found, "edge-thin-for-foam").Message, "; the same at 2 more places of this tray")
	walls := pad(rect(15, 20, 20, 20), rect(39, 20, 20, 20), rect(63, 20, 20, 20))
	walls.Wall = mm(3)
	_, found = make1(t, bench(walls))
	assert.Contains(t, only(t, found, "wall-thin-for-foam").Message, "; the same at 1 more place of this tray")
}

// A finger is 19 mm broad, half of all men's less and half more (from memory, after a standard
// text of ergonomics), and a notch is a mm wider. What the hint says lets one in, and 0.1 mm less
// does not; 16 x 6 mm does not either.
func TestNotchesAdmitAFinger(t *testing.T) {
	small := func(t *testing.T, p job.Pocket) (hint string, warned bool) {
		tray := pad(p)
		tray.Wall, tray.Edge = mm(2), mm(2)
		_, found := make1(t, bench(tray))
		for _, f := range found {
			if f.Rule == "notch-too-small" || f.Rule == "notch-too-wide" {
				return f.Hint, true
			}
		}
		return "", false
	}
	notched := func(p job.Pocket, sides job.Side, width, reach float64) job.Pocket {
		p.Notch, p.NotchWidth, p.NotchReach = sides, mm(width), mm(reach)
		return p
	}
	arranged := func(p job.Pocket) job.Pocket { p.Asked = "under `tray_defaults`"; return p }
	for _, c := range []struct {
		pocket       job.Pocket
		width, reach float64
		hint         string
		then         job.Side // that the hint says
		free         bool
	}{
		{notched(rect(30, 25, 40, 30), job.North, 16, 6), 20, 10, "write `notch_width: 20 mm` and `notch_reach: 10 mm`", job.North, false},
		{notched(rect(30, 25, 40, 30), job.East, 20, 6), 20, 10, "write `notch_width: 20 mm` and `notch_reach: 10 mm`", job.East, false},
		{notched(rect(30, 25, 40, 18), job.East, 0, 0), 20, 10, "that side is not as wide: write `notch: n` with `notch_width: 20 mm` and `notch_reach: 10 mm`", job.North, false},
		{notched(round(30, 25, 18), job.North|job.South, 0, 0), 0, 0, "none of its sides is as wide: take the notch out where the piece can be taken by its top, or make the pocket that wide", 0, false},
		{arranged(notched(rect(30, 25, 40, 30), job.North, 16, 6)), 20, 10, "ask for `notch_width: 20 mm` and `notch_reach: 10 mm`, or more, under `tray_defaults`", job.North, false},
		{arranged(notched(rect(30, 25, 40, 18), job.East, 0, 0)), 20, 10, "that side is not as wide: write `notch: n` with `notch_width: 20 mm` and `notch_reach: 10 mm`", job.North, false},
		{arranged(notched(rect(30, 25, 40, 18), job.East, 20, 10)), 20, 10, "it is cut no wider than the side, and no finger gets in there; that side is not as wide: write `notch: n` with `notch_width: 20 mm` and `notch_reach: 10 mm`", job.North, false},
		{arranged(notched(round(30, 25, 18), job.North, 20, 10)), 0, 0, "it is cut no wider than the side, and no finger gets in there; none of its sides is as wide: write `access: none`, in the place of its `notch`, where the piece can be taken by its top", 0, false},
		{notched(rect(30, 25, 40, 30), job.North, 42, 10), 20, 10, "it is cut no wider than the side; give a smaller `notch_width`", job.North, false},
		{notched(rect(30, 25, 40, 30), job.North, 0, 0), 20, 10, "", 0, true},
		{notched(round(30, 25, 22), job.North, 0, 0), 20, 10, "", 0, true},
	} {
		hint, warned := small(t, c.pocket)
		assert.Equal(t, !c.free, warned, "%v", c.pocket)
		if assert.Equal(t, c.hint, hint); c.free {
			continue
		}
		_, again := small(t, notched(c.pocket, c.then, c.width, c.reach))
		assert.False(t, again, "followed: %s", hint)
		if c.then != 0 {
			_, narrow := small(t, notched(c.pocket, c.then, c.width-0.1, c.reach))
			_, short := small(t, notched(c.pocket, c.then, c.width, c.reach-0.1))
			assert.True(t, narrow && short, "%v", c.pocket)
		}
	}
}

// How tall a wall may be for its thickness goes by the foam's density, and of several foams the
// lightest rules: judged, no source; the figures are 5 x sqrt(density / 30), 5, 6.1 and 8.7.
func TestSlenderWallsGoByDensity(t *testing.T) {
	for _, c := range []struct {
		foam  string
		deep  float64 // of the pockets
		thick float64 // that a wall just has to be, to 0.1 mm
	}{{"pe-30", 40, 8}, {"pe-45", 40, 6.6}, {"eva-90", 40, 4.7}, {"eva-90", 20, 2.4}} {
		for _, wall := range []float64{c.thick, c.thick - 0.1} {
			p := pad(with(rect(20, 20, 30, 20), depth(c.deep)), with(rect(50+wall, 20, 30, 20), depth(c.deep)))
			p.Wall, p.Layers = mm(2), []job.Layer{layer(c.foam, 2*inch)}
			_, found := make1(t, bench(p))
			tall := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "wall-slender" })
			assert.Equal(t, wall < c.thick && !slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "wall-thin-for-foam" }), tall, "%s, %v deep, %v thick: %v", c.foam, c.deep, wall, found)
		}
	}
}
