package proof_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof"
)

// A program as a usual post-processor writes it: own words, common practice.
const foreign = `%
O1001 (bracket tray)
(T1 D6. flat)
(T2 D3. drill)
N10 G90 G94 G17 G91.1
N15 G21
N20 G28 G91 Z0.
N25 G90
N30 T1 M6
N35 S18000 M3
N40 G54 M8
N45 G0 X10. Y10.
N50 G43 Z15. H1
N55 G0 Z2.
N60 G1 Z-3. F300
N65 G1 X40. F900
N70 G3 X40. Y30. I0. J10.
N75 G1 X10.
N80 G3 I0. J-10. Z-4.
N85 G0 Z15.
N90 M9
N95 G28 G91 Z0.
N100 G90
N105 T2 M6
N110 S12000 M3
N115 G0 X60. Y10.
N120 G43 Z15. H2
N125 G98 G83 X60. Y10. Z-9. R2. Q3. F200
N130 X70.
N135 G80
N140 G0 Z15.
N145 M5
N150 G28 G91 Z0.
N155 G90 G49
N160 G28 G91 X0. Y0.
N165 G90
N170 M30
%
`

func TestForeignProgramPasses(t *testing.T) {
	r := proof.Run("", []byte(foreign), proof.Setup{ThicknessMM: 20}, nil)
	assert.True(t, r.OK)
	var told []string
	for _, f := range r.Findings {
		assert.NotEqual(t, finding.Error, f.Severity, "%+v", f)
		told = append(told, f.Rule)
	}
	assert.ElementsMatch(t, []string{"program-number", "g91.1", "machine-coordinates", "machine-coordinates", "machine-coordinates", "machine-coordinates", "length-assumed", "circle-alone", "listed-width", "listed-width"}, told)
	assert.Equal(t, []float64{6, 3}, []float64{r.KerfMM[1], r.KerfMM[2]})
}

// What would harm in such a program is an error all the same.
func TestForeignHarm(t *testing.T) {
	for _, c := range []struct{ old, now, rule string }{
		{"N85 G0 Z15.\nN90 M9\nN95 G28 G91 Z0.", "", "change-in-foam"},
		{"N85 G0 Z15.\nN90 M9\n", "N85 G0 X60\n", "rapid-in-foam"},
		{"N50 G43 Z15. H1\n", "", "not-followed"},
		{"N120 G43 Z15. H2\n", "N120 G0 Z15.\n", "start-unknown"},
		{"N120 G43 Z15. H2\n", "N120 G1 Z-2. F100\n", "not-followed"},
		{"N125 G98 G83 X60. Y10. Z-9. R2.", "N125 G99 G83 X60. Y10. Z-9. R-1.", "rapid-in-foam"},
		{"Z-9. R2.", "Z-25. R2.", "too-deep"},
		{"N35 S18000 M3", "", "spindle-off"},
		{"N140 G0 Z15.\nN145 M5\nN150 G28 G91 Z0.\nN155 G90 G49\nN160 G28 G91 X0. Y0.", "N140 G1 Z-5. F100", "left-in-foam"},
		{"N85 G0 Z15.\nN90 M9\nN95 G28 G91 Z0.", "N95 G28 G91 X0 Y0", "machine-coordinates"},
		{"N120 G43 Z15. H2", "N120 G55", "not-followed"},
	} {
		text := strings.Replace(foreign, c.old, c.now, 1)
		require.NotEqual(t, foreign, text)
		r := proof.Run("", []byte(text), proof.Setup{ThicknessMM: 20}, nil)
		assert.False(t, r.OK, c.rule)
		found := false
		for _, f := range r.Findings {
			found = found || f.Severity == finding.Error && f.Rule == c.rule
		}
		assert.True(t, found, "%s: %v", c.rule, r.Findings)
	}
}

// Behind what is not followed nothing is claimed, with a plan or without.
func TestNothingIsClaimedBehindWhatIsNotFollowed(t *testing.T) {
	for _, p := range patients(t) {
		lines := strings.Split(p.text, "\n")
		lines = append(lines[:len(lines)*2/3:len(lines)*2/3], append([]string{"G41 D1"}, lines[len(lines)*2/3:]...)...)
		for _, want := range []*proof.Wanted{nil, &p.want} {
			r := proof.Run("", []byte(strings.Join(lines, "\n")), p.setup, want)
			assert.False(t, r.OK)
			assert.Positive(t, r.Unfollowed)
			errors := 0
			for _, f := range r.Findings {
				if f.Severity == finding.Error {
					errors++
				}
			}
			assert.Equal(t, 1, errors, "%s: %v", p.name, r.Findings)
			assert.Zero(t, r.WorstUndercutMM)
		}
	}
}
