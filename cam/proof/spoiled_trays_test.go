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
	setup.CellMM = 0.4
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
	{"the beam goes off and on in the midst of a cut", "out-elsewhere", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "M3 ") })
		return putIn(lines, at+2, "S0", lines[at][3:])
	}},
}

// here puts lines behind the first line of an operation that matches.
func here(pattern string, more ...string) func(*rand.Rand, patient, []string) []string {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, _ patient, lines []string) []string {
		first, _ := ops(lines)
		at := slices.IndexFunc(lines[first:], match.MatchString)
		if at < 0 {
			return nil
		}
		return putIn(lines, first+at+1, more...)
	}
}

// everywhereIn changes all lines that match.
func everywhereIn(pattern, with string) func(*rand.Rand, patient, []string) []string {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, _ patient, lines []string) []string {
		for i, l := range lines {
			lines[i] = match.ReplaceAllString(l, with)
		}
		return lines
	}
}

var turningFaults = []trayFault{
	{"many short waits in the foam", "stands-in-foam", routerMachine, here(`^G[123] .*Z-`, slices.Repeat([]string{"G4 P0.4"}, 9)...)},
	{"short waits all along a cut", "stands-in-foam", routerMachine, everywhereIn(`^G[123] X.*`, "$0\nG4 P0.45")},
	{"a lap that sinks a thousandth on each line, at half of the plunge's feed", "feed-too-low", routerMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		z, laps := 0.0, 0
		for i, l := range lines {
			if m := regexp.MustCompile(`Z(-[0-9.]+)`).FindStringSubmatch(l); m != nil {
				fmt.Sscan(m[1], &z)
			}
			if regexp.MustCompile(`^G1 [^Z]*$`).MatchString(l) && z < 0 {
				z -= 0.001
				lines[i] = regexp.MustCompile(` F\S+`).ReplaceAllString(l, "") + fmt.Sprintf(" Z%.4f F310", z)
				laps++
			}
		}
		if laps == 0 {
			return nil
		}
		return lines
	}},
	{"a lap again and again in what is cut", "rubs", routerMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		_, end := ops(lines)
		for end > 0 && !regexp.MustCompile(`^G[123] `).MatchString(lines[end-1]) {
			end--
		}
		from := end - 1
		for regexp.MustCompile(`^G[123] [^Z]*$`).MatchString(lines[from-1]) {
			from--
		}
		var places []string
		for i := end - 2; i >= from; i-- {
			if at := regexp.MustCompile(`X\S+ Y\S+`).FindString(lines[i]); at != "" {
				places = append(places, at)
			}
		}
		if len(places) < 2 { // no way between them
			return nil
		}
		for range 100 { // to and fro
			for _, at := range places {
				lines = putIn(lines, end, "G1 "+at)
			}
		}
		return lines
	}},
	{"run up at a crawl, and to speed over the foam", "no-spin-up", routerMachine, func(r *rand.Rand, p patient, lines []string) []string {
		lines = everywhereIn(`S18000`, "S100")(r, p, lines)
		return here(`^G0 X`, "S18000")(r, p, lines)
	}},
	{"slowed down on the way, and up again over the foam", "no-spin-up", routerMachine, here(`^G0 X`, "S5000", "S18000")},
	{"lifts out of the machine", "outside-travel", routerMachine, everywhereIn(`^G0 Z5\.0000`, "G0 Z79.0000")},
	{"lifts ten times as high", "lifts-high", routerMachine, everywhereIn(`^G0 Z5\.0000`, "G0 Z45.0000")},
}

// alike are changes that leave foam, machine and people the same: none of them is told.
var alike = []trayFault{
	{"it goes in the dark at a feed", "", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		for i, l := range lines {
			if power, lights := strings.CutPrefix(l, "M3 S"); lights && strings.HasPrefix(lines[i-1], "G0 X") {
				lines[i-1] = "M3 S0\n" + strings.Replace(lines[i-1], "G0", "G1", 1) + " F900"
				lines[i] = "S" + power
			}
		}
		return lines
	}},
	{"it goes out, and on at a feed", "", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		for i, l := range lines {
			if way, ok := strings.CutPrefix(l, "G0 X"); ok {
				lines[i] = "G1 X" + way + " F900"
			}
		}
		return lines
	}},
	{"waits of nothing, and ways of no length", "", laserMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		for i, l := range lines {
			switch {
			case strings.HasPrefix(l, "M3 S"):
				lines[i] += "\nG4 P0"
			case strings.HasPrefix(l, "G1 X") && i%3 == 0:
				lines[i] += "\n" + l
			}
		}
		return lines
	}},
	{"lifts as fast as the machine goes", "", routerMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		for i, l := range lines {
			if l == "G0 Z5.0000" && i > 20 {
				lines[i] = "G1 Z5.0000 F3000"
			}
		}
		return lines
	}},
	{"the first lift at a feed", "", routerMachine, func(_ *rand.Rand, _ patient, lines []string) []string {
		at := slices.Index(lines, "G0 Z5.0000")
		lines[at] = "G1 Z5.0000 F600"
		return lines
	}},
	{"a little higher", "", routerMachine, everywhereIn(`^G0 Z5\.0000`, "G0 Z9.0000")},
	{"lifts at a plunge's feed", "", routerMachine, everywhereIn(`^G0 Z5\.0000`, "G1 Z5.0000 F600")},
}

// Where a program has sent Z to a place of the machine's own nobody knows how high the tool is,
// and it is in no foam, wherever the machine's zero is.
func TestUpByTheMachinesOwnZ(t *testing.T) {
	for _, c := range []struct{ up, cut, first string }{{"Z5", "Z-2", ""}, {"Z25", "Z18", "bed"}} {
		setup := routerSetup()
		if c.first != "" {
			setup.Machine = onTheBed()
		}
		text := fmt.Sprintf("G21 G90 G17 G94 G54\nG53 G0 Z0\nG0 X10 Y10\nS18000 M3\nG4 P3\nG0 %s\nG1 %s F300\nG1 X30 F1200\nG53 G0 Z0\nG0 X60 Y60\nM5\nM2\n", c.up, c.cut)
		r := proof.Run("", []byte(text), setup, nil)
		assert.True(t, r.OK, "%v", r.Findings)
		assert.Equal(t, []string{"height-unknown", "machine-coordinates"}, distinct(rulesOf(r)), "%v", r.Findings)
	}
}

func TestTraysSaidOtherwise(t *testing.T) {
	for k, f := range alike {
		for seed := *firstSeed; seed < *firstSeed+max(3, *faultSeeds); seed++ {
			p := seededTray(t, seed, f.machine())
			lines := f.spoil(rand.New(rand.NewPCG(uint64(seed), uint64(k))), p, strings.Split(strings.TrimSpace(p.text), "\n"))
			got := proof.Run("", []byte(strings.Join(lines, "\n")+"\n"), p.setup, &p.want)
			assert.True(t, got.OK && len(got.Findings) == 0, "%s, seed %d: %v", f.name, seed, got.Findings)
		}
	}
}

func TestSpoiledTrays(t *testing.T) {
	warnings := map[string]bool{"lifts-high": true} // looks and time
	for k, f := range slices.Concat(gathering, turningFaults) {
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
