package cam

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// Whatever a cutter goes round is held at every moment: move by move, on a grid that is no
// part of the dry run, no cell of a plug's groove or of the tray's edge is cut deeper than its
// skin; and with the plugs lifted out, the foam is that of the same job milled to chips.
func TestPlugsAreHeldAtEveryMoment(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	plugs := 0
	for n := range uint64(8) {
		r := rand.New(rand.NewPCG(n, 16))
		text := plugJob(r)
		m, _ := c.Machine("bench-router")
		lifted, chips := sheetsIn(t, text, c, m), sheetsIn(t, strings.Replace(text, "trays:", "tray_defaults: {waste: clear}\ntrays:", 1), c, m)
		for i, w := range lifted {
			plugs += w.sheet.Plugs()
			h, all := milledBy(t, w, m), milledBy(t, chips[i], m)
			for cell, deep := range h.deep {
				x, y := h.at(cell)
				place := geometry.Point{X: x, Y: y}
				cut := cutAround(w.sheet, place)
				if cut == nil {
					assert.InDelta(t, all.deep[cell], deep, heightMM, "job %d, sheet %d, X%.2f Y%.2f\n%s", n, i, x, y, text)
					continue
				}
				if deep > cut.DepthMM+heightMM {
					t.Fatalf("job %d, sheet %d: at X%.2f Y%.2f the plug's skin is cut to %.4f mm, and ends at %.4f\n%s", n, i, x, y, deep, cut.DepthMM, text)
				}
			}
		}
	}
	assert.Greater(t, plugs, 10, "the jobs have plugs")
}

// plugJob is a tray of pockets large enough for plugs, and of some that are not.
func plugJob(r *rand.Rand) string {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	var b strings.Builder
	fmt.Fprintf(&b, "machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [210, 130]\n    layers: [{foam: %s, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]\n    pockets:\n", pick("pe-30", "pe-45"))
	for i := range 6 {
		x, y := 15+65*float64(i%3)+2*r.Float64(), 14+56*float64(i/3)+2*r.Float64()
		length, width := 24+18*r.Float64(), 20+14*r.Float64()
		shape := pick(fmt.Sprintf("size: [%.3f, %.3f]", length, width), fmt.Sprintf("size: [%.3f, %.3f], corner: %.2f", length, width, 2+6*r.Float64()), fmt.Sprintf("round: %.3f", width),
			fmt.Sprintf("slot: [%.3f, %.3f]", length+3, width), fmt.Sprintf("size: [%.3f, %.3f], notch: n", length, width-4), fmt.Sprintf("size: [%.3f, 22], turn: %.1f", length-8, 90*r.Float64()))
		fmt.Fprintf(&b, "      - {for: p%d, at: [%.4f, %.4f], %s, depth: %s, relief: %s}\n", i, x, y, shape, pick("25.4", "through", "28", "9.5"), pick("none", "none", "dogbone", "tbone"))
	}
	return b.String()
}

// sheetsIn is a job's sheets, laid and written.
func sheetsIn(t *testing.T, text string, c *profiles.Catalog, m profiles.Machine) []*sheetWork {
	t.Helper()
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%s\n%v", text, found)
	p, found := decide(Request{Job: j, Catalog: c, Unit: j.Units})
	require.False(t, found.Failed(), "%s\n%v", text, found)
	p.Machine = m.Proving()
	works := sheetsOf(p)
	for _, w := range works {
		require.NoError(t, w.lay(p))
	}
	return works
}

func milledBy(t *testing.T, w *sheetWork, m profiles.Machine) heights {
	h := newHeights(w.sheet.Edge.Shape.Bounds(), w.sheet.ThicknessMM(), 0.5)
	for _, one := range w.programs() {
		h.mill(t, string(one.body), one.setup(m).KerfMM[one.program.Ops[0].Tool.Number]/2, m.Process.Traits())
	}
	return h
}

// cutAround is the cut whose groove or plug lies there.
func cutAround(s *plan.Sheet, at geometry.Point) *plan.Cut {
	for i := range s.Cuts {
		if c := &s.Cuts[i]; c.Plug && c.Shape.Contours()[0].Winding(at) != 0 {
			return c
		}
	}
	return nil
}
