package proof_test

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

func seeded(seed int) *rand.Rand { return rand.New(rand.NewPCG(uint64(seed), 97)) }

// Every corner cut anew: Z of the program's text moved, the foam's thickness and the
// cutter's width changed, and the foam that is left looked at cell by cell, the walls and floors
// that hold pieces by the motions themselves. In as many corners as the margins say, all is well.
func TestCornersAgainstEachCutAnew(t *testing.T) {
	compared, unsafe, unseated, trays := 0, 0, 0, *trayCount
	if testing.Short() {
		trays = min(trays, 8)
	}
	for i := *firstSeed; i < *firstSeed+trays; i++ {
		r := seeded(i)
		m := [2]func() profiles.Machine{routerMachine, onTheBed}[i%2]()
		s := randomTray(t, r, m)
		given := randomTolerances(r)
		m.ZeroMM.Value = -1.1 * given.ZeroMM.Low // as profiles say it, and so far that scaling them a little refuses no rapid
		for k := range s.Layers {
			s.Layers[k].Foam.ThickerMM.Value = 1.1 * given.ThicknessMM.High
		}
		program, setup, want := made(t, s, m)
		setup.CellMM = cornerCellMM
		seats := randomSeats(r, s, given)
		at := func(scale float64) *proof.Corners {
			for k := range want.Cuts {
				want.Cuts[k].Seats = nil
				if seat := seats[k]; seat.Name != "" {
					seat.TighterMM, seat.LooserMM, seat.HigherMM = seat.TighterMM/scale, seat.LooserMM/scale, seat.HigherMM/scale
					want.Cuts[k].Seats = []proof.Seat{seat}
				}
			}
			scaled := given
			scaled.ThicknessMM, scaled.ZeroMM = times(given.ThicknessMM, scale), times(given.ZeroMM, scale)
			scaled.KerfMM, scaled.RunoutMM = within(scale*given.KerfMM[1].Low, scale*given.KerfMM[1].High), within(scale*given.RunoutMM[1].Low, scale*given.RunoutMM[1].High)
			setup.Tolerances = &scaled
			return proof.Run("", program, setup, &want).Corners
		}
		corners := at(1)
		require.NotNil(t, corners, "tray %d", i)
		if at(0.96).Safe != corners.Safe || at(1.04).Safe != corners.Safe {
			continue // within what cells can tell
		}
		safe, inside := 0, insides(s)
		for corner := range 16 {
			cut, seated := cutAnew(s, inside, seats, program, setup, given, corner)
			if cut && seated {
				safe++
			}
			if cut && !seated {
				unseated++
			}
		}
		assert.Equal(t, safe, corners.Safe, "tray %d: %+v %+v", i, given, corners.Weak)
		compared++
		if safe < 16 {
			unsafe++
		}
	}
	t.Logf("%d trays compared, %d of them not safe everywhere, in %d corners for their pieces alone", compared, unsafe, unseated)
	require.Greater(t, unseated, compared/2)
	require.Greater(t, compared, trays/2)
	require.Greater(t, unsafe, compared/8)
	require.Less(t, unsafe, compared)
}

// cornerCellMM is one cell for both, so that both see the same flakes.
const cornerCellMM = 0.2

func times(r proof.Range, scale float64) proof.Range {
	return proof.Range{Low: scale * r.Low, High: scale * r.High}
}

func randomTolerances(r *rand.Rand) proof.Tolerances {
	big := 0.3 + 1.2*float64(r.IntN(2))
	return proof.Tolerances{
		ThicknessMM: proof.Range{Low: -big * (0.02 + 0.6*r.Float64()), High: big * (0.02 + 0.4*r.Float64())}, ZeroMM: proof.Range{Low: -big * (0.01 + 0.2*r.Float64()), High: big * (0.01 + 0.2*r.Float64())},
		KerfMM: within(-0.01-0.1*r.Float64(), 0.01+0.2*r.Float64()), RunoutMM: within(-0.01-0.05*r.Float64(), 0.01+0.05*r.Float64()),
		LeastLeftMM: 0.3 * r.Float64(), BedMM: 0.4 + r.Float64(),
	}
}

