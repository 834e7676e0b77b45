package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
)

// Kinds of fault that only a hot wire's or a drag knife's programs can have.

var wireFaults = []fault{
	{"a slit is gone by in a rapid", false, of("wire", inOperation(func(_ *rand.Rand, op []string) []string {
		op[1] = strings.Replace(op[1], "G1", "G0", 1)
		return op
	}))},
	{"a slit is walked elsewhere", false, of("wire", inOperation(func(r *rand.Rand, op []string) []string {
		return slices.Insert(op, 1, fmt.Sprintf("G1 X%.4f", aside(r)+lastWord(op[len(op)-1], 'X')))
	}))},
	{"a slit is walked out elsewhere", false, of("wire", inOperation(func(r *rand.Rand, op []string) []string {
		return slices.Insert(op, len(op)-1, fmt.Sprintf("G1 X%.4f Y%.4f", aside(r)+lastWord(op[len(op)-1], 'X'), lastWord(op[len(op)-1], 'Y')))
	}))},
	{"a slit to the other side", false, of("wire", inOperation(func(_ *rand.Rand, op []string) []string {
		half := len(op) / 2
		return slices.Insert(op, half, "G1 X-3", "G1 X30")
	}))},
	{"a slit is cut in and out again", false, of("wire", inOperation(func(_ *rand.Rand, op []string) []string {
		return slices.Concat(op[:2], op[len(op)-1:], op[1:])
	}))},
	{"round a hole twice", false, of("wire", inOperation(func(_ *rand.Rand, op []string) []string {
		return slices.Concat(op[:len(op)-1], op[2:])
	}))},
	{"a hole is not closed", false, of("wire", inOperation(func(_ *rand.Rand, op []string) []string {
		return slices.Delete(op, len(op)/2, len(op)-1)
	}))},
	{"the rim before a hole", false, of("wire", rimFirst)},
	{"it comes from the other side", false, of("wire", replace(`^G0 X-\S+`, "G0 X99.0000"))},
	{"it begins at the rim", false, of("wire", replace(`^G0 X-\S+`, "G0 X-1.0000"))},
	{"it begins in the tray", false, of("wire", replace(`^G0 X-\S+`, "G0 X4.0000"))},
	{"it ends at the rim", false, of("wire", removeLast(`^G1 X-20`))},
	{"it ends in the tray", false, of("wire", replaceLast(`^G1 X-20.*`, "G1 X9.0000"))},
	{"it ends by a rapid through the tray", false, of("wire", replaceLast(`^G1 X-20.*`, "$0\nG0 X99.0000"))},
	{"home by a rapid across the tray", false, of("wire", replaceLast(`^M5`, "G0 X0 Y50\nG0 X60 Y-20\nM5"))},
	{"all cuts are rapids", true, of("wire", everyLine(`^G1 `, "G0 "))},
	{"a stop on the way", true, of("wire", putBehind(`^G1 Y`, "M0"))},
	{"short waits all along", true, of("wire", everyLine(`^G[123] [XY].*`, "$0\nG4 P0.7"))},
	{"something is switched on at a wire", true, of("wire", switchedOn)},
	{"half the feed", true, of("wire", everywhere(`F[0-9.]+`, func(v float64) float64 { return 0.5 * v }))},
	{"a part of the way is slow", false, of("wire", aLineAtFeed(0.3))},
	{"a part of the way is fast", false, of("wire", aLineAtFeed(1.6))},
	{"to and fro on a slit", false, of("wire", edit(`^G1 Y`, func(_ *rand.Rand, l string) string {
		return l + strings.Repeat("\nG91\nG1 Y-3\nG1 Y3\nG90", 2)
	}))},
	{"the kerf is forgotten", false, of("wire", narrower)},
}

