package safety

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

// P/v: 45 % of 40 W at 900 mm/min is 18 W / 15 mm/s = 1.2 J/mm, twice over (derived).
func TestBeamOf(t *testing.T) {
	b := BeamOf(shippedRecipe(t, "pe-30", "bench-laser", "beam").Through(25.4), bench(t, profiles.Laser))
	assert.InDelta(t, 1.2, b.PassJPerMM, 1e-12)
	assert.InDelta(t, 2.4, b.AllJPerMM, 1e-12)
	assert.Equal(t, 2, b.Passes)
	assert.Equal(t, Beam{Passes: 1}, BeamOf(profiles.Recipe{}, bench(t, profiles.Laser)))
	assert.Equal(t, 0.0, BeamOf(shippedRecipe(t, "pe-30", "bench-router", "flat-3"), bench(t, profiles.Router)).PassJPerMM)
}

// The factor of five is how far apart what foam takes to melt (0.4 to 0.6 MJ/kg) and
// what it takes to be made into gas (1.9 to 2.6) lie, from memory.
func TestABeamIsBoundByItsStart(t *testing.T) {
	pe := ofKind(t, "pe")
	u := Use{Foam: pe, Machine: bench(t, profiles.Laser), Where: "x"}
	start := Beam{1.2, 2.4, 2}
	assert.Less(t, 2.6/0.6, float64(MostHeat))
	for _, c := range []struct {
		b    Beam
		want string
	}{
		{start, ""}, {Beam{5.9, 11.9, 2}, ""}, {Beam{0.1, 2.9, 29}, ""},
		{Beam{6.1, 6.1, 1}, "the beam gives 6.1 J to a mm in one pass; it started from 1.2 J, the recipe for pe-30 on bench-laser that ships"},
		{Beam{1.2, 12.1, 11}, "the beam gives 12.1 J to a mm in 11 passes; it started from 2.4 J"},
		{Beam{0.05, 1.6, 31}, "the beam goes over one place 31 times, and 30 are the most"},
		{Beam{math.NaN(), 1, 1}, "NaN J to a mm"}, {Beam{math.Inf(1), math.Inf(1), 1}, "+Inf J"},
	} {
		found := CheckBeam(c.b, u, catalog(t))
		assert.Equal(t, c.want != "", found.Failed(), c.b)
		if c.want != "" {
			require.Len(t, found, 1)
			assert.Contains(t, found[0].Message, c.want)
		}
	}
}

// The weakest lasers that are sold for cutting have about 2 W (from memory). What may
// not go under a beam at all is not told twice; a machine is told of once.
func TestAWeakLaserIsWarnedOf(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser), Where: "tray x"}
	for watts, weak := range map[float64]bool{0.1: true, 1.99: true, 2: false, 40: false, 0: false} {
		u.Machine.PowerW.Value = watts
		found := Check([]Use{u, u}, catalog(t), permits(permit(u)))
		assert.False(t, found.Failed())
		told := 0
		for _, f := range found {
			if f.Rule == "weak-laser" {
				told++
				assert.Contains(t, f.Message, "no laser below about 2 W cuts foam")
			}
		}
		assert.Equal(t, weak, told == 1, watts)
	}
	u.Foam, u.Machine.PowerW.Value = ofKind(t, "pvc"), 1
	assert.False(t, has(Check([]Use{u}, catalog(t), nil), "weak-laser"))
}

// Thin foam starts with fewer passes: 1.2 J/mm once through 10 mm, twice through 25.4
// and whatever is said to be thicker (as above).
func TestABeamIsBoundByItsFoamsThickness(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser), Where: "x"}
	for thick, refused := range map[float64]bool{10: true, 25.4: false, 200: false, 0: false} {
		u.DepthMM = thick
		assert.Equal(t, refused, CheckBeam(Beam{1.2, 10.8, 9}, u, catalog(t)).Failed(), thick)
		assert.False(t, CheckBeam(Beam{1.2, 6, 5}, u, catalog(t)).Failed(), thick)
		assert.True(t, CheckBeam(Beam{1.2, 24, 20}, u, catalog(t)).Failed(), thick)
	}
}

// A foam of one's own is held against the weakest start of its kind, whatever its
// density; a kind for which none ships against nothing.
func TestABeamForAFoamOfOnesOwn(t *testing.T) {
	for _, density := range []float64{2, 30, 45, 600} {
		u := Use{Foam: profiles.Foam{ID: "mine", Kind: "pe", DensityKgM3: profiles.Number{Value: density}}, Machine: bench(t, profiles.Laser)}
		assert.Empty(t, CheckBeam(Beam{5.9, 11.9, 2}, u, catalog(t)))
		assert.True(t, CheckBeam(Beam{6.1, 6.1, 1}, u, catalog(t)).Failed())
	}
	u := Use{Foam: profiles.Foam{ID: "mine", Kind: "granite"}, Machine: bench(t, profiles.Laser)}
	assert.True(t, CheckBeam(Beam{0.01, 0.01, 1}, u, catalog(t)).Failed())
	assert.True(t, CheckBeam(Beam{0.01, 0.01, 1}, u, &profiles.Catalog{}).Failed())
}

// Every laser recipe that ships is where it starts.
func TestShippedBeamsAreAtTheirStart(t *testing.T) {
	tried := 0
	for _, r := range catalog(t).Recipes() {
		if m, _ := catalog(t).Machine(r.Machine); m.Process == profiles.Laser {
			foam, _ := catalog(t).Foam(r.Foam)
			assert.Empty(t, CheckBeam(BeamOf(r, m), Use{Foam: foam, Machine: m}, catalog(t)))
			tried++
		}
	}
	assert.GreaterOrEqual(t, tried, 4)
}

// One hour more than a shift of 8 hours is refused; the two hours are common
// practice, no source.
func TestCheckLit(t *testing.T) {
	assert.Empty(t, CheckLit(7200, "x"))
	found := CheckLit(7201, "x")
	require.Len(t, found, 1)
	assert.Equal(t, finding.Warning, found[0].Severity)
	assert.False(t, CheckLit(8*3600, "x").Failed())
	assert.True(t, CheckLit(8*3600+1, "x").Failed())
	assert.True(t, CheckLit(math.NaN(), "x").Failed())
	assert.Contains(t, CheckLit(105*3600, "x")[0].Message, "lit for 105.0 hours in one program, and 8 are the most")
}
