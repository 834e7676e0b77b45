package kerf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry/units"
	"traywright/profiles"
)

// body is a table without its comments.
func body(c *Coupon) string {
	var lines []string
	for line := range strings.Lines(string(c.Table())) {
		if !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "")
}

// The table of a small coupon, whole: x before y, the larger square first, both
// faces, a ladder's value in a column of its own.
func TestTableByHand(t *testing.T) {
	c, found := designed(t, "bench-laser", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(20, 30), Taper: true,
		Ladder: CouponLadder{"power", []float64{40, 52.5}}}, nil)
	require.False(t, found.Failed())
	var want []string
	for _, axis := range []string{"x", "y"} {
		for _, step := range []string{"A 40", "B 52.5"} {
			letter, power, _ := strings.Cut(step, " ")
			for _, size := range []string{"30", "20"} {
				for _, face := range []string{"top", "bottom"} {
					want = append(want, "pe-30,25 mm,bench-laser,"+axis+","+size+",,,beam,square "+letter+" "+size+","+face+","+power)
				}
			}
		}
	}
	assert.Equal(t, "foam,thickness,machine,axis,size,hole,plug,tool,note,face,power\n"+strings.Join(want, "\n")+"\n", body(c))
	text := string(c.Table())
	for _, says := range []string{"# units: mm\n", "# scale: X 1 Y 1\n", "# date:\n", "#     traywright kerf coupon.csv\n", "# - A row's face is where it is measured"} {
		assert.Contains(t, text, says)
	}
	assert.NotContains(t, text, "skin")
	for line := range strings.Lines(text) {
		assert.LessOrEqual(t, len(line), 104, line)
	}
}

// The notes speak of what cuts: a blade that is turned neither is a beam nor scores letters.
func TestTableOfATurnedKnife(t *testing.T) {
	c, found := designed(t, "bench-knife", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(20, 30)}, nil)
	require.False(t, found.Failed(), "%v", found)
	text := strings.Join(c.HowToMeasure(), " ")
	assert.Contains(t, text, "with a pen")
	assert.Contains(t, text, "The blade comes down and turns at the corners")
	assert.NotContains(t, text, "beam")
	assert.NotContains(t, text, "engraved")
}

// A step-down's value carries its unit where the table is in inches.
func TestTableOfAGroove(t *testing.T) {
	c, found := designed(t, "bench-router", CouponSpec{Foam: "pe-30", Thickness: 25_400_000, Units: units.Inch, Sizes: lengthsOf(25.4),
		Ladder: CouponLadder{"stepdown", []float64{4, 8}}}, nil)
	require.False(t, found.Failed(), "%v", found)
	assert.Equal(t, "foam,thickness,machine,axis,size,hole,plug,tool,note,stepdown\n"+
		"pe-30,1 in,bench-router,x,1,,,flat-3,square A 1,4 mm\npe-30,1 in,bench-router,x,1,,,flat-3,square B 1,8 mm\n"+
		"pe-30,1 in,bench-router,y,1,,,flat-3,square A 1,4 mm\npe-30,1 in,bench-router,y,1,,,flat-3,square B 1,8 mm\n", body(c))
	text := strings.ReplaceAll(string(c.Table()), "\n#   ", " ")
	assert.Contains(t, text, "stand in their grooves on a skin of 0.051 in")
	assert.Contains(t, text, "Numbers are in inches")
	assert.Contains(t, text, "# units: in\n")
	assert.NotContains(t, text, "the side that the beam came from")
}

// The same size twice has a number in its label, and no two rows are alike.
func TestRepeatedSizes(t *testing.T) {
	c, _ := designed(t, "bench-laser", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(20, 30, 20, 20)}, nil)
	var labels []string
	for _, s := range c.Squares {
		labels = append(labels, s.Label)
	}
	assert.Equal(t, []string{"30", "20", "20-2", "20-3"}, labels)
}

// The report says what the coupon has.
func TestReportOfACoupon(t *testing.T) {
	c, _ := designed(t, "bench-router", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(20), Comb: 25 * mm, CombStep: 1 * mm,
		Ladder: CouponLadder{"feed", []float64{900, 1200}}}, nil)
	r := c.Report()
	assert.Equal(t, []any{"pe-30", 25.0, "flat-3", 3.175, 1.3}, []any{r.Foam, r.ThicknessMM, r.Tool, r.KerfMM, r.SkinMM})
	require.Len(t, r.Settings, 2)
	assert.Equal(t, SettingReport{"A", "pe-30", 25, "flat-3", 900, 0, 0, 0, 8}, r.Settings[0])
	assert.Equal(t, SettingReport{"B", "pe-30", 25, "flat-3", 1200, 0, 0, 0, 8}, r.Settings[1])
	require.Len(t, r.Squares, 2)
	assert.Equal(t, []any{"A 20", 20.0, "A", c.Squares[0].At.X, c.Squares[0].At.Y}, []any{r.Squares[0].Label, r.Squares[0].SizeMM, r.Squares[0].Setting, r.Squares[0].XMM, r.Squares[0].YMM})
	assert.Equal(t, "B", r.Squares[1].Setting)
	// pe-30 fits from -1 to 1.5 mm: whole mm from a step below to a step above.
	var widths []float64
	for _, s := range r.Slots {
		widths = append(widths, s.WidthMM)
	}
	assert.Equal(t, []float64{23, 24, 25, 26, 27, 28}, widths)
	assert.Equal(t, []string{"easy"}, r.Slots[4].Fits, "1.5 mm is nearest to 2")
	assert.Equal(t, []string{"tight"}, r.Slots[1].Fits)
}