var knifeFaults = []fault{
	{"a corner is not turned", false, of("knife", turnGone(1))},
	{"no corner is turned", false, of("knife", turnGone(1000))},
	{"a corner is turned without lifting off its line", false, of("knife", edit(turning, func(_ *rand.Rand, l string) string { return chord(l) }))},
	{"overcut missing, or a little more", false, of("knife", inOperation(everyPass(func(r *rand.Rand, pass []string) []string { return pass[:max(3, len(pass)-1-r.IntN(3))] })))},
	{"the upper levels are missing", false, of("knife", inOperation(somePasses(func(list [][]string) [][]string { return list[len(list)-1:] })))},
	{"the last level is missing", false, of("knife", inOperation(somePasses(func(list [][]string) [][]string { return list[:len(list)-1] })))},
	{"levels in the other order", false, of("knife", inOperation(somePasses(func(list [][]string) [][]string { slices.Reverse(list); return list })))},
	{"all levels as deep as the last", false, of("knife|turned", inOperation(deepAtOnce))},
	{"no way in for the blade to straighten on", false, of("knife", inOperation(everyPass(straightIn)))},
	{"a way in without its turn", false, of("knife", inOperation(everyPass(func(_ *rand.Rand, pass []string) []string { return slices.Delete(pass, 2, 3) })))},
	{"a lap is gone backwards", false, of("knife", inOperation(everyPass(func(_ *rand.Rand, pass []string) []string {
		return append(pass[:1:1], backwards(pass[1:])...)
	})))},
	{"the tray before its holes", false, of("knife|turned", trayFirst)},
	{"all is deeper", true, of("knife|turned", func(r *rand.Rand, lines []string) ([]string, bool) {
		by := 0.2 + 2*r.Float64()
		return everywhere(`Z-?[0-9.]+`, func(v float64) float64 { return v - by })(r, lines)
	})},
	{"a cut is deeper", false, of("knife|turned", replaceWord(`^G1 Z`, 'Z', func(r *rand.Rand, v float64) float64 { return v - 0.1 - 2*r.Float64() }))},
	{"a blade's lift is missing", false, of("knife|turned", remove(`^G0 Z`))},
	{"lifts of a blade are a hair", true, of("knife|turned", func(_ *rand.Rand, lines []string) ([]string, bool) {
		for i, l := range lines {
			if strings.HasPrefix(l, "G0 Z") {
				lines[i] = fmt.Sprintf("G0 Z%.4f", lastWord(l, 'Z')-4.9)
			}
		}
		return lines, true
	})},
	{"the blade is left down", true, of("knife|turned", removeLast(`^G0 Z`))},
	{"a rapid home with the blade down", false, of("knife|turned", putBehind(`^G[123] .*[IXY]`, "G0 X0 Y0"))},
	{"down in a rapid", false, of("knife|turned", replace(`^G1 (Z\S+).*`, "G0 $1"))},
	{"a blade plunges at the cutting feed", true, of("knife|turned", everywhere(`F300`, func(float64) float64 { return 1200 }))},
	{"something is switched on at a knife", true, of("knife|turned", switchedOn)},
	{"a stop with the blade down", true, of("knife|turned", putBehind(`^G1 Z`, "M0"))},
	{"the blade trails another length", false, of("knife", func(r *rand.Rand, lines []string) ([]string, bool) {
		by := []float64{0.5, 0.8, 1.3, 2}[r.IntN(4)]
		for i, l := range lines {
			if isTurn(l) {
				lines[i] = scaledArc(l, by)
			}
		}
		return lines, true
	})},
	{"a turn is too short", false, of("knife", edit(turning, func(r *rand.Rand, l string) string { return l[:2] + halfTurn(l[2:], 0.3+0.5*r.Float64()) }))},
	{"the kerf is forgotten by a knife", false, of("knife", narrower)},
}

func init() { faults = slices.Concat(faults, wireFaults, knifeFaults) }

func aside(r *rand.Rand) float64 { return float64(2+r.IntN(6)) * float64(1-2*r.IntN(2)) }

// lastWord is the number of a word of a line; 0 where it has none.
func lastWord(l string, letter byte) float64 {
	v, _ := line{words: strings.Fields(l)}.word(letter)
	return v
}

// inOperation changes one hole's lines, from its comment on, or the outline's where it is one piece.
func inOperation(change func(r *rand.Rand, op []string) []string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		first, end, ok := holeOf(r, lines)
		if !ok {
			return nil, false
		}
		changed := change(r, slices.Clone(lines[first:end]))
		return slices.Concat(lines[:first], changed, lines[end:]), changed != nil
	}
}

// holeOf is the lines of one hole's operation.
func holeOf(r *rand.Rand, lines []string) (first, end int, ok bool) {
	var starts []int
	for i, l := range lines {
		if strings.HasPrefix(l, "(op: pocket") {
			starts = append(starts, i)
		}
	}
	if len(starts) == 0 {
		return 0, 0, false
	}
	first = starts[r.IntN(len(starts))]
	for end = first + 1; !strings.HasPrefix(lines[end], "(op: "); end++ {
	}
	return first, end, end-first > 4
}

