package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// checkChosen finds what `tray_defaults` says and no tray that is chosen for a case can have: its length and width are
// the case's, it is cut in one, and what is in it is chosen with it.
func (f *finisher) checkChosen(cases []Case) {
	i := slices.IndexFunc(cases, func(c Case) bool { return len(c.Stack) == 0 })
	if i < 0 {
		return
	}
	refuse := func(at finding.Position, key, hint string) {
		f.Fail(at, "default-of-chosen", "`tray_defaults` has `"+key+"`, and no tray that `arrange` chooses for case "+finding.Quote(cases[i].Name)+" can have it", hint)
	}
	const each = "take it out here, and write it on each tray of `trays` that is to have it"
	d := &f.defaults
	sized := func(c Case) bool {
		return len(c.Stack) > 0 || c.Inside.Length == d.Length && c.Inside.Width == d.Width
	}
	if other := slices.IndexFunc(cases, func(c Case) bool { return !sized(c) }); d.sizeAt.Line > 0 && other >= 0 {
		f.Fail(d.sizeAt, "size-and-case", "`tray_defaults` has a `size` that is not the inside of case "+finding.Quote(cases[other].Name)+", for which trays are chosen", "leave `size` out: the tray takes the case's length and width")
	}
	for k := 1; k < len(d.Layers)-1; k++ {
		if first, l := d.Layers[0], d.Layers[k]; l.Foam != first.Foam || l.ZZero != first.ZZero {
			f.Warn(l.Position, "layer-not-chosen", fmt.Sprintf("layer %d of `tray_defaults` is in no tray that `arrange` chooses for case %s: a pad there is as the first layer says, the base as the last", k+1, finding.Quote(cases[i].Name)),
				"write the trays that are to have it under `trays`, or take it out")
		}
	}
	if d.Halves == 2 {
		refuse(d.halvesAt, "halves: 2", each)
	}
	if len(d.holdsPositions) > 0 {
		refuse(d.holdsPositions[0], "holds", each+"; or on the case")
	}
	if len(d.pockets) > 0 {
		refuse(d.pockets[0].Position, "pockets", each)
	}
}

// Written is the layer as a job has it, on one line.
func (l Layer) Written(length func(units.Length) string) string {
	foam := l.Foam
	if !strict.Plain(foam) {
		foam = strconv.Quote(foam)
	}
	keys := []string{"foam: " + foam, "thickness: " + length(l.Thickness)}
	if l.Measured > 0 {
		keys = append(keys, "measured: "+length(l.Measured))
	}
	if l.ZZero != "" {
		keys = append(keys, "z_zero: "+l.ZZero)
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

// As is a sheet of another thickness that stands for a row of `layers` in a tray that is chosen: it has all that the row
// says, save for what was measured, which any of the rows for the same foam and label may say.
func (l Layer) As(thickness units.Length, rows []Layer) Layer {
	l.Thickness, l.Measured = thickness, 0
	for _, r := range rows {
		if r.Of(l.Foam, thickness) && r.Measured > 0 {
			l.Position, l.Measured = r.Position, r.Measured
			break
		}
	}
	return l
}
