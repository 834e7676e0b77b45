package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// without are rules but those about fingers.
func without(found finding.List) string {
	var kept finding.List
	for _, f := range found {
		if f.Rule != "no-way-in" {
			kept = append(kept, f)
		}
	}
	return rules(kept)
}

// What is measured of a sheet may be off its label as far as the foam's row says, 0.5 mm either way in pe-30; farther is told, and more
// than half of the label is another sheet or another unit.
func TestMeasuredThicknessAtItsEdges(t *testing.T) {
	for measured, want := range map[float64]string{
		0: "", 25.9: "", 25.91: "warning:measured-off", 24.9: "", 24.89: "warning:measured-off", 38.1: "warning:measured-off", 38.11: "error:measured-far-off", 12.7: "warning:measured-off", 12.69: "error:measured-far-off",
	} {
		tray := pad()
		tray.Layers[0].Measured = mm(measured)
		m := newMaker(input(t, bench(tray), "bench-router"))
		foam, _ := m.Catalog.Foam("pe-30")
		m.checkMeasured(place{}, foam, &tray, tray.Layers[0])
		assert.Equal(t, want, rules(m.log.list()), measured)
		foam.ThickerMM, foam.ThinnerMM = profiles.Number{}, profiles.Number{}
		m = newMaker(input(t, bench(tray), "bench-router"))
		m.checkMeasured(place{}, foam, &tray, tray.Layers[0])
		assert.Equal(t, want == "error:measured-far-off", m.log.list().Failed(), "nobody has said how far it may be off")
	}
}

// A pocket of a depth in a pad of 25.4 on 6.35 mm: 0.1 mm into a layer is a cut, and 2 mm of floor hold (leastCut, LeastFloor: judged, no source).
func TestDepthsAtTheirEdges(t *testing.T) {
	for deep, want := range map[float64]string{
		0.1: "", 0.09: "error:hardly-a-cut", 23.4: "", 23.41: "warning:floor-too-thin", 25.4: "", 25.49: "error:hardly-a-cut", 25.5: "", 29.75: "", 29.76: "warning:floor-too-thin", 31.75: "",
		31.76: "error:pocket-too-deep", -1: "error:pocket-without-depth",
	} {
		_, found := make1(t, bench(pad(with(rect(20, 20, 30, 10), depth(deep)))))
		assert.Equal(t, want, without(found), "%v %v", deep, found)
	}
	m := newMaker(Input{Job: &job.Job{}})
	assert.Equal(t, "make it 0.1 mm deep or more", m.hardlyCut(0))
	assert.Equal(t, "make it 25.4 mm deep, where the layer above ends, or 25.5 mm or more", m.hardlyCut(inch))
	b := &board{Tray: Tray{Layers: []Layer{{Thickness: mm(24.9), Label: inch}, {Thickness: inch / 4}}}}
	for asked, want := range map[units.Length]units.Length{inch: mm(24.9), inch + inch/4: mm(24.9) + inch/4, mm(24.9): mm(24.9), mm(10): mm(10)} {
		assert.Equal(t, want, b.inFoam(asked), "what ends where a layer does by its label ends where that does")
	}
}

// Under an island a floor is 1 mm thicker than the outline's skin, of 1.3 mm here (underIslandMM: judged, no source).
func TestIslandsAtTheirEdges(t *testing.T) {
	for deep, want := range map[float64]bool{25.4 - 2.3: false, 25.4 - 2.29: true} {
		_, found := make1(t, bench(pad(framed(deep)...)))
		hit := false
		for _, f := range found {
			hit = hit || f.Rule == "island-on-skin"
			if f.Rule == "island-on-skin" {
				assert.Contains(t, f.Hint, "make it 23.1 mm deep or less")
			}
		}
		assert.Equal(t, want, hit, "%v %v", deep, found)
	}
}

// What a recipe lacks is said with its key; foam that may not go under the machine is told elsewhere.
func TestRecipesThatCannotBeUsed(t *testing.T) {
	in := input(t, bench(pad(rect(20, 20, 30, 10))), "bench-router")
	recipe := in.Recipe
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
		r, ok := recipe(foam, tool)
		if foam == "pe-30" {
			r.FeedMMPerMin.Value = 0
		}
		return r, ok
	}
	_, found := Make(in)
	for _, f := range found {
		if f.Rule == "recipe-incomplete" {
			assert.Contains(t, f.Message, "has no usable feed_mm_per_min")
			assert.Equal(t, "set feed_mm_per_min in the recipe", f.Hint)
		}
	}
	assert.Contains(t, rules(found), "error:recipe-incomplete")
	in.Barred = map[string]bool{"pe-30": true}
	_, found = Make(in)
	assert.NotContains(t, rules(found), "recipe")

	for skin, want := range map[float64]string{25.3: "", 25.4: "error:nothing-holds"} {
		in := input(t, bench(pad()), "bench-router")
		in.Job.Trays[0].Layers = in.Job.Trays[0].Layers[:1]
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.SkinMM.Value = skin
			return r, ok
		}
		_, found := Make(in)
		assert.Equal(t, want, rules(found), skin)
	}
}

