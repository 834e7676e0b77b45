package stock_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"traywright/cam"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

func checked(t *testing.T, folder, name string) cam.Result {
	t.Helper()
	j, c, rules := lookedat.Job(t, os.DirFS(folder), name)
	return cam.Check(cam.Request{Job: j, Catalog: c, Rules: rules, Unit: units.Millimetre})
}

// Layouts as they were looked at: parts inside the margin and apart, offcuts beside them, sheets and prices as the
// stock has them. What a change of the search lays otherwise is looked at again: write them with -looked-at.
func TestLayoutsAsLookedAt(t *testing.T) {
	var said strings.Builder
	for _, j := range [][2]string{{"testdata/jobs", "rack"}, {"testdata/jobs", "lacking"}, {"../page/testdata/jobs", "laser"}, {"../page/testdata/jobs", "dowels"}} {
		r := checked(t, j[0], j[1])
		l := r.Layout
		fmt.Fprintf(&said, "%s: cost %.2f, waste %.4f\n", j[1], l.Cost, l.WasteShare)
		for _, f := range r.Report.Findings {
			fmt.Fprintf(&said, "  %v, %s, %s: %s (%s)\n", f.Severity, f.Rule, f.Where, f.Message, f.Hint)
		}
		for _, p := range l.Parted {
			fmt.Fprintf(&said, "  parted %+v\n", p)
		}
		for _, p := range l.Buy {
			fmt.Fprintf(&said, "  buy %+v\n", p)
		}
		if j[1] != "lacking" {
			fmt.Fprintf(&said, "%s", l.Rack(r.Plan.Job))
		}
		for _, s := range l.Setups {
			fmt.Fprintf(&said, "  %s of %+v: %s %.2f, size %v, zero %v, margin %.3f, used %.4f\n", s.Name, s.From, s.Foam, s.Layer, s.SizeMM, s.ZeroMM, s.MarginMM, s.UsedShare)
			for _, p := range s.Parts {
				fmt.Fprintf(&said, "    %s layer %d copy %d at %.3f, turned %d\n", p.Tray.ID, p.Layer, p.Copy, p.AtMM, p.Turn)
			}
			for i, o := range s.Offcuts {
				fmt.Fprintf(&said, "    offcut %.3f, cut out %.3f\n", o, s.Out[i])
			}
		}
	}
	lookedat.Text(t, "layouts.txt", said.String())
}
