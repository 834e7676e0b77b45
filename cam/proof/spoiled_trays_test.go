package proof_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// Faults that take more than a word to put into a program, in random trays that the real
// stages made: what gathers over a whole program, and what stands beside its cuts.

// trayFault is one of them, for the programs of one machine, and the rule that finds it.
type trayFault struct {
	name, rule string
	machine    func() profiles.Machine
	spoil      func(r *rand.Rand, p patient, lines []string) []string // nil: this program gives it nothing to do
}

// seededTray is the program of a random tray; one without a skin is held by tabs.
func seededTray(t *testing.T, seed int, m profiles.Machine) patient {
	r := rand.New(rand.NewPCG(uint64(seed), 77))
	s := randomTray(t, r, m)
	program, setup, want := made(t, s, m)
	setup.CellMM, want.LeadInMM = 0.4, s.Edge.Recipes[0].LeadInMM.Value
	if m.Process == profiles.Router {
		setup.SpinUpSeconds = 3
	}
	return patient{name: string(m.Process), text: string(program), setup: setup, want: want}
}

// ops are the lines of the program's operations, from the first comment that names one to
// what ends it all.
func ops(lines []string) (first, end int) {
	first = slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(op: ") })
	for end = len(lines); end > 0 && regexp.MustCompile(`^(M|G0 Z|%|$)`).MatchString(lines[end-1]); end-- {
	}
	return first, end
}

// putIn puts lines before another.
func putIn(lines []string, at int, more ...string) []string {
	return slices.Concat(lines[:at], more, lines[at:])
}

// aBeamSays is lines for a lit way through some places, as the program's own cuts are made.
func aBeamSays(p patient, places ...geometry.Point) []string {
	l := p.want.OutlineLimits[0]
	list := []string{fmt.Sprintf("G0 Z%.4f", p.setup.ThicknessMM-l.FocusMM[0]), fmt.Sprintf("G0 X%.4f Y%.4f", places[0].X, places[0].Y), fmt.Sprintf("M3 S%.0f", 10*l.PowerPercent)}
	for _, at := range places[1:] {
		list = append(list, fmt.Sprintf("G1 X%.4f Y%.4f F%.0f", at.X, at.Y, l.FeedMMPerMin))
	}
	return append(list, "M5")
}

// hatched is lines to and fro beside the tray, 12 mm long.
func hatched(pitch float64) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, p patient, lines []string) []string {
		first, _ := ops(lines)
		edge := p.want.Outline.Bounds()
		var list []string
		for i := range 30 {
			y := edge.Max.Y + 8 + pitch*float64(i)
			list = append(list, aBeamSays(p, geometry.Point{X: 20, Y: y}, geometry.Point{X: 32, Y: y})...)
		}
		return putIn(lines, first, list...)
	}
}

// rings goes round the tray with the passes of so many cuts, the first lap so far from its
// kerf, and each so much farther out.
func rings(from, apart float64, cuts int) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, p patient, lines []string) []string {
		first, _ := ops(lines)
		var list []string
		focus := p.want.OutlineLimits[0].FocusMM
		for i := range cuts * len(focus) {
			b := p.want.Outline.Bounds().Grow(from + p.setup.KerfMM[1] + apart*float64(i))
			lap := aBeamSays(p, b.Min, geometry.Point{X: b.Max.X, Y: b.Min.Y}, b.Max, geometry.Point{X: b.Min.X, Y: b.Max.Y}, b.Min)
			if apart == 0 { // passes of one path, of which each has its focus
				lap[0] = fmt.Sprintf("G0 Z%.4f", p.setup.ThicknessMM-focus[i])
			}
			list = append(list, lap...)
		}
		return putIn(lines, first, list...)
	}
}

var gathering = []trayFault{
	{"laps a little beside each other", "heat-gathers", laserMachine, rings(5, 0.013, 3)},
	{"a hatch beside the tray", "heat-gathers", laserMachine, hatched(0.25)},
	{"a wider hatch", "heat-gathers", laserMachine, hatched(0.9)},
	{"one line again and again", "heat-gathers", laserMachine, hatched(0.02)},
	{"a ring beside the finished tray", "heat-gathers", laserMachine, rings(0.3, 0, 1)},
	{"the air goes off and on in the midst of a cut", "beam-standing", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "M3 ") })
		return putIn(lines, at+2, "M9", "M8")
	}},
	{"the beam goes off and on in the midst of a cut", "beam-interrupted", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "M3 ") })
		return putIn(lines, at+2, "S0", lines[at][3:])
	}},
}

func TestSpoiledTrays(t *testing.T) {
	warnings := map[string]bool{"beam-interrupted": true} // looks and time
	for k, f := range slices.Concat(gathering) {
		tried := 0
		for seed := *firstSeed; seed < *firstSeed+max(3, *faultSeeds); seed++ {
			p := seededTray(t, seed, f.machine())
			lines := f.spoil(rand.New(rand.NewPCG(uint64(seed), uint64(k))), p, strings.Split(strings.TrimSpace(p.text), "\n"))
			if lines == nil {
				continue
			}
			tried++
			got := proof.Run("", []byte(strings.Join(lines, "\n")+"\n"), p.setup, &p.want)
			assert.Contains(t, rulesOf(got), f.rule, "%s, seed %d: %v", f.name, seed, got.Findings)
			assert.Equal(t, warnings[f.rule], got.OK, "%s, seed %d: %v", f.name, seed, got.Findings)
			for _, found := range got.Findings {
				assert.NotEmpty(t, found.Hint, found.Message)
			}
		}
		require.Positive(t, tried, f.name)
	}
}
