package plan

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Whoever reads why a pocket is what it is can reckon it again from what was measured.
func TestWhyAPocketIsAsItIs(t *testing.T) {
	p := lain(25, 24, 36, job.AnyPose)
	p.Outline = "crown.dxf"
	n := func(change func(*Need)) Need {
		n := Need{Pose: "upright", Depth: mm(36)}
		change(&n)
		return n
	}
	up := n(func(*Need) {})
	for want, got := range map[string]string{
		"25 mm x 24 mm, snug in pe-30 adds 1.5 mm; 36 mm deep, to 36.5 mm":                              up.Why(&p, 1.5, "pe-30", "", mm(36.5), true, units.Millimetre),
		"25 mm x 24 mm, easy in pe-30 adds -1 mm; 36 mm deep in a layer of 40 mm, which is cut through": up.Why(&p, -1, "pe-30", "easy", mm(40), false, units.Millimetre),
		"25 mm x 36 mm, snug in pe-30 adds 0 mm; 24 mm deep and 0.25 mm of headroom, to 24.5 mm": n(func(n *Need) { n.Pose, n.Depth, n.Headroom = "lying", mm(24.25), mm(0.25) }).
			Why(&p, 0, "pe-30", "snug", mm(24.5), true, units.Millimetre),
		"diameter 25 mm, snug in pe-30 adds 0 mm; 36 mm deep less 5 mm that stand out, to 31 mm": n(func(n *Need) { n.Round, n.Depth, n.Headroom = true, mm(31), -mm(5) }).
			Why(&p, 0, "pe-30", "snug", mm(31), true, units.Millimetre),
		"as crown.dxf draws it; 36 mm deep, to 36 mm": n(func(n *Need) { n.Outline = "crown.dxf" }).Why(&p, 0, "pe-30", "snug", mm(36), true, units.Millimetre),
		"25 mm x 24 mm, snug in pe-30 adds 0 mm; 3 on each other are 108 mm deep and 2 mm of headroom, to 110 mm": n(func(n *Need) { n.Depth, n.Headroom, n.Pile = mm(110), mm(2), 3 }).
			Why(&p, 0, "pe-30", "snug", mm(110), true, units.Millimetre),
	} {
		assert.Equal(t, want, got)
	}
}

// So many on each other are so many times as high; headroom is no part of that, and less than all of it stands out.
func TestPilesOfNeeds(t *testing.T) {
	n := Need{Depth: mm(12.5), Headroom: mm(0.5)}
	assert.Equal(t, 1, n.Pieces())
	three := n.Piled(3)
	assert.Equal(t, Need{Depth: mm(36.5), Headroom: mm(0.5), Pile: 3}, three)
	assert.Equal(t, 3, three.Pieces())
	assert.Equal(t, Need{Depth: mm(24.5), Headroom: mm(0.5), Pile: 2}, three.Piled(2), "of a pile as of a piece")
	assert.Equal(t, Need{Depth: 1, Headroom: 1 - mm(4), Pile: 2}, Need{Depth: mm(2) - mm(5), Headroom: -mm(5)}.Piled(2), "no pocket is less than nothing deep")
}

// The pocket of a drawing is the drawing's box, up to the next step; how it lies says how deep it is.
func TestNeedsOfDrawings(t *testing.T) {
	p := lain(25, 24, 36, job.Lying)
	p.Outline = "crown.dxf"
	half := Step(units.Millimetre)
	assert.Equal(t, Need{Pose: "lying", Length: mm(25.5), Width: mm(36), Outline: "crown.dxf", Depth: mm(24.25), Headroom: mm(0.25)}, NeedOfDrawn(&p, 25.1, 36, mm(0.25), half))
	p.Pose = job.Upright
	assert.Equal(t, Need{Pose: "upright", Length: half, Width: half, Outline: "crown.dxf", Depth: mm(36.25), Headroom: mm(0.25)}, NeedOfDrawn(&p, 0, 0.1, mm(0.25), half))
	assert.Equal(t, inch/64, Step(units.Inch))
}

