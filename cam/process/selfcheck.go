package process

import (
	"fmt"
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// keepsFrom is the last look at an operation, after everything that made it:
// the tool's centre or the beam, whenever it cuts, is at least a distance from
// the edge of the cut's shape, and on the right side of it. Distances are exact
// (geometry.Walls), so a path without fault passes by the rounding alone,
// for which a millionth of a mm is allowed.
func keepsFrom(moves []Move, cut plan.Cut, least float64, outside bool) error {
	const rounding = 1e-6
	walls := geometry.NewWalls(cut.Shape)
	for _, c := range chains(moves) {
		if at := c.Vertices()[0].Point; walls.Contains(at) == outside {
			return fault(cut, "leaves the shape", at)
		}
		if d, at := walls.Gap(c, least-rounding); d < least-rounding {
			return fault(cut, fmt.Sprintf("comes within %.6f mm of the wall instead of %.6f mm", d, least), at)
		}
	}
	return nil
}

func fault(cut plan.Cut, what string, at geometry.Point) error {
	return noPath(cut.Name, fmt.Sprintf("the path made for it %s at X%.3f Y%.3f", what, at.X, at.Y),
		"this is a fault of the program: please report it with the job file, and change the shape a little until it is mended")
}

// chains are the ways cut between rapids, seen from above, there and back again
// so that they are closed. A way that was cut before, on another level, is left out.
func chains(moves []Move) []geometry.Contour {
	var list []geometry.Contour
	var open []geometry.Vertex
	seen := map[geometry.Segment]bool{}
	end := func() {
		if len(open) > 0 {
			list = append(list, thereAndBack(open))
		}
		open = nil
	}
	at := geometry.Point{}
	for _, m := range moves {
		s := geometry.Segment{A: at, B: m.To.Point}
		if m.Kind == CW || m.Kind == CCW {
			s.Bulge = math.Tan(sweep(at, m) / 4)
		}
		at = m.To.Point
		switch {
		case m.Kind == Rapid || seen[s]:
			end()
		case len(open) == 0:
			open = []geometry.Vertex{{Point: s.A, Bulge: s.Bulge}, {Point: s.B}}
		case s.A != s.B:
			open[len(open)-1].Bulge = s.Bulge
			open = append(open, geometry.Vertex{Point: s.B})
		}
		seen[s] = true
	}
	end()
	return list
}

// thereAndBack closes an open way by its own reverse.
func thereAndBack(way []geometry.Vertex) geometry.Contour {
	closed := make([]geometry.Vertex, 0, 2*len(way))
	closed = append(closed, way[:len(way)-1]...)
	for i := len(way) - 1; i > 0; i-- {
		closed = append(closed, geometry.Vertex{Point: way[i].Point, Bulge: -way[i-1].Bulge})
	}
	return geometry.NewContour(closed...)
}
