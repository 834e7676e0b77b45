package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
)

// Faults beside plugs and skins, in random trays whose first pocket is cut round: what stands on
// a skin is to stand there until a hand cuts it.

const plugSkinMM = 1.3

// pluggedTray is the program of a random tray with a plug.
func pluggedTray(t *testing.T, seed int) patient {
	r := rand.New(rand.NewPCG(uint64(seed), 78))
	m := routerMachine()
	s := randomTray(t, r, m)
	thick := s.ThicknessMM()
	s.Edge.Recipes[0].SkinMM = number(plugSkinMM)
	for i := range s.Cuts {
		if c := &s.Cuts[i]; !c.Through {
			c.DepthMM = min(c.DepthMM, thick-plugSkinMM-1)
		}
	}
	hole := geometry.NewRegion(geometry.Rectangle(box(8, 8, 42, 37), 2+4*r.Float64()))
	line, err := geometry.Offset(hole, -s.Edge.Recipes[0].KerfMM.Value/2, meetMM)
	require.NoError(t, err)
	plug, err := geometry.Offset(hole, -s.Edge.Recipes[0].KerfMM.Value, meetMM)
	require.NoError(t, err)
	c := &s.Cuts[0]
	c.Plug, c.Along, c.Through, c.DepthMM = true, line.Contours()[0], false, thick-plugSkinMM
	c.Design, c.Shape = hole, geometry.NewRegion(hole.Contours()[0], plug.Contours()[0].Reverse())
	program, setup, want := made(t, s, m)
	setup.CellMM = 0.4
	return patient{name: "router", text: string(program), setup: setup, want: want}
}

// opLines are the lines of the operation that is called so, with its comment.
func opLines(lines []string, name string) (first, end int) {
	first = slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(op: ") && strings.Contains(l, name) })
	_, last := ops(lines)
	for end = first + 1; end < last && !strings.HasPrefix(lines[end], "(op: "); end++ {
	}
	return first, end
}

// lapAgain goes round the last lap of an operation once more, or a part of it.
func lapAgain(name string, mm float64) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, _ patient, lines []string) []string {
		_, end := opLines(lines, name)
		for !regexp.MustCompile(`^G[123] `).MatchString(lines[end-1]) {
			end--
		}
		from := end
		for !strings.Contains(lines[from-1], " Z-") {
			from--
		}
		lap := slices.Clone(lines[from:end])
		if mm > 0 { // it begins in the middle of a straight part
			x := regexp.MustCompile(`^G1 ([XY])(\S+)`)
			to, at := x.FindStringSubmatch(lap[0]), x.FindStringSubmatch(lap[len(lap)-1])
			if to == nil || at == nil || to[1] != at[1] {
				return nil
			}
			a, _ := strconv.ParseFloat(at[2], 64)
			b, _ := strconv.ParseFloat(to[2], 64)
			lap = []string{fmt.Sprintf("G1 %s%.4f", to[1], a+math.Copysign(mm, b-a))}
		}
		return putIn(lines, end, lap...)
	}
}

// deeperBy takes the lowest level of an operation down.
func deeperBy(name string, mm float64) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, p patient, lines []string) []string {
		first, end := opLines(lines, name)
		floor := fmt.Sprintf("Z-%.4f", p.setup.ThicknessMM-plugSkinMM)
		for i := first; i < end; i++ {
			lines[i] = strings.ReplaceAll(lines[i], floor, fmt.Sprintf("Z-%.4f", p.setup.ThicknessMM-plugSkinMM+mm))
		}
		return lines
	}
}

// slotBehind cuts a slot into the plug behind an operation, or before it.
func slotBehind(name string, before bool) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, _ patient, lines []string) []string {
		first, end := opLines(lines, name)
		if before { // when the spindle has run up
			end = first + 1 + slices.IndexFunc(lines[first:], func(l string) bool { return strings.HasPrefix(l, "G4 ") })
		}
		return putIn(lines, end, "G0 Z5", "G0 X24 Y26", "G1 Z0 F300", "G1 Z-3", "G1 X34 F1200", "G0 Z5")
	}
}

