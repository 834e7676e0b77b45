package cam

import (
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// unmarked takes back marks that a pen draws, and the way of a wire, which its slits tell.
func unmarked(want *proof.Wanted, m profiles.Machine) {
	if !m.Engraves() {
		want.MarkLimits, want.Marks = nil, []proof.WantedMark{}
	}
	if m.Process.Traits().Wire {
		want.Way = nil
	}
}

// slits are the ways by which a wire comes into holes, in true mm.
func (w *sheetWork) slits(m profiles.Machine) (list []proof.WantedSlit) {
	x, y := m.Scale()
	for _, d := range w.program.Drawn {
		if v := d.Slit.Vertices(); len(v) == 2 {
			from, to := v[0].Point, v[1].Point
			list = append(list, proof.WantedSlit{From: geometry.Point{X: x * from.X, Y: y * from.Y}, To: geometry.Point{X: x * to.X, Y: y * to.Y}, WidthMM: w.kerf().Value, Name: d.Name})
		}
	}
	return list
}
