package process

import "traywright/profiles"

// Plunges are the places below the foam's top to which the program's cutters go straight down
// at feed, in true mm: onto a floor that lies open, behind a tab, and into foam where there is
// no room for a ramp.
func (p Program) Plunges(m profiles.Machine) []Point {
	x, y := m.Scale()
	var list []Point
	for _, op := range p.Ops {
		at := Point{Z: p.ClearZ}
		for _, move := range op.Moves {
			if down := move.Kind == Line && move.To.Point == at.Point && move.To.Z < at.Z; down && move.To.Z < 0 {
				to := move.To
				to.X, to.Y = x*to.X, y*to.Y
				list = append(list, to)
			}
			at = move.To
		}
	}
	return list
}
