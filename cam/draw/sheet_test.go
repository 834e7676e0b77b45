package draw

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/dryrun"
	"traywright/geometry"
	"traywright/geometry/units"
)

// show writes a picture to the folder named by DRAW_SHOW, to be looked at.
func show(t *testing.T, name string, data []byte) image.Image {
	t.Helper()
	im, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	if dir := os.Getenv("DRAW_SHOW"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), data, 0o600))
	}
	return im
}

func routerOptions(wanted *dryrun.Wanted) SheetOptions {
	return SheetOptions{
		Title: "crew: layer 1 of 2, pe-30", Lines: []string{"Tidewrack crew of the Gull Watch. Foam 250 × 190 × 25.4 mm, face up, glued nowhere yet."},
		ThicknessMM: fixtureThickness, Machine: fixtureMachine(), ZeroMM: geometry.Point{X: 30, Y: 30}, Wanted: wanted,
	}
}

func drawSheet(t *testing.T, name string, r dryrun.Result, o SheetOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Sheet(&b, r, o))
	return show(t, name, b.Bytes())
}

func TestSheets(t *testing.T) {
	r, wanted := trayResult()
	drawSheet(t, "router", r, routerOptions(wanted))

	o := routerOptions(wanted)
	o.Unit = units.Inch
	bad := r
	bad.OK = false
	bad.WorstOvercutMM, bad.WorstOvercutAt = 1.25, geometry.Point{X: 120, Y: 100}
	bad.WorstUndercutMM, bad.WorstUndercutAt = 4, geometry.Point{X: 40, Y: 20}
	bad.Findings = []dryrun.Finding{
		{Line: 12, Rule: "rapid-in-foam", Message: "line 12: rapid at X52.00 Y73.60 through foam 10 mm deep"},
		{Line: 30, Rule: "feed", Message: "line 30: feed 4000 mm/min is over the machine's 3000 mm/min", Warning: true},
	}
	cutouts := trayCutouts()
	cutouts[4].x += 3
	cutouts[7].depth = 8
	bad.Field = trayField(cutouts, 0.1)
	drawSheet(t, "bad-inch", bad, o)

	l, lw := laserResult()
	lo := routerOptions(lw)
	lo.Machine.Name = "Bench laser"
	lo.Machine.Tools[0].DiameterMM.Value = 0.2
	drawSheet(t, "laser", l, lo)

	drawSheet(t, "crowded", crowded(400), SheetOptions{ThicknessMM: 30})
	drawSheet(t, "empty", dryrun.Result{}, SheetOptions{})
}

func BenchmarkSheet(b *testing.B) {
	r, wanted := trayResult()
	o := routerOptions(wanted)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := Sheet(&out, r, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(out.Len())/1024, "KiB")
}
