package proof

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The machine of pauseRun gains 1500 mm/s2, so that half a thousandth from rest to rest takes 2 sqrt(0.0005 / 1500) s, 1.155 ms, in
// which a beam goes 0.0173 mm at F900. Two passes are planned: three times their heat in a window of 1.5 mm is what one
// pass gives along 9 mm, in 536 such moves.
func TestABeamThatTremblesBurnsInPlace(t *testing.T) {
	tremble := func(times int) string {
		strokes := strings.Repeat("X20.0005\nX20\n", times/2)
		r, found := pauseRun(t, "G0 X20 Y10.1", "M3 S500", "G1 X20 F900\n"+strokes+"X29.9", "Y29.9", "X10.1", "Y10.1", "X20.2", "M5", "G4 P3", "lap to 20.2")
		assert.Positive(t, r.OnSeconds)
		return found
	}
	assert.NotContains(t, tremble(400), "beam-lingers")
	assert.Contains(t, tremble(800), "beam-lingers: the beam stays around X 19.75")
	assert.NotContains(t, tremble(0), "beam-lingers", "corners of a machine that is quick enough")
}

// What a straight way of 10 mm gives at its ends is what it takes beyond length over feed: all of it is laid, and most of it
// within the last tenths.
func TestStandingIsLaidAtTheEnds(t *testing.T) {
	f := Field{CellMM: 0.5}
	m := Motion{On: true, Feed: 900}
	m.From.X, m.To.X = 5, 15
	f.cover(m.box().Grow(3), mostGather)
	s := newSums(f)
	s.layStanding(m, 0.8, 100, 1) // its reach is 15 * 15 / 200 = 1.125 mm
	total, ends := 0.0, 0.0
	for r := range s.Rows {
		for c := range s.Columns {
			mm := s.of[(r+1)*(s.Columns+1)+c+1]
			if total += mm; s.center(c, r).X < 5.6 || s.center(c, r).X > 14.4 {
				ends += mm
			}
		}
	}
	assert.InDelta(t, 0.8, total, 1e-9)
	assert.Greater(t, ends, 0.6)
}
