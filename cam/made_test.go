package cam_test

import (
	"context"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/safety"
	"traywright/geometry/units"
)

var writeReports = flag.Bool("reports", false, "take reports, comments and drawings of jobs as they are now for those that were looked at")

// standing is a job that stands with others of its process, and its owner's rules.
func standing(t *testing.T, folder, name string) cam.Request {
	t.Helper()
	files := os.DirFS(folder)
	j, found, err := job.Load(files, name+".yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	r := cam.Request{Job: j, Catalog: catalog(t), Unit: units.Millimetre}
	if j.ShopRules != "" {
		text, err := fs.ReadFile(files, j.ShopRules)
		require.NoError(t, err)
		rules, err := safety.ReadRules(j.ShopRules, text)
		require.NoError(t, err)
		r.Rules = []safety.Rules{rules}
	}
	return r
}

var (
	sums     = regexp.MustCompile(`\s*"(sha256|bytes|moves_sha256|seal)": ("[^"]*"|\d+),?`)
	comments = regexp.MustCompile(`(?m)^\(.*\)$`)
	sealed   = regexp.MustCompile(`(?i)seal|sha-?256`)
)

// asWords is a run's report without sums, the comments of its programs without seals, and its SVG.
func asWords(t *testing.T, name string, result cam.Result, drawings ...string) string {
	t.Helper()
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	var said strings.Builder
	for _, f := range result.Files {
		switch {
		case f.Path == cam.ReportName:
			fmt.Fprintf(&said, "%s: %s\n%s\n", name, f.Path, sums.ReplaceAllString(string(f.Data), ""))
		case strings.HasSuffix(f.Path, ".ngc"):
			fmt.Fprintf(&said, "%s: %s\n", name, f.Path)
			for _, c := range comments.FindAllString(string(f.Data), -1) {
				if !sealed.MatchString(c) {
					said.WriteString(c + "\n")
				}
			}
		case slices.Contains(drawings, f.Path):
			fmt.Fprintf(&said, "%s: %s\n%s\n", name, f.Path, f.Data)
		}
	}
	return said.String()
}

// Reports, comments and drawings of jobs of every process, as they were looked at: what is in them comes from the
// job, the profiles and the dry run. What is changed is looked at again: write them with -reports.
func TestReportsAsLookedAt(t *testing.T) {
	for _, j := range []struct {
		folder, name string
		drawings     []string
	}{
		{"page/testdata/jobs", "router", []string{"cover/cover-1-pe-45-6.35mm.svg", "crew/crew-block-finished.svg"}},
		{"page/testdata/jobs", "laser", []string{"sheets/sheet-1-p2-pe-30-12.7mm.svg"}},
		{"../.ci/outside", "dowels", []string{"sheets/sheet-2-pe-30-12.7mm.svg"}},
		{"../.ci/outside", "wire", []string{"crew/crew-1-xps-32-20mm.svg"}},
		{"../.ci/outside", "tight", []string{"tokens/tokens-1-pe-30-25.4mm.svg"}},
		{"../.ci/outside", "hand", nil},
	} {
		result, err := cam.Cut(context.Background(), standing(t, j.folder, j.name), cam.Options{Finished: true})
		require.NoError(t, err)
		asLookedAt(t, j.name, asWords(t, j.name, result, j.drawings...))
	}
	r := standing(t, "page/testdata/jobs", "laser")
	for machine, foam := range map[string]string{"bench-router": "pe-30", "bench-laser": "pe-45", "bench-hotwire": "xps-32"} {
		c, err := cam.Coupon(context.Background(), cam.CouponRequest{Spec: kerf.CouponSpec{Foam: foam, Thickness: 20_000_000}, Catalog: r.Catalog, Machine: machine, Rules: r.Rules}, cam.Options{})
		require.NoError(t, err)
		asLookedAt(t, "coupon-"+machine, asWords(t, machine, c.Result))
	}
}

func asLookedAt(t *testing.T, name, said string) {
	t.Helper()
	file := "testdata/looked-at/" + name + ".txt"
	if *writeReports {
		require.NoError(t, os.WriteFile(file, []byte(said), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), said, name)
}
