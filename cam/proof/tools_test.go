package proof_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
)

// A tool list in comments gives widths; common practice of post-processors, no source.
// The words are those of a controller's tool table: T, D.
func TestWidthsOfAToolList(t *testing.T) {
	for comment, want := range map[string]float64{
		"(T3 D6.35 flat)":                6.35,
		"(T3  D=6.35 CR=0 - flat)":       6.35,
		"(T03 | flat cutter | dia 6.35)": 6.35,
		"(T3 D.25 in)":                   6.35,
		"(T3 P3 D6.35 Z0)":               6.35,
		"(T3 flat 6.35)":                 0,
		"(T2 D6.35)":                     0,
		"(T3 D500)":                      0,
		"(T3 D6)\n(T3 D7)":               0,
		"(TRAY 3 D6)":                    0,
	} {
		text := comment + "\nG21 G90 G17 G94 G54\nT3 M6\nS9000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F200\nG1 X10\nG0 Z5\nM5\nM2\n"
		r := proof.Run("", []byte(text), proof.Setup{}, nil)
		assert.True(t, r.OK, "%s: %v", comment, r.Findings)
		got, rule := r.KerfMM[3], r.Findings[0].Rule
		if want == 0 {
			assert.Equal(t, 1.0, got, comment)
			assert.Equal(t, "width-unknown", rule, comment)
			continue
		}
		assert.InDelta(t, want, got, 1e-9, comment)
		assert.Equal(t, "listed-width", rule, comment)
		inches := strings.Replace(strings.Replace(text, "G21", "G20", 1), "6.35", "0.25", 1)
		assert.InDelta(t, want, proof.Run("", []byte(inches), proof.Setup{}, nil).KerfMM[3], 1e-9, inches)
		said := proof.Run("", []byte(text), proof.Setup{KerfMM: map[int]float64{0: 2}}, nil)
		assert.Equal(t, 2.0, said.KerfMM[3])
		assert.Empty(t, said.Findings)
	}
}
