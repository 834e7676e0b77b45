package process

import (
	"traywright/cam/plan"
	"traywright/geometry"
)

// Every path of a router is laid out for climb cutting, the wall on its right. The mirror image of
// one that is laid out in a mirrored shape cuts that shape the conventional way, the wall on
// its left, and keeps all else: ramps, leads, tabs and the order of laps.

// pocket clears a hole, along cuts a groove around a line, outline cuts the tray free: the way
// round that the plan has decided.
func (r *router) pocket(cut plan.Cut, near geometry.Point) (finished, error) {
	return r.around(cut, near, r.clear)
}
func (r *router) along(cut plan.Cut, near geometry.Point) (finished, error) {
	return r.around(cut, near, r.groove)
}
func (r *router) outline(edge plan.Cut, near geometry.Point) (finished, error) {
	return r.around(edge, near, r.free)
}

func (r *router) around(cut plan.Cut, near geometry.Point, by func(plan.Cut, geometry.Point) (finished, error)) (finished, error) {
	if !cut.Conventional {
		return by(cut, near)
	}
	cut.Shape, cut.Roughed = mirrorImage(cut.Shape), mirrorImage(cut.Roughed)
	if cut.Along.Len() > 0 {
		cut.Along = mirrorImage(geometry.NewRegion(cut.Along)).Contours()[0]
	}
	f, err := by(cut, mirror(near))
	if err != nil {
		return f, err
	}
	f.walls = mirrorImage(f.walls)
	moves := f.op.Moves
	f.op.Moves = nil
	for _, m := range moves { // another pocket's path may be made of the same
		f.op.Moves = append(f.op.Moves, m.mirrored())
	}
	return f, nil
}

func mirror(p geometry.Point) geometry.Point { return geometry.Point{X: -p.X, Y: p.Y} }

// mirrorImage is the region's mirror image, its contours travelled as before: the foam on the same side.
func mirrorImage(r geometry.Region) geometry.Region {
	var list []geometry.Contour
	for _, c := range r.Contours() {
		vertices := c.Vertices()
		for i, v := range vertices {
			vertices[i] = geometry.Vertex{Point: mirror(v.Point), Bulge: -v.Bulge}
		}
		list = append(list, geometry.NewContour(vertices...).Reverse())
	}
	return geometry.NewRegion(list...)
}

func (m Move) mirrored() Move {
	m.To.Point = mirror(m.To.Point)
	switch m.Kind {
	case CW:
		m.Kind, m.Center = CCW, mirror(m.Center)
	case CCW:
		m.Kind, m.Center = CW, mirror(m.Center)
	}
	return m
}
