package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// drawPocket is any pocket in or near a tray of 120 x 80 mm.
func drawPocket(t *rapid.T, name string) job.Pocket {
	length := func(low, high float64, what string) float64 {
		return float64(rapid.IntRange(int(low*10), int(high*10)).Draw(t, name+what)) / 10
	}
	p := with(rect(length(8, 100, "x"), length(8, 60, "y"), length(4, 30, "l"), length(4, 20, "w")), func(p *job.Pocket) {
		p.Shape = rapid.SampledFrom([]job.ShapeKind{job.SizeShape, job.SlotShape, job.RoundShape}).Draw(t, name+"shape")
		p.Diameter, p.Depth = p.Width, mm(length(1, 31, "d"))
		p.Turn = length(0, 90, "turn")
		p.Notch = job.Side(rapid.IntRange(0, 15).Draw(t, name+"notch"))
		p.Relief = rapid.SampledFrom([]job.Relief{job.NoRelief, job.Dogbone, job.TBone}).Draw(t, name+"relief")
	})
	return p
}

// around samples the boundary of a region.
func around(r geometry.Region) []geometry.Point {
	var list []geometry.Point
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			for k := range 8 {
				list = append(list, s.At(float64(k)/8))
			}
		}
	}
	return list
}

// No two accepted pockets are nearer to each other than the wall, nor one to
// the rim than the edge. Measured between points of the contours, which shares
// nothing with how the plan measures.
func TestAcceptedPocketsKeepApart(t *testing.T) {
	drawn, accepted, measured := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		drawn++
		var pockets []job.Pocket
		beside := rapid.Bool().Draw(t, "beside") // in columns, so that many keep apart
		for i := range rapid.IntRange(1, 3).Draw(t, "n") {
			p := drawPocket(t, fmt.Sprint(i))
			if beside {
				p.X, p.Y, p.Turn, p.Notch = mm(float64(12+36*i)), mm(float64(15+i)), 0, 0
				p.Length = min(p.Length, mm(29))
			}
			pockets = append(pockets, p)
		}
		catalog, err := shipped()
		require.NoError(t, err)
		m, _ := catalog.Machine("bench-router")
		plan, found := Make(Input{Job: bench(pad(pockets...)), Catalog: catalog, Machine: m, Means: meansOf(m), Recipe: recipesOf(catalog, m.ID)})
		for _, f := range found {
			assert.NotEqual(t, "bad-shape", f.Rule, "%v", f)
		}
		if found.Failed() {
			return
		}
		accepted++
		measured += apart(t, plan.Trays[0])
	})
	if drawn >= 100 { // under -short a few draws may all be refused
		assert.Positive(t, accepted)
		assert.Positive(t, measured)
	}
}

// apart measures every pair of pockets that do not meet, and says how many.
func apart(t *rapid.T, tray Tray) (pairs int) {
	for i, p := range tray.Pockets {
		for _, a := range around(p.Design) {
			edge := min(a.X, a.Y, 120-a.X, 80-a.Y)
			require.GreaterOrEqual(t, edge, 10-1e-4, p.Name)
		}
		for _, q := range tray.Pockets[:i] {
			if meets(p.Design, q.Design, 1e-5) {
				continue // joined, and said so
			}
			pairs++
			for _, a := range around(p.Design) {
				for _, b := range around(q.Design) {
					require.GreaterOrEqual(t, a.DistanceTo(b), 6-1e-4, p.Name+" "+q.Name)
				}
			}
		}
	}
	return pairs
}