// randomSeats puts a piece against a wall of some holes, one that no other hole takes away, with
// limits that are about as large as what the tolerances make of it.
func randomSeats(r *rand.Rand, s plan.Sheet, given proof.Tolerances) []proof.Seat {
	limit := func(low, high float64) float64 { return math.Max(0.02, (0.4+1.6*r.Float64())*math.Max(-low, high)) }
	width := func(r proof.Range, o proof.Range) (low, high float64) { return r.Low + o.Low, r.High + o.High }
	list := make([]proof.Seat, len(s.Cuts))
	for i, c := range s.Cuts {
		if r.IntN(2) == 0 {
			continue
		}
		wall := longest(c.Shape.Contours()[0])
		out := wall.At(0.5).Sub(wall.Tangent(0.5).Left())
		if slices.ContainsFunc(s.Cuts, func(o plan.Cut) bool { return o.Shape.Contains(out) }) || !s.Edge.Shape.Contains(out) {
			continue
		}
		low, high := width(given.KerfMM[1], given.RunoutMM[1])
		list[i] = proof.Seat{Name: "a piece", At: wall.At(0.5), TighterMM: limit(low, 0), LooserMM: limit(0, high), HigherMM: math.Inf(1)}
		if r.IntN(2) == 0 {
			list[i].HigherMM = limit(width(given.ThicknessMM, given.ZeroMM))
		}
	}
	return list
}

// longest is a contour's longest segment, in whose middle a wall is as planned.
func longest(c geometry.Contour) geometry.Segment {
	var list []geometry.Segment
	for s := range c.Segments() {
		list = append(list, s)
	}
	return slices.MaxFunc(list, func(a, b geometry.Segment) int { return cmp.Compare(a.Length(), b.Length()) })
}

// wellSeated follows the wall that a piece stands against, and the floor below it, by the motions.
func wellSeated(c plan.Cut, seat proof.Seat, motions []proof.Motion, width, thickness, nominal float64) bool {
	const fine = 1e-3
	var deepest []proof.Motion
	floor := 0.0
	for _, m := range motions {
		if !m.Rapid && (c.Shape.Contains(m.From.Point) || c.Shape.Contains(m.To.Point)) {
			deep := -math.Max(m.From.Z, m.To.Z)
			if deep > floor+0.02 {
				deepest, floor = nil, deep
			}
			if deep > floor-0.02 {
				deepest = append(deepest, m)
			}
		}
	}
	wall := longest(c.Shape.Contours()[0])
	out := wall.Tangent(0.5).Left().Scale(-1)
	low, high := -1.0, 1.0
	for high-low > 1e-4 {
		middle := (low + high) / 2
		p := seat.At.Add(out.Scale(middle))
		if slices.ContainsFunc(deepest, func(m proof.Motion) bool { return toWay(p, m) <= width/2 }) {
			low = middle
		} else {
			high = middle
		}
	}
	wider, shallower := 2*low, c.DepthMM-math.Min(floor, thickness)
	if c.Through {
		shallower = nominal - thickness
	}
	return -wider <= seat.TighterMM+fine && wider <= seat.LooserMM+fine && shallower <= seat.HigherMM+fine
}

// toWay is how far a place is from a motion's way, seen from above.
func toWay(p geometry.Point, m proof.Motion) float64 {
	ends := math.Min(p.DistanceTo(m.From.Point), p.DistanceTo(m.To.Point))
	if !m.Arc {
		way := m.To.Sub(m.From.Point)
		share := math.Max(0, math.Min(1, p.Sub(m.From.Point).Dot(way)/math.Max(1e-12, way.Dot(way))))
		return p.DistanceTo(m.From.Add(way.Scale(share)))
	}
	angle := func(q geometry.Point) float64 { return math.Atan2(q.Y-m.Center.Y, q.X-m.Center.X) }
	turn := func(from, to float64) float64 { // the way round that the motion goes, in 0 to a whole turn
		if !m.CCW {
			from, to = to, from
		}
		return math.Mod(to-from+4*math.Pi, 2*math.Pi)
	}
	whole := turn(angle(m.From.Point), angle(m.To.Point))
	if whole < 1e-9 || turn(angle(m.From.Point), angle(p)) <= whole {
		return math.Min(ends, math.Abs(p.DistanceTo(m.Center)-m.From.DistanceTo(m.Center)))
	}
	return ends
}

// cutAnew reports whether all is cut well in a corner, and every piece seated.
func cutAnew(s plan.Sheet, inside [][]geometry.Point, seats []proof.Seat, program []byte, setup proof.Setup, given proof.Tolerances, corner int) (cut, seated bool) {
	end := func(r proof.Range) float64 {
		low := corner&1 == 0
		corner >>= 1
		if low {
			return r.Low
		}
		return r.High
	}
	thicker, zero := end(given.ThicknessMM), end(given.ZeroMM)
	wider := end(given.KerfMM[1]) + end(given.RunoutMM[1])
	nominal := s.ThicknessMM()
	setup.Tolerances, setup.ThicknessMM, setup.CellMM = nil, nominal+thicker, cornerCellMM
	setup.KerfMM = map[int]float64{1: setup.KerfMM[1] + wider}
	moved := zMoved(program, zero)
	if setup.Machine.ZZero == profiles.ZBed {
		setup.ThicknessMM = nominal + thicker // its top is there, and Z counts from below
	}
	got := proof.Run("", moved, setup, nil)
	for _, f := range got.Findings {
		if f.Rule == "rapid-in-foam" {
			return false, false
		}
	}
	seated = true
	for i, seat := range seats {
		seated = seated && (seat.Name == "" || wellSeated(s.Cuts[i], seat, got.Motions, setup.KerfMM[1], setup.ThicknessMM, nominal))
	}
	return wellCut(s, inside, got.Field, setup.ThicknessMM, math.Max(0, -wider/2), given), seated
}

