package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

// checkMeasured holds a measured thickness against the label. Half as much again or
// half as thick is another sheet, or another unit.
func (m *maker) checkMeasured(at place, foam profiles.Foam, t *job.Tray, l job.Layer) {
	if l.Measured == 0 {
		return
	}
	off, says := (l.Measured - l.Thickness).MM(), fmt.Sprintf("is %s by its label and %s as measured", m.length(l.Thickness), m.length(l.Measured))
	switch {
	case math.Abs(off) > l.Thickness.MM()/2:
		m.log.fail(at, "measured-far-off", says, "measure that sheet again, mind the unit, and "+m.sayMeasured(t, l)+" with what you find; or write the thickness that it is sold as")
	case off > foam.ThickerMM.Value && foam.ThickerMM.Source != "" || -off > foam.ThinnerMM.Value && foam.ThinnerMM.Source != "":
		m.log.warn(at, "measured-off", says+", farther off than "+foam.ID+" is taken to be",
			"look whether it is that sheet, measure in several places, without pressing, and "+m.sayMeasured(t, l)+" with what you find")
	}
}

// sayMeasured is how a person says what a sheet measures: with the flag, or on the layer in the job that it is from. A sheet that was
// chosen for another has none.
func (m *maker) sayMeasured(t *job.Tray, l job.Layer) string {
	flag := "give " + job.MeasuredFlag(l.Foam, l.Thickness, m.unit)
	row, ok := l, true
	again := ""
	if t.Chosen {
		row, ok = m.rowOf(l)
		again = ", and give the job to `traywright arrange` again"
	}
	if !ok || row.Position.Line == 0 {
		return flag
	}
	return fmt.Sprintf("write `measured: LENGTH` on its layer in %s:%d%s, or %s,", row.Position.File, row.Position.Line, again, flag)
}

// rowOf is the layer of the job's defaults of the same foam and label.
func (m *maker) rowOf(l job.Layer) (job.Layer, bool) {
	rows := m.Job.Defaults.Layers
	i := slices.IndexFunc(rows, func(r job.Layer) bool { return r.Of(l.Foam, l.Thickness) })
	if i < 0 {
		return job.Layer{}, false
	}
	return rows[i], true
}

// stackedAgain is what has the arranger choose a stack that goes into the case with what its sheets measure: it knows what
// the job says, and no flag. "" where it knows all already.
func (m *maker) stackedAgain(c *job.Case, stack []*board) string {
	var ways []string
	for _, b := range stack {
		for _, l := range b.source.Layers {
			row, ok := m.rowOf(l)
			if !c.Chosen || !b.source.Chosen || !ok || l.Measured == 0 || row.Measured == l.Measured || row.Position.Line == 0 {
				continue
			}
			if way := fmt.Sprintf("write `measured: %s` on its layer in %s:%d", l.Measured.Exact(m.unit), row.Position.File, row.Position.Line); !slices.Contains(ways, way) {
				ways = append(ways, way)
			}
		}
	}
	if len(ways) == 0 {
		return ""
	}
	return strings.Join(ways, " and ") + ", and give the job to `traywright arrange` again, which chooses sheets that fit; or "
}

// written is where a chosen tray has its sheet, and what is written there for another.
func (s swap) written(unit units.Unit) string {
	at := s.at.tray.source.Layers[s.at.number-1].Position
	if !s.at.tray.source.Chosen || at.Line == 0 {
		return ""
	}
	return fmt.Sprintf(" (`thickness: %s` in %s:%d, until it is arranged anew with --force)", s.thickness.Exact(unit), at.File, at.Line)
}
