package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/profiles"
)

// By hand, of pe-30 under flat-3, which leaves 0.4 mm on a wall, takes 8 mm at a time and clears 0.6
// of its 3.175 mm: a lap finds 0.4 x 1.4142 mm beside it in a square corner, and 15.24 mm2 is what a
// pass of clearing takes, so 15.24 / 0.5657 = 26.9 mm is as deep as it may be. 20 mm deep it may be 0.762 mm wide in foam,
// which a corner of 1.5875 + (2 x 1.5875 x 0.4 - 0.16) / (2 x 0.362) = 3.12 mm gives it; with 0.53 mm on the wall, 4.61 mm.
func TestWhichWallsGetOneLap(t *testing.T) {
	twenty := func(more ...func(*job.Pocket)) job.Pocket {
		p := with(rect(20, 20, 40, 30), depth(20))
		p.Corner = mm(5)
		for _, m := range more {
			p = with(p, m)
		}
		return p
	}
	flute := 22.0
	recipe := func(change func(*profiles.Recipe)) func(*Input) {
		return func(in *Input) {
			if in.Machine.Tools[0].FluteMM = (profiles.Number{Value: flute}); flute == 0 {
				in.Machine.Tools[0].StickoutMM.Value = 27
			}
			known := in.Recipe
			in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
				r, ok := known(foam, tool)
				r.WallLap, r.Passes.Value = profiles.LapOnce, 2
				change(&r)
				return r, ok
			}
		}
	}
	nothing := func(*profiles.Recipe) {}
	edges := func(mm float64) func(*Input) {
		return func(in *Input) {
			flute = mm
			recipe(nothing)(in)
			flute = 22
		}
	}
	for _, c := range []struct {
		name   string
		pocket job.Pocket
		change func(*Input)
		block  bool
		beside float64
		says   string
	}{
		{name: "not asked for", pocket: twenty(), change: func(*Input) {}},
		{name: "asked for", pocket: twenty(), change: recipe(nothing), beside: 0.4 * 1.41421356},
		{name: "in one pass anyway", pocket: with(twenty(), depth(7)), change: recipe(func(r *profiles.Recipe) { r.Passes.Value = 1 })},
		{name: "sharp corners, which the cutter leaves round", pocket: twenty(func(p *job.Pocket) { p.Corner = 0 }), change: recipe(nothing), says: "its front would take more at once in a corner"},
		{name: "corners a little too tight", pocket: twenty(func(p *job.Pocket) { p.Corner = mm(3.1) }), change: recipe(nothing), says: "its front would take more at once in a corner"},
		{name: "corners just wide enough", pocket: twenty(func(p *job.Pocket) { p.Corner = mm(3.13) }), change: recipe(nothing), beside: 0.4 * 1.41421356},
		{name: "near the rim, with a wall that stands", pocket: twenty(func(p *job.Pocket) { p.X = mm(4.1) }), change: recipe(nothing), beside: 0.4 * 1.41421356},
		{name: "near the rim, with a wall that bends", pocket: twenty(func(p *job.Pocket) { p.X = mm(3.9) }), change: recipe(nothing), says: "so thin for its height that it bends"},
		{name: "a notch, whose corners are no thin foam", pocket: twenty(func(p *job.Pocket) { p.Notch, p.NotchWidth, p.NotchReach = job.East, mm(20), mm(10) }), change: recipe(nothing), beside: 0.4 * 1.41421356},
		{name: "reliefs", pocket: twenty(func(p *job.Pocket) { p.Corner, p.Relief = 0, job.Dogbone }), change: recipe(nothing), says: "too narrow for the laps"},
		{name: "as wide as the cutter and a little", pocket: twenty(func(p *job.Pocket) { p.Width, p.Corner = mm(3.9), 0 }), change: recipe(nothing), says: "too narrow for the laps"},
		{name: "edges just long enough", pocket: twenty(), change: edges(20), beside: 0.4 * 1.41421356},
		{name: "edges a little short", pocket: twenty(func(p *job.Pocket) { p.Tool = "flat-3" }), change: edges(19.9), says: "20.0 mm deep, and the edges of flat-3 are 19.9 mm long"},
		{name: "edges nobody has measured", pocket: twenty(), change: edges(0), says: "nobody has said how long the edges of flat-3 are"},
		{name: "nothing left for it", pocket: twenty(), change: recipe(func(r *profiles.Recipe) { r.FinishMM.Value = 0 }), says: "leaves nothing on the wall"},
		{name: "as much as clearing takes", pocket: twenty(), change: recipe(func(r *profiles.Recipe) { r.FinishMM.Value = 0.53 }), beside: 0.53 * 1.41421356},
		{name: "more than clearing takes", pocket: twenty(), change: recipe(func(r *profiles.Recipe) { r.FinishMM.Value = 0.55 }), says: "more at once than a pass of clearing"},
		{name: "a thin cutter", pocket: twenty(), change: recipe(func(r *profiles.Recipe) { r.KerfMM.Value = 1.9 }), says: "too thin"},
		{name: "a plug", pocket: with(rect(20, 20, 60, 40), func(p *job.Pocket) { p.Through = true }), change: recipe(nothing), says: "the groove around its plug fills the cutter"},
		{name: "a block", pocket: with(twenty(), depth(28)), change: recipe(nothing), block: true, says: "layers have kerfs of their own"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tray := pad(c.pocket)
			tray.Edge = 0
			if c.block {
				tray.Cut = job.Block
			}
			in := input(t, bench(tray), "bench-router")
			c.change(&in)
			p, found := Make(in)
			require.False(t, found.Failed(), "%v", found)
			cut := p.Trays[0].Sheets[0].Cuts[0]
			if c.beside > 0 {
				assert.InDelta(t, c.beside+nearMM, cut.WallOnceMM, 1e-6)
			} else {
				assert.Zero(t, cut.WallOnceMM)
			}
			var said []string
			for _, f := range found {
				if f.Rule == "wall-lap-at-each-level" {
					said = append(said, f.Text())
				}
			}
			if c.says == "" {
				assert.Empty(t, said)
			} else {
				assert.Contains(t, strings.Join(said, "\n"), c.says)
			}
		})
	}
}

