package plan

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// mirrored exchanges left and right of a tray, or X and Y.
func mirrored(t job.Tray, swap bool) job.Tray {
	t.Pockets = slices.Clone(t.Pockets)
	for i := range t.Pockets {
		p := &t.Pockets[i]
		to := map[job.Side]job.Side{job.North: job.North, job.East: job.West, job.South: job.South, job.West: job.East}
		if swap {
			to = map[job.Side]job.Side{job.North: job.East, job.East: job.North, job.South: job.West, job.West: job.South}
			p.X, p.Y, p.Length, p.Width, p.Columns, p.Rows, p.PitchX, p.PitchY = p.Y, p.X, p.Width, p.Length, p.Rows, p.Columns, p.PitchY, p.PitchX
		} else {
			own := p.Length
			if p.Shape == job.RoundShape {
				own = p.Diameter
			}
			p.X = t.Length - p.X - own - p.PitchX*units.Length(p.Columns-1)
		}
		was := p.Notch
		p.Notch = 0
		for from, side := range to {
			if was&from != 0 {
				p.Notch |= side
			}
		}
	}
	if swap {
		t.Length, t.Width = t.Width, t.Length
	}
	return t
}

// sumOf is what a plan comes to, whichever way its trays are turned: what was found, and of
// each tray weight, outline, and each sheet's cuts with their boxes mirrored back.
type sumOf struct {
	rules   []string
	weights []float64
	cuts    []cutSum
}

type cutSum struct {
	area, depth, width, height float64
	passes, contours           int
}

func summed(t *rapid.T, tray job.Tray, swap bool) sumOf {
	plan, found := Make(inputOf(bench(tray, piece("crab", 2, 30, 20, 20))))
	var s sumOf
	for _, f := range found {
		s.rules = append(s.rules, f.Rule)
	}
	slices.Sort(s.rules)
	for _, b := range plan.Trays {
		s.weights = append(s.weights, b.FoamG, b.Outline.Area(), b.PiecesG)
		for _, sheet := range b.Sheets {
			for _, c := range sheet.All() {
				box := c.Shape.Bounds()
				if c.Shape.Empty() {
					box = geometry.Box{}
				}
				sum := cutSum{c.Shape.Area(), c.DepthMM, box.Width(), box.Height(), len(c.Passes), len(c.Shape.Contours())}
				if swap {
					sum.width, sum.height = sum.height, sum.width
				}
				s.cuts = append(s.cuts, sum)
			}
		}
	}
	slices.SortFunc(s.cuts, func(a, b cutSum) int {
		for _, d := range []float64{a.depth - b.depth, a.area - b.area, a.width - b.width} {
			if d > 1e-6 || d < -1e-6 {
				return cmp.Compare(d, 0)
			}
		}
		return 0
	})
	slices.Sort(s.weights)
	return s
}

// A tray that is turned over, left to right or X for Y, is the same tray: the same is wrong
// with it, it weighs as much, and its cuts are as large and as deep.
func TestATrayTurnedOverIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tray := pad()
		tray.Length += mm(float64(rapid.IntRange(0, 30).Draw(t, "longer")))
		tray.Corner, tray.Ease = mm(float64(rapid.IntRange(0, 12).Draw(t, "corner"))), mm(float64(rapid.IntRange(0, 2).Draw(t, "ease")))
		tray.Halves = 2 * rapid.IntRange(0, 1).Draw(t, "halves")
		for i := range rapid.IntRange(1, 3).Draw(t, "n") {
			p := drawPocket(t, string(rune('a'+i)))
			p.Turn = 0
			if rapid.Bool().Draw(t, "grid") {
				p.Columns, p.Rows, p.PitchX, p.PitchY = rapid.IntRange(1, 2).Draw(t, "columns"), rapid.IntRange(1, 2).Draw(t, "rows"), mm(31), mm(27)
			}
			p.For = rapid.SampledFrom([]string{"", "", "crab"}).Draw(t, "for")
			tray.Pockets = append(tray.Pockets, p)
		}
		want := summed(t, tray, false)
		for _, swap := range []bool{false, true} {
			got := summed(t, mirrored(tray, swap), swap)
			require.Equal(t, want.rules, got.rules, "X and Y: %v", swap)
			require.InDeltaSlice(t, want.weights, got.weights, 1e-6)
			require.Len(t, got.cuts, len(want.cuts))
			for i, c := range want.cuts {
				g := got.cuts[i]
				require.Equal(t, []int{c.passes, c.contours}, []int{g.passes, g.contours})
				require.InDeltaSlice(t, []float64{c.area, c.depth, c.width, c.height}, []float64{g.area, g.depth, g.width, g.height}, 2e-3)
			}
		}
	})
}
