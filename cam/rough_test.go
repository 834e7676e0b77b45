package cam

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/profiles"
)

// Pockets that a larger tool roughs come out as when their own tool makes all of them: cell by
// cell, on a grid that is no part of the dry run, and in less time. The programs pass it, each
// on the foam that those before it leave.
func TestRoughedPocketsAreThoseOfOneTool(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := c.Machine("bench-router")
	roughed := 0
	for n := range uint64(5) {
		text := roughJob(rand.New(rand.NewPCG(n, 1616)))
		both, one := sheetsIn(t, text, c, m), sheetsIn(t, strings.ReplaceAll(text, "depth:", "tool: flat-3, depth:"), c, m)
		for i, w := range both {
			roughed += w.sheet.Roughed()
			assert.Zero(t, one[i].sheet.Roughed(), "a tool that the job names makes all of the pocket")
			h, all := milledBy(t, w, m), milledBy(t, one[i], m)
			for cell, deep := range h.deep {
				if x, y := h.at(cell); !assert.InDelta(t, all.deep[cell], deep, heightMM, "job %d, sheet %d, X%.2f Y%.2f\n%s", n, i, x, y, text) {
					return
				}
			}
			for _, p := range w.programs() {
				run := proof.Run(p.path(), p.body, p.setup(m), p.wanted(m))
				require.False(t, run.Findings.Failed(), "job %d, %s\n%v\n%s", n, p.path(), run.Findings, text)
			}
		}
	}
	assert.Greater(t, roughed, 20, "the jobs have pockets to rough")
}

// roughJob is a tray of pockets within their layer, and of notches that only a small tool enters.
func roughJob(r *rand.Rand) string {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	var b strings.Builder
	fmt.Fprintf(&b, "machine: bench-router\nunits: mm\ntrays:\n  - id: a\n    size: [280, 190]\n    layers: [{foam: %s, thickness: 1 in}]\n    pockets:\n", pick("pe-30", "pe-45"))
	for i := range 6 {
		x, y := 16+88*float64(i%3)+2*r.Float64(), 16+84*float64(i/3)+2*r.Float64()
		length, width := 44+24*r.Float64(), 44+20*r.Float64()
		shape := pick(fmt.Sprintf("size: [%.3f, %.3f]", length, width), fmt.Sprintf("size: [%.3f, %.3f], corner: %.2f", length, width, 2+6*r.Float64()), fmt.Sprintf("round: %.3f", width),
			fmt.Sprintf("slot: [%.3f, %.3f]", length, width/2), fmt.Sprintf("size: [%.3f, %.3f], notch: n, notch_width: %.2f, notch_reach: 8", length, width, 3.6+6*r.Float64()), fmt.Sprintf("size: [%.3f, 22], turn: %.1f", length-8, 90*r.Float64()))
		fmt.Fprintf(&b, "      - {for: p%d, at: [%.4f, %.4f], %s, relief: %s, depth: %.2f}\n", i, x, y, shape, pick("none", "none", "dogbone", "tbone"), 4+17*r.Float64())
	}
	return b.String()
}
