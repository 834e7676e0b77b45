package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

func heatOf(t *testing.T, body string) Heat {
	t.Helper()
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, ok := c.Machine("bench-laser") // 40 W at S1000
	require.True(t, ok)
	text := "G21\nG90\nG17\nG94\nM3 S0\n" + body + "M5\nM2\n"
	return Run("x.ngc", []byte(text), Setup{Machine: m, ThicknessMM: 10}, nil).Heat(m.PowerW.Value)
}

// P/v: 40 W at half power and 600 mm/min is 20 W / 10 mm/s = 2 J/mm (derived).
func TestHeat(t *testing.T) {
	once := "G0 X10 Y10\nG1 X60 S500 F600\nS0\n"
	h := heatOf(t, once)
	assert.InDelta(t, 2, h.PassJPerMM, 1e-9)
	assert.InDelta(t, 2, h.AllJPerMM, 1e-9)
	assert.Equal(t, 1, h.Passes)

	h = heatOf(t, strings.Repeat(once, 3))
	assert.InDelta(t, 6, h.AllJPerMM, 1e-9)
	assert.Equal(t, 3, h.Passes)
	assert.InDelta(t, 2, h.PassJPerMM, 1e-9)
}

// A pass that is taken apart, shifted a little or gone backwards is a pass.
func TestHeatIsNotTalkedApart(t *testing.T) {
	body := "G0 X10 Y10\nG1 X60 S500 F600\nS0\n" +
		"G0 X60 Y10.05\nG1 X10 S500\nS0\n" +
		"G0 X10 Y9.98\nG1 X23 S500\nG1 X37.5\nG1 X60\nS0\n"
	h := heatOf(t, body)
	assert.InDelta(t, 6, h.AllJPerMM, 0.6)
	assert.Equal(t, 3, h.Passes)

	var b strings.Builder
	for i := range 50 { // 50 short moves are one pass
		fmt.Fprintf(&b, "G1 X%d S500 F600\n", 11+i)
	}
	h = heatOf(t, "G0 X10 Y10\n"+b.String())
	assert.InDelta(t, 2, h.AllJPerMM, 0.2)
}

// Arcs count like lines: a circle and back is two passes; a place beside it none.
func TestHeatOfArcs(t *testing.T) {
	h := heatOf(t, "G0 X30 Y20\nG3 X30 Y20 I-10 J0 S250 F300\nS0\nG0 X30 Y20\nG2 X30 Y20 I-10 J0 S250\nS0\n")
	assert.InDelta(t, 2, h.PassJPerMM, 1e-9)
	assert.InDelta(t, 4, h.AllJPerMM, 0.5, "both passes begin and end in one place; to a tenth")
}

// All that the beam gives in one spot adds up, along and upright: 200 ways of 0.2 mm with
// 2 J/mm are 80 J, and a place is 0.5 mm long (derived).
func TestHeatOfOneSpotAddsUp(t *testing.T) {
	h := heatOf(t, "G0 X10.05 Y10.1\n"+strings.Repeat("G1 X10.25 S500 F600\nG1 X10.05\n", 100))
	assert.InDelta(t, 160, h.AllJPerMM, 1e-6)
	assert.Equal(t, 80, h.Passes)
	h = heatOf(t, "G0 X10 Y10 Z0\n"+strings.Repeat("G1 Z0.2 S500 F600\nG1 Z0\n", 100))
	assert.InDelta(t, 160, h.AllJPerMM, 1e-6)
}

// Passes that do not close count whole, also where the beam stays lit as it turns.
func TestHeatOfOpenPassesIsNotHalved(t *testing.T) {
	h := heatOf(t, "G0 X10 Y10\n"+strings.Repeat("G1 X60 S500 F600\nG1 X10\n", 4))
	assert.InDelta(t, 16, h.AllJPerMM, 1.6)
	assert.Equal(t, 8, h.Passes)
}

// What is dark gives nothing.
func TestNoHeatInTheDark(t *testing.T) {
	assert.Equal(t, Heat{}, heatOf(t, "G0 X30 Y20\nG1 X50 F600\n"))
	assert.Equal(t, Heat{}, Result{}.Heat(40))
}

// A pass that comes in from the waste on a quarter circle, closes and runs on past where it came
// to the wall is one pass there: three are three, whatever the lead-in (2 J/mm each, derived).
func TestHeatWhereALapClosesBehindItsLeadIn(t *testing.T) {
	for _, lead := range []float64{0.5, 1, 2, 3} {
		for _, past := range []float64{0, 0.4, 0.9} {
			r := lead / (math.Pi / 2)
			h := heatOf(t, strings.Repeat(fmt.Sprintf("G0 X%.4f Y%.4f\nG3 X30 Y10 I%.4f J0 S500 F600\nG3 X30 Y10 I0 J20\nG1 X%.4f\nS0\n", 30-r, 10+r, r, 30+past), 3))
			assert.InDelta(t, 6, h.AllJPerMM, 1.2, "lead-in %v, past %v", lead, past)
			assert.LessOrEqual(t, h.Passes, 4, "lead-in %v, past %v", lead, past)
		}
	}
}
