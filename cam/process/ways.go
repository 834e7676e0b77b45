package process

import (
	"iter"

	"traywright/geometry"
	"traywright/profiles"
)

// Ways are the program's moves, in order, each with the place that it begins at. They are in true
// mm, and not in the machine's own.
func (p Program) Ways(m profiles.Machine) iter.Seq2[Point, Move] {
	x, y := m.Scale()
	grow := func(p geometry.Point) geometry.Point { return geometry.Point{X: x * p.X, Y: y * p.Y} }
	return func(yield func(Point, Move) bool) {
		for _, op := range p.Ops {
			at := Point{Z: p.ClearZ}
			for _, move := range op.Moves {
				move.To.Point, move.Center = grow(move.To.Point), grow(move.Center)
				if !yield(at, move) {
					return
				}
				at = move.To
			}
		}
	}
}
