package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
)

// Kinds of fault that only a blade's programs can have that an axis turns. Each stroke of theirs is a
// rapid with its A word, a plunge, a way and a lift.
var turnedFaults = []fault{
	{"A is off", false, of("turned", changeNumber("A", func(r *rand.Rand, v float64) float64 { return v + sized(r, 0.3, 90) }))},
	{"every A is off", false, of("turned", func(r *rand.Rand, lines []string) ([]string, bool) {
		by := sized(r, 0.3, 90)
		return everywhere(aWord, func(v float64) float64 { return v + by })(r, lines)
	})},
	{"A is half a turn off", false, of("turned", changeNumber("A", func(r *rand.Rand, v float64) float64 { return v + sized(r, 180, 180.1) }))},
	{"every A is half a turn off", true, of("turned", everywhere(aWord, func(v float64) float64 { return v + 180 }))},
	{"every A is a quarter turn off", true, of("turned", everywhere(aWord, func(v float64) float64 { return v - 90 }))},
	{"an A word is missing", false, of("turned", replace(` A\S+`, ""))},
	{"no A word is there", true, of("turned", everyLine(` A\S+`, ""))},
	{"the first A word is missing", true, of("turned", func(_ *rand.Rand, lines []string) ([]string, bool) {
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G") && strings.Contains(l, " A") })
		lines[i] = regexp.MustCompile(` A\S+`).ReplaceAllString(lines[i], "")
		return lines, true
	})},
	{"A counts the other way", false, of("turned", everywhere(aWord, func(v float64) float64 { return -v }))},
	{"the sign of an A is lost", false, of("turned", changeNumber("A", func(_ *rand.Rand, v float64) float64 { return -v }))},
	{"A is in radians", false, of("turned", everywhere(aWord, func(v float64) float64 { return v * math.Pi / 180 }))},
	{"A is in turns", false, of("turned", everywhere(aWord, func(v float64) float64 { return v / 360 }))},
	{"A is in whole quarters", false, of("turned", everywhere(aWord, func(v float64) float64 { return 90 * math.Round(v/90) }))},
	{"a decimal point of A is moved", false, of("turned", changeNumber("A", func(r *rand.Rand, v float64) float64 { return v * []float64{0.1, 10}[r.IntN(2)] }))},
	{"two A words are exchanged", false, of("turned", exchangedA)},
	{"another axis turns", true, of("turned", replace(` A`, " C"))},
	{"the zero of A is moved", true, of("turned", putBehind(`^G54`, "G92 A0"))},
	{"A goes home", true, of("turned", putBehind(`^G0 Z`, "G28 A0"))},
	{"turned while it comes down", false, of("turned", lateA)},
	{"turned before it is lifted", false, of("turned", eachStroke(func(s []string, next string) []string {
		if at := lastWord(next, 'A'); strings.Contains(next, " A") {
			return slices.Insert(s, len(s)-1, fmt.Sprintf("G0 A%.4f", at))
		}
		return nil
	}))},
	{"turned while it is lifted", false, of("turned", eachStroke(func(s []string, next string) []string {
		if at := lastWord(next, 'A'); strings.Contains(next, " A") {
			s[len(s)-1] += fmt.Sprintf(" A%.4f", at)
		}
		return s
	}))},
	{"lifted too little before a turn", false, of("turned", edit(`^G0 Z`, func(r *rand.Rand, l string) string {
		return fmt.Sprintf("G0 Z%.4f", lastWord(l, 'Z')-5-4*r.Float64())
	}))},
	{"round a corner in the foam", false, of("turned", roundTheCorner)},
	{"once more about on its way", false, of("turned", onItsWay(360))},
	{"to and fro about on its way", false, of("turned", func(r *rand.Rand, lines []string) ([]string, bool) {
		return inStroke(func(at float64) []string {
			by := 20 + 60*r.Float64()
			return []string{fmt.Sprintf("G1 A%.4f F9000", at+by), fmt.Sprintf("G1 A%.4f F9000", at)}
		})(r, lines)
	})},
	{"turned a little on its way", false, of("turned", func(r *rand.Rand, lines []string) ([]string, bool) { return onItsWay(sized(r, 1, 40))(r, lines) })},
	{"an arc does not turn it", false, of("turned", replace(`^(G[23] .*) A\S+`, "$1"))},
	{"an arc turns it about once more", false, of("turned", replaceWord(`^G[23] .* A`, 'A', func(r *rand.Rand, v float64) float64 { return v + sized(r, 360, 360.1) }))},
	{"wound up", true, of("turned", func(r *rand.Rand, lines []string) ([]string, bool) {
		by := math.Copysign(1080, r.Float64()-0.5)
		return everywhere(aWord, func(v float64) float64 { return v + by })(r, lines)
	})},
	{"wound up from a place on", false, of("turned", func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, regexp.MustCompile(`^G0 .*A`))
		if !ok {
			return nil, false
		}
		for k, by := i, sized(r, 1080, 1080.1); k < len(lines); k++ {
			rest, _ := everywhere(aWord, func(v float64) float64 { return v + by })(r, lines[k:k+1])
			lines[k] = rest[0]
		}
		return lines, true
	})},
	{"a side runs on into its corner", false, of("turned", longer(func(r *rand.Rand) float64 { return 0.15 + 3*r.Float64() }))},
	{"a side stops short of its corner", false, of("turned", longer(func(r *rand.Rand) float64 { return -0.15 - 3*r.Float64() }))},
	{"a stroke is missing", false, of("turned", eachStroke(func([]string, string) []string { return []string{} }))},
	{"a stroke only comes down", false, of("turned", eachStroke(func(s []string, _ string) []string { return append(s[:2:2], s[len(s)-1]) }))},
	{"a stroke is gone backwards", false, of("turned", inReverse)},
	{"the upper level is missing", false, of("turned", levelGone(false))},
	{"the lower level is missing", false, of("turned", levelGone(true))},
	{"the kerf is forgotten by a blade that is turned", false, of("turned", narrower)},
}

