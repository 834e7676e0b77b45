package arrange

import (
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

// supply is a foam in the thicknesses that can be cut, and what the job says of its sheets: the row of `layers` that
// they stand for, and the other rows.
type supply struct {
	profiles.Foam
	row  job.Layer
	rows []job.Layer
}

// ofSheets is an option of some sheets, as high as they really are.
func (s supply) ofSheets(cost float64, labels ...units.Length) option {
	o := option{cost: cost}
	for _, l := range labels {
		sheet := s.row.As(l, s.rows)
		o.layers, o.height = append(o.layers, sheet), o.height+sheet.Real()
	}
	return o
}

// deep is how deep a pocket may be through all of the sheets, by their labels as well as really.
func (o option) deep() units.Length {
	var labels units.Length
	for _, l := range o.layers {
		labels += l.Thickness
	}
	return min(labels, o.height)
}

// asSaid are the layers of a tray that was chosen earlier with all that the rows of the defaults say of such sheets now: a pad is as
// the first row says, a base or a cover as the last.
func asSaid(rows, old []job.Layer, cover bool) (list []job.Layer) {
	if len(rows) == 0 {
		return old
	}
	first, last := rows[0], rows[len(rows)-1]
	for i, l := range old {
		row, thickness := first, l.Thickness
		switch base := i > 0 && i == len(old)-1 && len(rows) > 1; {
		case base:
			row, thickness = last, last.Thickness
		case cover || len(old) == 1 && l.Foam == last.Foam && l.Foam != first.Foam:
			row = last
		}
		list = append(list, row.As(thickness, rows))
	}
	return list
}

// sameSheets reports whether layers are of the same foams and labels.
func sameSheets(a, b []job.Layer) bool {
	return slices.EqualFunc(a, b, func(a, b job.Layer) bool { return a.Of(b.Foam, b.Thickness) })
}

// tellUnused notes what was measured of a sheet that no tray has, because another thickness was chosen.
func (m *maker) tellUnused() {
	if !slices.ContainsFunc(m.out.Trays, func(t job.Tray) bool { return t.Chosen }) {
		return
	}
	for _, row := range m.Job.Defaults.Layers {
		var has []string
		used := row.Measured == 0
		for _, t := range m.out.Trays {
			for _, l := range t.Layers {
				used = used || l.Of(row.Foam, row.Thickness)
				if name := job.MeasuredFlag(l.Foam, l.Thickness, m.Unit); l.Foam == row.Foam && !slices.Contains(has, name) {
					has = append(has, name)
				}
			}
		}
		if !used {
			m.add(finding.Note, row.Position, "measured-unused", "nothing to do; measure the sheets that are cut, and give `check` and `cut` "+strings.Join(has, " "),
				"%s was measured as %s, and no tray has a sheet of %s of it: other thicknesses were chosen", row.Foam, m.length(row.Measured), m.length(row.Thickness))
		}
	}
}
