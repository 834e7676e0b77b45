package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// thousandPockets is a job of pockets that each have a line of their own: as many as that on trays
// of 99, as large as the router takes.
func thousandPockets(n int) string {
	var b strings.Builder
	b.WriteString("machine: bench-router\ntrays:\n")
	for i := range n {
		if i%99 == 0 {
			fmt.Fprintf(&b, "  - id: tray-%d\n    size: [380, 288]\n    layers: [{foam: pe-30, thickness: 1 in}]\n    pockets:\n", i/99+1)
		}
		fmt.Fprintf(&b, "      - {at: [%d, %d], size: [22, 20], corner: 3, depth: 10}\n", 16+32*(i%99%11), 14+30*(i%99/11))
	}
	return b.String()
}

// BenchmarkLook is how long a pocket's step takes until the page has it: read, planned, drawn. What
// a person saves waits for the watch besides: less than settleAfter and twice pollEach.
func BenchmarkLook(b *testing.B) {
	demo := b.TempDir()
	require.NoError(b, os.CopyFS(demo, os.DirFS("../../testdata/tidewrack")))
	for _, c := range []struct{ name, path, place string }{
		{"demo", filepath.Join(demo, "job.yaml"), "bosun, at: [158"},
		{"1000-pockets", inFolder(b, map[string]string{"job.yaml": thousandPockets(1000)}), "at: [48"},
	} {
		b.Run(c.name, func(b *testing.B) {
			feed, _ := lookedAtFile(b, c.path)
			require.NotNil(b, feed.planned, "%.400s", fmt.Sprint(feed.now.Findings))
			text := string(readText(c.path))
			for n := 0; b.Loop(); n++ {
				require.NoError(b, os.WriteFile(c.path, []byte(strings.Replace(text, c.place, fmt.Sprintf("%s.%d", c.place, n%9+1), 1)), 0o644))
				require.NoError(b, feed.again(b.Context()))
				feed.stopTrying()
				require.False(b, feed.now.Refused, "%.400s", fmt.Sprint(feed.now.Findings))
			}
		})
	}
}
