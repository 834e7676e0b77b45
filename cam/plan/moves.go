package plan

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Moves are where an entry of `pockets`, `labels` or `emblems` may go, a pocket with all of its grid.
type Moves struct {
	Tray    *Tray
	Source  *job.Tray
	At      finding.Position
	X, Y    units.Length    // its `at`
	Pocket  *job.Pocket     // nil of a label or an emblem
	Label   *job.Label      // nil of a pocket or an emblem
	Pockets []int           // of the tray, that move
	Marks   []int           // of the tray, that move
	Allowed geometry.Region // moves in mm, none is {0, 0}; lines alone
}

// MovesOf is what may be done with the entry at a place of the job's files: it keeps the tray's
// edge, and its wall to all other pockets, labels and emblems; what is lettered or drawn counts as
// its box. What it lies on or too near to already holds it nowhere. False where there is no such
// entry in one tray.
func (p *Plan) MovesOf(at finding.Position) (Moves, bool, error) {
	m := Moves{At: at}
	for i := range p.Trays {
		t := &p.Trays[i]
		pockets, marks := t.at(at)
		if len(pockets)+len(marks) == 0 {
			continue
		}
		if m.Tray != nil {
			return m, false, nil // a grid on both halves, or a label that several trays share
		}
		m.Tray, m.Pockets, m.Marks = t, pockets, marks
	}
	if m.Tray == nil || !m.find(p.Job) {
		return m, false, nil
	}
	var err error
	m.Allowed, err = m.allowed()
	return m, err == nil, err
}

// at are the pockets, and the labels and emblems, of the entry at a place.
func (t *Tray) at(at finding.Position) (pockets, marks []int) {
	for k, pocket := range t.Pockets {
		if pocket.Position == at && pocket.Dowel == 0 {
			pockets = append(pockets, k)
		}
	}
	for k, mark := range t.Marks {
		if mark.Position == at {
			marks = append(marks, k)
		}
	}
	return pockets, marks
}

// find looks up what the job says of the entry.
func (m *Moves) find(j *job.Job) bool {
	for i := range j.Trays {
		t := &j.Trays[i]
		m.Source = t
		for k := range t.Pockets {
			if p := &t.Pockets[k]; p.Position == m.At {
				m.Pocket, m.X, m.Y = p, p.X, p.Y
				return true
			}
		}
		for k := range t.Labels {
			if l := &t.Labels[k]; l.Position == m.At {
				m.Label, m.X, m.Y = l, l.X, l.Y
				return true
			}
		}
		for _, e := range t.Emblems {
			if e.Position == m.At {
				m.X, m.Y = e.X, e.Y
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
	for _, k := range m.Marks {
		shapes = append(shapes, geometry.NewRegion(geometry.Rectangle(m.Tray.Marks[k].Box, 0)))
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
	for i, k := range m.Tray.Marks {
		if !slices.Contains(m.Marks, i) {
			list = append(list, geometry.NewRegion(geometry.Rectangle(k.Box, 0)))
		}
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
