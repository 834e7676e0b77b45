package proof

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// toAndFro goes to and fro on a way of that length, and sinks by mm each time.
func toAndFro(times int, length, mm float64) (list []Motion) {
	at := Point{}
	for i := range times {
		to := Point{Point: geometry.Point{X: length * float64(1-i%2)}, Z: at.Z - mm}
		list = append(list, Motion{From: at, To: to})
		at = to
	}
	return list
}

// woundBy is all of the parts that wind too much, of a level way of 9 mm in three pieces and of what follows it.
func woundBy(list []Motion, slope, most float64) (w winding, parts []sunkWay) {
	for x := range 3 {
		s := sweep{a: geometry.Point{X: float64(9 - 3*x)}, b: geometry.Point{X: float64(6 - 3*x)}}
		w.add(&s, 0, slope, most, nil)
	}
	for _, m := range list {
		for _, s := range sweepsOf(0, m, 0, -m.From.Z, -m.To.Z) {
			w.add(&s, s.depthB-s.depthA, slope, most, func(l sunkWay) { parts = append(parts, l) })
		}
	}
	return w, parts
}

// What does not sink is one piece of a way down, however many sweeps it is; every sweep behind it that sinks counts, whatever it sinks by.
func TestEveryPieceThatSinksIsLookedAt(t *testing.T) {
	w, _ := woundBy(nil, 0.1, 5)
	require.Len(t, w.ways, 1)
	assert.Equal(t, 9.0, w.ways[0].box.Width())
	for _, mm := range []float64{0.3, 1, 1.7} {
		_, parts := woundBy(toAndFro(4, 2, mm), 0.1, 5)
		require.NotEmpty(t, parts, "%v mm", mm)
		assert.InDelta(t, 4*mm, parts[len(parts)-1].sunk, 1e-9, "%v mm", mm)
	}
}

// A way down winds too much when it sinks by more than a ramp once around its box, both ways, and a plunge's own millimetres besides.
func TestAWayWindsFromOnceAroundItsBoxOn(t *testing.T) {
	const slope, length, times = 0.25, 3.0, 10
	edge := 2*slope*length + steepMM
	_, parts := woundBy(toAndFro(times, length, 1.02*edge/times), slope, edge)
	assert.NotEmpty(t, parts)
	_, parts = woundBy(toAndFro(times, length, 0.98*edge/times), slope, edge)
	assert.Empty(t, parts)
}

// The plan's own windings are its ramps, straight or round; a plunge is none of them, and allows no zigzag where it goes down.
func TestAPlungeOfThePlanIsNoWinding(t *testing.T) {
	arc := Motion{From: Point{Point: geometry.Point{X: 1}}, To: Point{Point: geometry.Point{X: 1}, Z: -4}, Arc: true, CCW: true}
	for what, c := range map[string]struct {
		way   []Motion
		count int
	}{
		"a plunge": {[]Motion{{To: Point{Z: -4}}}, 0},
		"a rapid":  {[]Motion{{Rapid: true, From: Point{Z: 5}, To: Point{Point: geometry.Point{X: 1}, Z: -4}}}, 0},
		"a zigzag": {toAndFro(6, 2, 1), 1},
		"a helix":  {[]Motion{arc}, 1},
	} {
		d := &run{want: &Wanted{Way: slices.Values(c.way)}}
		list, tight := d.plannedWindings(0.1, 5)
		assert.Len(t, list, c.count, what)
		assert.Len(t, tight, c.count, what)
		for _, v := range tight {
			assert.False(t, math.IsInf(v, 0), what)
		}
	}
}
