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

// More kinds of fault: how it is cut, what state the machine is in, and where. They
// are added to the others.
var processFaults = []fault{
	{"a twentieth of the feed", true, everywhere(`F[0-9.]+`, func(v float64) float64 { return v / 20 })},
	{"a third of the feed", true, everywhere(`F[0-9.]+`, func(v float64) float64 { return v / 3 })},
	{"half as fast again", true, everywhere(`F[0-9.]+`, func(v float64) float64 { return 1.5 * v })},
	{"one feed is a tenth", false, changeNumber("F", func(_ *rand.Rand, v float64) float64 { return v / 10 })},
	{"one feed is half as high again", false, changeNumber("F", func(_ *rand.Rand, v float64) float64 { return 1.5 * v })},
	{"four fifths of the feed", true, everywhere(`F[0-9.]+`, func(v float64) float64 { return 0.8 * v })},
	{"lifts at half the clearance", true, of("router", everyLine(`^G0 Z5\.0000`, "G0 Z2.5000"))},
	{"the last lift is a hair", true, of("router", lastLift("G0 Z0.0100"))},
	{"the last lift is low", true, of("router", lastLift("G0 Z4.0000"))},
	{"the first lift is low", true, of("router", replace(`^G0 Z5\.0000`, "G0 Z1.0000"))},
	{"a wait of fifty minutes", true, putBehind(`^(G0 Z5|M5)`, "G4 P3000")},
	{"minutes of waiting, one by one", true, everyLine(`^(G0 Z5\S*|G0 X.*|M5)`, "$1\nG4 P50")},
	{"how far corners may be rounded is not said", true, remove(`^G64 P`)},
	{"plunges at the cutting feed", false, of("router", replace(`^(G1 Z-\S+) F\d+`, "$1 F1200"))},
	{"plunges with a hair of sideways motion", false, of("router", replace(`^G1 (Z-\S+) F300`, "G1 X24.9900 $1 F1200"))},
	{"one pass to the floor", false, of("router", toTheFloor)},
	{"a level is missing", false, of("router", remove(`^G1 Z-\d+\.0000 F300`))},
	{"the spindle at a third", true, of("router", everywhere(`S[0-9.]+`, func(v float64) float64 { return math.Round(v / 3) }))},
	{"the spindle a quarter too fast", true, of("router", everywhere(`S[0-9.]+`, func(v float64) float64 { return 1.25 * v }))},
	{"the spindle slows down half way", false, of("router", putBehind(`^G1 [XY]`, "S9000"))},
	{"the spindle stops half way", false, of("router", putBehind(`^G1 [XY]`, "M5"))},
	{"the spindle turns back half way", false, of("router", putBehind(`^G1 [XY]`, "M4"))},
	{"a third of the time to run up", true, of("router", replace(`^G4 P3`, "G4 P1"))},
	{"seconds taken for thousandths", true, of("router", replace(`^G4 P3`, "G4 P0.003"))},
	{"a lift is missing", false, of("router", remove(`^G0 Z5`))},
	{"lifts are 0.1 mm high", true, of("router", everyLine(`^G0 Z[0-9.]+`, "G0 Z0.1000"))},
	{"a stop in the foam", true, of("router", putBehind(`^G1 Z-`, "M0"))},
	{"an optional stop in the foam", true, of("router", putBehind(`^G1 Z-`, "M1"))},
	{"a stop while it turns", true, of("router", putBehind(`^G0 Z5`, "S18000 M3\nM0"))},
	{"another tool", true, of("router", putBehind(`^G4 `, "T9"))},
	{"a tool change in the foam", true, of("router", putBehind(`^G1 Z-`, "T1 M6"))},
	{"half the power more", true, of("laser", everywhere(`S[0-9.]+`, func(v float64) float64 { return 1.5 * v }))},
	{"a quarter less power", true, of("laser", everywhere(`S[0-9.]+`, func(v float64) float64 { return 0.75 * v }))},
	{"one contour is weak", false, of("laser", replace(`^M3 S600`, "M3 S300"))},
	{"power on another scale", true, of("laser", everywhere(`S[0-9.]+`, func(v float64) float64 { return v / 10 }))},
	{"power changes on the way", true, of("laser", putBehind(`^G1 X`, "S950"))},
	{"power goes out on the way", true, of("laser", putBehind(`^G1 X`, "S0"))},
	{"a pass is missing", false, of("laser", removeSome(`^G0 Z18`, 6))},
	{"a contour is cut again", true, of("laser", operationAgain)},
	{"the second pass has the first one's focus", true, of("laser", everyLine(`^G0 Z18[0-9.]*`, "G0 Z20.0000"))},
	{"the head is 3 mm higher", true, of("laser", everywhere(`Z[0-9.]+`, func(v float64) float64 { return v + 3 }))},
	{"the head is 25 mm lower", true, of("laser", everywhere(`Z[0-9.]+`, func(v float64) float64 { return v - 25 }))},
	{"other air", true, of("laser", replace(`^M8`, "M7"))},
	{"the air goes off half way", true, of("laser", putBehind(`^G1 [XY]`, "M9"))},
	{"lit on the way to the start", false, of("laser", replace(`^M5$`, "M3"))},
	{"a stop with the beam lit", true, of("laser", putBehind(`^G1 X`, "M0"))},
}