// Hints of walls without their one lap lead all the way: what is said, done at once, gives it, and half of it does not. A
// pocket that a larger tool roughs is told of its corners, not of that tool, and that without it the sheet takes longer.
// By hand, as above: 26.2 mm down 15.24 / 26.2 = 0.5817 mm is most, and 1.5875 + 1.11 / (2 x 0.1817) = 4.64 mm the least corner.
func TestHintsOfWallsHold(t *testing.T) {
	run := func(p job.Pocket) (Cut, string, float64) {
		tray := pad(p)
		tray.Edge, tray.Length, tray.Width = 0, mm(230), mm(130)
		in := input(t, bench(tray), "bench-router")
		in.Machine.Tools[0].FluteMM.Value, in.Machine.Tools[0].StickoutMM.Value = 27, 28
		known := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := known(foam, tool)
			r.WallLap, r.Passes.Value = profiles.LapOnce, 2
			return r, ok
		}
		made, found := Make(in)
		require.False(t, found.Failed(), "%v", found)
		for _, f := range found {
			if f.Rule == "wall-lap-at-each-level" {
				return made.Trays[0].Sheets[0].Cuts[0], f.Text() + ", hint: " + f.Hint, made.Trays[0].Sheets[0].Roughing.SavedSeconds
			}
		}
		return made.Trays[0].Sheets[0].Cuts[0], "", 0
	}
	corner := func(p *job.Pocket) { p.Corner = mm(3.2) }
	deep := func(p *job.Pocket) { p.Depth = mm(20) }
	clear := func(p *job.Pocket) { p.Waste = job.ClearWaste }
	for _, c := range []struct {
		name   string
		pocket job.Pocket
		says   string
		follow []func(*job.Pocket)
	}{
		{"a larger tool roughs it", with(rect(20, 20, 110, 80), deep), `in a corner than a pass of clearing: pocket 1, hint: round its corners with 3\.2 mm or more: .*; or leave it\. With one lap it is not roughed by flat-6 any more, and the job takes about \d+ min longer, changes of tools counted, by estimate$`, []func(*job.Pocket){corner}},
		{"a plug", rect(20, 20, 60, 40), "the groove around its plug fills the cutter: pocket 1, hint: write `waste: clear` at the pocket to have it cleared, and then: round its corners with 4\\.7 mm or more: .*; or leave it$", []func(*job.Pocket){clear, func(p *job.Pocket) { p.Corner = mm(4.7) }}},
		{"beside thin foam", with(rect(3.9, 20, 40, 30), deep), `in a corner than a pass of clearing: pocket 1, hint: round its corners with 3\.2 mm or more: .*; and make the foam beside it thicker, which would bend; or leave it$`, []func(*job.Pocket){corner, func(p *job.Pocket) { p.X = mm(4.1) }}},
	} {
		_, said, saved := run(c.pocket)
		assert.Regexp(t, c.says, said, c.name)
		if strings.Contains(said, "min longer") {
			assert.Contains(t, said, fmt.Sprintf("about %.0f min longer", saved/60))
		}
		p := c.pocket
		for i, do := range c.follow {
			p = with(p, do)
			cut, still, _ := run(p)
			assert.Equal(t, i == len(c.follow)-1, cut.WallOnceMM > 0, "%s: %s", c.name, still)
			assert.True(t, cut.WallOnceMM == 0 || still == "" && cut.Roughed.Empty(), "%s: %s", c.name, still)
		}
	}
}