// backwards goes through a way from its end to its beginning: where it begins is the end of its first line.
func backwards(list []string) []string {
	now := stands(parsed(strings.Join(list, "\n")))
	back := list[:1:1]
	for i := len(list) - 1; i >= 2; i-- {
		from, l := now[i].at, list[i]
		if math.IsNaN(from[0] + from[1]) {
			return nil
		}
		to := [2]float64{from[0], from[1]}
		for axis, letter := range []byte("XY") {
			if v, ok := (line{words: strings.Fields(l)}).word(letter); ok {
				to[axis] = v
			}
		}
		if i == len(list)-1 {
			back = append(back, fmt.Sprintf("G1 X%.4f Y%.4f", to[0], to[1]))
		}
		switch l[:2] {
		case "G2", "G3":
			i, j := from[0]+lastWord(l, 'I')-to[0], from[1]+lastWord(l, 'J')-to[1]
			back = append(back, fmt.Sprintf("G%d X%.4f Y%.4f I%.4f J%.4f", '5'-l[1], from[0], from[1], i, j))
		default:
			back = append(back, fmt.Sprintf("G1 X%.4f Y%.4f", from[0], from[1]))
		}
	}
	return back
}

// rimFirst leaves a hole to the end, and comes to it around the tray.
func rimFirst(r *rand.Rand, lines []string) ([]string, bool) {
	first, end, ok := holeOf(r, lines)
	if !ok {
		return nil, false
	}
	hole := slices.Clone(lines[first:end])
	rest := slices.Concat(lines[:first], lines[end:])
	last := lastIndex(rest, regexp.MustCompile(`^G1 X-20`))
	at := lastWord(hole[len(hole)-1], 'X')
	if at == 0 {
		at = lastWord(lines[first-1], 'X')
	}
	there := []string{rest[last], "G1 Y-20", fmt.Sprintf("G1 X%.4f", at), "G1 Y-0.5"}
	return slices.Concat(rest[:last], there, hole, []string{"G1 Y-20", "G1 X-20.5"}, rest[last+1:]), true
}

func lastIndex(lines []string, match *regexp.Regexp) int {
	for i := len(lines) - 1; i >= 0; i-- {
		if match.MatchString(lines[i]) {
			return i
		}
	}
	return -1
}

func replaceLast(pattern, with string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		i := lastIndex(lines, match)
		if i < 0 {
			return nil, false
		}
		lines[i] = match.ReplaceAllString(lines[i], with)
		return lines, true
	}
}

func removeLast(pattern string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		i := lastIndex(lines, match)
		if i < 0 {
			return nil, false
		}
		return slices.Delete(lines, i, i+1), true
	}
}

// switchedOn says a word somewhere that switches something on.
func switchedOn(r *rand.Rand, lines []string) ([]string, bool) {
	return putBehind(`^G[0123] `, []string{"M3", "M3 S9000", "S1 M4", "M7", "M8"}[r.IntN(5)])(r, lines)
}

// aLineAtFeed goes along one line at another feed.
func aLineAtFeed(share float64) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		feed := ""
		for _, l := range lines {
			if m := regexp.MustCompile(`F([0-9.]+)`).FindStringSubmatch(l); m != nil {
				feed = m[1]
			}
		}
		return edit(`^G[123] [XY][^F]*$`, func(_ *rand.Rand, l string) string {
			return fmt.Sprintf("%s F%.0f\nF%s", l, share*lastWord("F"+feed, 'F'), feed)
		})(r, lines)
	}
}

// narrower brings all ways toward the tray's middle line, as far as a kerf's half is at its ends.
func narrower(_ *rand.Rand, lines []string) ([]string, bool) {
	return everywhere(`Y-?[0-9.]+`, func(v float64) float64 { return v + math.Copysign(0.1, 19-v) })(nil, lines)
}

// turning is a line that may turn a blade about its tip.
const turning = `^G[23] `

// isTurn reports whether a line turns a blade about its tip.
func isTurn(l string) bool {
	return regexp.MustCompile(turning).MatchString(l) && math.Hypot(lastWord(l, 'I'), lastWord(l, 'J')) < 1.3*trailMM
}

