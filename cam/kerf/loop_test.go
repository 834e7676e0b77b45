package kerf_test

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// virtual is a machine that nobody has measured yet: it removes another width
// than its recipe says, and makes scale mm of each mm that it is told.
type virtual struct {
	machine string
	tool    int
	kerfMM  float64
	scale   float64
}

var places = regexp.MustCompile(`([XYIJ])(-?[0-9.]+)`)

// run is a program as the virtual machine runs it: every place in its text times
// the scale. Comments are left alone.
func (v virtual) run(program []byte) []byte {
	var lines []string
	for line := range strings.Lines(string(program)) {
		if !strings.HasPrefix(line, "(") {
			line = places.ReplaceAllStringFunc(line, func(word string) string {
				n, err := strconv.ParseFloat(word[1:], 64)
				if err != nil {
					return word
				}
				return fmt.Sprintf("%s%.7f", word[:1], n*v.scale)
			})
		}
		lines = append(lines, line)
	}
	return []byte(strings.Join(lines, ""))
}

// setup is the dry run's, with the virtual machine's own width.
func (v virtual) setup(t *testing.T, thicknessMM float64) proof.Setup {
	m, ok := shipped(t).Machine(v.machine)
	require.True(t, ok)
	return proof.Setup{Machine: m, KerfMM: map[int]float64{v.tool: v.kerfMM}, ThicknessMM: thicknessMM, BreakthroughMM: 1, Passes: 2, CellMM: 0.5}
}

// caliper measures the hole and the plug of a square in what the dry run read of
// the program: the union of the widths removed along the straight cuts at the
// lowest height is a ring.
func (v virtual) caliper(t *testing.T, r proof.Result, op string) (hole, plug geometry.Box) {
	lowest := 0.0
	for _, m := range r.Motions {
		if m.Op == op && m.On && !m.Rapid {
			lowest = math.Min(lowest, m.To.Z)
		}
	}
	var cuts []geometry.Region
	for _, m := range r.Motions {
		if m.Op != op || !m.On || m.Rapid || m.Arc || m.From.Z != lowest || m.To.Z != lowest || m.From == m.To {
			continue
		}
		cuts = append(cuts, geometry.NewRegion(geometry.Slot(m.From.Point, m.To.Point, v.kerfMM)))
	}
	ring, err := geometry.Union(1e-6, cuts...)
	require.NoError(t, err)
	contours := ring.Contours()
	require.Len(t, contours, 2, op)
	hole, plug = contours[0].Bounds(), contours[1].Bounds()
	if plug.Width() > hole.Width() {
		hole, plug = plug, hole
	}
	return hole, plug
}

// fillIn writes what a caliper with two decimals shows into the coupon's table.
func (v virtual) fillIn(t *testing.T, table []byte, r proof.Result) []byte {
	var lines []string
	for line := range strings.Lines(string(table)) {
		cells := strings.Split(strings.TrimSuffix(line, "\n"), ",")
		if len(cells) > 8 && (cells[3] == "x" || cells[3] == "y") {
			hole, plug := v.caliper(t, r, cells[8])
			cells[5], cells[6] = fmt.Sprintf("%.2f", hole.Width()), fmt.Sprintf("%.2f", plug.Width())
			if cells[3] == "y" {
				cells[5], cells[6] = fmt.Sprintf("%.2f", hole.Height()), fmt.Sprintf("%.2f", plug.Height())
			}
			line = strings.Join(cells, ",") + "\n"
		}
		lines = append(lines, line)
	}
	return []byte(strings.Join(lines, ""))
}

const permit = "owner: Quayside workshop\npermits:\n  - {foam: pe-30, process: laser, when: extraction running}\n  - {foam: eva-90, process: laser, when: extraction running}\n"

func rules(t testing.TB, text string) []safety.Rules {
	r, err := safety.ReadRules("shop-rules.yaml", []byte(text))
	require.NoError(t, err)
	return []safety.Rules{r}
}

func shipped(t testing.TB) *profiles.Catalog {
	c, err := kerf.LongEdged()
	require.NoError(t, err)
	return c
}

func mm(v float64) units.Length { return units.Length(math.Round(v * 1e6)) }

// cut runs the whole of `coupon` but for reading and writing files.
func cut(t testing.TB, machine, ruleText string, spec kerf.CouponSpec) cam.CouponResult {
	return cutWith(t, shipped(t), machine, ruleText, spec)
}

func cutWith(t testing.TB, c *profiles.Catalog, machine, ruleText string, spec kerf.CouponSpec) cam.CouponResult {
	var list []safety.Rules
	if ruleText != "" {
		list = rules(t, ruleText)
	}
	r, err := cam.Coupon(context.Background(), cam.CouponRequest{Spec: spec, Catalog: c, Machine: machine, Rules: list}, cam.Options{})
	require.NoError(t, err)
	return r
}

func file(t testing.TB, files []cam.File, name string) []byte {
	for _, f := range files {
		if f.Path == name {
			return f.Data
		}
	}
	require.Fail(t, "no file "+name)
	return nil
}

