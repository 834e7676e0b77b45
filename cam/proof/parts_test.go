package proof

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Numbers as a person reads them: three decimals of a mm, four of an inch (a shop's tenth of
// a thousandth), an area's inch twice, nothing behind the last digit that counts.
func TestNumbersInWords(t *testing.T) {
	mm, inch := &run{}, &run{setup: Setup{Unit: units.Inch}}
	for _, c := range []struct {
		value    any
		mm, inch string
	}{
		{length(12.7), "12.7 mm", "0.5 in"}, {length(0.0004), "0 mm", "0 in"}, {length(-0.0004), "0 mm", "0 in"}, {length(0.1236), "0.124 mm", "0.0049 in"},
		{feed(1270), "1270 mm/min", "50 in/min"}, {area(645.16), "645.16 mm2", "1 in2"}, {area(100), "100 mm2", "0.155 in2"},
		{geometry.Point{X: 25.4, Y: -12.7}, "X 25.4 Y -12.7", "X 1 in Y -0.5 in"}, {"as it is", "as it is", "as it is"},
	} {
		assert.Equal(t, c.mm, mm.say("%v", c.value))
		assert.Equal(t, c.inch, inch.say("%v", c.value))
	}
	assert.Equal(t, []string{"1234.568", "0", "-1.5", "100"}, []string{number(1234.5678), number(-0.0001), number(-1.5), number(100)})
}

// What a header's words may be: lengths with their unit, a scale by both axes and near 1.
func TestWordsOfHeaders(t *testing.T) {
	for text, want := range map[string]float64{"25.4 mm": 25.4, "0.001 mm": 0.001, "999999 mm": 999999, "0 mm": -1, "-3 mm": -1, "1e6 mm": -1, "3 in": -1, "3": -1, "": -1, "nan mm": -1} {
		v, ok := lengthMM(text)
		assert.Equal(t, want >= 0, ok, text)
		if ok {
			assert.Equal(t, want, v)
		}
	}
	for text, want := range map[string]bool{
		"X 0.997 Y 1.002": true, "X 0.997 Y 1.002, measured": true, "X 0.51 Y 1.99": true, "X 0.5 Y 1": false, "X 1 Y 2": false,
		"X 1": false, "Y 1 X 1": false, "X one Y 1": false, "X 1 Y one": false, "X 1 Y 1 Z 1": false, "": false,
	} {
		x, y, ok := scales(text)
		assert.Equal(t, want, ok, text)
		if strings.HasPrefix(text, "X 0.997") {
			assert.Equal(t, []float64{0.997, 1.002}, []float64{x.Value, y.Value})
		}
	}
	assert.Equal(t, map[int]float64{1: 3.2, 2: 6}, kerfs("T1 3.175 mm\nT1 3.2 mm\nT2 6 mm\nT3\nT4 wide\nX 3 mm"))
	text := "(Job: a)\n(+ and more)\n(FOAM:  PE-30 )\n(note)\n(+ lost)\n(foam: eva)\n(" + strings.Repeat("k", 24) + ": in)\n(" + strings.Repeat("k", 25) + ": out)\nG21\nG0 Z5\n(late: no)\nM2\n"
	assert.Equal(t, map[string]string{"job": "a and more", "foam": "pe-30\neva", strings.Repeat("k", 24): "in"}, Header([]byte(text)))
}

// In a block a depth belongs to the layer that ends at it or below, for each tool by itself;
// the last layer goes all the way down.
func TestLimitsOfADepth(t *testing.T) {
	all := []Limits{{Tool: 1, ToMM: 8, RPM: 1}, {Tool: 1, ToMM: 20, RPM: 2}, {Tool: 1, RPM: 3}, {Tool: 2, ToMM: 8, RPM: 4}, {Tool: 2, ToMM: 20, RPM: 5}}
	for depth, want := range map[float64][]float64{0: {1, 4}, 8: {1, 4}, 8.1: {2, 5}, 20: {2, 5}, 20.1: {3, 5}, 99: {3, 5}} {
		var got []float64
		for _, l := range atDepth(all, Motion{From: Point{Z: -depth}, To: Point{Z: -depth}}) {
			got = append(got, l.RPM)
		}
		assert.Equal(t, want, got, depth)
	}
	var both []float64 // a ramp that has hardly come into the second layer
	for _, l := range atDepth(all, Motion{From: Point{Z: -8}, To: Point{Z: -8.01}}) {
		both = append(both, l.RPM)
	}
	assert.Equal(t, []float64{1, 2, 4, 5}, both)
}

// The middle of a way lies half way along, on the circle of an arc.
func TestMiddleOfAMove(t *testing.T) {
	m := Motion{From: Point{Point: geometry.Point{X: 2, Y: 4}}, To: Point{Point: geometry.Point{X: 8, Y: 0}}}
	assert.Equal(t, geometry.Point{X: 5, Y: 2}, m.middle())
	center := geometry.Point{X: 10, Y: 10}
	for _, turn := range []float64{0.3, math.Pi / 2, 3, 4.5, 6, 2 * math.Pi} {
		for _, ccw := range []bool{true, false} {
			way := turn
			if !ccw {
				way = -turn
			}
			at := func(a float64) geometry.Point {
				sin, cos := math.Sincos(a)
				return center.Add(geometry.Point{X: 5 * cos, Y: 5 * sin})
			}
			m := Motion{Arc: true, CCW: ccw, Center: center, From: Point{Point: at(0.2)}, To: Point{Point: at(0.2 + way)}}
			if turn == 2*math.Pi {
				m.To = m.From
			}
			assert.InDelta(t, 0, m.middle().DistanceTo(at(0.2+way/2)), 1e-9, "%g, %t", turn, ccw)
		}
	}
}

func TestBoxesAndReach(t *testing.T) {
	box := geometry.Box{Min: geometry.Point{X: 1, Y: 2}, Max: geometry.Point{X: 5, Y: 9}}
	for _, c := range []struct{ x, y, reach float64 }{{5.5, 4, 0.5}, {0.5, 4, 0.5}, {3, 9.5, 0.5}, {3, 1.5, 0.5}, {6, 10, 1}} {
		p := geometry.Point{X: c.x, Y: c.y}
		assert.True(t, inBox(p, box, c.reach))
		assert.False(t, inBox(p, box, c.reach-0.1))
		assert.InDelta(t, c.reach, beyond(geometry.Box{Min: geometry.Point{X: min(c.x, 2), Y: min(c.y, 3)}, Max: geometry.Point{X: max(c.x, 3), Y: max(c.y, 4)}}, box), 1e-12)
	}
	assert.True(t, inBox(geometry.Point{X: 3, Y: 3}, box, 0))
	assert.InDelta(t, -1, beyond(geometry.Box{Min: geometry.Point{X: 2, Y: 3}, Max: geometry.Point{X: 4, Y: 8}}, box), 1e-12)
}

// Tools listed in comments, as other people's programs have them (common practice, no
// source): in the program's unit or their own, none with two widths, none wider than 100 mm.
func TestListedTools(t *testing.T) {
	for text, want := range map[string]map[int]float64{
		"(T3 D6.35 end mill)\nG21": {3: 6.35}, "(T3 D=.25)\nG20": {3: 6.35}, "(T3 D6.35 mm)\nG20": {3: 6.35}, "(t3 dia: 0.25 in)\nG21": {3: 6.35},
		"(T3 D6)\n(T3 D6)\nG21": {3: 6}, "(T3 D6)\n(T3 D5)\nG21": {3: 0}, "(T3 D100)\nG21": {3: 100}, "(T3 D100.1)\nG21": {3: 0}, "(tool 3)\nG21": {}, "(T03, D 6)\nG21": {3: 6},
	} {
		got := listedTools(read.Program([]byte(text+"\nG90\nM2\n"), read.Options{}))
		require.Len(t, got, len(want), text)
		for number, width := range want {
			assert.InDelta(t, width, got[number], 1e-9, text)
		}
	}
}