// Whatever a job says, there is a plan or there are findings, and no panic.
func TestAnyJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := func(what string) units.Length {
			return rapid.SampledFrom([]units.Length{0, -1, 1, 1000, mm(1), mm(3), mm(20), mm(60), inch, mm(100_000)}).Draw(t, what)
		}
		p := job.Pocket{
			For: rapid.SampledFrom([]string{"", "crab", "crap"}).Draw(t, "for"), X: length("x"), Y: length("y"),
			Shape:  rapid.SampledFrom([]job.ShapeKind{job.FromPiece, job.SizeShape, job.RoundShape, job.SlotShape, job.OutlineShape}).Draw(t, "shape"),
			Length: length("length"), Width: length("width"), Corner: length("corner"), Diameter: length("diameter"), Depth: length("depth"),
			Columns: rapid.IntRange(-1, 3).Draw(t, "columns"), Rows: rapid.IntRange(-1, 3).Draw(t, "rows"), PitchX: length("px"), PitchY: length("py"),
			Turn: rapid.SampledFrom([]float64{0, 90, 33, -720, math.Inf(1), math.NaN()}).Draw(t, "turn"), Relief: job.Relief(rapid.IntRange(0, 2).Draw(t, "relief")),
			Notch: job.Side(rapid.IntRange(0, 15).Draw(t, "notch")), NotchWidth: length("nw"), NotchReach: length("nr"),
			Fit: rapid.SampledFrom([]string{"", "easy", "baggy"}).Draw(t, "fit"), Tool: rapid.SampledFrom([]string{"", "flat-6", "flat-9"}).Draw(t, "tool"),
		}
		tray := pad(p, p)
		tray.Length, tray.Corner, tray.Ease, tray.Wall = length("tray"), length("tray corner"), length("ease"), length("wall")
		tray.Layers[0].Thickness, tray.Halves, tray.Cut = length("thickness"), rapid.IntRange(0, 3).Draw(t, "halves"), job.CutMode(rapid.IntRange(0, 1).Draw(t, "cut"))
		j := bench(tray, job.Piece{ID: "crab", Count: rapid.IntRange(-1, 3).Draw(t, "count"), Length: length("pl"), Width: length("pw"), Height: length("ph")})
		j.Cases = []job.Case{{Name: "Gull Watch", Copies: rapid.IntRange(-1, 2).Draw(t, "copies"), Stack: []string{"pad", "pad", "pod"}}}
		catalog, err := shipped()
		require.NoError(t, err)
		m, _ := catalog.Machine(rapid.SampledFrom([]string{"bench-router", "bench-laser", "bench-knife"}).Draw(t, "machine"))
		plan, found := Make(Input{Job: j, Catalog: catalog, Machine: m, Means: meansOf(m), Recipe: recipesOf(catalog, m.ID)})
		require.NotNil(t, plan)
		require.True(t, found.Failed(), "there is no tray pod")
		for _, f := range found {
			require.NotEmpty(t, f.Rule)
			require.NotEmpty(t, f.Message)
			require.NotContains(t, f.Message+f.Hint, "NaN")
		}
	})
}

// What the tool leaves lies in the design, and lacks only corners.
func TestShapesLieInTheirDesigns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		catalog, err := shipped()
		require.NoError(t, err)
		m, _ := catalog.Machine(rapid.SampledFrom([]string{"bench-router", "bench-laser"}).Draw(t, "machine"))
		plan, _ := Make(Input{Job: bench(pad(drawPocket(t, "p"))), Catalog: catalog, Machine: m, Means: meansOf(m), Recipe: recipesOf(catalog, m.ID)})
		for _, s := range plan.Trays[0].Sheets {
			for _, c := range s.Cuts {
				require.NoError(t, c.Shape.Validate(tol))
				over, err := geometry.Difference(c.Shape, c.Design, tol)
				require.NoError(t, err)
				require.InDelta(t, 0, over.Area(), 1e-3)
				require.Equal(t, len(c.Design.Pieces()), len(c.Shape.Pieces()))
			}
		}
	})
}

// What is known of plain shapes is what is found of any.
func TestPlainReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := form{name: rapid.SampledFrom([]string{"rect", "round", "slot"}).Draw(t, "name")}
		f.length = float64(rapid.IntRange(2, 40).Draw(t, "l"))
		f.width = float64(rapid.IntRange(2, 40).Draw(t, "w"))
		switch f.name {
		case "round":
			f.width = f.length
		case "rect":
			f.corner = float64(rapid.IntRange(0, int(min(f.length, f.width)/2)).Draw(t, "c"))
		}
		r := 0.7 + float64(rapid.IntRange(0, 9).Draw(t, "r"))
		plain := f.reach(r, leastRoomMM)
		found, err := reach(geometry.NewRegion(f.contour()), r, leastRoomMM, tol)
		require.NoError(t, err)
		require.Equal(t, found.narrow, plain.narrow)
		if !found.narrow {
			require.Equal(t, found.corners, plain.corners)
			require.InDelta(t, found.shape.Area(), plain.shape.Area(), 1e-5)
		}
	})
}

// many is a job of n pockets, each written out on its own.
func many(n int) *job.Job {
	side := int(math.Ceil(math.Sqrt(float64(n))))
	tray := pad()
	tray.Length, tray.Width = mm(float64(side)*20+20), mm(float64(side)*20+20)
	tray.Wall, tray.Edge = mm(5), mm(10)
	for i := range n {
		x, y := float64(i%side)*20+12, float64(i/side)*20+12
		tray.Pockets = append(tray.Pockets, rect(x, y, 14-float64(i%97)/50, 14-float64(i%103)/50))
	}
	return bench(tray)
}

func BenchmarkMake(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			in := input(b, many(n), "bench-router")
			b.ReportAllocs()
			for b.Loop() {
				Make(in)
			}
		})
	}
}
