package page

import (
	"bytes"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/kerf"
	"traywright/geometry/units"
	"traywright/profiles"
)

// kerfFits are the fits of a table of readings.
func kerfFits(t testing.TB, table string) []kerf.Fit {
	t.Helper()
	catalog, err := profiles.Shipped()
	require.NoError(t, err)
	r, _, err := kerf.Read("m.csv", []byte(table), units.Millimetre)
	require.NoError(t, err)
	fits, _ := kerf.Analyse(r, catalog, nil)
	require.NotEmpty(t, fits)
	return fits
}

// measuredTable has two ladders' steps and two densities.
func measuredTable() string {
	text := "foam,thickness,machine,axis,size,hole,plug,feed,density,face\n"
	for _, row := range []string{
		"20,20.47,19.55,600,24,top", "40,40.46,39.56,600,24,top", "40,40.36,39.66,600,24,bottom", "20,20.35,19.66,1200,24,top", "40,40.34,39.67,1200,24,top",
		"20,20.37,19.65,600,31,top", "40,40.36,39.66,600,31,top", "60,61.9,59.66,600,31,top", "80,80.34,79.66,600,31,top", "90,90.34,89.66,600,31,top",
	} {
		text += "pe-30,25.4,bench-laser,x," + row + "\n"
	}
	return text
}

// Every picture is a PNG, and the same bytes each time.
func TestKerfPictures(t *testing.T) {
	fits := kerfFits(t, measuredTable())
	first, err := KerfPictures(fits, units.Millimetre)
	require.NoError(t, err)
	var names []string
	for _, p := range first {
		names = append(names, p.Name)
		img, err := png.Decode(bytes.NewReader(p.Data))
		require.NoError(t, err)
		assert.Equal(t, plotWidth, img.Bounds().Dx())
	}
	assert.Equal(t, []string{"fit-1.png", "fit-2.png", "fit-3.png", "density-1.png", "ladder-1.png"}, names)
	again, err := KerfPictures(fits, units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, first, again)
	inches, err := KerfPictures(fits, units.Inch)
	require.NoError(t, err)
	assert.NotEqual(t, first, inches)
}