// ringBehind goes round the tray, so far from its kerf and so deep short of the sheet's bottom, level by level.
func ringBehind(away, leftMM float64) func(*rand.Rand, patient, []string) []string {
	return func(_ *rand.Rand, p patient, lines []string) []string {
		_, end := ops(lines)
		b := p.want.Outline.Bounds().Grow(away + 1.5*cutterMM)
		more := []string{"G0 Z5", fmt.Sprintf("G0 X%.3f Y%.3f", b.Min.X, b.Min.Y), "G1 Z0 F600"}
		deep := p.setup.ThicknessMM - leftMM
		for z := 3.0; z < deep+3; z += 3 {
			// Down along the first side, and that side again at the level's own depth.
			more = append(more, fmt.Sprintf("G1 X%.3f Z-%.3f F1800", b.Max.X, min(z, deep)), fmt.Sprintf("G1 Y%.3f", b.Max.Y), fmt.Sprintf("G1 X%.3f", b.Min.X), fmt.Sprintf("G1 Y%.3f", b.Min.Y))
		}
		return putIn(lines, end, append(more, fmt.Sprintf("G1 X%.3f", b.Max.X), "G0 Z5")...)
	}
}

var plugFaults = []struct {
	name, rule string // "" for what does no harm
	spoil      func(r *rand.Rand, p patient, lines []string) []string
}{
	{"the groove is gone round again", "held-by-skin", lapAgain("pocket 1", 0)},
	{"the outline is gone round again", "held-by-skin", lapAgain("outline", 0)},
	{"a lap runs on past its start", "", lapAgain("pocket 1", 4)},
	{"the groove takes of its skin", "floor-too-deep", deeperBy("pocket 1", 0.3)},
	{"the groove goes through", "floor-too-deep", deeperBy("pocket 1", plugSkinMM)},
	{"the outline takes of its skin", "skin-cut", deeperBy("outline", 0.3)},
	{"a slot in the plug that stands on its skin", "loose-foam", slotBehind("pocket 1", false)},
	{"a slot in the plug before", "stray-cut", slotBehind("pocket 1", true)},
	{"the groove is cut behind the outline", "held-by-skin", func(_ *rand.Rand, _ patient, lines []string) []string {
		first, end := opLines(lines, "pocket 1")
		first += 1 + slices.IndexFunc(lines[first:], func(l string) bool { return strings.HasPrefix(l, "G4 ") })
		groove := slices.Concat([]string{"G0 Z5.0000"}, lines[first:end], []string{"G0 Z5.0000"})
		lines = slices.Concat(lines[:first], lines[end:])
		_, last := ops(lines)
		return putIn(lines, last, groove...)
	}},
	{"a ring beside the tray leaves a third of a mm", "skin-cut", ringBehind(4, 0.3)},
	{"a ring beside the tray leaves its skin", "", ringBehind(1, plugSkinMM)},
	{"a crawl over the foam", "slow-in-air", func(_ *rand.Rand, _ patient, lines []string) []string {
		_, last := ops(lines)
		return putIn(lines, last, "G0 Z5.0000", "G1 X8 F1", "G1 X40")
	}},
}

func TestSpoiledPlugs(t *testing.T) {
	for k, f := range plugFaults {
		tried := 0
		for seed := *firstSeed; seed < *firstSeed+max(4, *faultSeeds); seed++ {
			p := pluggedTray(t, seed)
			good := proof.Run("", []byte(p.text), p.setup, &p.want)
			require.True(t, good.OK && len(good.Findings) == 0, "seed %d: %v", seed, good.Findings)
			lines := f.spoil(rand.New(rand.NewPCG(uint64(seed), uint64(k))), p, strings.Split(strings.TrimSpace(p.text), "\n"))
			if lines == nil {
				continue
			}
			tried++
			got := proof.Run("", []byte(strings.Join(lines, "\n")+"\n"), p.setup, &p.want)
			assert.Equal(t, f.rule == "" || f.rule == "slow-in-air", got.OK, "%s, seed %d: %v", f.name, seed, got.Findings)
			if f.rule != "" {
				assert.Contains(t, rulesOf(got), f.rule, "%s, seed %d: %v", f.name, seed, got.Findings)
			}
		}
		require.Positive(t, tried, f.name)
	}
}