var wordFaults = []fault{
	{"increments from half way on", false, putBehind(`^G1 [XY]`, "G91")},
	{"inches from half way on", false, putBehind(`^G1 [XY]`, "G20")},
	{"another plane half way", true, putBehind(`^G1 [XY]`, "G18")},
	{"inverse time half way", true, putBehind(`^G1 [XY]`, "G93")},
	{"inches after all", true, putBehind(`^G21`, "G20")},
	{"a local zero", true, putBehind(`^G54`, "G52 X5")},
	{"a zero written anew", true, putBehind(`^G54`, "G10 L2 P1 X5")},
	{"the zero is put back", true, putBehind(`^G54`, "G92.1")},
	{"home through the foam", true, putBehind(`^G1 [XY]`, "G28")},
	{"another home", true, putBehind(`^G1 [XY]`, "G30 X0 Y0")},
	{"a cut in machine coordinates", true, putBehind(`^G1 [XY]`, "G53 G1 X30 Y30")},
	{"a tool's length", true, putBehind(`^G54`, "G43 H1")},
	{"a cutter's radius", true, putBehind(`^G54`, "G41 D1")},
	{"all is turned by the controller", true, putBehind(`^G54`, "G68 X0 Y0 R5")},
	{"all is scaled by the controller", true, putBehind(`^G54`, "G51 X2")},
	{"overrides are off", true, putBehind(`^G54`, "M49")},
	{"a jump back", true, putBehind(`^M2`, "M99")},
	{"a subroutine", true, putBehind(`^G54`, "M98 P100")},
	{"a parameter", true, putBehind(`^G54`, "#1=5")},
	{"a sum", true, replace(`^G1 X\S+`, "G1 X[1+2]")},
	{"it ends half way", true, putBehind(`^G1 [XY]`, "M2")},
	{"it ends half way and rewinds", true, putBehind(`^G1 [XY]`, "M30")},
	{"a drilling cycle", true, putBehind(`^G1 [XY]`, "G81 X30 Y30 Z-9 R2 F300")},
	{"a probe", true, putBehind(`^G54`, "G38.2 Z-9 F100")},
	{"a turning axis", true, of("router|laser|wire|knife", putBehind(`^G1 [XY]`, "G1 A90 F300"))},
	{"a switch skips putting off", true, replace(`^M5`, "/M5")},
}

var placeFaults = []fault{
	{"a line is a comment", false, edit("^G[0-3] ", func(_ *rand.Rand, l string) string { return "(" + l + ")" })},
	{"a line is behind a semicolon", false, edit("^G[0-3] ", func(_ *rand.Rand, l string) string { return ";" + l })},
	{"two lines are one", false, joined},
	{"a line is cut off", false, edit("^G[0-3] .*[0-9]{3}", func(r *rand.Rand, l string) string { return l[:3+r.IntN(len(l)-3)] })},
	{"the whole program twice", false, twice},
	{"an operation is missing", false, operationGone},
	{"Y is stretched by 1 %", false, everywhere(`[YJ]-?[0-9.]+`, func(v float64) float64 { return 1.01 * v })},
	{"Y is mirrored", true, everywhere(`[YJ]-?[0-9.]+`, func(v float64) float64 { return -v })},
	{"all is moved along Y", false, everywhere(`Y-?[0-9.]+`, func(v float64) float64 { return v + 0.1 })},
	{"X and Y are exchanged", true, exchanged},
	{"all is larger by a fifth", true, everywhere(`[XYIJ]-?[0-9.]+`, func(v float64) float64 { return 1.2 * v })},
	{"depths are a tenth larger", false, of("router", everywhere(`Z-[0-9.]+`, func(v float64) float64 { return 1.1 * v }))},
	{"depths are a tenth smaller", false, of("router", everywhere(`Z-[0-9.]+`, func(v float64) float64 { return 0.9 * v }))},
	{"the sign of Z is lost", true, of("router", everywhere(`Z-[0-9.]+`, func(v float64) float64 { return -v }))},
	{"whole millimetres", true, everywhere(`[XYIJ]-?[0-9.]+`, math.Round)},
	{"tenths of a millimetre", false, everywhere(`[XY]-?[0-9.]+`, func(v float64) float64 { return math.Round(10*v) / 10 })},
	{"arcs have other middles", true, everywhere(`[IJ]-?[0-9.]+`, func(v float64) float64 { return 1.1 * v })},
	{"arcs are chords", false, everyLine(`^G[23] (.*) I\S+ J\S+`, "G1 $1")},
	{"an arc is a whole circle", false, replace(`^(G[23] )X\S+ Y\S+ (I.*)`, "$1$2")},
	{"in the air from half way on", false, of("router", fromHalfWay(`Z-[0-9.]+`, "Z5.0000"))},
	{"a cut to a far corner", true, putBehind(`^G1 [XY]`, "G1 X380 Y280")},
	{"a straight way home through the foam", false, of("router", putBehind(`^G1 [XY]`, "G0 X0 Y0"))},
	{"a stray dot", false, of("router", putBehind(`^G0 X`, "G1 Z-3 F300"))},
}

