package plan

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// Moves are where an entry of `pockets` may go, with all of its grid.
type Moves struct {
	Tray    *Tray
	Source  *job.Tray
	Entry   *job.Pocket
	Pockets []int           // of the tray, that move
	Allowed geometry.Region // moves in mm, none is {0, 0}; lines alone
}

// MovesOf is what may be done with the entry of `pockets` at a place of the job's files: it keeps
// the tray's edge, and its wall to all other pockets, labels and emblems. What it lies on or too
// near to already holds it nowhere. False where there is no such entry in one tray.
func (p *Plan) MovesOf(at finding.Position) (Moves, bool, error) {
	m := Moves{}
	for i := range p.Trays {
		for k, pocket := range p.Trays[i].Pockets {
			if pocket.Position != at || pocket.Dowel != 0 {
				continue
			}
			if m.Tray != nil && m.Tray != &p.Trays[i] {
				return m, false, nil // a grid on both halves
			}
			m.Tray, m.Pockets = &p.Trays[i], append(m.Pockets, k)
		}
	}
	if m.Tray == nil || !m.find(p.Job, at) {
		return m, false, nil
	}
	var err error
	m.Allowed, err = m.allowed()
	return m, err == nil, err
}

// find looks up what the job says of the entry.
func (m *Moves) find(j *job.Job, at finding.Position) bool {
	for i := range j.Trays {
		for k := range j.Trays[i].Pockets {
			if j.Trays[i].Pockets[k].Position == at {
				m.Source, m.Entry = &j.Trays[i], &j.Trays[i].Pockets[k]
				return true
			}
		}
	}
	return false
}

func (m *Moves) allowed() (geometry.Region, error) {
	const tol = 1e-6
	var shapes []geometry.Region
	for _, k := range m.Pockets {
		shapes = append(shapes, m.Tray.Pockets[k].Design)
	}
	room := geometry.Within(m.inner(), shapes)
	if len(room) < 3 {
		return geometry.Region{}, nil
	}
	whole := geometry.NewRegion(geometry.Polygon(room...))
	var near []geometry.Region
	for _, stands := range m.standing() {
		for _, s := range shapes {
			reach := geometry.Box{Min: stands.Bounds().Min.Sub(s.Bounds().Max), Max: stands.Bounds().Max.Sub(s.Bounds().Min)}.Grow(m.Source.Wall.MM())
			if b := whole.Bounds(); reach.Min.X > b.Max.X || reach.Max.X < b.Min.X || reach.Min.Y > b.Max.Y || reach.Max.Y < b.Min.Y {
				continue
			}
			r, err := geometry.TooNear(stands, s, m.Source.Wall.MM(), tol)
			if err != nil {
				return geometry.Region{}, err
			}
			if !already(r, geometry.Point{}) {
				near = append(near, r)
			}
		}
	}
	forbidden, err := geometry.Union(tol, near...)
	if err != nil {
		return geometry.Region{}, err
	}
	return geometry.Difference(whole, forbidden, tol)
}

// roundingMM is what the arithmetic takes off a limit.
const roundingMM = 1e-5

// already reports whether a move lies in a region, and not on its rim by rounding.
func already(r geometry.Region, p geometry.Point) bool {
	return r.Contains(p) && geometry.NewWalls(r).DistanceTo(p, 2*roundingMM) > roundingMM
}

// May reports whether a move is allowed.
func (m Moves) May(move geometry.Point) bool {
	return m.Allowed.Contains(move) || !m.Allowed.Empty() && geometry.NewWalls(m.Allowed).DistanceTo(move, 2*roundingMM) <= roundingMM
}

// standing is what does not move: the other pockets, and the boxes of labels and emblems.
func (m *Moves) standing() []geometry.Region {
	var list []geometry.Region
	for i, k := range m.Tray.Pockets {
		if !slices.Contains(m.Pockets, i) {
			list = append(list, k.Design)
		}
	}
	for _, k := range m.Tray.Marks {
		list = append(list, geometry.NewRegion(geometry.Rectangle(k.Box, 0)))
	}
	return list
}

// inner is the rim moved in by the edge, as a convex polygon in it.
func (m *Moves) inner() []geometry.Point {
	edge := m.Source.Edge.MM()
	box := geometry.Box{Max: geometry.Point{X: m.Tray.Length.MM(), Y: m.Tray.Width.MM()}}.Grow(-edge)
	if box.Empty() {
		return nil
	}
	const chords = 12 // of a corner
	var points []geometry.Point
	for s := range geometry.Rectangle(box, max(0, min(m.Source.Corner.MM()-edge, box.Width()/2, box.Height()/2))).Segments() {
		points = append(points, s.A)
		for i := 1; s.IsArc() && i < chords; i++ {
			points = append(points, s.At(float64(i)/chords))
		}
	}
	return points
}
