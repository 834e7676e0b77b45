package cam

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
)

var rampLine = regexp.MustCompile(`^G1 ([XY])(-?[0-9.]+) Z-([0-9.]+)( F[0-9.]+)?$`)

// zigzagged writes the first ramp that goes along one axis as strokes to and fro of so many mm, each no
// steeper than it was, and then its way at its depth.
func zigzagged(t *testing.T, lines []string, stroke float64) []string {
	t.Helper()
	at := map[string]float64{}
	word := regexp.MustCompile(`([XYZ])(-?[0-9.]+)`)
	for i, line := range lines {
		if m := rampLine.FindStringSubmatch(line); m != nil {
			to, _ := strconv.ParseFloat(m[2], 64)
			deep, _ := strconv.ParseFloat(m[3], 64)
			from, sinks := at[m[1]], deep+at["Z"]
			if slope := sinks / math.Abs(to-from); sinks > 1 && math.Abs(to-from) > stroke {
				more := []string{}
				for k, z := 1, -at["Z"]; z < deep; k++ {
					z = math.Min(deep, z+slope*stroke)
					more = append(more, fmt.Sprintf("G1 %s%.4f Z-%.4f%s", m[1], from+stroke*float64(k%2), z, m[4]))
				}
				more = append(more, fmt.Sprintf("G1 %s%.4f", m[1], to))
				return append(append(append([]string{}, lines[:i]...), more...), lines[i+1:]...)
			}
		}
		for _, w := range word.FindAllStringSubmatch(line, -1) {
			at[w[1]], _ = strconv.ParseFloat(w[2], 64)
		}
	}
	t.Fatal("no ramp along one axis")
	return nil
}

// To and fro within a hair, a cutter's middle never clears, however flat each stroke is.
func TestAZigzagIsNoRamp(t *testing.T) {
	request := requestOf(t, "machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [120, 90]\n    layers: [{foam: pe-30, thickness: 1 in}]\n    pockets:\n      - {for: block, at: [40, 30], size: [40, 30], depth: 12, tool: flat-3}\n")
	result, err := Cut(context.Background(), request, Options{})
	require.NoError(t, err)
	p := Check(request).Plan
	name, program := "", ""
	for _, f := range result.Files {
		if strings.HasSuffix(f.Path, ".ngc") {
			name, program = f.Path, string(f.Data)
			break
		}
	}
	lines := strings.Split(program, "\n")
	try := func(lines []string) finding.List {
		tried, found := Try(Trial{Name: name, Text: []byte(strings.Join(lines, "\n")), Rules: request.Rules}, request.Catalog, p)
		return append(found, tried.Findings...)
	}
	assert.False(t, try(lines).Failed())
	for _, stroke := range []float64{0.05, 0.1, 0.2, 0.5, 1} {
		rules := []string{}
		for _, f := range try(zigzagged(t, lines, stroke)) {
			rules = append(rules, f.Rule)
		}
		assert.Contains(t, rules, "plunge-too-steep", "strokes of %g mm", stroke)
	}
}