var zWord = regexp.MustCompile(`Z(-?[0-9.]+)`)

func zMoved(program []byte, by float64) []byte {
	return zWord.ReplaceAllFunc(program, func(word []byte) []byte {
		z, _ := strconv.ParseFloat(string(word[1:]), 64)
		return fmt.Appendf(nil, "Z%.4f", z+by)
	})
}

// wellCut looks at the foam: through where it should be, floors, skin and tabs left, the
// bed not cut too deep. Narrow is by how much walls stand nearer.
func wellCut(s plan.Sheet, inside [][]geometry.Point, f proof.Field, thickness, narrow float64, given proof.Tolerances) bool {
	const fine = 1e-3
	deepest := 0.0
	for _, d := range f.DepthMM {
		deepest = math.Max(deepest, float64(d))
	}
	if deepest-thickness > given.BedMM+fine {
		return false
	}
	for i, c := range s.Cuts {
		floor := 0.0
		for _, p := range inside[i] {
			floor = math.Max(floor, deepAt(f, p))
		}
		if !c.Through && thickness-floor < given.LeastLeftMM-fine {
			return false
		}
		whole := floor - 0.02
		if c.Through {
			whole = thickness - fine
		}
		for _, p := range inside[i] {
			if deepAt(f, p) < whole && toWall(p, c.Shape) > narrow+0.03 {
				return false
			}
		}
	}
	return wellHeld(s, f, thickness, narrow, given)
}

// insides are the middles of cells that lie in each cut. Fields of one cell lie on one
// lattice.
func insides(s plan.Sheet) [][]geometry.Point {
	list := make([][]geometry.Point, len(s.Cuts))
	for i, c := range s.Cuts {
		b := c.Shape.Bounds()
		for row := math.Floor(b.Min.Y / cornerCellMM); row*cornerCellMM < b.Max.Y; row++ {
			for column := math.Floor(b.Min.X / cornerCellMM); column*cornerCellMM < b.Max.X; column++ {
				p := geometry.Point{X: (column + 0.5) * cornerCellMM, Y: (row + 0.5) * cornerCellMM}
				if c.Shape.Contains(p) {
					list[i] = append(list[i], p)
				}
			}
		}
	}
	return list
}

func deepAt(f proof.Field, p geometry.Point) float64 {
	return float64(f.DepthMM[int((p.Y-f.Origin.Y)/f.CellMM)*f.Columns+int((p.X-f.Origin.X)/f.CellMM)])
}

func toWall(p geometry.Point, r geometry.Region) float64 {
	least := math.Inf(1)
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			on, _ := s.Nearest(p)
			least = math.Min(least, on.DistanceTo(p))
		}
	}
	return least
}

// wellHeld walks around the tray just outside it.
func wellHeld(s plan.Sheet, f proof.Field, thickness, narrow float64, given proof.Tolerances) bool {
	const fine = 1e-3
	var depths []float64
	for _, c := range s.Edge.Shape.Contours() {
		for seg := range c.Segments() {
			n := int(math.Ceil(seg.Length() / 0.2))
			for k := range n {
				u := float64(k) / float64(n)
				p := seg.At(u).Sub(seg.Tangent(u).Left().Scale(narrow + 0.3))
				depths = append(depths, deepAt(f, p))
			}
		}
	}
	if s.Edge.Recipes[0].SkinMM.Value > 0 {
		most := 0.0
		for _, d := range depths {
			most = math.Max(most, d)
		}
		return thickness-most >= given.LeastLeftMM-fine && thickness-most > 0
	}
	// Of each tab the highest place; everything that is not a tab is through.
	tabs, least := 0, math.Inf(1)
	for i, d := range depths {
		before := depths[(i+len(depths)-1)%len(depths)]
		if d < thickness-1 && before >= thickness-1 {
			tabs++
		}
		if d >= thickness-1 && d < thickness-fine {
			return false
		}
		if d < thickness-1 {
			least = math.Min(least, d)
		}
	}
	return float64(tabs) == s.Edge.Recipes[0].TabCount.Value && thickness-least >= given.LeastLeftMM-fine
}
