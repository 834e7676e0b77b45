package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry"
	"traywright/profiles"
)

func at(x, y, z float64) Point { return Point{geometry.Point{X: x, Y: y}, z} }

func line(x, y, z, feed float64) Move { return Move{Kind: Line, To: at(x, y, z), FeedMMPerMin: feed} }

func planner(a, corner float64) profiles.Machine {
	return profiles.Machine{RapidMMPerMin: number(6000), AccelerationMMPerS2: number(a), CornerMM: number(corner)}
}

func oneOp(moves ...Move) Program { return Program{Ops: []Op{{Moves: moves}}} }

// Rest to rest: T = d/v + v/a when d >= v²/a, else 2 sqrt(d/a). Derived; the
// triangular case after a secondary text.
func TestTimeOfOneMove(t *testing.T) {
	for _, c := range []struct{ d, v, a, want float64 }{
		{100, 50, 500, 2.1},
		{5, 50, 500, 0.2},
		{1, 50, 500, 0.08944},
		{300, 100, 1000, 3.1},
		{100, 50, 0, 2}, // no limit of acceleration
	} {
		s := Measure(oneOp(line(c.d, 0, 0, c.v*60)), planner(c.a, 0))
		assert.InDelta(t, c.want, s.Seconds, 5e-6, "%+v", c)
		assert.InDelta(t, c.d/c.v, s.LowerBoundSeconds, 1e-12)
		assert.Equal(t, c.d, s.CutLengthMM)
	}
}

func TestTimeAtCorners(t *testing.T) {
	straight := oneOp(line(50, 0, 0, 3000), line(100, 0, 0, 3000))
	corner := oneOp(line(50, 0, 0, 3000), line(50, 50, 0, 3000))
	back := oneOp(line(50, 0, 0, 3000), line(0, 0, 0, 3000))
	// 50 mm rest to rest at 50 mm/s and 500 mm/s²: 1.1 s.
	assert.InDelta(t, 2.1, Measure(straight, planner(500, 0)).Seconds, 1e-9)
	assert.InDelta(t, 2.2, Measure(corner, planner(500, 0)).Seconds, 1e-9)
	assert.InDelta(t, 2.2, Measure(back, planner(500, 1)).Seconds, 1e-9)
	// Through a right angle at v² = a δ s/(1-s), s = sin 45°: on each side of it
	// (V-v)/a s are spent on a length that takes (V²-v²)/(2 a V) s at full speed.
	v := math.Sqrt(500 * 0.05 * math.Sqrt2 / 2 / (1 - math.Sqrt2/2))
	slow := (50 - v) / 500                // s of slowing down to v
	lost := slow - (50*50-v*v)/(2*500)/50 // against passing at full speed
	assert.InDelta(t, 2.1+2*lost, Measure(corner, planner(500, 0.05)).Seconds, 1e-9)
	// A rapid counts as a move like any other, and its corner too.
	rapid := oneOp(Move{Kind: Rapid, To: at(100, 0, 0)}, line(100, 100, 0, 6000))
	assert.InDelta(t, 2*(1+0.1), Measure(rapid, planner(1000, 0)).Seconds, 1e-9)
}

// Cut into pieces, a line takes the time of the whole: the planner looks ahead,
// and back.
func TestTimeOfALineInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := 0.0
		var moves []Move
		for range rapid.IntRange(1, 12).Draw(t, "pieces") {
			x += rapid.Float64Range(0.01, 40).Draw(t, "length")
			moves = append(moves, line(x, 0, 0, 3000))
		}
		want := Measure(oneOp(line(x, 0, 0, 3000)), planner(500, 0)).Seconds
		assert.InDelta(t, want, Measure(oneOp(moves...), planner(500, 0)).Seconds, 1e-9)
	})
}

// A circle of radius r goes no faster than sqrt(a r).
func TestTimeOfACircle(t *testing.T) {
	circle := []Move{
		{Kind: Rapid, To: at(10, 0, 0)},
		{Kind: CCW, To: at(-10, 0, 0), FeedMMPerMin: 60_000},
		{Kind: CCW, To: at(10, 0, 0), FeedMMPerMin: 60_000},
	}
	const a, r = 1000.0, 10.0
	v := math.Sqrt(a * r)
	s := Measure(oneOp(circle...), planner(a, 0))
	assert.InDelta(t, 2*math.Sqrt(10/a)+2*math.Pi*r/v+v/a, s.Seconds, 1e-9)
	assert.InDelta(t, 2*math.Pi*r, s.CutLengthMM, 1e-9)
	assert.Equal(t, 10.0, s.RapidLengthMM)
	assert.Equal(t, at(-10, -10, 0), s.Min)
	assert.Equal(t, at(10, 10, 0), s.Max)
}

// The feed of a helix is along the helix (NISTIR 6556 2.1.2.6).
func TestHelix(t *testing.T) {
	s := Measure(oneOp(
		Move{Kind: Rapid, To: at(5, 0, 0)},
		Move{Kind: CW, To: at(5, 0, -7), FeedMMPerMin: 600},
	), planner(0, 0))
	want := math.Hypot(2*math.Pi*5, 7)
	assert.InDelta(t, want, s.CutLengthMM, 1e-12)
	assert.InDelta(t, want/10, s.LowerBoundSeconds, 1e-12)
	assert.Equal(t, -7.0, s.Min.Z)
}

func TestExtentsHoldArcs(t *testing.T) {
	quarter := func(kind Kind) Program {
		return oneOp(Move{Kind: Rapid, To: at(10, 0, 3)}, Move{Kind: kind, To: at(0, 10, -2), FeedMMPerMin: 600})
	}
	ccw, cw := Measure(quarter(CCW), planner(0, 0)), Measure(quarter(CW), planner(0, 0))
	assert.Equal(t, at(0, 0, -2), ccw.Min)
	assert.Equal(t, at(10, 10, 3), ccw.Max)
	assert.Equal(t, at(-10, -10, -2), cw.Min)
	assert.Equal(t, at(10, 10, 3), cw.Max)
	assert.Zero(t, Measure(Program{}, planner(0, 0)))
}

func TestTimeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var moves []Move
		for range rapid.IntRange(1, 20).Draw(t, "moves") {
			xyz := rapid.Float64Range(-100, 100)
			moves = append(moves, line(xyz.Draw(t, "x"), xyz.Draw(t, "y"), xyz.Draw(t, "z"), rapid.Float64Range(60, 9000).Draw(t, "feed")))
		}
		a := rapid.Float64Range(50, 5000).Draw(t, "a")
		stop, round := Measure(oneOp(moves...), planner(a, 0)), Measure(oneOp(moves...), planner(a, 0.1))
		bound := stop.LowerBoundSeconds
		assert.GreaterOrEqual(t, stop.Seconds, round.Seconds-1e-9, "stopping at corners is never faster")
		assert.GreaterOrEqual(t, round.Seconds, bound-1e-9)
		assert.GreaterOrEqual(t, round.Seconds, Measure(oneOp(moves...), planner(2*a, 0.1)).Seconds-1e-9)
		for i, j := 0, len(moves)-1; i < j; i, j = i+1, j-1 {
			moves[i].FeedMMPerMin, moves[j].FeedMMPerMin = moves[j].FeedMMPerMin, moves[i].FeedMMPerMin
		}
		assert.InDelta(t, stop.CutLengthMM, Measure(oneOp(moves...), planner(a, 0)).CutLengthMM, 1e-9)
	})
}
