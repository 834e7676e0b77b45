package proof_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
)

// tabOf is a tab in a program: the line that lifts over it, the one that sinks behind it, and the
// way between, which is straight.
type tabOf struct {
	lift, sink int
	from, to   geometry.Point
}

// tabsIn finds them by the height of their tops, in the last lap.
func tabsIn(lines []string, top, bottom float64) (list []tabOf) {
	xy := regexp.MustCompile(`([XY])(-?[0-9.]+)`)
	var at geometry.Point
	for i, line := range lines {
		if strings.HasPrefix(line, fmt.Sprintf("G1 Z%.4f", -top)) {
			list = append(list, tabOf{lift: i, from: at})
		}
		for _, m := range xy.FindAllStringSubmatch(line, -1) {
			value := &at.X
			if m[1] == "Y" {
				value = &at.Y
			}
			fmt.Sscan(m[2], value)
		}
		if open := len(list) - 1; open >= 0 && list[open].sink == 0 && strings.HasPrefix(line, fmt.Sprintf("G1 Z%.4f", -bottom)) {
			list[open].sink, list[open].to = i, at
		}
	}
	return list
}

// Whatever takes one tab of the plan's away, lowers it or narrows it by two tenths is found at that
// tab; the program as it was made is not, and neither is one that leaves more.
func TestTabsStandAsPlanned(t *testing.T) {
	m := routerMachine()
	for seed := range 4 {
		recipe := routerRecipe(seeded(seed))
		recipe.SkinMM, recipe.TabHeightMM = number(0), number(3)
		program, setup, want := made(t, randomSheet(t, seeded(seed+100), m, recipe), m)
		setup.CellMM = 0.4
		lines := strings.Split(string(program), "\n")
		top := setup.ThicknessMM - 3
		tabs := tabsIn(lines, top, setup.ThicknessMM+0.3)
		require.Len(t, tabs, 4, "seed %d", seed)
		run := func(changed []string) proof.Result {
			return proof.Run("", []byte(strings.Join(changed, "\n")), setup, &want)
		}
		require.NotContains(t, rulesOf(run(lines)), "tab-cut", "seed %d", seed)
		for k, tab := range tabs {
			away := slices.Clone(lines)
			away[tab.lift], away[tab.sink] = "", ""
			lower, higher := slices.Clone(lines), slices.Clone(lines)
			lower[tab.lift], higher[tab.lift] = fmt.Sprintf("G1 Z%.4f", -top-0.1), fmt.Sprintf("G1 Z%.4f", -top+1)
			back := tab.to.Add(tab.from.Sub(tab.to).Scale(0.2 / tab.from.DistanceTo(tab.to)))
			narrow := slices.Insert(slices.Clone(lines), tab.sink+1, fmt.Sprintf("G1 X%.4f Y%.4f", back.X, back.Y), fmt.Sprintf("G1 X%.4f Y%.4f", tab.to.X, tab.to.Y))
			for name, changed := range map[string][]string{"away": away, "lower": lower, "narrow": narrow} {
				got := run(changed)
				require.Contains(t, rulesOf(got), "tab-cut", "seed %d, tab %d, %s: %v", seed, k, name, got.Findings)
				found := got.Findings[slices.Index(rulesOf(got), "tab-cut")]
				assert.False(t, got.OK)
				var x, y, z float64
				fmt.Sscanf(found.Hint, "lift the tool to Z%g over", &z)
				assert.InDelta(t, -top, z, 0.001, found.Hint)
				left := map[string]string{"away": "mm high, 0 mm are left", "lower": "mm high, 0 mm are left", "narrow": "3 mm high, 5."}[name]
				assert.Contains(t, found.Message, left, "seed %d, tab %d, %s", seed, k, name)
				fmt.Sscanf(found.Message[strings.Index(found.Message, "at X ")+5:], "%g Y %g", &x, &y)
				middle := tab.from.Add(tab.to).Scale(0.5)
				assert.LessOrEqual(t, math.Abs(middle.DistanceTo(geometry.Point{X: x, Y: y})-cutterMM/2), 0.5, "seed %d, tab %d, %s: %s", seed, k, name, found.Message)
			}
			assert.NotContains(t, rulesOf(run(higher)), "tab-cut")
		}
	}
}
