package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Faults that heat foam, or wear the tool, in portions: each of them is small, and they add up.
var heatFaults = []fault{
	{"rubs to and fro in one place, and lifts between", true, of("router", rubsAt(20, 3))},
	{"rubs to and fro in one place on end", true, of("router", rubsAt(1, 60))},
	{"trembles by 0.1 mm where it is", true, of("router", trembles(100, 0.1))},
	{"trembles by half a thousandth where it is", true, of("router", trembles(2000, 0.0005))},
	{"the offset again and again on a lit way", true, of("laser", saysAgain("G54"))},
	{"air again and again on a lit way", true, of("laser", saysAgain("M8"))},
	{"the power again and again on a lit way", true, of("laser", saysAgain("S999"))},
	{"no wait again and again on a lit way", true, of("laser", saysAgain("G4 P0"))},
	{"path mode again and again on a lit way", true, of("laser", saysAgain("G64 P0.01"))},
	{"waits on its way", true, of("router", waitsOnItsWay)},
	{"the beam goes out on its way, and is lit again", true, of("laser", relit("M5", "G4 P1", "M3"))},
	{"the beam goes out on its way, and a rapid is between", true, of("laser", relit("M5", "G0 Z25", "G0 Z20", "M3"))},
	{"the beam goes out on its way, and is lit again at once", true, of("laser", relit("M5", "M3"))},
	{"the beam goes out on its way, and a move that goes nowhere is between", true, of("laser", relit("M5", "G91", "G0 X0", "G90", "M3", "G1"))},
	{"the beam goes out on its way, and a cut that goes nowhere is between", true, of("laser", relit("M5", "G91", "G1 X0", "G90", "M3"))},
	{"the beam goes out on its way, and a stop is between", true, of("laser", relit("M5", "M0", "M3"))},
	{"the beam has no power for a moment on its way", true, of("laser", relit("S0", "S999"))},
	{"the beam is lit ten times at its start", true, of("laser", litOften)},
	{"the way in is lost", true, of("laser", wayInLost)},
	{"corners may be rounded by 0.05 mm", true, replace(`^G64 P0\.01`, "G64 P0.05")},
	{"the path tolerance is lost", true, replace(`^G64 P0\.01`, "G61\nG64")},
	{"the spindle a tenth too fast", true, of("router", everywhere(`S[0-9.]+`, func(v float64) float64 { return 1.09 * v }))},
	{"the spindle a twentieth too slow", true, of("router", everywhere(`S[0-9.]+`, func(v float64) float64 { return 0.95 * v }))},
	{"a few seconds of waiting at each place", true, of("router", everyLine(`^(G0 X.*)`, "$1"+strings.Repeat("\nG4 P2.9", 8)))},
	{"waits before each pass", true, of("laser", everyLine(`^(G0 X.*)`, "$1\nG4 P20"))},
	{"a lap goes the other way round", true, of("router", roundTheOtherWay)},
}

func init() { faults = slices.Concat(faults, heatFaults) }

// rubsAt goes to and fro 8 mm where a straight way at a depth has gone, in portions with a lift between
// that are spread over what comes behind it.
func rubsAt(portions, strokes int) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, here, way, ok := levelWay(r, lines)
		if !ok {
			return nil, false
		}
		dx := math.Copysign(8, way)
		stroke := []string{fmt.Sprintf("G1 X%.4f", here[0]-dx), fmt.Sprintf("G1 X%.4f", here[0])}
		if portions == 1 {
			return slices.Concat(lines[:i+1], slices.Repeat(stroke, strokes), lines[i+1:]), true
		}
		lifts := 0
		list := slices.Clone(lines[:i+1])
		for _, l := range lines[i+1:] {
			list = append(list, l)
			if !strings.HasPrefix(l, "G0 Z5") || lifts == portions {
				continue
			}
			lifts++
			there, _ := standing(list)
			list = append(list, fmt.Sprintf("G0 X%.4f Y%.4f", here[0], here[1]), fmt.Sprintf("G1 Z%.4f F300", here[2]), fmt.Sprintf("G1 X%.4f F1200", here[0]-dx), stroke[1])
			list = append(list, slices.Repeat(stroke, strokes*portions/2)...)
			list = append(list, l, fmt.Sprintf("G0 X%.4f Y%.4f", there[0], there[1]))
		}
		return list, lifts > 1
	}
}

// levelWay picks a straight way along X, at a depth, that is longer than 10 mm: its line, where it
// ends, and how far it goes.
func levelWay(r *rand.Rand, lines []string) (at int, end [3]float64, way float64, ok bool) {
	var list []int
	for i, l := range lines {
		if i > 0 && regexp.MustCompile(`^G1 X\S+$`).MatchString(l) && regexp.MustCompile(`^G1 Y\S+$`).MatchString(lines[i-1]) {
			list = append(list, i)
		}
	}
	if len(list) == 0 {
		return 0, end, 0, false
	}
	at = list[r.IntN(len(list))]
	end, known := standing(lines[:at+1])
	before, _ := standing(lines[:at])
	way = end[0] - before[0]
	return at, end, way, known && math.Abs(way) >= 10 && end[2] < -0.5
}

