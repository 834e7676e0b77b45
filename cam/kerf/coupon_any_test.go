package kerf_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam"
	"traywright/cam/kerf"
	"traywright/geometry"
	"traywright/geometry/units"
)

// anySpec draws a coupon that a person could want.
func anySpec(t *rapid.T) (machine string, spec kerf.CouponSpec) {
	machine = rapid.SampledFrom([]string{"bench-laser", "bench-router"}).Draw(t, "machine")
	spec = kerf.CouponSpec{
		Foam:      rapid.SampledFrom([]string{"pe-30", "eva-90"}).Draw(t, "foam"),
		Thickness: mm(float64(rapid.IntRange(30, 350).Draw(t, "thickness")) / 10),
		Units:     rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(t, "units"),
		Taper:     machine == "bench-laser" && rapid.Bool().Draw(t, "taper"),
	}
	for range rapid.IntRange(0, 4).Draw(t, "sizes") {
		spec.Sizes = append(spec.Sizes, mm(float64(rapid.IntRange(1500, 9000).Draw(t, "size"))/100))
	}
	if most := map[string]float64{"pe-30": 25.4, "eva-90": 12.7}[spec.Foam]; machine == "bench-laser" && spec.Thickness.MM() > most {
		spec.Thickness = mm(most) // the thickest that its recipe goes through
	}
	if rapid.Bool().Draw(t, "ladder") {
		spec.Ladder = kerf.CouponLadder{Key: "feed", Values: []float64{500, 700, 901}[:rapid.IntRange(2, 3).Draw(t, "steps")]}
	}
	if rapid.Bool().Draw(t, "comb") {
		spec.Comb = mm(float64(rapid.IntRange(80, 400).Draw(t, "base")) / 10)
	}
	return machine, spec
}

// Whatever is asked for: nothing overlaps, all lies inside the coupon with its
// edge and inside the machine's travel, the dry run passes, and every square has
// its rows in the table, which the kerf's reader takes.
func TestAnyCoupon(t *testing.T) {
	c := shipped(t)
	rapid.Check(t, func(rt *rapid.T) {
		machine, spec := anySpec(rt)
		result := cut(t, machine, permit, spec)
		if found := rulesOf(result.Report.Findings); len(found) > 0 {
			require.Equal(rt, []string{"coupon-too-large"}, found, "%v", result.Report.Findings)
			return
		}
		require.True(rt, result.Report.DryRun[0].OK)
		m, _ := c.Machine(machine)
		run := result.Report.DryRun[0]
		for axis := range 2 {
			require.LessOrEqual(rt, run.MaxMM[axis]-run.MinMM[axis], m.TravelMM[axis].Value)
		}
		requireApart(rt, result)
		requireTable(rt, result)
	})
}

// requireApart measures the finished holes: from each other at least the foam's
// least wall, from the rim at least its least edge.
func requireApart(t require.TestingT, result cam.CouponResult) {
	tray := result.Plan.Trays[0]
	sheet := tray.Sheets[0]
	for i, a := range sheet.Cuts {
		outer := a.Shape.Contours()[0]
		toRim, _, _ := geometry.Distance(outer, tray.Outline)
		require.GreaterOrEqual(t, toRim, result.Coupon.Foam.LeastEdgeMM.Value-1e-6, a.Name)
		require.True(t, tray.Outline.Winding(outer.Vertices()[0].Point) != 0, a.Name)
		for _, b := range sheet.Cuts[:i] {
			d, _, _ := geometry.Distance(outer, b.Shape.Contours()[0])
			require.GreaterOrEqual(t, d, result.Coupon.Foam.LeastWallMM.Value-1e-6, "%s and %s", a.Name, b.Name)
			require.False(t, a.Shape.Contains(middle(b.Shape)) && a.Along.Len() == 0, "%s in %s", b.Name, a.Name)
		}
	}
	for _, mark := range sheet.Marks {
		require.True(t, tray.Outline.Winding(mark.Vertices()[0].Point) != 0, "a label lies on the coupon")
	}
}

func middle(r geometry.Region) geometry.Point {
	b := r.Bounds()
	return b.Min.Add(b.Max).Scale(0.5)
}

func requireTable(t require.TestingT, result cam.CouponResult) {
	spec := result.Coupon.Spec
	read, found, err := kerf.Read(kerf.TableName, result.Coupon.Table(), units.Millimetre)
	require.NoError(t, err)
	require.Empty(t, found)
	faces := 1
	if spec.Taper {
		faces = 2
	}
	require.Len(t, read.Rows, 2*faces*len(result.Coupon.Squares))
	labels := map[string]bool{}
	for i, row := range read.Rows {
		s := result.Coupon.Squares[i/faces%len(result.Coupon.Squares)]
		require.Equal(t, s.Size, row.Size)
		require.Equal(t, spec.Thickness, row.Thickness)
		require.Equal(t, "square "+s.Label, row.Note)
		require.Equal(t, result.Coupon.Tool.ID, row.Tool)
		require.Equal(t, spec.Foam, row.Foam)
		if spec.Ladder.Key == "feed" {
			require.Equal(t, spec.Ladder.Values[s.Group], row.Setting.FeedMMPerMin)
		}
		labels[string(row.Axis)+string(row.Face)+row.Note] = true
	}
	require.Len(t, labels, len(read.Rows), "no two rows are the same square")
}
