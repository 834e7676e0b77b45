package plan

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
)

// How far a tray's corner stands out of its case's rounding, against points of the foam's own outline: of each, how far it is
// outside the case, which is a square with one quarter of a circle at its corner.
func TestACornerInItsCase(t *testing.T) {
	sharp := 0
	rapid.Check(t, func(t *rapid.T) {
		rounding, ease := rapid.Float64Range(0, 60).Draw(t, "rounding"), rapid.Float64Range(0, 3).Draw(t, "ease")
		corner := rapid.SampledFrom([]float64{0, rapid.Float64Range(0.1, 60).Draw(t, "corner")}).Draw(t, "sharp or not")
		if corner == 0 {
			sharp++
		}
		b := &board{Tray: Tray{Length: mm(200), Width: mm(200)}, corners: [4]float64{corner, corner, corner, corner}, free: [4]bool{true, true, true, true}}
		most := 0.0
		for _, p := range sampled(grown(b, ease)) {
			out := math.Max(math.Max(-p.X, -p.Y), 0)
			if p.X < rounding && p.Y < rounding {
				out = math.Max(out, math.Hypot(p.X-rounding, p.Y-rounding)-rounding)
			}
			if p.X < 100 && p.Y < 100 {
				most = math.Max(most, out)
			}
		}
		want := beyondRounding(rounding, corner, ease)
		if rounding == 0 {
			return // a sharp corner in a sharp one
		}
		require.InDelta(t, ease+want, most, 0.02, "rounding %v, corner %v, ease %v", rounding, corner, ease)
	})
	assert.Positive(t, sharp)
}

// sampled are points of a contour, its arcs in 200 steps.
func sampled(c geometry.Contour) (list []geometry.Point) {
	for s := range c.Segments() {
		for i := range 201 {
			list = append(list, s.At(float64(i)/200))
		}
	}
	return list
}

// The numbers by hand: a sharp corner with 1 mm of ease in a rounding of 12 mm stands sqrt(2) x 13 - 12 = 6.38 mm into it.
func TestRoomInTheCase(t *testing.T) {
	for _, c := range []struct {
		rounding, corner, ease float64
		want, text             string
	}{
		{12, 0, 1, "error:corner-too-sharp", "with its ease each stands 6.38 mm into the case's rounding, 5.38 mm more than the ease at its sides"},
		{60, 0, 1, "error:corner-too-sharp", "stands 26.27 mm"},
		{60, 12, 1, "error:corner-too-sharp", "19.88 mm more"},
		{12, 9, 1, "warning:corner-sharp", "stands 2.24 mm into the case's rounding, 1.24 mm more"},
		{5, 0, 0.5, "warning:corner-sharp", "2.28 mm more"},
		{12, 9.6, 1, "", ""}, {12, 12, 1, "", ""}, {8, 12, 1, "", ""}, {0, 0, 1, "", ""}, {1, 0, 1, "", ""},
		{0, 0, 2, "", ""},
		{0, 0, 2.5, "warning:ease-large", "has an ease of 2.5 mm: its foam is 5 mm longer and wider than its place, which is 80 mm at its shorter side"},
		{0, 0, 6, "warning:ease-large", "bulges"},
		{0, 0, 6.5, "error:ease-too-large", "no foam is pressed so far"},
		{0, 0, 40, "error:ease-too-large", "its foam is 80 mm longer"},
	} {
		tray := pad(rect(20, 20, 30, 20))
		tray.Rounding, tray.Corner, tray.Ease = mm(c.rounding), mm(c.corner), mm(c.ease)
		_, found := make1(t, bench(tray))
		require.Equal(t, c.want, rules(found), "%+v", c)
		if c.want != "" {
			assert.Contains(t, found[0].Message, c.text)
		}
	}
	large := pad(rect(20, 20, 30, 20))
	large.Length, large.Width = mm(250), mm(190)
	for ease, want := range map[float64]string{3: "", 4: "warning:ease-large", 10: "warning:ease-large", 10.1: "error:ease-too-large"} {
		large.Ease = mm(ease)
		_, found := make1(t, bench(large))
		assert.Equal(t, want, rules(found), "%v", ease)
	}
}

// What a hint says is tried, in a job as a person writes it, by each way that a tray has its case.
func TestHintsOfRoomWork(t *testing.T) {
	const text = `
game: Q
machine: bench-router
CASE
tray_defaults:
  layers: [{foam: pe-30, thickness: 30}, {foam: pe-45, thickness: 6}]
  CORNER
trays:
  - {id: crew, pockets: [{at: [20, 20], size: [60, 40], corner: 3, depth: 20}]}
`
	for _, in := range []string{
		"case: {inside: [250, 190, 36], corner: 12, EASE}",
		"case: {inside: [250, 190, 36], corner: 12, EASE}\ncases: [{name: A, stack: [crew]}]",
		"cases: [{name: A, stack: [crew], inside: [250, 190, 36], corner: 12, EASE}]",
	} {
		for _, c := range []struct{ corner, ease, want string }{
			{"corner: 0", "ease: 1", "error:corner-too-sharp"}, {"", "ease: 1", ""}, {"corner: 12 mm", "ease: 1", ""},
			{"", "ease: 11", "error:ease-too-large"}, {"", "ease: 3", ""},
		} {
			written := strings.NewReplacer("CASE", in, "CORNER", c.corner).Replace(text)
			j, _, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(strings.ReplaceAll(written, "EASE", c.ease))}}, "job.yaml")
			require.NoError(t, err)
			_, found := make1(t, j)
			assert.Equal(t, c.want, rules(found), "%s %+v", in, c)
			for _, f := range found {
				assert.Contains(t, f.Hint, map[bool]string{true: "or write `corner: 12 mm`", false: "at most 3 mm"}[c.corner != ""])
			}
		}
	}
}