func init() {
	faults = slices.Concat(faults, processFaults, wordFaults, placeFaults)
}

// of is a fault for the programs of one machine, or of several: knife|turned.
func of(machines string, spoil func(*rand.Rand, []string) ([]string, bool)) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		if !slices.ContainsFunc(strings.Split(machines, "|"), func(machine string) bool { return slices.Contains(lines, "(machine: bench-"+machine+")") }) {
			return nil, false
		}
		return spoil(r, lines)
	}
}

// everyLine changes all lines that match.
func everyLine(pattern, with string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		for i, line := range lines {
			lines[i] = match.ReplaceAllString(line, with)
		}
		return lines, true
	}
}

// fromHalfWay does so in the second half.
func fromHalfWay(pattern, with string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		for i := len(lines) / 2; i < len(lines); i++ {
			lines[i] = match.ReplaceAllString(lines[i], with)
		}
		return lines, true
	}
}

// removeSome deletes a line that matches, and some behind it.
func removeSome(pattern string, n int) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, match)
		if !ok {
			return nil, false
		}
		return append(lines[:i:i], lines[min(i+n, len(lines)-1):]...), true
	}
}

// toTheFloor takes one operation's levels but the deepest away.
func toTheFloor(r *rand.Rand, lines []string) ([]string, bool) {
	first, end, ok := operation(r, lines)
	if !ok {
		return nil, false
	}
	deepest := 0.0
	z := regexp.MustCompile(`Z(-[0-9.]+)`)
	for _, l := range lines[first:end] {
		if m := z.FindStringSubmatch(l); m != nil {
			v, _ := strconv.ParseFloat(m[1], 64)
			deepest = math.Min(deepest, v)
		}
	}
	for i := first; i < end; i++ {
		lines[i] = z.ReplaceAllString(lines[i], fmt.Sprintf("Z%.4f", deepest))
	}
	return lines, true
}

// operation is the lines of one, from its comment on.
func operation(r *rand.Rand, lines []string) (first, end int, ok bool) {
	var starts []int
	for i, l := range lines {
		if strings.HasPrefix(l, "(op: ") {
			starts = append(starts, i)
		}
	}
	if len(starts) < 2 {
		return 0, 0, false
	}
	k := r.IntN(len(starts) - 1)
	return starts[k], starts[k+1], true
}

func operationGone(r *rand.Rand, lines []string) ([]string, bool) {
	first, end, ok := operation(r, lines)
	if !ok {
		return nil, false
	}
	return append(lines[:first:first], lines[end:]...), true
}

func operationAgain(r *rand.Rand, lines []string) ([]string, bool) {
	first, end, ok := operation(r, lines)
	if !ok {
		return nil, false
	}
	again := append(slices.Clone(lines[first:end]), "M5")
	return slices.Concat(lines[:first], again, lines[first:]), true
}

// joined puts two lines into one.
func joined(r *rand.Rand, lines []string) ([]string, bool) {
	i, ok := pick(r, lines[:len(lines)-1], regexp.MustCompile("^G[0-3] "))
	if !ok {
		return nil, false
	}
	return slices.Concat(lines[:i], []string{lines[i] + " " + lines[i+1]}, lines[i+2:]), true
}

// twice runs the program again behind itself, without an end between.
func twice(_ *rand.Rand, lines []string) ([]string, bool) {
	return slices.Concat(lines[:len(lines)-1], lines), true
}

// exchanged calls X what is Y.
func exchanged(_ *rand.Rand, lines []string) ([]string, bool) {
	for i, line := range lines {
		if !strings.HasPrefix(line, "(") {
			lines[i] = strings.NewReplacer("X", "Y", "Y", "X", "I", "J", "J", "I").Replace(line)
		}
	}
	return lines, true
}

// lastLift puts a line in the place of the last lift.
func lastLift(with string) func(*rand.Rand, []string) ([]string, bool) {
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		for i := len(lines) - 1; i >= 0; i-- {
			if strings.HasPrefix(lines[i], "G0 Z5") {
				return slices.Concat(lines[:i], []string{with}, lines[i+1:]), true
			}
		}
		return nil, false
	}
}