// A coupon is as thick as the layer, or as the thickest sheet up to it that the edges of the tool cut.
func TestCouponsThatAToolCuts(t *testing.T) {
	foam := profiles.Foam{ID: "pe-30", Thicknesses: []units.Length{mm(6), inch / 2, mm(10), inch}}
	r := profiles.Recipe{Foam: "pe-30", Machine: "mill", Tool: "flat"}
	for _, c := range []struct {
		thick, flute float64
		want         string
	}{{25.4, 0, "25.4 mm"}, {25.4, 25.4, "25.4 mm"}, {25.4, 25.3, "12.7 mm"}, {25.4, 12.7, "12.7 mm"}, {25.4, 12.6, "10 mm"}, {25.4, 5, "25.4 mm"}, {11, 12, "11 mm"}} {
		tool := profiles.Tool{FluteMM: profiles.Number{Value: c.flute}}
		assert.Equal(t, `traywright coupon --foam pe-30 --thickness "`+c.want+`" --machine mill --tool flat --out coupon`,
			CouponCommand(r, tool, Layer{Foam: foam, Thickness: mm(c.thick)}, units.Millimetre), "%+v", c)
	}
	assert.Equal(t, `traywright coupon --foam pe-30 --thickness "1/2 in" --machine mill --tool flat --units in --out coupon`, CouponOf(r, inch/2, units.Inch))
}

// The shape of a pocket alone: its lower left corner at 0, 0, its notch beyond that.
func TestDesignsOfPocketsAlone(t *testing.T) {
	p := with(rect(20, 30, 40, 20), func(p *job.Pocket) {
		p.Notch, p.NotchWidth, p.NotchReach, p.Relief = job.East, mm(12), mm(9), job.Dogbone
	})
	got, err := DesignOf(p, nil)
	require.NoError(t, err)
	b := got.Bounds()
	assert.InDeltaSlice(t, []float64{0, 0, 49, 20}, []float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}, 1e-6)
	_, err = DesignOf(job.Pocket{For: "keg"}, nil)
	assert.ErrorContains(t, err, "no shape of its own")
}

// A box of 60 x 30 mm has its finger hole at a short side, a short one at its left where its right is not straight, one that is as long in Y
// at its top; a shape of points has none.
func TestNotchesOfOutlines(t *testing.T) {
	box := func(x, y float64) geometry.Region {
		return geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: x, Y: y}}, 0))
	}
	pointed := geometry.NewRegion(geometry.Polygon(geometry.Point{}, geometry.Point{X: 60}, geometry.Point{X: 90, Y: 15}, geometry.Point{X: 60, Y: 30}, geometry.Point{Y: 30}))
	diamond := geometry.NewRegion(geometry.Polygon(geometry.Point{X: 30}, geometry.Point{X: 60, Y: 30}, geometry.Point{X: 30, Y: 60}, geometry.Point{Y: 30}))
	for _, c := range []struct {
		of   geometry.Region
		want job.Side
	}{{box(60, 30), job.East}, {box(30, 60), job.North}, {box(60, 8), job.North}, {box(8, 60), job.East}, {pointed, job.West}, {diamond, 0}} {
		assert.Equal(t, c.want, NotchSideOf(c.of), c.of.Bounds())
	}
}

