package kerf

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry/units"
	"traywright/profiles"
)

// What was saved of a kerf before stays where it is of another thickness at the same setting; all else that goes is named.
func TestWhatStaysOfASavedKerf(t *testing.T) {
	mm := func(v float64) profiles.Number { return profiles.Number{Value: v, Source: "measured"} }
	thin, thick := profiles.KerfIn{ThicknessMM: 12, KerfMM: 0.3, IntervalMM: 0.02}, profiles.KerfIn{ThicknessMM: 25, KerfMM: 0.4, IntervalMM: 0.03}
	wide := thin
	wide.KerfMM = 0.35
	recipe := func(in ...profiles.KerfIn) profiles.Recipe {
		return profiles.Recipe{Foam: "pe-30", Machine: "beam", Tool: "beam", KerfMM: mm(0.3), KerfIntervalMM: mm(0.02), FeedMMPerMin: mm(900), PowerPercent: mm(60), MeasuredIn: in}
	}
	with := func(r profiles.Recipe, change func(*profiles.Recipe)) profiles.Recipe { change(&r); return r }
	for name, c := range map[string]struct {
		now, old profiles.Recipe
		kept     []profiles.KerfIn
		lost     []string
	}{
		"the same":              {recipe(thin), recipe(thin), []profiles.KerfIn{thin}, nil},
		"another thickness":     {recipe(thin), recipe(thick), []profiles.KerfIn{thin, thick}, nil},
		"both":                  {recipe(thick), recipe(thin, thick), []profiles.KerfIn{thin, thick}, nil},
		"of that thickness":     {recipe(wide), recipe(thin, thick), []profiles.KerfIn{wide, thick}, []string{"0.300 ± 0.020 mm in foam of 12 mm, of which it does not say on which readings it rests: save its own table once more, and both count"}},
		"nobody says how thick": {recipe(thin), recipe(), []profiles.KerfIn{thin}, []string{"0.300 ± 0.020 mm, of which it does not say how thick the foam was"}},
		"another feed":          {recipe(thin), with(recipe(thick), func(r *profiles.Recipe) { r.FeedMMPerMin.Value++ }), []profiles.KerfIn{thin}, []string{"0.400 ± 0.030 mm in foam of 25 mm, cut at another setting"}},
		"other passes":          {recipe(thin), with(recipe(thick), func(r *profiles.Recipe) { r.MMPerPass.Value = 3 }), []profiles.KerfIn{thin}, []string{"0.400 ± 0.030 mm in foam of 25 mm, cut at another setting"}},
		"a wire":                {recipe(thin), with(recipe(thick), func(r *profiles.Recipe) { r.Tested = make(profiles.TestedKerfs, 1) }), []profiles.KerfIn{thin}, []string{"0.400 ± 0.030 mm in foam of 25 mm, for a wire's kerf is kept for one thickness"}},
		"a wire, tested":        {recipe(thin), with(recipe(thin), func(r *profiles.Recipe) { r.Tested = make(profiles.TestedKerfs, 2) }), []profiles.KerfIn{thin}, []string{"its kerfs by feed and current"}},
	} {
		merged, goes := kept(c.now, c.old, units.Millimetre, false)
		assert.Equal(t, c.kept, []profiles.KerfIn(merged.MeasuredIn), name)
		assert.Equal(t, lost{unasked: c.lost}, goes, name)
	}
	assert.Nil(t, KeepSaved([]ProfileFile{recipeFile(recipe(thin))}, nil, units.Millimetre, false))
}

// What a person calls a coupon, and a file: of one piece, of several by their current or by what they are of.
func TestNamesOfCoupons(t *testing.T) {
	c := Coupon{}
	c.Spec = CouponSpec{Foam: "pe-30", Thickness: 25_400_000, Tool: "flat-3", Of: 1, Units: units.Inch}
	c.Foam.ID, c.Tool.ID = "pe-30", "flat-3"
	assert.Equal(t, CouponID, c.Name())
	c.Spec.Of = 2
	assert.Equal(t, CouponID+"-pe-30-1in-flat-3", c.Name())
	c.Spec.CurrentA = 2.5
	assert.Equal(t, CouponID+"-2.5a", c.Name())
	assert.Equal(t, "pe-30, 1 in, with flat-3", c.Spec.Subject())
	c.Spec.Tool = ""
	assert.Equal(t, "pe-30, 1 in", c.Spec.Subject())
	for _, l := range []bool{false, true} {
		require.Len(t, usualSizes(l, units.Inch), len(usualSizes(l, units.Millimetre)))
		for i, size := range usualSizes(l, units.Inch) {
			assert.Zero(t, size%6_350_000, "quarters of an inch")
			assert.InDelta(t, 1, size.MM()/usualSizes(l, units.Millimetre)[i].MM(), 0.08)
		}
	}
}

// Two pieces, the cooler first, tell of a kerf between their currents where a feed is tested at both.
func TestCurrentsThatShareNoFeed(t *testing.T) {
	piece := func(amps float64, feeds ...float64) *Coupon {
		c := &Coupon{Squares: make([]Square, 1)}
		c.Spec.CurrentA = amps
		for _, f := range feeds {
			c.Groups = append(c.Groups, Group{Recipe: profiles.Recipe{FeedMMPerMin: profiles.Number{Value: f}}})
		}
		return c
	}
	for _, c := range []struct {
		pieces []*Coupon
		told   int
	}{
		{[]*Coupon{piece(2, 100, 200)}, 0}, {[]*Coupon{piece(2, 100, 200), piece(3, 200, 300)}, 0}, {[]*Coupon{piece(2, 100, 200), piece(3, 201, 300)}, 1}, {[]*Coupon{piece(2, 100, 200), piece(3, 150, 300), piece(4, 301, 400)}, 1},
	} {
		found := CurrentsApart(c.pieces)
		require.Len(t, found, c.told)
		if c.told > 0 {
			assert.Contains(t, found[0].Message, " A: nobody")
		}
	}
	assert.Contains(t, CurrentsApart([]*Coupon{piece(2, 100, 200), piece(3, 201, 300)})[0].Message, "both 2 and 3 A")
	none := piece(3, 500)
	none.Squares = nil
	assert.Empty(t, CurrentsApart([]*Coupon{piece(2, 100), none}))
}