func init() { faults = slices.Concat(faults, turnedFaults) }

const aWord = `A-?[0-9.]+`

// pointsAt is the A in force behind a line.
func pointsAt(lines []string, i int) float64 {
	for ; i >= 0; i-- {
		if strings.HasPrefix(lines[i], "G") && strings.Contains(lines[i], " A") {
			return lastWord(lines[i], 'A')
		}
	}
	return 0
}

// strokesIn are the first lines of all strokes and the lines behind them.
func strokesIn(lines []string) (list [][2]int) {
	for i, l := range lines {
		if !regexp.MustCompile(`^G0 [XYA]`).MatchString(l) {
			continue
		}
		end := i + 1
		for end < len(lines) && !strings.HasPrefix(lines[end], "G0 Z") {
			end++
		}
		if end < len(lines) && end-i > 2 {
			list = append(list, [2]int{i, end + 1})
		}
	}
	return list
}

// eachStroke changes one stroke, from its rapid to its lift; it gets the line behind as well.
func eachStroke(change func(stroke []string, next string) []string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		list := strokesIn(lines)
		if len(list) < 2 {
			return nil, false
		}
		s := list[r.IntN(len(list)-1)]
		changed := change(slices.Clone(lines[s[0]:s[1]]), lines[s[1]])
		return slices.Concat(lines[:s[0]], changed, lines[s[1]:]), changed != nil
	}
}

// inStroke puts lines in front of the last way of a stroke, which get the A in force.
func inStroke(more func(at float64) []string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		list := strokesIn(lines)
		i := list[r.IntN(len(list))][1] - 2
		return slices.Concat(lines[:i], more(pointsAt(lines, i-1)), lines[i:]), true
	}
}

// onItsWay turns the blade on a straight way by so many degrees.
func onItsWay(by float64) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, regexp.MustCompile(`^G1 [XY]`))
		if ok {
			lines[i] += fmt.Sprintf(" A%.4f", pointsAt(lines, i)+by)
		}
		return lines, ok
	}
}

