package proof_test

import (
	"math"

	"traywright/geometry"
)

// The model's foam: a height field under a cutter, and points along the good cuts of
// a beam that count what goes over them.

const modelCellMM = 0.25

// milled is a height field: how deep each cell's middle is cut.
type milled struct {
	x0, y0  float64
	columns int
	rows    int
	depth   []float64
	radius  float64
	thick   float64
}

func newMilled(p patient) *milled {
	box := p.want.Outline.Bounds().Grow(7)
	m := &milled{x0: box.Min.X, y0: box.Min.Y, thick: p.setup.ThicknessMM}
	for _, kerf := range p.setup.KerfMM {
		m.radius = kerf / 2
	}
	m.columns, m.rows = int(box.Width()/modelCellMM), int(box.Height()/modelCellMM)
	m.depth = make([]float64, m.columns*m.rows)
	return m
}

func (m *milled) at(cell int) geometry.Point {
	return point(m.x0+(float64(cell%m.columns)+0.5)*modelCellMM, m.y0+(float64(cell/m.columns)+0.5)*modelCellMM)
}

// each visits the cells within a radius of a way, with the deepest that a flat disc on
// it reaches there: for as long as the disc is over a cell, its depth changes evenly.
func (m *milled) each(fx, fy, fz, tx, ty, tz, radius float64, visit func(cell int, depth float64)) {
	if math.Abs(fx)+math.Abs(fy)+math.Abs(tx)+math.Abs(ty) > 1e5 {
		return
	}
	c0, c1 := m.span(math.Min(fx, tx)-radius-m.x0, math.Max(fx, tx)+radius-m.x0, m.columns)
	r0, r1 := m.span(math.Min(fy, ty)-radius-m.y0, math.Max(fy, ty)+radius-m.y0, m.rows)
	dx, dy := tx-fx, ty-fy
	square := dx*dx + dy*dy
	for r := r0; r <= r1; r++ {
		for c := c0; c <= c1; c++ {
			p := m.at(r*m.columns + c)
			px, py := p.X-fx, p.Y-fy
			t0, t1 := 0.0, 1.0
			if square > 0 {
				middle, off := (px*dx+py*dy)/square, (px*dy-py*dx)*(px*dy-py*dx)/square
				if off > radius*radius {
					continue
				}
				half := math.Sqrt((radius*radius - off) / square)
				t0, t1 = math.Max(0, middle-half), math.Min(1, middle+half)
			} else if px*px+py*py > radius*radius {
				continue
			}
			if t0 <= t1 {
				visit(r*m.columns+c, -math.Min(fz+t0*(tz-fz), fz+t1*(tz-fz)))
			}
		}
	}
}

func (m *milled) span(low, high float64, count int) (int, int) {
	return max(0, int(math.Floor(low/modelCellMM))), min(count-1, int(math.Ceil(high/modelCellMM)))
}

// cut mills, and returns the most foam that it took well within the cutter.
func (m *milled) cut(fx, fy, fz, tx, ty, tz float64) float64 {
	took := 0.0
	m.each(fx, fy, fz, tx, ty, tz, m.radius-2*modelCellMM, func(cell int, depth float64) {
		took = math.Max(took, math.Min(depth, m.thick)-m.depth[cell])
	})
	m.each(fx, fy, fz, tx, ty, tz, m.radius, func(cell int, depth float64) { m.depth[cell] = math.Max(m.depth[cell], depth) })
	return took
}

// under is how much foam stands under a tool's middle above a height.
func (m *milled) under(x, y, z float64) float64 {
	c, r := int((x-m.x0)/modelCellMM), int((y-m.y0)/modelCellMM)
	if c < 0 || r < 0 || c >= m.columns || r >= m.rows {
		return 0
	}
	return math.Min(-z, m.thick) - m.depth[r*m.columns+c]
}

// foamAt reports whether a way well within the cutter meets foam.
func (m *milled) foamAt(fx, fy, fz, tx, ty, tz float64) bool {
	meets := false
	m.each(fx, fy, fz, tx, ty, tz, m.radius-2*modelCellMM, func(cell int, depth float64) {
		meets = meets || depth > m.depth[cell]+0.1
	})
	return meets
}

