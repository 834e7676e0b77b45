package proof_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
)

// deep is the laser's program, of two passes at 60 % and 900 mm/min, with a depth of
// each pass.
func deep(t *testing.T, mmPerPass float64) (string, proof.Setup, proof.Wanted) {
	program, setup, want := spoiled(t, "laser")
	for _, l := range [][]proof.Limits{want.Cuts[0].Limits, want.Cuts[1].Limits, want.OutlineLimits} {
		l[0].MMPerPass = mmPerPass
	}
	return program, setup, want
}

// Passes add up to the foam's 20 mm, or the place is named and how deep it is: depth
// of a pass x passes x energy (arithmetic). What is held against the plan by its
// energy already is told as well.
func TestPassesGoThrough(t *testing.T) {
	onePass := first(`(?s)^G0 X\S+ Y\S+\nG0 Z18.*?^M5\n`, "") // of the first pocket
	for _, c := range []struct {
		what  string
		each  float64
		spoil func(*testing.T, string) string
		says  string // "" where it goes through
	}{
		{"two of 10 mm", 10, nil, ""},
		{"two of 9.9 mm", 9.9, nil, "goes 19.8 mm deep"},
		{"two of 12 mm", 12, nil, ""},
		{"one of 12 mm", 12, onePass, "goes 12 mm deep at X 12 Y 10 of the wall of pocket 1 (logbook), and the foam is 20 mm thick"},
		{"one of 20 mm", 20, onePass, ""},
		{"half the power", 12, all("S600", "S300"), "goes 12 mm deep"},
		{"a fifth more feed", 12, all("F900", "F1125"), "goes 19.2 mm deep"},
		{"half the feed goes no deeper", 8, all("F900", "F450"), "goes 16 mm deep"},
		{"a twentieth less power", 10, all("S600", "S570"), ""},
	} {
		program, setup, want := deep(t, c.each)
		if c.spoil != nil {
			program = c.spoil(t, program)
		}
		r := proof.Run("", []byte(program), setup, &want)
		if c.says == "" {
			assert.NotContains(t, rulesOf(r), "not-through", "%s: %v", c.what, r.Findings)
			continue
		}
		assert.Contains(t, messagesOf(r, "not-through"), c.says, c.what)
	}
}

func messagesOf(r proof.Result, rule string) string {
	var list []string
	for _, f := range r.Findings {
		if f.Rule == rule {
			list = append(list, f.Message)
		}
	}
	return strings.Join(list, "\n")
}

// Without its job the foam's recipe and the machine say as much, and comments do not
// matter. Half of the foam left is an error in anybody's program.
func TestPassesGoThroughWithoutAJob(t *testing.T) {
	setup := laserSetup()
	setup.Recipe, setup.MarkShare = proof.Limits{FeedMMPerMin: 900, PowerPercent: 60, MMPerPass: 12, Passes: 1}, 0.1
	setup.CellMM = 1
	whole, _, _ := spoiled(t, "laser")
	for _, c := range []struct {
		what  string
		spoil func(*testing.T, string) string
		says  string // without comments
	}{
		{"as it is", func(_ *testing.T, s string) string { return s }, ""},
		{"one pass less", first(`(?s)^G0 X\S+ Y\S+\nG0 Z18.*?^M5\n`, ""), "not-through"},
		{"half the power", all("S600", "S300"), "not-through"},
		{"a third of the power once", first("S600", "S200"), "not-through"},
		{"a tenth of the power", all("S600", "S60"), "nothing-cut"},
		{"a mark is none", first(`^\(op: `, "(op: marks)\nG0 X5 Y5 Z20\nM3 S60\nG1 X9 F900\nM5\n(op: "), ""},
	} {
		program := c.spoil(t, whole)
		r := proof.Run("", []byte(program), setup, nil)
		if c.says == "" {
			assert.True(t, r.OK, "%s: %v", c.what, r.Findings)
		} else {
			assert.False(t, r.OK, c.what)
			assert.Contains(t, errorsOf(r), "not-through", "ours says what is cut: %s", c.what)
		}
		r = proof.Run("", []byte(comments.ReplaceAllString(program, "")), setup, nil)
		assert.Equal(t, c.says != "not-through", r.OK, "%s: %v", c.what, r.Findings)
		if c.says != "" {
			assert.Contains(t, rulesOf(r), c.says, c.what)
		}
	}
	setup.ThicknessMM = 0
	assert.NotContains(t, rulesOf(proof.Run("", []byte(all("S600", "S300")(t, whole)), setup, nil)), "not-through", "of a thickness that nobody knows")
}

// A contour whose passes are divided differently: each place has had both.
func TestPassesDividedDifferently(t *testing.T) {
	program, setup, want := deep(t, 10)
	lines := strings.Split(program, "\n")
	half := regexp.MustCompile(`^G1 X(\S+)( F900)?$`)
	x, split := math.NaN(), 0
	var out []string
	for _, line := range lines {
		if m := half.FindStringSubmatch(line); m != nil && !math.IsNaN(x) && split == 0 {
			to, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			out = append(out, "G1 X"+strconv.FormatFloat((x+to)/2, 'f', 4, 64)+m[2])
			split++
		}
		if i := strings.Index(line, "X"); i >= 0 && line[0] == 'G' {
			x, _ = strconv.ParseFloat(strings.Fields(line[i+1:])[0], 64)
		}
		out = append(out, line)
	}
	require.Positive(t, split)
	r := proof.Run("", []byte(strings.Join(out, "\n")), setup, &want)
	assert.True(t, r.OK, "%v", r.Findings)
}