// By hand: in pe-30 a wall stands 5 times its thickness, so that 5 mm bear the 24 mm of one pocket, and not the 45 mm of
// another that is cut before it; nor do islands and tongues thinner than that bear their own height, as corners do.
func TestThinFoamBends(t *testing.T) {
	foam := Layer{Foam: profiles.Foam{DensityKgM3: profiles.Number{Value: 30}}}
	cut := func(name string, deep float64, shape ...geometry.Contour) Cut {
		return Cut{Name: name, DepthMM: deep, Shape: geometry.NewRegion(shape...), KerfMM: []float64{3}, Passes: []Pass{{ToMM: deep}}}
	}
	box := func(x0, y0, x1, y1, r float64) geometry.Contour {
		return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x0, Y: y0}, Max: geometry.Point{X: x1, Y: y1}}, r)
	}
	p := box(61, 16, 101, 76, 6)
	for name, c := range map[string]struct {
		cut   Cut
		other *Cut
		want  bool
	}{
		"alone":                   {cut: cut("p", 24, p)},
		"beside one as deep":      {cut: cut("p", 24, p), other: &Cut{Name: "q", DepthMM: 24, Shape: geometry.NewRegion(box(16, 16, 56, 76, 6))}},
		"beside a deeper one":     {cut: cut("p", 24, p), other: &Cut{Name: "q", DepthMM: 45, Shape: geometry.NewRegion(box(16, 16, 56, 76, 6))}, want: true},
		"a deeper one farther on": {cut: cut("p", 24, p), other: &Cut{Name: "q", DepthMM: 45, Shape: geometry.NewRegion(box(16, 16, 51, 76, 6))}},
		"a thick island":          {cut: cut("p", 24, p, box(76, 40, 86, 50, 0).Reverse())},
		"a thin island":           {cut: cut("p", 24, p, box(79, 40, 83, 50, 0).Reverse()), want: true},
		"a thick tongue":          {cut: cut("p", 24, geometry.Polygon(geometry.Point{X: 61, Y: 16}, geometry.Point{X: 101, Y: 16}, geometry.Point{X: 101, Y: 76}, geometry.Point{X: 85, Y: 76}, geometry.Point{X: 85, Y: 40}, geometry.Point{X: 77, Y: 40}, geometry.Point{X: 77, Y: 76}, geometry.Point{X: 61, Y: 76}))},
		"a thin tongue":           {cut: cut("p", 24, geometry.Polygon(geometry.Point{X: 61, Y: 16}, geometry.Point{X: 101, Y: 16}, geometry.Point{X: 101, Y: 76}, geometry.Point{X: 83, Y: 76}, geometry.Point{X: 83, Y: 40}, geometry.Point{X: 79, Y: 40}, geometry.Point{X: 79, Y: 76}, geometry.Point{X: 61, Y: 76})), want: true},
	} {
		s := Sheet{Layers: []Layer{foam}, Cuts: []Cut{c.cut}, Edge: Cut{Shape: geometry.NewRegion(box(0, 0, 140, 110, 0))}}
		if c.other != nil {
			s.Cuts = append(s.Cuts, *c.other)
		}
		got, err := s.bends(&s.Cuts[0], 1e-6)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, name)
	}
}

// How tight corners are does not go by what they are drawn of: arcs, or many short lines.
func TestCornersOfLinesAreCorners(t *testing.T) {
	drawn := func(radius float64, lines int) geometry.Region {
		var list []geometry.Point
		for i, middle := range []geometry.Point{{X: 40 - radius, Y: 30 - radius}, {X: radius, Y: 30 - radius}, {X: radius, Y: radius}, {X: 40 - radius, Y: radius}} {
			for k := range lines + 1 {
				sin, cos := math.Sincos((float64(i) + float64(k)/float64(lines)) * math.Pi / 2)
				list = append(list, middle.Add(geometry.Point{X: radius * cos, Y: radius * sin}))
			}
		}
		return geometry.NewRegion(geometry.Polygon(list...))
	}
	for _, lines := range []int{1, 2, 5, 60} {
		for radius, want := range map[float64]bool{2: false, 3: false, 6: lines == 60} {
			cut := Cut{Shape: drawn(radius, lines), KerfMM: []float64{3.175}}
			got, err := cut.roundedBy(3.12, 1e-6)
			require.NoError(t, err)
			assert.Equal(t, want, got, "radius %g of %d lines", radius, lines)
		}
	}
}

// In a corner a lap that far from the wall's stays its distance over the sine of half the angle
// away: 1.41 times it in a square one, more in a sharper one.
func TestHowSharpACornerGetsOneLap(t *testing.T) {
	for degrees, want := range map[float64]bool{60: false, 85: false, 90: true, 100: true, 150: true} {
		sin, cos := math.Sincos(degrees / 2 * math.Pi / 180)
		at := func(x, side float64) geometry.Vertex {
			return geometry.Vertex{Point: geometry.Point{X: x, Y: 40 * sin * side}}
		}
		whole := geometry.NewRegion(geometry.NewContour(geometry.Vertex{}, at(40*cos, -1), at(200, -1), at(200, 1), at(40*cos, 1)))
		cut := Cut{Shape: whole, KerfMM: []float64{3.175}}
		got, err := cut.clearedBeside(0.4, 0.4*math.Sqrt2, 1e-6)
		require.NoError(t, err)
		assert.Equal(t, want, got, "%g degrees", degrees)
	}
}