// against finds foam of the tray that is not as the good program leaves it.
func (m *milled) against(good *milled, p patient, found harms) {
	for cell, was := range good.depth {
		if math.Abs(math.Min(was, m.thick)-math.Min(m.depth[cell], m.thick)) > 0.06 && p.inTray(m.at(cell)) {
			found["other foam is left"] = true
			return
		}
	}
}

// burnt counts what goes over points of the good cuts.
type burnt struct {
	places  map[[2]int][]int // by cells of 1 mm
	at      []geometry.Point
	wall    []bool // a place is beside a wall or the outline, not on the way to it through waste
	finding bool
	full    []float64 // passes that count, each by its energy and at most one
	heat    []float64
}

// newBurnt counts at the places of a good program; without one, it finds those.
func newBurnt(good *burnt) *burnt {
	if good == nil {
		return &burnt{places: map[[2]int][]int{}, finding: true}
	}
	return &burnt{places: good.places, at: good.at, wall: good.wall, full: make([]float64, len(good.at)), heat: make([]float64, len(good.at))}
}

// place notes points of a cut.
func (b *burnt) place(fx, fy, tx, ty float64, p patient) {
	length := math.Hypot(tx-fx, ty-fy)
	for s := math.Min(0.25, length/2); s < length; s += 1.7 {
		at := point(fx+s/length*(tx-fx), fy+s/length*(ty-fy))
		key := [2]int{int(math.Floor(at.X)), int(math.Floor(at.Y))}
		b.places[key] = append(b.places[key], len(b.at))
		b.at, b.wall = append(b.at, at), append(b.wall, p.besideWall(at, kerfMM/2+0.05))
	}
}

// along adds a piece of the beam's way, and finds a cut in the tray's own foam.
func (b *burnt) along(fx, fy, tx, ty, strength float64, p patient, found harms) {
	const step, near = 0.2, 0.05
	length := math.Hypot(tx-fx, ty-fy)
	switch {
	case length > 1e4:
		return
	case b.finding:
		b.place(fx, fy, tx, ty, p)
		return
	}
	seen := map[int]bool{}
	for s := 0.0; s <= length; s += step {
		t := 0.0
		if length > 0 {
			t = s / length
		}
		at := point(fx+t*(tx-fx), fy+t*(ty-fy))
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, i := range b.places[[2]int{int(math.Floor(at.X)) + dx, int(math.Floor(at.Y)) + dy}] {
					if !seen[i] && passingBy(b.at[i], fx, fy, tx, ty) < near {
						seen[i] = true
						b.full[i] += math.Min(1, strength)
						b.heat[i] += strength
					}
				}
			}
		}
		if strength > 0.4 && length > 0.5 && p.inTray(at) && !p.besideWall(at, 0.4) {
			found["a cut in the tray"] = true
		}
	}
}

// passingBy is how far a place lies beside a line, without end where the line does not pass by
// it. A line has its start and not its end, so that a chain of them passes by a place once,
// wherever it is parted.
func passingBy(p geometry.Point, fx, fy, tx, ty float64) float64 {
	dx, dy := tx-fx, ty-fy
	t, square := 0.0, dx*dx+dy*dy
	if square > 0 {
		t = ((p.X-fx)*dx + (p.Y-fy)*dy) / square
	}
	if t < 0 || t >= 1 {
		return math.Inf(1)
	}
	return math.Hypot(p.X-fx-t*dx, p.Y-fy-t*dy)
}

// besideWall reports whether a place is within reach of a wall or of the outline.
func (p patient) besideWall(at geometry.Point, reach float64) bool {
	regions := []geometry.Region{p.want.Outline}
	for _, c := range p.want.Cuts {
		regions = append(regions, c.Shape)
	}
	for _, r := range regions {
		for _, c := range r.Contours() {
			for s := range c.Segments() {
				if on, _ := s.Nearest(at); on.DistanceTo(at) < reach {
					return true
				}
			}
		}
	}
	return false
}

// against finds places beside a wall that are not cut through, and places that are burnt.
func (b *burnt) against(good *burnt, passes float64, found harms) {
	for i := range b.at {
		if b.wall[i] && good.full[i] > passes-0.1 && b.full[i] < 0.85*passes {
			found["not cut through"] = true
		}
		if b.heat[i] > 1.4*good.heat[i] {
			found["too much heat"] = true
		}
	}
}