const trayJob = `machine: %s
trays:
  - id: crew
    size: [120, 90]
    layers: [{foam: pe-30, thickness: 1 in}]
    pockets:
      - {at: [14, 14], size: [60, 40], corner: 4, depth: through}
      - {at: [84, 14], round: 24, depth: through}
      - {at: [20, 62], slot: [80, 14], depth: through}
`

// tray cuts a tray with a catalog on the virtual machine, and holds what comes
// out against the plan.
func (v virtual) tray(t *testing.T, c *profiles.Catalog) (over, under float64) {
	fsys := fstest.MapFS{"job.yaml": {Data: fmt.Appendf(nil, trayJob, v.machine)}}
	j, found, err := job.Load(fsys, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	result, err := cam.Cut(context.Background(), cam.Request{Job: j, Catalog: c, Rules: rules(t, permit)}, cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	sheet := result.Plan.Trays[0].Sheets[0]
	r := proof.Run("crew", v.run(file(t, result.Files, "crew/crew-1-pe-30-25.4mm.ngc")), v.setup(t, 25.4), wanted(sheet))
	return r.WorstOvercutMM, r.WorstUndercutMM
}

func wanted(s plan.Sheet) *proof.Wanted {
	w := &proof.Wanted{Outline: s.Edge.Shape, OutlineDepthMM: s.ThicknessMM() - s.Edge.Recipes[0].SkinMM.Value}
	for _, c := range s.Cuts {
		w.Cuts = append(w.Cuts, proof.WantedCut{Name: c.Name, Shape: c.Shape, DepthMM: c.DepthMM, Through: c.Through, Bridged: proof.Bridges{At: c.Hold.Bridges, WidthMM: c.Hold.BridgeMM}})
	}
	return w
}

// measure cuts the coupon with a catalog on the virtual machine, and is what the
// kerf's statistics make of it.
func (v virtual) measure(t *testing.T, c *profiles.Catalog) []kerf.Fit {
	made := cutWith(t, c, v.machine, permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4)})
	require.False(t, made.Report.Findings.Failed(), "%v", made.Report.Findings)
	r := proof.Run("coupon", v.run(file(t, made.Files, "coupon.ngc")), v.setup(t, 25.4), nil)
	table := v.fillIn(t, file(t, made.Files, kerf.TableName), r)
	readings, found, err := kerf.Read(kerf.TableName, table, units.Millimetre)
	require.NoError(t, err)
	require.Empty(t, found)
	fits, found := kerf.Analyse(readings, c, nil)
	require.False(t, found.Failed(), "%v", found)
	require.Len(t, fits, 1)
	return fits
}

// save lays what was measured over the catalog.
func save(t *testing.T, c *profiles.Catalog, fits []kerf.Fit) {
	saved, found := kerf.Profiles(fits, kerf.Scales(fits, nil, "2026-03-01"), "2026-03-01")
	require.False(t, found.Failed(), "%v", found)
	folder := fstest.MapFS{}
	for _, f := range saved {
		folder[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	require.NoError(t, c.Add(folder))
}

// The loop closed: a machine whose kerf and scale its owner does not know cuts
// the coupon; a caliper, the kerf's statistics and a saved recipe later it
// cuts a tray within 0.02 mm.
func TestLoop(t *testing.T) {
	machines := []virtual{
		{"bench-laser", 1, 0.37, 0.993},
		{"bench-laser", 1, 0.43, 1.006},
		{"bench-router", 1, 3.29, 0.993},
	}
	for _, v := range machines {
		t.Run(fmt.Sprintf("%s, kerf %v, scale %v", v.machine, v.kerfMM, v.scale), func(t *testing.T) {
			catalog := shipped(t)
			over, under := v.tray(t, catalog)
			assert.Greater(t, max(over, under), 0.1, "before it is measured, the machine cuts something else than the plan")

			fits := v.measure(t, catalog)
			assert.InDelta(t, v.kerfMM, fits[0].KerfMM.Value, fits[0].KerfMM.HalfWidth)
			assert.Less(t, fits[0].KerfMM.HalfWidth, 0.01)
			for _, a := range fits[0].Axes {
				assert.InDelta(t, v.scale, a.Scale.Value, a.Scale.HalfWidth, a.Axis)
				assert.Less(t, a.Scale.HalfWidth, 0.0005)
			}

			save(t, catalog, fits)
			over, under = v.tray(t, catalog)
			assert.LessOrEqual(t, over, 0.02)
			assert.LessOrEqual(t, under, 0.02)
			t.Logf("kerf %.4f ± %.4f mm, scale %.5f ± %.5f; the next tray: %.4f mm too much, %.4f mm too little",
				fits[0].KerfMM.Value, fits[0].KerfMM.HalfWidth, fits[0].Axes[0].Scale.Value, fits[0].Axes[0].Scale.HalfWidth, over, under)

			again := v.measure(t, catalog)
			assert.InDelta(t, v.kerfMM, again[0].KerfMM.Value, again[0].KerfMM.HalfWidth, "a second coupon finds the same kerf")
			for _, a := range again[0].Axes {
				assert.InDelta(t, 1, a.Scale.Value, 0.0002, "and no scale that is left over")
			}
		})
	}
}
