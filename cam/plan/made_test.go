package plan_test

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

var writePlans = flag.Bool("plans", false, "take the plans of jobs as they are now for those that were looked at")

// checked is a job of the folder, and what is found of it.
func checked(t *testing.T, folder, name string) cam.Result {
	t.Helper()
	files := os.DirFS(folder)
	j, found, err := job.Load(files, name+".yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	r := cam.Request{Job: j, Catalog: c, Unit: units.Millimetre}
	if j.ShopRules != "" {
		text, err := fs.ReadFile(files, j.ShopRules)
		require.NoError(t, err)
		rules, err := safety.ReadRules(j.ShopRules, text)
		require.NoError(t, err)
		r.Rules = []safety.Rules{rules}
	}
	return cam.Check(r)
}

// shape is a region in numbers.
func shape(r geometry.Region) string {
	b := r.Bounds()
	return fmt.Sprintf("%.2f mm2, X %.2f to %.2f, Y %.2f to %.2f", r.Area(), b.Min.X, b.Max.X, b.Min.Y, b.Max.Y)
}

// told is a cut in numbers: with what, how deep, in which passes, how wide, and what holds it.
func told(c plan.Cut) string {
	var left float64
	for _, way := range c.Left {
		left += way.Length()
	}
	var passes []string
	for _, p := range c.Passes {
		passes = append(passes, fmt.Sprintf("%.2f to %.2f of layer %d, focus %.2f, pause %.1f", p.FromMM, p.ToMM, p.Layer, p.FocusMM, p.PauseS))
	}
	hold := c.Hold
	return fmt.Sprintf("    %q of pockets %v, T%d: %s; %.2f deep, through %t, after %v, cleared %.2f, kerf %.3f, sure %.3f, below %.2f, passes %q, skin %.2f, %d tabs %.2f x %.2f, tips %d, bridges %.1f of %.2f, lacking %d, left %.2f, plug %t, rough %t of %.1f mm2, along %.2f\n",
		c.Name, c.Pockets, c.Tool.Number, shape(c.Shape), c.DepthMM, c.Through, c.After, c.ClearedMM, c.KerfMM, c.SureMM, c.BelowMM, passes, hold.SkinMM,
		hold.Tabs, hold.TabMM, hold.TabHighMM, hold.Tips, hold.Bridges, hold.BridgeMM, hold.Lacking, left, c.Plug, c.Rough, c.Roughed.Area(), c.Along.Length())
}

func trayTold(said *strings.Builder, tray plan.Tray) {
	fmt.Fprintf(said, "  %s, %q: %s, %d copies, foam %.1f g, pieces %.1f g\n", tray.ID, tray.Label, shape(geometry.NewRegion(tray.Outline)), tray.Copies, tray.FoamG, tray.PiecesG)
	for _, k := range tray.Pockets {
		fmt.Fprintf(said, "    %s: %s; %v deep, through %t, %s, %s, %s, box %.2f, holds %d, play %t %.3f %.3f %.3f, dowel %v, packed %d\n",
			k.Name, shape(k.Design), k.Depth, k.Through, k.ShapeName, k.Access, k.Waste, k.Box, k.Holds, k.Play.Known, k.Play.TighterMM, k.Play.LooserMM, k.Play.HigherMM, k.Dowel, k.Packed)
	}
	for _, m := range tray.Marks {
		fmt.Fprintf(said, "    %s: %s; %d paths %.2f wide, %v deep, through %t, %.1f high\n", m.Name, shape(m.Design), len(m.Paths), m.WidthMM, m.Depth, m.Through, m.HeightMM)
	}
	for _, s := range tray.Sheets {
		fmt.Fprintf(said, "   layer %d of %.2f mm, tools %v, roughing T%d saves %.0f s, notes %q\n", s.Number, s.ThicknessMM(), s.Turns, s.Roughing.Tool.Number, s.Roughing.SavedSeconds, s.Notes)
		for _, c := range s.All() {
			said.WriteString(told(c))
		}
	}
}

// What jobs of every process become, in numbers, and what is found of them, as they were looked at: boxes and
// depths are the job's, shapes a tool's radius off in their corners, kerfs and passes the recipes'. A change of
// a plan is looked at again: write them with -plans.
func TestPlansAsLookedAt(t *testing.T) {
	var said strings.Builder
	for _, j := range [][2]string{
		{"../page/testdata/jobs", "router"}, {"../page/testdata/jobs", "laser"}, {"../../.ci/outside", "dowels"}, {"../../.ci/outside", "wire"},
		{"../../.ci/outside", "blade"}, {"../../.ci/outside", "chord"}, {"../../.ci/outside", "tight"}, {"../../.ci/outside", "hand"}, {"testdata/jobs", "wrong"}, {"testdata/jobs", "doubtful"},
	} {
		r := checked(t, j[0], j[1])
		fmt.Fprintf(&said, "%s\n", j[1])
		for _, f := range r.Report.Findings {
			fmt.Fprintf(&said, "  %v, %s, %s: %s (%s)\n", f.Severity, f.Rule, f.Where, f.Message, f.Hint)
		}
		for _, tray := range r.Plan.Trays {
			trayTold(&said, tray)
		}
		for _, k := range r.Plan.Cases {
			fmt.Fprintf(&said, "  case %s: %d copies of %v, %v high, %v left, %.1f g\n", k.Name, k.Copies, k.Stack, k.Height, k.Room, k.WeightG)
		}
	}
	const file = "testdata/plans-looked-at.txt"
	if *writePlans {
		require.NoError(t, os.WriteFile(file, []byte(said.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), said.String())
}
