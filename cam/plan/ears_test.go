package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
)

// eared is a tray whose layers are registered in ears beside the rim.
func eared(t job.Tray, dowel float64) job.Tray {
	t = dowelled(t, dowel)
	t.Ears = true
	return t
}

func sized(t job.Tray, length, width float64) job.Tray {
	t.Length, t.Width = mm(length), mm(width)
	return t
}

// Whatever fills a tray, its ears have the two holes with its edge around them, clear of the rim by
// that, and shown by every flip; what is cut out of each layer is the tray and its ears, and both
// go when they are cut off: the tray weighs what it weighs without.
func TestEarsHoldTheHoles(t *testing.T) {
	had := 0
	rapid.Check(t, func(r *rapid.T) {
		tb := t
		tray := sized(pad(), float64(rapid.IntRange(60, 240).Draw(r, "length")), float64(rapid.IntRange(60, 180).Draw(r, "width")))
		if rapid.Bool().Draw(r, "square") {
			tray.Width = tray.Length
		}
		tray.Corner, tray.Ease = mm(float64(rapid.IntRange(0, 12).Draw(r, "corner"))), mm(float64(rapid.IntRange(0, 1).Draw(r, "ease")))
		tray.Halves = rapid.SampledFrom([]int{1, 1, 2}).Draw(r, "halves")
		tray.Pockets = []job.Pocket{rect(20, 20, 20, 20)}
		machine := rapid.SampledFrom([]string{"bench-router", "bench-laser"}).Draw(r, "machine")
		plain, found := Make(input(tb, bench(tray), machine))
		if found.Failed() {
			return
		}
		p, found := Make(input(tb, bench(eared(tray, float64(rapid.IntRange(60, 100).Draw(r, "dowel"))/10)), machine))
		for i := range p.Trays {
			made := &p.Trays[i]
			holes, wide := holesOf(made)
			if len(holes) == 0 || found.Failed() {
				assert.True(r, found.Failed(), "no holes, and nothing is said")
				continue
			}
			had++
			require.Len(r, made.Ears, 2)
			flipsShow(r, made.Length.MM(), made.Width.MM(), holes, wide)
			assert.Greater(r, holes[0].DistanceTo(holes[1]), math.Hypot(made.Length.MM(), made.Width.MM())/3)
			assert.Equal(r, plain.Trays[i].FoamG, made.FoamG)
			assert.Equal(r, plain.Trays[i].Outline, made.Outline)
			for _, s := range made.Sheets {
				earsOn(r, made, s.Edge.Shape, holes, wide)
			}
		}
	})
	assert.Positive(t, had)
}

// earsOn holds one layer's outline against its tray's.
func earsOn(t *rapid.T, made *Tray, cut geometry.Region, holes []geometry.Point, wide float64) {
	require.Len(t, cut.Contours(), 1)
	assert.Less(t, geometry.NewRegion(made.Outline).Area()+2*(wide+20)*(wide+20), cut.Area()+1e-6, "two ears of a hole and its edges each way, and their roots")
	tray := made.Outline.Bounds()
	assert.Equal(t, tray.Min, cut.Bounds().Min, "the front left corner stays")
	for i, h := range holes {
		ear := made.Ears[i]
		assert.Equal(t, ear, ear.Union(geometry.Box{Min: h, Max: h}.Grow(wide/2+10-1e-9)), "the edge of 10 around a hole")
		d, _, _ := geometry.Distance(geometry.Circle(h, wide/2), made.Outline)
		assert.GreaterOrEqual(t, d, 10-1e-6, "clear of the rim, and of the knife")
		for _, p := range around(cut) {
			assert.GreaterOrEqual(t, p.DistanceTo(h)-wide/2, 10-1e-6, "clear of the outline that is cut")
		}
	}
	for _, p := range around(geometry.NewRegion(made.Outline)) {
		assert.True(t, cut.Contains(p) || distanceToEdge(cut, p) < 1e-6, "all of the tray is cut out")
	}
}

func distanceToEdge(r geometry.Region, p geometry.Point) float64 {
	return geometry.NewWalls(r).DistanceTo(p, 0)
}

// The corners at ears suit the widest tool, and an ear is no shorter than they are.
func TestEarsOfAWideTool(t *testing.T) {
	in := input(t, bench(eared(sized(pad(rect(20, 20, 20, 20)), 240, 180), 8)), "bench-router")
	wide := in.Machine.Tools[0]
	wide.ID, wide.Number, wide.DiameterMM.Value = "fly-60", 60, 60
	in.Machine.Tools = append(in.Machine.Tools, wide)
	p, found := Make(in)
	require.False(t, found.Failed(), "%v", found)
	cut := p.Trays[0].Sheets[0].Edge.Shape
	require.Len(t, cut.Contours(), 1)
	assert.Equal(t, cut.Bounds().Max.Y, p.Trays[0].Ears[0].Max.Y, "nothing sticks out beyond the ear")
}