// A notch of less than nothing, and a picture that nobody has read.
func TestWhatIsNoNotchAndNoPicture(t *testing.T) {
	for _, c := range []struct{ width, reach float64 }{{-1, 9}, {20, -1}} {
		_, found := make1(t, bench(pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Notch, p.NotchWidth, p.NotchReach = job.East, mm(c.width), mm(c.reach) }))))
		assert.Contains(t, rules(found), "error:negative-notch")
	}
	tray := pad()
	tray.Emblems = []job.Emblem{emblem(20, 20, 30, job.Marked)}
	in := input(t, bench(tray), "bench-router")
	in.Pictures = nil
	_, found := Make(in)
	assert.Contains(t, rules(found), "error:picture-not-read")
}

// Of two cuts that share foam the shallower comes first, of two as deep the smaller, else the first; a through cut of a
// block goes below it by the last layer's recipe; what an earlier cut has taken down to its floor need not be taken again.
func TestTheOrderOfCutsThatMeet(t *testing.T) {
	square := func(at, side float64) geometry.Region {
		return geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: at, Y: at}, Max: geometry.Point{X: at + side, Y: at + side}}, 0))
	}
	cut := func(at, side, deep float64) Cut { return Cut{Shape: square(at, side), DepthMM: deep} }
	for _, c := range []struct {
		cuts        []Cut
		first, then int
	}{
		{[]Cut{cut(0, 40, 5), cut(10, 10, 9)}, 0, 1}, {[]Cut{cut(0, 40, 9), cut(10, 10, 5)}, 1, 0}, {[]Cut{cut(0, 40, 9), cut(10, 10, 9)}, 1, 0}, {[]Cut{cut(0, 10, 9), cut(0, 40, 9)}, 0, 1}, {[]Cut{cut(0, 10, 9), cut(5, 10, 9)}, 0, 1},
	} {
		first, then := inOrder(c.cuts, 0, 1)
		assert.Equal(t, []int{c.first, c.then}, []int{first, then})
	}
	for _, c := range []struct {
		cuts    []Cut
		cleared float64 // of the second
	}{
		{[]Cut{cut(0, 40, 5), cut(10, 10, 9)}, 5}, {[]Cut{cut(0, 15, 5), cut(10, 10, 9)}, 0}, {[]Cut{cut(0, 40, 5), cut(10, 10, 9), cut(5, 30, 7)}, 7}, {[]Cut{cut(0, 40, 5), cut(60, 10, 9)}, 0},
	} {
		s := Sheet{Cuts: c.cuts}
		assert.Nil(t, s.precede(1e-6))
		assert.Equal(t, c.cleared, s.Cuts[1].ClearedMM)
	}
	recipes := []profiles.Recipe{{KerfMM: profiles.Number{Value: 3}, BreakthroughMM: profiles.Number{Value: 9}}, {KerfMM: profiles.Number{Value: 3.2}, BreakthroughMM: profiles.Number{Value: 0.5}}}
	s := Sheet{Layers: []Layer{{Thickness: mm(20), Top: mm(5)}, {Thickness: mm(6), Top: mm(25)}}}
	through, floor := Cut{Through: true, Recipes: recipes}, Cut{DepthMM: 22, Recipes: recipes}
	s.layOut(&through, stub{})
	s.layOut(&floor, stub{})
	assert.Equal(t, []any{0.5, 26.5, 0.0, 22.0}, []any{through.BelowMM, through.Passes[0].ToMM, floor.BelowMM, floor.Passes[0].ToMM})
	assert.Equal(t, []float64{3, 3.2}, through.KerfMM)
	assert.Equal(t, []float64{3, 3.2, 3.2}, []float64{through.WallMM(0), through.WallMM(1), through.WidestMM()})
	beds := s.beds(recipes)
	assert.Equal(t, []float64{0, 20, 20, 26}, []float64{beds[0].TopMM, beds[0].BottomMM, beds[1].TopMM, beds[1].BottomMM})
}
