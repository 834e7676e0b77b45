package cam

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// lapsOn is the shipped router whose recipes say how laps go.
func lapsOn(t *testing.T, words string) (*profiles.Catalog, profiles.Machine) {
	t.Helper()
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := c.Machine("bench-router")
	text := string(c.MachineFile(m, m.ID))
	for _, foam := range []string{"pe-30", "pe-45"} {
		text = strings.ReplaceAll(text, "      "+foam+":\n", "      "+foam+":\n        "+words+"\n")
	}
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(text)}}))
	m, _ = c.Machine("bench-router")
	return c, m
}

// Whichever way round laps go, and whether a wall has one a level or one in all, the foam that
// stays is the same, cell by cell, and every program passes its dry run. Nowhere does a cutter take
// more than a step-down of foam but in a strip beside it, no wider than what a square corner has
// of the allowance: both on a grid that is no part of the dry run.
func TestWallsAreThoseOfLapsAtEachLevel(t *testing.T) {
	shipped, err := profiles.Shipped()
	require.NoError(t, err)
	plain, _ := shipped.Machine("bench-router")
	once, levels := 0, 0
	for n := range uint64(6) {
		r := rand.New(rand.NewPCG(n, 2911))
		text := roughJob(r)
		if n > 3 {
			text = plugJob(r)
		}
		words := []string{"wall_lap: once", "wall_lap: once\n        cut_direction: conventional", "wall_lap: once", "cut_direction: conventional"}[n%4]
		c, m := lapsOn(t, words)
		was, now := sheetsIn(t, text, shipped, plain), sheetsIn(t, text, c, m)
		for i, w := range now {
			h, all := newHeights(w.sheet.Edge.Shape.Bounds(), w.sheet.ThicknessMM(), 0.5), milledBy(t, was[i], plain)
			for _, one := range w.programs() {
				tool := one.program.Ops[0].Tool
				h.watch = sideLoad(t, *w.sheet, tool, one.path()+"\n"+text)
				h.mill(t, string(one.body), tool.DiameterMM.Value/2, m.Process.Traits())
				run := proof.Run(one.path(), one.body, one.setup(m), one.wanted(m))
				require.False(t, run.Findings.Failed(), "job %d, %s\n%v\n%s", n, one.path(), run.Findings, text)
			}
			for cell, deep := range h.deep {
				x, y := h.at(cell)
				if math.Abs(all.deep[cell]-deep) > heightMM && nearWall(w.sheet, geometry.Point{X: x, Y: y}) {
					continue // rounding decides on which side its middle lies
				}
				if !assert.InDelta(t, all.deep[cell], deep, heightMM, "job %d, sheet %d, X%.2f Y%.2f\n%s", n, i, x, y, text) {
					return
				}
			}
			for _, cut := range w.sheet.Cuts {
				assert.Equal(t, strings.Contains(words, "conventional"), cut.Conventional)
				switch {
				case cut.WallOnceMM > 0:
					once++
				case len(cut.Passes) > 1 && !cut.Rough:
					levels++
				}
			}
		}
	}
	assert.Greater(t, once, 8, "the jobs have walls with one lap")
	assert.Greater(t, levels, 8, "and with a lap at each level")
}

func nearWall(s *plan.Sheet, p geometry.Point) bool {
	const rounding = 0.002
	for _, c := range s.HolesAndEdge() {
		if geometry.NewWalls(c.Shape).DistanceTo(p, 0) < rounding {
			return true
		}
	}
	return false
}

// sideLoad looks at all that a tool takes of a sheet. 0.4 and 0.5 mm are what the shipped recipes of
// T1 and T2 leave on a wall, pe-30 takes 8 and 13 mm at a time and pe-45 6.5 and 11 mm.
func sideLoad(t *testing.T, s plan.Sheet, tool profiles.Tool, text string) func(geometry.Point, float64, float64, float64) {
	beside := math.Sqrt2*map[int]float64{1: 0.4, 2: 0.5}[tool.Number] + 0.02
	step := map[string]map[int]float64{"pe-30": {1: 8, 2: 13}, "pe-45": {1: 6.5, 2: 11}}[s.Layers[0].Foam.ID][tool.Number] + 0.01
	radius := tool.DiameterMM.Value / 2
	return func(at geometry.Point, off, was, deep float64) {
		if deep-was > step && off < radius-beside {
			require.Fail(t, "solid foam", "T%d takes %.2f mm at once, %.2f mm off its middle, at %v\n%s", tool.Number, deep-was, off, at, text)
		}
	}
}

var spins, turnsLeft = regexp.MustCompile(`(?m)\bM3$`), regexp.MustCompile(`(?m)\bM4$`)