// What a plan's values say of themselves.
func TestWordsOfThePlan(t *testing.T) {
	rim := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 100, Y: 80}}, 0)
	ear := func(x, y float64) []geometry.Box {
		return []geometry.Box{{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + 10, Y: y + 10}}}
	}
	assert.Equal(t, "", (&Tray{Outline: rim}).EarsAt())
	assert.Equal(t, "right", (&Tray{Outline: rim, Ears: ear(100, 20)}).EarsAt())
	assert.Equal(t, "back", (&Tray{Outline: rim, Ears: ear(20, 80)}).EarsAt())
	assert.True(t, (&Tray{Ears: ear(0, 0)}).InEar(Pocket{Dowel: mm(6)}))
	assert.False(t, (&Tray{Ears: ear(0, 0)}).InEar(Pocket{}))
	assert.False(t, (&Tray{}).InEar(Pocket{Dowel: mm(6)}))

	measured := Layer{Thickness: mm(24.9), Label: inch}
	assert.Equal(t, "1 in (measured 24.9 mm)", measured.Words(units.Inch))
	assert.Equal(t, "24.9 mm", Layer{Thickness: mm(24.9)}.Words(units.Millimetre))
	assert.Equal(t, []units.Length{inch, mm(3)}, []units.Length{measured.Sold(), Layer{Thickness: mm(3)}.Sold()})

	plan := Plan{Trays: []Tray{{ID: "a-1", Half: 1, FoamG: 10, PiecesG: 4}, {ID: "a-2", Half: 2, FoamG: 20, PiecesG: 5}, {ID: "b", FoamG: 3}, {ID: "c-1", Half: 1}}}
	assert.Equal(t, "a-1 + a-2", plan.Level(0).Name())
	assert.Equal(t, 39.0, plan.Level(0).WeightG())
	assert.Equal(t, []string{"b", "c-1"}, []string{plan.Level(2).Name(), plan.Level(3).Name()})

	s := Sheet{Edge: Cut{Name: "outline"}, Cuts: []Cut{{Name: "keg"}}, Marks: make([]geometry.Path, 1), Marking: Cut{Name: "marks", Recipes: make([]profiles.Recipe, 1)}}
	names := func(cuts []Cut) (list []string) {
		for _, c := range cuts {
			list = append(list, c.Name)
		}
		return list
	}
	assert.Equal(t, []string{"outline", "keg", "marks"}, names(s.CutOn(profiles.Machine{Process: profiles.Router})))
	assert.Equal(t, []string{"keg", "outline"}, names(s.CutOn(profiles.Machine{Process: profiles.HotWire})))
}

// What tips up and has no bridge is a warning, with fewer than it should have a note, and with all nothing.
func TestBridgesThatAreTold(t *testing.T) {
	m := newMaker(Input{Job: &job.Job{}})
	m.tellBridges(slab{}, Sheet{Cuts: []Cut{
		{Name: "ok", Hold: Hold{Bridges: make([]geometry.Point, 2)}}, {Name: "few", Hold: Hold{Bridges: make([]geometry.Point, 1), Lacking: 2}}, {Name: "none", Hold: Hold{Tips: 1, Lacking: 3}},
	}})
	found := m.log.list()
	assert.Equal(t, "note:few-bridges warning:no-bridges", rules(found))
	assert.Equal(t, "is held by 1 of 3 bridges: there is no room for more", found[0].Message)
	assert.Equal(t, []string{"few", "none"}, []string{found[0].Where, found[1].Where})
}

// One tab is a warning with the recipe to change; none, which is a skin, and several are not.
func TestATrayOnOneTab(t *testing.T) {
	for tabs := range 4 {
		m := newMaker(Input{Job: &job.Job{}})
		m.tellTabs(slab{}, Sheet{Edge: Cut{Hold: Hold{Tabs: tabs}, Recipes: []profiles.Recipe{{Foam: "upper", Tool: "thin"}, {Foam: "lower", Tool: "thin"}}}})
		if tabs != 1 {
			assert.Empty(t, m.log.list())
			continue
		}
		assert.Equal(t, "warning:one-tab", rules(m.log.list()))
		assert.Equal(t, "set tab_count to 3 or more in the recipe for lower with thin", m.log.list()[0].Hint)
	}
}

// leaving is a blade that leaves one line of each cut, or cannot cut.
type leaving struct {
	stub
	err error
}

func (l leaving) Left(Cut, bool, float64) ([]geometry.Path, error) {
	return []geometry.Path{geometry.NewPath(geometry.Vertex{}, geometry.Vertex{Point: geometry.Point{X: 3, Y: 4}})}, l.err
}