func exchangedA(r *rand.Rand, lines []string) ([]string, bool) {
	i, ok := pick(r, lines, regexp.MustCompile(` A`))
	k, _ := pick(r, lines, regexp.MustCompile(` A`))
	if !ok || lastWord(lines[i], 'A') == lastWord(lines[k], 'A') {
		return nil, false
	}
	a, b := regexp.MustCompile(` A\S+`).FindString(lines[i]), regexp.MustCompile(` A\S+`).FindString(lines[k])
	lines[i], lines[k] = strings.Replace(lines[i], a, b, 1), strings.Replace(lines[k], b, a, 1)
	return lines, true
}

// lateA says an A word a line later.
func lateA(r *rand.Rand, lines []string) ([]string, bool) {
	i, ok := pick(r, lines, regexp.MustCompile(`^G0 .*A`))
	if !ok {
		return nil, false
	}
	a := regexp.MustCompile(` A\S+`).FindString(lines[i])
	lines[i], lines[i+1] = strings.Replace(lines[i], a, "", 1), lines[i+1]+a
	return lines, true
}

// roundTheCorner goes on in the foam instead of lifting the blade and setting it down.
func roundTheCorner(r *rand.Rand, lines []string) ([]string, bool) {
	list := strokesIn(lines)
	k := r.IntN(len(list))
	lift := list[k][1] - 1
	if lift+2 >= len(lines) || !strings.HasPrefix(lines[lift+1], "G0 ") || !strings.HasPrefix(lines[lift+2], "G1 Z") {
		return nil, false
	}
	return slices.Concat(lines[:lift], []string{"G1" + lines[lift+1][2:]}, lines[lift+2:]), true
}

// longer makes the last straight way of a stroke so many mm longer.
func longer(by func(r *rand.Rand) float64) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		list := strokesIn(lines)
		i := list[r.IntN(len(list))][1] - 2
		from, _ := standing(lines[:i])
		to, known := standing(lines[:i+1])
		dx, dy := to[0]-from[0], to[1]-from[1]
		way := math.Hypot(dx, dy)
		if !known || way < 0.5 || !strings.HasPrefix(lines[i], "G1 ") {
			return nil, false
		}
		share := math.Max(0.05, 1+by(r)/way)
		rest := regexp.MustCompile(` [XY]\S+`).ReplaceAllString(lines[i][2:], "")
		lines[i] = fmt.Sprintf("G1 X%.4f Y%.4f%s", from[0]+share*dx, from[1]+share*dy, rest)
		return lines, true
	}
}

// inReverse goes a straight stroke from its end to its beginning, the blade as it was.
func inReverse(r *rand.Rand, lines []string) ([]string, bool) {
	list := strokesIn(lines)
	s := list[r.IntN(len(list))]
	from, _ := standing(lines[:s[0]+1])
	to, known := standing(lines[:s[1]-1])
	if !known || s[1]-s[0] != 4 || !strings.HasPrefix(lines[s[0]+2], "G1 ") {
		return nil, false
	}
	a, feed := regexp.MustCompile(` A\S+`).FindString(lines[s[0]]), regexp.MustCompile(` F\S+`).FindString(lines[s[0]+2])
	lines[s[0]] = fmt.Sprintf("G0 X%.4f Y%.4f%s", to[0], to[1], a)
	lines[s[0]+2] = fmt.Sprintf("G1 X%.4f Y%.4f%s", from[0], from[1], feed)
	return lines, true
}

// levelGone takes the strokes of one level out.
func levelGone(deepest bool) func(*rand.Rand, []string) ([]string, bool) {
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		low := math.Inf(1)
		for _, l := range lines {
			if strings.HasPrefix(l, "G1 Z") {
				low = math.Min(low, lastWord(l, 'Z'))
			}
		}
		var kept []string
		at := 0
		for _, s := range strokesIn(lines) {
			if kept = append(kept, lines[at:s[0]]...); (lastWord(lines[s[0]+1], 'Z') == low) != deepest {
				kept = append(kept, lines[s[0]:s[1]]...)
			}
			at = s[1]
		}
		return append(kept, lines[at:]...), true
	}
}
