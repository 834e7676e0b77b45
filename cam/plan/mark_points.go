package plan

import (
	"fmt"
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// A point of a drawing, such as a star's, is finer than any round tool, however large it is drawn. It comes out round, with
// a warning; what has another end than a point is a line, and one that would vanish is refused.
const (
	// longestPoint is how far a tool may end short of a point, in its radii: as far as in a point of 19 degrees
	// (judged, no source).
	longestPoint = 5
	// taper is how much of the foam beyond the middle of what is lost may lie in its last quarter: a quarter in a point,
	// a half in a line (judged, no source).
	taper = 0.36
)

// bluntBy is how far at most a shape as a tool of radius r leaves it ends short of the points of a piece; line says that it loses
// more than points.
func (m *maker) bluntBy(piece, shape geometry.Region, r float64) (most float64, line bool, err error) {
	lost, err := geometry.Difference(piece, shape, m.TolMM)
	if err != nil {
		return 0, false, err
	}
	walls := geometry.NewWalls(shape)
	for _, part := range lost.Pieces() {
		far := 0.0
		for _, c := range part.Contours() {
			for s := range c.Segments() {
				far = math.Max(far, walls.DistanceTo(s.A, 0))
			}
		}
		most = math.Max(most, far)
		if far <= roundShare*r {
			continue
		}
		half, err := m.farther(part, shape, far/2)
		if err != nil {
			return 0, false, err
		}
		last, err := m.farther(part, shape, far*3/4)
		if err != nil {
			return 0, false, err
		}
		if far > longestPoint*r || last > taper*half {
			return 0, true, nil
		}
	}
	return most, false, nil
}

// farther is the area of a part that is farther than so much from a shape.
func (m *maker) farther(part, shape geometry.Region, mm float64) (float64, error) {
	grown, err := geometry.Offset(shape, mm, m.TolMM)
	if err != nil {
		return 0, err
	}
	far, err := geometry.Difference(part, grown, m.TolMM)
	return far.Area(), err
}

// tellBlunt warns of points that come out round.
func (m *maker) tellBlunt(k *mark, blunt float64, at geometry.Point, tool profiles.Tool, r float64) {
	if blunt == 0 {
		return
	}
	m.log.warn(k.at, "points-rounded", fmt.Sprintf("has points that come out round, as near x %s, y %s: the tool %s, which cuts %s wide, ends up to %s short of them",
		m.mm(at.X), m.mm(at.Y), tool.ID, m.mm(2*r), m.mm(blunt)),
		"look at the sheet's picture; a thinner tool (`tool:`) goes further into them")
}

// chooseMark chooses the tool of a mark that is cut: the first that makes all of it, or else, of a drawing, the thinnest, which
// goes furthest into its points. Where none can, the thinnest says why.
func (m *maker) chooseMark(k *mark, t task) (choice, *refusal) {
	var finest *refusal
	thinnest := math.Inf(1)
	c, no := m.choose(t, func(tool profiles.Tool, recipes []profiles.Recipe) (choice, *refusal) {
		c, no := m.tryMark(k, tool, recipes, false)
		if r := radius(recipes); no != nil && r < thinnest {
			finest, thinnest = no, r
		}
		return c, no
	})
	if no == nil || finest == nil {
		return c, no
	}
	if k.label == nil {
		c, no = m.choose(t, func(tool profiles.Tool, recipes []profiles.Recipe) (choice, *refusal) {
			if radius(recipes) > thinnest {
				return choice{}, finest
			}
			return m.tryMark(k, tool, recipes, true)
		})
		if no == nil {
			m.tellBlunt(k, c.reached.over, c.reached.at, c.tool, radius(c.recipes))
			return c, nil
		}
	}
	return choice{}, finest
}
