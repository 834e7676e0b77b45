package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/profiles"
)

// The fits of pe-30 are a millimetre apart at snug, so a kerf that is known to
// half of it or worse cannot tell them apart; a pocket of a size of its own is as
// fine as its play. Without an interval nothing was measured, and nothing is said.
func TestFitFinerThanKerf(t *testing.T) {
	fromPiece := job.Pocket{For: "kraken", X: mm(20), Y: mm(20), Shape: job.FromPiece, Corner: mm(2), Columns: 1, Rows: 1}
	ownSize := with(rect(20, 20, 40.4, 30.4), func(p *job.Pocket) { p.For = "kraken" })
	for _, c := range []struct {
		name     string
		pocket   job.Pocket
		interval float64
		want     string
	}{
		{"not measured", fromPiece, 0, ""},
		{"fine enough", fromPiece, 0.49, ""},
		{"snug or tight", fromPiece, 0.51, "is to fit snug, 1 mm from tight, and the kerf is known to 0.51 mm either way: it may come out as the other"},
		{"play enough", ownSize, 0.39, ""},
		{"play within the interval", ownSize, 0.41, "leaves 0.4 mm of play around kraken, and the kerf is known to 0.41 mm either way"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(t, bench(pad(c.pocket), piece("kraken", 1, 40, 30, 20)), "bench-router")
			recipe := in.Recipe
			in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
				r, ok := recipe(foam, tool)
				if c.interval > 0 {
					r.KerfIntervalMM = profiles.Number{Value: c.interval, Source: "test"}
				}
				return r, ok
			}
			_, found := Make(in)
			if c.want == "" {
				assert.NotContains(t, rules(found), "fit-finer-than-kerf")
				return
			}
			assert.Equal(t, c.want, only(t, found, "fit-finer-than-kerf").Message)
		})
	}
}

// Travel is in the machine's own mm: one that makes less of a mm needs more.
func TestTravelOfAScaledMachine(t *testing.T) {
	tray := pad()
	tray.Length = mm(400 - 2*3.175 - 0.5)
	in := input(t, bench(tray), "bench-router")
	_, found := Make(in)
	assert.NotContains(t, rules(found), "tray-too-large")
	in.Machine.ScaleX = profiles.Number{Value: 0.997, Source: "test"}
	_, found = Make(in)
	assert.Contains(t, rules(found), "error:tray-too-large")
}