// A cutter's slots are half of the foam deep, at most 12 mm, a beam's go through;
// slots are 10 mm longer than the base, and their corners as round as the tool.
func TestSlotsByHand(t *testing.T) {
	for _, c := range []struct {
		machine          string
		thickness, depth float64
		through          bool
		corner           float64
	}{{"bench-router", 30, 12, false, 1.5875}, {"bench-router", 16, 8, false, 1.5875}, {"bench-laser", 20, 0, true, 1}} {
		coupon, found := designed(t, c.machine, CouponSpec{Foam: "pe-30", Thickness: length(c.thickness), NoSquares: true, Comb: 20 * mm}, nil)
		require.Empty(t, found)
		for _, k := range coupon.Job.Trays[0].Pockets {
			assert.Equal(t, []any{length(c.depth), c.through, 30 * mm}, []any{k.Depth, k.Through, k.Width}, c.machine)
			assert.Equal(t, length(c.corner)+1, k.Corner)
		}
	}
}

// What a comb of a foam without fits reaches, and a slot that a tool fills.
func TestCombEnds(t *testing.T) {
	d := &designer{coupon: Coupon{}}
	low, high := d.fitRange()
	assert.Equal(t, []float64{-1, 1.5}, []float64{low, high})
	d.coupon.Foam.Fits = map[string]profiles.Number{"a": {Value: 0.25}, "b": {Value: -0.5}, "c": {Value: 0.75}}
	low, high = d.fitRange()
	assert.Equal(t, []float64{-0.5, 0.75}, []float64{low, high})
	assert.Equal(t, []string{"a"}, d.fitsAt(length(0.25), length(0.25)))
	assert.Empty(t, d.fitsAt(length(0.5), length(0.25)))

	for comb, ok := range map[float64]bool{5.2: true, 5.1: false} { // the tightest slot is 2 mm narrower: wider than the cutter of 3.175 mm, or not
		_, found := designed(t, "bench-router", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, NoSquares: true, Comb: length(comb), CombStep: 1 * mm}, nil)
		assert.Equal(t, ok, len(of(found, "comb-too-small")) == 0, comb)
	}
	for comb, ok := range map[float64]bool{4: true, 3.99: false} { // a beam's: nothing is pushed into less than 2 mm
		_, found := designed(t, "bench-laser", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, NoSquares: true, Comb: length(comb), CombStep: 1 * mm}, nil)
		assert.Equal(t, ok, len(of(found, "comb-too-small")) == 0, comb)
	}
}

// A coupon can be measured from the smallest plug that jaws hold: 8 mm. Skins are
// at most half of the foam.
func TestLeastOfASquare(t *testing.T) {
	for size, ok := range map[float64]bool{8.4: true, 8.39: false} {
		_, found := designed(t, "bench-laser", CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Sizes: lengthsOf(30, size)}, nil)
		assert.Equal(t, ok, len(of(found, "square-too-small")) == 0, size)
	}
	for thickness, ok := range map[float64]bool{6: true, 5.99: false} { // tabs of 3 mm
		_, found := designed(t, "bench-router", CouponSpec{Foam: "xps-32", Thickness: length(thickness)}, nil)
		assert.Equal(t, ok, len(of(found, "foam-too-thin")) == 0, thickness)
	}
	// A tool reaches as far as it says, and what is left as a skin counts: 38 mm and 1.3.
	for thickness, tool := range map[float64]string{39.3: "flat-3", 39.31: "flat-6"} {
		c, found := designed(t, "bench-router", CouponSpec{Foam: "pe-30", Thickness: length(thickness)}, nil)
		require.Empty(t, found)
		assert.Equal(t, tool, c.Tool.ID, thickness)
	}
}

// How far from the recipe a step may be: told from twice its heat or more, and
// refused from five times.
func TestLadderAtItsBounds(t *testing.T) {
	for _, c := range []struct {
		machine, key string
		value        float64
		rule         string
	}{
		{"bench-laser", "feed", 450, ""}, {"bench-laser", "feed", 449, "ladder-hot"}, // 900 mm/min is the recipe's
		{"bench-laser", "feed", 180, "ladder-hot"}, {"bench-laser", "feed", 179, "ladder-too-hot"},
		{"bench-laser", "power", 90, ""}, {"bench-laser", "power", 91, "ladder-hot"},
		{"bench-router", "feed", 450, ""}, {"bench-router", "feed", 449, "ladder-far"}, // 1800: a quarter rubs
		{"bench-router", "feed", 3000, ""}, {"bench-router", "feed", 3000.1, "ladder-over-limit"},
		{"bench-router", "stepdown", 16, ""}, {"bench-router", "stepdown", 16.1, "ladder-far"},
		{"bench-laser", "passes", 20, ""}, {"bench-laser", "passes", 21, "ladder-value"},
	} {
		second := map[string]float64{"feed": 1000, "power": 46, "passes": 3, "stepdown": 5}[c.key]
		_, found := designed(t, c.machine, CouponSpec{Foam: "pe-30", Thickness: 25 * mm, Ladder: CouponLadder{c.key, []float64{second, c.value}}}, nil)
		var rules []string
		for _, f := range found {
			rules = append(rules, f.Rule)
		}
		if c.rule == "" {
			assert.Empty(t, rules, "%+v", c)
		} else {
			assert.Equal(t, []string{c.rule}, rules, "%+v", c)
		}
	}
}