// A cut that goes through is asked what a blade leaves of it, and no other; a refusal stands where the cut is asked for.
func TestWhatABladeLeaves(t *testing.T) {
	square := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 9, Y: 9}}, 0))
	for name, c := range map[string]struct {
		change func(*Cut)
		mm     float64
	}{
		"through": {func(*Cut) {}, 5}, "not through": {func(c *Cut) { c.Through = false }, 0}, "no passes": {func(c *Cut) { c.Passes = nil }, 0},
		"a line": {func(c *Cut) { c.Along = square.Contours()[0] }, 0}, "no shape": {func(c *Cut) { c.Shape = geometry.Region{} }, 0},
	} {
		cut := Cut{Through: true, Passes: make([]Pass, 1), Shape: square}
		c.change(&cut)
		require.Nil(t, cut.leave(leaving{}, false, 1e-6))
		assert.Equal(t, c.mm, cut.LeftMM(), name)
		require.Nil(t, cut.leave(stub{}, false, 1e-6))
		assert.Zero(t, cut.LeftMM(), "no blade")
	}
	at := finding.Position{File: "job.yaml", Line: 7}
	for _, err := range []error{errors.New("no"), finding.List{{Rule: "bad-shape", Message: "no", Hint: "h"}}} {
		cut := Cut{Name: "keg", At: at, Through: true, Passes: make([]Pass, 1), Shape: square}
		no := cut.leave(leaving{err: err}, false, 1e-6)
		require.NotNil(t, no)
		assert.Equal(t, []any{"bad-shape", "keg", at}, []any{no.rule, no.cut, no.at})
		assert.Equal(t, place{position: at, text: "tray a, keg"}, place{text: "tray a"}.cut(no))
	}
	assert.Equal(t, place{text: "tray a"}, place{text: "tray a"}.cut(&refusal{}))
	assert.Equal(t, place{text: "tray a, keg"}, place{text: "tray a"}.cut(&refusal{cut: "keg"}))
}

// Eight cuts are named, and how many more there are; places and lengths are those of all.
func TestWhatIsLeftToAHandIsTold(t *testing.T) {
	for _, n := range []int{0, 8, 10} {
		var s Sheet
		for i := range n {
			s.Cuts = append(s.Cuts, Cut{Name: fmt.Sprint("k", i+1), Left: []geometry.Path{geometry.NewPath(geometry.Vertex{}, geometry.Vertex{Point: geometry.Point{X: 2}})}, Tool: profiles.Tool{ChordMM: profiles.Number{Value: 6}}})
			s.Cuts[i].wall = wallLap{"why", "hint"}
		}
		m := newMaker(Input{Job: &job.Job{}})
		m.tellLeft(slab{}, s)
		m.tellWalls(slab{}, s)
		if n == 0 {
			assert.Empty(t, m.log.list())
			continue
		}
		found := m.log.list()
		tail := map[int]string{8: "k1, k2, k3, k4, k5, k6, k7, k8", 10: "k1, k2, k3, k4, k5, k6, k7, k8, 2 more"}[n]
		require.Len(t, found, 2)
		assert.Contains(t, found[0].Message, fmt.Sprintf("a blade 6 mm wide does not fit: they stay uncut in %d places, %d mm in all", n, 2*n))
		assert.Regexp(t, tail+"$", found[0].Message)
		assert.Regexp(t, "why: "+tail+"$", found[1].Message)
	}
}

// A kerf that was measured in foam of 12.7 mm is known of what a cutter cuts less deep, and told once where it is not.
func TestAKerfOfAnotherThicknessIsToldOnce(t *testing.T) {
	deep := func(x, mm float64) job.Pocket { return with(rect(x, 20, 20, 17), depth(mm)) }
	in := input(t, bench(pad(deep(20, 20), deep(48, 20), deep(76, 10))), "bench-router")
	recipe := in.Recipe
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
		r, ok := recipe(foam, tool)
		if foam == "pe-30" {
			r.MeasuredIn = profiles.KerfsIn{{ThicknessMM: 12.7, KerfMM: 3.2, IntervalMM: 0.05}}
		}
		return r, ok
	}
	_, found := Make(in)
	told := map[string]int{}
	for _, f := range found {
		if f.Rule == "kerf-of-another-thickness" {
			told[f.Message[:strings.Index(f.Message, ";")]]++
			assert.Equal(t, "recipe for pe-30 on bench-router with flat-3", f.Where)
		}
	}
	unknown := "nobody knows its kerf here: it was measured in foam of 12.7 mm, and "
	assert.Equal(t, map[string]int{unknown + "20 mm are cut": 1, unknown + "25.4 mm are cut": 1}, told, "the pockets, and the outline")
}