// turnGone takes so many turns out; the blade goes on from where it is.
func turnGone(most int) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		var at []int
		for i, l := range lines {
			if isTurn(l) && i+1 < len(lines) && !strings.Contains(l, "F") {
				at = append(at, i)
			}
		}
		if len(at) == 0 {
			return nil, false
		}
		r.Shuffle(len(at), func(i, j int) { at[i], at[j] = at[j], at[i] })
		for _, i := range at[:min(most, len(at))] {
			lines[i] = "(turn)"
		}
		return lines, true
	}
}

// chord is the straight way to where an arc ends.
func chord(l string) string {
	return regexp.MustCompile(`^G[23] (.*) I\S+ J\S+`).ReplaceAllString(l, "G1 $1")
}

// passesOf are the lines of a knife's operation by their passes, each from the rapid to where it begins, without the one on which
// the blade sinks from there.
func passesOf(op []string) (list [][]string) {
	for i, l := range op {
		if strings.HasPrefix(l, "G0 X") {
			first := i + 1
			if first < len(op) && strings.HasPrefix(op[first], "G0 Z") {
				first++
			}
			end := first
			for end < len(op) && !strings.HasPrefix(op[end], "G0 ") {
				end++
			}
			list = append(list, append([]string{l}, op[first:end]...))
		}
	}
	return list
}

func lift(op []string) string { return op[len(op)-1] }

// somePasses puts others in the place of an operation's passes.
func somePasses(change func(list [][]string) [][]string) func(*rand.Rand, []string) []string {
	return func(_ *rand.Rand, op []string) []string {
		changed := op[:1:1]
		for _, pass := range change(passesOf(op)) {
			changed = append(append(changed, pass...), lift(op))
		}
		return changed
	}
}

// everyPass changes each pass of an operation alike: the rapid, the plunge, a turn, the way in, the lap, its overcut.
func everyPass(change func(r *rand.Rand, pass []string) []string) func(*rand.Rand, []string) []string {
	return func(r *rand.Rand, op []string) []string {
		seed := r.Uint64()
		return somePasses(func(list [][]string) [][]string {
			for i, pass := range list {
				list[i] = change(rand.New(rand.NewPCG(seed, 1)), slices.Clone(pass))
			}
			return list
		})(r, op)
	}
}

// straightIn plunges where the way in ends.
func straightIn(_ *rand.Rand, pass []string) []string {
	if len(pass) < 5 {
		return nil
	}
	to := regexp.MustCompile(`X\S+ Y\S+`).FindString(pass[3])
	if to == "" {
		return nil
	}
	pass[0] = "G0 " + to
	pass[4] += " F1200"
	return slices.Delete(pass, 2, 4)
}

// deepAtOnce makes all passes of an operation as deep as the last.
func deepAtOnce(_ *rand.Rand, op []string) []string {
	deepest := ""
	for _, l := range op {
		if strings.HasPrefix(l, "G1 Z") {
			deepest = l
		}
	}
	for i, l := range op {
		if strings.HasPrefix(l, "G1 Z") {
			op[i] = deepest
		}
	}
	return op
}

// trayFirst cuts the outline before the holes.
func trayFirst(_ *rand.Rand, lines []string) ([]string, bool) {
	first := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(op: pocket") })
	rim := slices.Index(lines, "(op: outline)")
	_, end := ops(lines)
	lift := lines[end]
	return slices.Concat(lines[:first], lines[rim:end], []string{lift}, lines[first:rim], lines[end:]), true
}

func replaceWord(pattern string, letter byte, change func(r *rand.Rand, v float64) float64) func(*rand.Rand, []string) ([]string, bool) {
	return edit(pattern, func(r *rand.Rand, l string) string {
		return regexp.MustCompile(string(letter)+`\S+`).ReplaceAllString(l, fmt.Sprintf("%c%.4f", letter, change(r, lastWord(l, letter))))
	})
}

// scaledArc has a middle that lies so many times as far away.
func scaledArc(l string, by float64) string {
	l = regexp.MustCompile(`I\S+`).ReplaceAllString(l, fmt.Sprintf("I%.4f", by*lastWord(l, 'I')))
	return regexp.MustCompile(`J\S+`).ReplaceAllString(l, fmt.Sprintf("J%.4f", by*lastWord(l, 'J')))
}

// halfTurn moves where an arc ends along its chord from nothing; a reader takes that for another arc.
func halfTurn(l string, share float64) string {
	return regexp.MustCompile(`([XY])(\S+)`).ReplaceAllStringFunc(l, func(w string) string {
		return fmt.Sprintf("%c%.4f", w[0], lastWord(w, w[0])+(share-1)*0.1)
	})
}
