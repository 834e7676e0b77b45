package plan_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"traywright/cam"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// checked is a job of the folder, and what is found of it.
func checked(t *testing.T, folder, name string) cam.Result {
	t.Helper()
	j, c, rules := lookedat.Job(t, os.DirFS(folder), name)
	return cam.Check(cam.Request{Job: j, Catalog: c, Rules: rules, Unit: units.Millimetre})
}

// shape is a region in numbers.
func shape(r geometry.Region) string {
	b := r.Bounds()
	return fmt.Sprintf("%.2f mm2, X %.2f to %.2f, Y %.2f to %.2f", r.Area(), b.Min.X, b.Max.X, b.Min.Y, b.Max.Y)
}

// told is a cut in numbers: with what, how deep, in which passes, how wide, and what holds it; what is none is not said.
func told(c plan.Cut) string {
	var left float64
	for _, way := range c.Left {
		left += way.Length()
	}
	var said strings.Builder
	fmt.Fprintf(&said, "    %s, T%d: %s; %.2f deep, kerf %.3f, sure %.3f", c.Name, c.Tool.Number, shape(c.Shape), c.DepthMM, c.KerfMM, c.SureMM)
	for _, p := range c.Passes {
		fmt.Fprintf(&said, ", to %.2f", p.ToMM)
		if p.Layer > 0 || p.FocusMM > 0 || p.PauseS > 0 {
			fmt.Fprintf(&said, " (layer %d, focus %.2f, pause %.1f)", p.Layer, p.FocusMM, p.PauseS)
		}
	}
	for _, f := range []struct {
		word string
		mm   float64
	}{
		{"cleared", c.ClearedMM}, {"below", c.BelowMM}, {"skin", c.Hold.SkinMM}, {"tabs", float64(c.Hold.Tabs)}, {"long", c.Hold.TabMM}, {"high", c.Hold.TabHighMM},
		{"tips", float64(c.Hold.Tips)}, {"bridges", float64(len(c.Hold.Bridges))}, {"wide", c.Hold.BridgeMM}, {"lacking", float64(c.Hold.Lacking)}, {"left", left}, {"roughed mm2", c.Roughed.Area()}, {"along", c.Along.Length()},
	} {
		if f.mm != 0 {
			fmt.Fprintf(&said, ", %s %.2f", f.word, f.mm)
		}
	}
	for _, f := range []struct {
		word string
		is   bool
	}{{"through", c.Through}, {"plug", c.Plug}, {"roughing", c.Rough}} {
		if f.is {
			said.WriteString(", " + f.word)
		}
	}
	if len(c.After) > 0 {
		fmt.Fprintf(&said, ", after %v", c.After)
	}
	return said.String() + "\n"
}

func trayTold(said *strings.Builder, tray plan.Tray) {
	fmt.Fprintf(said, "  %s, %q: %s, %d copies, foam %.1f g, pieces %.1f g\n", tray.ID, tray.Label, shape(geometry.NewRegion(tray.Outline)), tray.Copies, tray.FoamG, tray.PiecesG)
	for _, k := range tray.Pockets {
		fmt.Fprintf(said, "    %s: %s; %v deep, %s, %s, %s, holds %d, packed %d", k.Name, shape(k.Design), k.Depth, k.ShapeName, k.Access, k.Waste, k.Holds, k.Packed)
		if k.Play.Known {
			fmt.Fprintf(said, ", play %.2f tighter, %.2f looser, %.2f higher", k.Play.TighterMM, k.Play.LooserMM, k.Play.HigherMM)
		}
		said.WriteString("\n")
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
// a plan is looked at again: write them with -looked-at.
func TestPlansAsLookedAt(t *testing.T) {
	var said strings.Builder
	for _, j := range [][2]string{
		{"../page/testdata/jobs", "router"}, {"../page/testdata/jobs", "laser"}, {"../../.ci/outside", "tight"}, {"testdata/jobs", "wrong"}, {"testdata/jobs", "doubtful"},
	} {
		r := checked(t, j[0], j[1])
		fmt.Fprintf(&said, "%s\n", j[1])
		for _, f := range r.Report.Findings {
			fmt.Fprintf(&said, "  %v, %s, %s: %s (%s)\n", f.Severity, f.Rule, f.Where, f.Text(), f.Hint)
		}
		for _, tray := range r.Plan.Trays {
			trayTold(&said, tray)
		}
		for _, k := range r.Plan.Cases {
			fmt.Fprintf(&said, "  case %s: %d copies of %v, %v high, %v left, %.1f g\n", k.Name, k.Copies, k.Stack, k.Height, k.Room, k.WeightG)
		}
	}
	lookedat.Text(t, "plans.txt", said.String())
}
