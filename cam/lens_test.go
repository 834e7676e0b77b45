package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry/trace"
)

// What was written is read again; what is no lens is named with its place.
func TestLensFile(t *testing.T) {
	l := trace.Lens{K1: -0.0213, K2: 0.0042, Noise: 0.0004, W: 4032, H: 3024, Camera: "Quayside Q1 at 4.2 mm, zoomed 1 times", Dots: 411, Reach: 0.95, ResidualPixels: 0.12}
	text := WriteLens(l, `grid "one".jpg`)
	assert.Contains(t, string(text), "dots: 411\nreach: 0.950\nresidual_pixels: 0.120\n")
	got, err := ReadLens("my-lens.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, l, got)
	for text, want := range map[string]string{
		"k1: 0.1\n": "k2", "k1: 3\nk2: 0\noff: 0.001\nwidth: 4\nheight: 3\n": "k1",
		"k1: 0\nk2: 0\noff: 0\nwidth: 4\nheight: 3\n": "off", "k1: 0\nk2: 0\noff: 0.001\nwidth: 4\nheight: 3\nk3: 1\n": "k3", "": "empty",
	} {
		_, err := ReadLens("my-lens.yaml", []byte(text))
		assert.ErrorContains(t, err, want, "%q", text)
	}
}
