package cam

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// requestOf is a job's request with what ships.
func requestOf(t *testing.T, text string) Request {
	t.Helper()
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%s\n%v", text, found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	return Request{Job: j, Catalog: c, Unit: j.Units}
}

func straightIn(list finding.List) (straight finding.List) {
	for _, f := range list {
		if f.Rule == "straight-down" {
			straight = append(straight, f)
		}
	}
	return straight
}

// smallHole is a tray of one pocket, 25.4 mm deep: cut by flat-6, which reaches so deep.
func smallHole(wide string) string {
	return fmt.Sprintf("machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [120, 90]\n    layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-30, thickness: 1 in}]\n    pockets:\n      - {for: peg, at: [50, 40], round: %s, depth: 24}\n", wide)
}

// A hole little wider than its cutter, the check and the cut say so in the same words, and the
// hint is followed.
func TestStraightDownIsTold(t *testing.T) {
	narrow := requestOf(t, smallHole("6.1"))
	told := straightIn(Check(narrow).Report.Findings)
	require.Len(t, told, 1)
	assert.Equal(t, finding.Warning, told[0].Severity)
	assert.Contains(t, told[0].Message, "it goes straight down into the foam, 12 mm at a time") // two levels to 24 mm
	cut, err := Cut(context.Background(), narrow, Options{})
	require.NoError(t, err)
	assert.Equal(t, told, straightIn(cut.Report.Findings))

	wide := regexp.MustCompile(`make it ([0-9.]+) mm wide`).FindStringSubmatch(told[0].Hint)
	require.NotNil(t, wide, told[0].Hint)
	assert.Empty(t, straightIn(Check(requestOf(t, smallHole(wide[1]))).Report.Findings))
}

// Every pocket into which a cutter goes straight down is named, with its line in the job; a grid's are
// counted.
func TestEveryPlungeIsNamed(t *testing.T) {
	text := smallHole("6.1") + "      - {for: pin, at: [20, 20], round: 6.2, depth: 24}\n      - {for: tip, at: [80, 10], round: 6.2, depth: 24, grid: [1, 3], pitch: [1, 20]}\n      - {for: wide, at: [20, 60], round: 20, depth: 24}\n"
	told := straightIn(Check(requestOf(t, text)).Report.Findings)
	require.Len(t, told, 1)
	assert.Equal(t, "job.yaml:8:9: tray a, layer 1, pocket 1 (peg)", told[0].Where)
	assert.Contains(t, told[0].Message, "; so it does in pocket 2 (pin) (line 9), pocket 3 (tip) 1,1 (line 10) and 2 more like it")
	assert.NotContains(t, told[0].Message, "wide")
	told = straightIn(Check(requestOf(t, strings.Replace(smallHole("6.1"), "24}", "24, grid: [1, 2], pitch: [1, 20]}", 1))).Report.Findings)
	require.Len(t, told, 1)
	assert.Contains(t, told[0].Message, "; so it does in 1 more like it")
}

// A drawing of many points beside a small hole keeps nobody from telling its plunge.
func TestAPlungeBesideADrawingIsNamed(t *testing.T) {
	narrow := requestOf(t, smallHole("6.1"))
	p, found := decide(narrow)
	require.False(t, found.Failed(), "%v", found)
	coast := p.Trays[0].Sheets[0].Cuts[0]
	var points []geometry.Point
	for i := range mostLaid {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / mostLaid)
		points = append(points, geometry.Point{X: 20 + 9*cos, Y: 20 + 9*sin})
	}
	coast.Name, coast.Shape = "coast", geometry.NewRegion(geometry.Polygon(points...))
	p.Trays[0].Sheets[0].Cuts = append([]plan.Cut{coast}, p.Trays[0].Sheets[0].Cuts...)
	told := straightInPlan(narrow, p)
	require.Len(t, told, 1)
	assert.NotContains(t, told[0].Message, "coast")
}

// Registration holes are gone down into on a helix, whatever their dowel; one that no tool goes
// into so is refused with another dowel.
func TestDowelHolesAreNotPlunged(t *testing.T) {
	made := 0
	for tenths := units.Length(30); tenths <= 100; tenths += 3 {
		text := fmt.Sprintf("machine: bench-router\nunits: mm\nregistration: dowels\ndowel: %g\ntrays:\n  - id: a\n    size: [140, 110]\n    layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]\n    pockets:\n      - {for: block, at: [40, 40], size: [40, 30], depth: 12}\n", float64(tenths)/10)
		result := Check(requestOf(t, text))
		assert.Empty(t, straightIn(result.Report.Findings), text)
		if !result.Report.Findings.Failed() {
			made++
		}
	}
	assert.Greater(t, made, 10)
}
