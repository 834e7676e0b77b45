package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
)

func at(x, y, z float64) Point { return Point{geometry.Point{X: x, Y: y}, z} }

func oneOp(moves ...Move) Program { return Program{Ops: []Op{{Moves: moves}}} }

func TestLengthOfACircle(t *testing.T) {
	s := Measure(oneOp(
		Move{Kind: Rapid, To: at(10, 0, 0)},
		Move{Kind: CCW, To: at(-10, 0, 0), FeedMMPerMin: 60_000},
		Move{Kind: CCW, To: at(10, 0, 0), FeedMMPerMin: 60_000},
	))
	assert.InDelta(t, 2*math.Pi*10, s.CutLengthMM, 1e-9, "the rapid is no cut")
	assert.Equal(t, at(-10, -10, 0), s.Min)
	assert.Equal(t, at(10, 10, 0), s.Max)
}

// The length of a helix is along the helix (NISTIR 6556 2.1.2.6).
func TestHelix(t *testing.T) {
	s := Measure(oneOp(
		Move{Kind: Rapid, To: at(5, 0, 0)},
		Move{Kind: CW, To: at(5, 0, -7), FeedMMPerMin: 600},
	))
	assert.InDelta(t, math.Hypot(2*math.Pi*5, 7), s.CutLengthMM, 1e-12)
	assert.Equal(t, -7.0, s.Min.Z)
}

func TestExtentsHoldArcs(t *testing.T) {
	quarter := func(kind Kind) Program {
		return oneOp(Move{Kind: Rapid, To: at(10, 0, 3)}, Move{Kind: kind, To: at(0, 10, -2), FeedMMPerMin: 600})
	}
	ccw, cw := Measure(quarter(CCW)), Measure(quarter(CW))
	assert.Equal(t, at(0, 0, -2), ccw.Min)
	assert.Equal(t, at(10, 10, 3), ccw.Max)
	assert.Equal(t, at(-10, -10, -2), cw.Min)
	assert.Equal(t, at(10, 10, 3), cw.Max)
	assert.Zero(t, Measure(Program{}))
}
