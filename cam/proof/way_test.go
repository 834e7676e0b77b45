package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// The centre of gravity of a half turn of radius r lies 2r/pi from its centre (handbook of
// mathematics, from memory); of a straight way in its middle.
func TestWay(t *testing.T) {
	const start = "G21 G90 G17 G94 G54\nG0 Z5\nG0 X10 Y0\nG1 Z0 F100\n"
	half := WayOf([]byte(start+"G3 X-10 Y0 I-10 J0\nM2\n"), profiles.Machine{})
	length := 5 + math.Pi*10
	assert.InDelta(t, length, half.CutMM, 1e-9)
	assert.InDelta(t, math.Pi*10*20/math.Pi/length, half.Middle.Y, 1e-9)
	assert.InDelta(t, 5*10/length, half.Middle.X, 1e-9)
	assert.Equal(t, 10.0, half.Max.Y)
	assert.True(t, half.Alike(half))
	for _, other := range []string{
		"G2 X-10 Y0 I-10 J0\nM2\n",   // the other half
		"G3 X-10 Y0 I-10 J0.1\nM2\n", // no such arc
		"G3 X-10.05 Y0 I-10.025 J0\nM2\n",
		"G3 X-10 Y0 I-10 J0\nG1 X-9\nX-10\nM2\n", // farther, within the same bounds
		"M2\n",
	} {
		assert.False(t, half.Alike(WayOf([]byte(start+other), profiles.Machine{})), other)
	}
	assert.True(t, half.Alike(WayOf([]byte(start+"G3 X0 Y10 I-10 J0\nX-10 Y0 J-10\nM2\n"), profiles.Machine{})))
	assert.False(t, Way{}.Alike(Way{}))
}
