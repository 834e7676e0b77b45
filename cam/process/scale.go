package process

import (
	"math"
	"slices"

	"traywright/geometry"
	"traywright/profiles"
)

// A machine whose screw or belt is a little off makes scale mm of each mm that
// it is told. So what shall be w mm long is programmed as w/scale along that
// axis, about the program's X0 Y0: kerf and tool are taken off in true mm
// first, since neither grows with the axis.
//
// With one scale for both axes arcs stay arcs. With two, an arc that shall come
// out round is programmed as a part of an ellipse, which arcs follow within a
// tolerance.

// scaleTolMM is how far arcs may stray from the ellipse that is programmed for a
// round wall: a twentieth of what the dry run lets a wall be off.
const scaleTolMM = 0.001

// forMachine is the program in the machine's own mm; Finished stays as the foam
// will be. A machine without scales gets the program as it is.
func forMachine(p Program, m profiles.Machine) (Program, error) {
	x, y := m.Scale()
	s := scaling{1 / x, 1 / y}
	if s.x == 1 && s.y == 1 {
		return p, nil
	}
	for i := range p.Ops {
		moves, err := s.moves(p.Ops[i].Moves)
		if err != nil {
			return Program{}, err
		}
		p.Ops[i].Moves = moves
	}
	for i := range p.Drawn {
		d := &p.Drawn[i]
		contour, err := s.chain(d.Contour.Segments())
		if err != nil {
			return Program{}, err
		}
		path, err := s.chain(d.Path.Segments())
		if err != nil {
			return Program{}, err
		}
		if n := len(contour); n > 0 {
			d.Contour = geometry.NewContour(contour[:n-1]...)
		}
		slit, err := s.chain(d.Slit.Segments())
		if err != nil {
			return Program{}, err
		}
		d.Path, d.Slit = geometry.NewPath(path...), geometry.NewPath(slit...)
	}
	return p, nil
}

// scaling is what X and Y are multiplied by.
type scaling struct{ x, y float64 }

func (s scaling) even() bool { return s.x == s.y }

func (s scaling) point(p geometry.Point) geometry.Point {
	return geometry.Point{X: s.x * p.X, Y: s.y * p.Y}
}

// moves scales a chain of moves. It begins with a rapid, so where the machine
// was before does not matter.
func (s scaling) moves(list []Move) ([]Move, error) {
	out := make([]Move, 0, len(list))
	at, heading := Point{}, 0.0
	for _, m := range list {
		from, before := at, heading
		at, heading = m.To, m.Heading
		arc := m.Kind == CW || m.Kind == CCW
		if arc && !s.even() {
			pieces, err := s.arc(from, before, m)
			if err != nil {
				return nil, err
			}
			out = append(out, pieces...)
			continue
		}
		m.To.Point = s.point(m.To.Point)
		if arc {
			m.Center = s.point(m.Center)
		}
		out = append(out, m)
	}
	return out, nil
}

// arc is the moves along a scaled arc. The height and where a blade points change with the angle
// turned, as they did on the arc.
func (s scaling) arc(from Point, heading float64, m Move) ([]Move, error) {
	turn := sweep(from.Point, m)
	start := m.To.Point
	if turn > 0 {
		start = from.Point
	}
	path, err := s.ellipse(m.Center, start, from.DistanceTo(m.Center), math.Abs(turn))
	if err != nil {
		return nil, err
	}
	pieces := slices.Collect(path.Segments())
	if turn < 0 {
		slices.Reverse(pieces)
	}
	whole, done := path.Length(), 0.0
	var out []Move
	for _, seg := range pieces {
		done += seg.Length()
		piece := m
		piece.To = Point{seg.B, from.Z + (m.To.Z-from.Z)*done/whole}
		piece.Heading = heading + (m.Heading-heading)*done/whole
		if turn < 0 {
			piece.To.Point = seg.A
		}
		if piece.Center = seg.Center(); !seg.IsArc() {
			piece.Kind, piece.Center = Line, geometry.Point{}
		}
		out = append(out, piece)
	}
	if n := len(out); n > 0 {
		out[n-1].To = Point{s.point(m.To.Point), m.To.Z}
	}
	return out, nil
}

// ellipse is what becomes of an arc that turns counter-clockwise from start, as
// a path of arcs within scaleTolMM of it. An arc is always followed the same
// way, so that a pass back is the pass there to the last digit.
func (s scaling) ellipse(center, start geometry.Point, radius, turn float64) (geometry.Path, error) {
	from := start.Sub(center)
	angle := math.Atan2(from.Y, from.X)
	major, ratio := geometry.Point{X: radius * s.x}, s.y/s.x
	if s.y > s.x {
		major, ratio = geometry.Point{Y: radius * s.y}, s.x/s.y
		angle -= math.Pi / 2
	}
	return geometry.FitEllipse(s.point(center), major, ratio, angle, angle+turn, scaleTolMM)
}

// chain scales segments; the last vertex is where they end.
func (s scaling) chain(segments func(func(geometry.Segment) bool)) ([]geometry.Vertex, error) {
	var list []geometry.Vertex
	var end geometry.Point
	for seg := range segments {
		end = s.point(seg.B)
		if !seg.IsArc() || s.even() {
			list = append(list, geometry.Vertex{Point: s.point(seg.A), Bulge: seg.Bulge})
			continue
		}
		turn, start := seg.Sweep(), seg.A
		if turn < 0 {
			start = seg.B
		}
		path, err := s.ellipse(seg.Center(), start, seg.Radius(), math.Abs(turn))
		if err != nil {
			return nil, err
		}
		if turn < 0 {
			path = path.Reverse()
		}
		vertices := path.Vertices()
		if n := len(vertices); n > 1 {
			vertices[0].Point = s.point(seg.A)
			list = append(list, vertices[:n-1]...)
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	return append(list, geometry.Vertex{Point: end}), nil
}