// The spindle turns to the right, M3. Seen from a cutter that goes ahead, the tooth on its right
// then comes back towards it, into foam at full chip: a wall on the right is climb cut. A pocket's
// laps go counter-clockwise so, those round an island and round the tray clockwise, the groove
// around a plug as its pocket's; and all the other way round where the recipe says conventional.
// Signed areas of the laps tell: those of the shape less the cutter's radius, or more.
func TestWhichWayRoundLapsGo(t *testing.T) {
	text := `machine: bench-router
units: mm
trays:
  - id: a
    size: [220, 150]
    layers: [{foam: pe-30, thickness: 1 in}]
    pockets:
      - {for: ring, at: [16, 16], size: [70, 12], depth: 15}
      - {at: [16, 64], size: [70, 12], depth: 15}
      - {at: [16, 16], size: [12, 60], depth: 15}
      - {at: [74, 16], size: [12, 60], depth: 15}
      - {for: plug, at: [110, 16], size: [60, 40], depth: through}
      - {for: blind, at: [110, 80], size: [50, 30], corner: 6, depth: 20}
`
	for _, words := range []string{"cut_direction: climb", "cut_direction: conventional", "wall_lap: once", "wall_lap: once\n        cut_direction: conventional"} {
		c, m := lapsOn(t, words)
		sign := 1.0
		if strings.Contains(words, "conventional") {
			sign = -1
		}
		for _, w := range sheetsIn(t, text, c, m) {
			for _, one := range w.programs() {
				require.True(t, spins.Match(one.body) && !turnsLeft.Match(one.body))
				run := proof.Run(one.path(), one.body, one.setup(m), one.wanted(m))
				require.False(t, run.Findings.Failed(), run.Findings)
				for _, op := range one.program.Ops {
					wall, want := wallOf(t, *w.sheet, op)
					assert.InDelta(t, sign*want, signedArea(run.Motions, strings.NewReplacer("(", "<", ")", ">").Replace(op.Name), wall), 0.05, "%s: %s", words, op.Name)
				}
			}
		}
	}
}

// wallOf is where an operation's cutter runs along the wall, and the area that it runs round when it
// climbs: counter-clockwise is above 0.
func wallOf(t *testing.T, s plan.Sheet, op process.Op) (geometry.Region, float64) {
	t.Helper()
	half := op.Tool.DiameterMM.Value / 2
	if op.Kind == process.Outline {
		way, err := geometry.Offset(s.Edge.Shape, half, 1e-6)
		require.NoError(t, err)
		return way, -way.Area()
	}
	for _, c := range s.Cuts {
		if c.Name != op.Name {
			continue
		}
		if c.Plug {
			return geometry.NewRegion(c.Along), c.Along.Area()
		}
		way, err := geometry.Offset(c.Shape, -half, 1e-6)
		require.NoError(t, err)
		return way, way.Area()
	}
	require.Fail(t, "no cut", op.Name)
	return geometry.Region{}, 0
}

// signedArea is the area that an operation's motions along a wall go round at its floor.
func signedArea(motions []proof.Motion, op string, wall geometry.Region) float64 {
	floor, area := math.Inf(1), 0.0
	for _, m := range motions {
		if m.Op == op {
			floor = math.Min(floor, m.To.Z)
		}
	}
	walls := geometry.NewWalls(wall)
	seen := map[string]bool{}
	for _, m := range motions {
		if m.Op != op || m.From.Z > floor+1e-6 || m.To.Z > floor+1e-6 {
			continue
		}
		a, b, bulge := m.From.Point, m.To.Point, 0.0
		middle := a.Add(b).Scale(0.5)
		if m.Arc {
			r, turn := a.DistanceTo(m.Center), math.Mod(math.Atan2(b.Y-m.Center.Y, b.X-m.Center.X)-math.Atan2(a.Y-m.Center.Y, a.X-m.Center.X)+4*math.Pi, 2*math.Pi)
			if !m.CCW {
				turn -= 2 * math.Pi
			}
			bulge = r * r / 2 * (turn - math.Sin(turn))
			sin, cos := math.Sincos(math.Atan2(a.Y-m.Center.Y, a.X-m.Center.X) + turn/2)
			middle = m.Center.Add(geometry.Point{X: r * cos, Y: r * sin})
		}
		key := fmt.Sprintf("%.2f %.2f", middle.X, middle.Y)
		if walls.DistanceTo(middle, 0) < 1e-3 && walls.DistanceTo(a, 0) < 1e-3 && !seen[key] {
			seen[key] = true
			area += a.Cross(b)/2 + bulge
		}
	}
	return area
}