// trembles goes to and fro by a hair at the end of a way: short by its length, and long by the clock.
func trembles(times int, mm float64) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, here, way, ok := levelWay(r, lines)
		if !ok {
			return nil, false
		}
		stroke := []string{fmt.Sprintf("G1 X%.4f", here[0]-math.Copysign(mm, way)), fmt.Sprintf("G1 X%.4f", here[0])}
		return slices.Concat(lines[:i+1], slices.Repeat(stroke, times), lines[i+1:]), true
	}
}

// waitsOnItsWay stops again and again on a way.
func waitsOnItsWay(r *rand.Rand, lines []string) ([]string, bool) {
	i, here, way, ok := levelWay(r, lines)
	if !ok {
		return nil, false
	}
	list := slices.Clone(lines[:i])
	for k := range 10 {
		list = append(list, "G4 P0.5", fmt.Sprintf("G1 X%.4f", here[0]-way+math.Copysign(0.2*float64(k+1), way)))
	}
	return append(list, lines[i:]...), true
}

// saysAgain says many times on one lit way what is in force.
func saysAgain(word string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		var at []int
		for i := 1; i < len(lines); i++ {
			if strings.HasPrefix(lines[i], "G1 ") && strings.HasPrefix(lines[i-1], "G1 ") {
				at = append(at, i)
			}
		}
		if len(at) == 0 {
			return nil, false
		}
		if strings.HasPrefix(word, "S") {
			word = regexp.MustCompile(`S\d+`).FindString(strings.Join(lines, "\n"))
		}
		i := at[r.IntN(len(at))]
		return slices.Concat(lines[:i], slices.Repeat([]string{word}, 4+r.IntN(300)), lines[i:]), true
	}
}

// standing is where a program stands behind its lines: X, Y, Z.
func standing(lines []string) (at [3]float64, known bool) {
	seen := 0
	for axis, letter := range "XYZ" {
		word := regexp.MustCompile(fmt.Sprintf(`^G.*%c(-?[0-9.]+)`, letter))
		for i := len(lines) - 1; i >= 0; i-- {
			if m := word.FindStringSubmatch(lines[i]); m != nil {
				at[axis], _ = strconv.ParseFloat(m[1], 64)
				seen++
				break
			}
		}
	}
	return at, seen == 3
}

// relit puts lines between two moves of a lit beam.
func relit(more ...string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, regexp.MustCompile(`^G[13] `))
		if !ok || !regexp.MustCompile(`^G[13] `).MatchString(lines[i+1]) {
			return nil, false
		}
		return slices.Concat(lines[:i+1], more, lines[i+1:]), true
	}
}

// litOften burns a tenth of a mm ten times before a way begins.
func litOften(r *rand.Rand, lines []string) ([]string, bool) {
	i, ok := pick(r, lines, regexp.MustCompile(`^M3 S`))
	if !ok {
		return nil, false
	}
	at, _ := standing(lines[:i])
	once := []string{lines[i], fmt.Sprintf("G1 X%.4f F900", at[0]+0.1), "M5", fmt.Sprintf("G0 X%.4f", at[0])}
	return slices.Concat(lines[:i], slices.Repeat(once, 10), lines[i:]), true
}

// wayInLost lights the beam where its way in ends.
func wayInLost(r *rand.Rand, lines []string) ([]string, bool) {
	i, ok := pick(r, lines, regexp.MustCompile(`^M3 S`))
	if !ok {
		return nil, false
	}
	in, feed := regexp.MustCompile(` [FIJ]\S+`).ReplaceAllString(lines[i+1], ""), regexp.MustCompile(` F\S+`).FindString(lines[i+1])
	return slices.Concat(lines[:i], []string{"G0" + in[2:], lines[i], lines[i+2] + feed}, lines[i+3:]), true
}

// roundTheOtherWay turns a lap round a rectangle.
func roundTheOtherWay(r *rand.Rand, lines []string) ([]string, bool) {
	var at []int
	for i := 1; i+4 < len(lines); i++ {
		lap := true
		for k, side := range []string{`^G1 X\S+$`, `^G1 Y\S+$`, `^G1 X\S+$`, `^G1 Y\S+$`} {
			lap = lap && regexp.MustCompile(side).MatchString(lines[i+k])
		}
		if here, known := standing(lines[:i]); lap && known {
			there, _ := standing(lines[:i+4])
			if across, _ := standing(lines[:i+2]); here == there && max(across[0], here[0])-min(across[0], here[0]) > 5 {
				at = append(at, i)
			}
		}
	}
	if len(at) == 0 {
		return nil, false
	}
	i := at[r.IntN(len(at))]
	return slices.Concat(lines[:i], []string{lines[i+1], lines[i], lines[i+3], lines[i+2]}, lines[i+4:]), true
}
