package proof_test

import (
	"math"

	"traywright/geometry"
)

// The model's wire: a hot disc that is swept over a grid, never dark. Of each cell it notes how near
// the wire's middle came, how long it was within the kerf, and when it was cut.

const (
	outside  = iota // waste, far from the rim
	rim             // within the kerf around the outline
	kept            // foam that stays
	unsure          // a wall may move over it
	holeCell        // and on: in a hole, by its number
)

type swept struct {
	p             patient
	x0, y0, r     float64
	columns, rows int
	class         []int // of the cells, the good program's own and all others'
	near, heat    []float64
	first         []int // the piece that cut it; 0 for none
	pieces        int
	knows         [2]bool // where it is
}

func newSwept(p patient) *swept {
	b := p.want.Outline.Bounds().Grow(3)
	s := &swept{p: p, x0: b.Min.X, y0: b.Min.Y, r: p.setup.KerfMM[1] / 2, columns: int(b.Width() / modelCellMM), rows: int(b.Height() / modelCellMM)}
	n := s.columns * s.rows
	s.near, s.heat, s.first = make([]float64, n), make([]float64, n), make([]int, n)
	for i := range s.near {
		s.near[i] = math.Inf(1)
	}
	return s
}

func (s *swept) at(cell int) geometry.Point {
	return point(s.x0+(float64(cell%s.columns)+0.5)*modelCellMM, s.y0+(float64(cell/s.columns)+0.5)*modelCellMM)
}

// inFoam reports whether a place lies where foam is for certain, or within a hair of it.
func (s *swept) inFoam(x, y float64) bool {
	b := s.p.want.Outline.Bounds().Grow(2)
	return s.knows[0] && s.knows[1] && x > b.Min.X && x < b.Max.X && y > b.Min.Y && y < b.Max.Y
}

// said is a move's words: until both of its axes were said nobody knows where the wire is.
func (s *swept) said(value map[byte]float64) {
	for axis, letter := range []byte("XY") {
		_, ok := value[letter]
		s.knows[axis] = s.knows[axis] || ok
	}
}

// melt is a piece of a wire's way.
func (w *walker) melt(fx, fy float64) {
	s := w.swept
	if !s.knows[0] || !s.knows[1] {
		return
	}
	s.pieces++
	if s.pieces == 1 && w.motion == 0 { // it comes from anywhere, and is put there
		if s.inFoam(w.x, w.y) {
			w.found["begins in the foam"] = true
		}
		return
	}
	length, l := math.Hypot(w.x-fx, w.y-fy), w.p.limits()
	feed := w.feed
	if w.motion == 0 {
		feed = w.p.setup.Machine.RapidMMPerMin.Value
	}
	if length == 0 || feed <= 0 || length > 1e4 {
		return
	}
	fresh := s.along(fx, fy, w.x, w.y, 60/feed)
	wet := s.inFoam(fx, fy) || s.inFoam(w.x, w.y)
	for harm, is := range map[string]bool{
		"a rapid through foam": w.motion == 0 && fresh > 8,
		"too fast":             w.motion > 0 && fresh > 4 && feed > 1.25*l.FeedMMPerMin,
		"too slow":             w.motion > 0 && wet && length > 0.5 && feed < 0.5*l.FeedMMPerMin,
	} {
		if is {
			w.found[harm] = true
		}
	}
}

// along sweeps the disc along a line, s to a mm, and counts the cells that it cuts afresh.
func (s *swept) along(fx, fy, tx, ty, seconds float64) (fresh int) {
	cell := func(v, from float64) int { return int(math.Floor((v - from) / modelCellMM)) }
	dx, dy := tx-fx, ty-fy
	length := math.Hypot(dx, dy)
	for row := max(0, cell(math.Min(fy, ty)-s.r, s.y0)); row <= min(s.rows-1, cell(math.Max(fy, ty)+s.r, s.y0)); row++ {
		for column := max(0, cell(math.Min(fx, tx)-s.r, s.x0)); column <= min(s.columns-1, cell(math.Max(fx, tx)+s.r, s.x0)); column++ {
			i := row*s.columns + column
			at := s.at(i)
			t := ((at.X-fx)*dx + (at.Y-fy)*dy) / length // mm along
			off := math.Hypot(at.X-fx-math.Min(math.Max(t, 0), length)*dx/length, at.Y-fy-math.Min(math.Max(t, 0), length)*dy/length)
			if off >= s.r {
				continue
			}
			if s.near[i] > s.r-0.06 && off <= s.r-0.06 {
				fresh++
				s.first[i] = s.pieces
			}
			s.near[i] = math.Min(s.near[i], off)
			aside := math.Abs((at.X-fx)*dy-(at.Y-fy)*dx) / length
			if half := (s.r-0.1)*(s.r-0.1) - aside*aside; half > 0 {
				from, to := math.Max(0, t-math.Sqrt(half)), math.Min(length, t+math.Sqrt(half))
				s.heat[i] += seconds * math.Max(0, to-from)
			}
		}
	}
	return fresh
}

// classes say of each cell whose it is.
func (s *swept) classes() []int {
	if s.class == nil {
		s.class = make([]int, len(s.near))
		for i := range s.class {
			s.class[i] = s.classOf(s.at(i))
		}
	}
	return s.class
}

func (s *swept) classOf(at geometry.Point) int {
	for i, c := range s.p.want.Cuts {
		if c.Shape.Contains(at) {
			return holeCell + i
		}
	}
	switch {
	case s.p.inTray(at) && !s.p.besideWall(at, changedMM):
		return kept
	case s.p.want.Outline.Contains(at):
		return unsure
	case s.p.besideWall(at, s.r):
		return rim
	}
	return outside
}

func (s *swept) cut(i int) bool { return s.near[i] <= s.r-0.06 }

// against holds what was cut against what the good program cuts.
func (s *swept) against(good *swept, found harms) {
	once := 2 * (s.r - 0.1) * 60 / s.p.limits().FeedMMPerMin
	free := map[int]int{} // by class, the piece with which the last of its kerf is cut
	for i, class := range good.classes() {
		edge := (class == rim || class >= holeCell) && good.cut(i)
		switch {
		case class == kept && s.cut(i) && good.near[i] >= s.r:
			found["foam is cut that stays"] = true
		case edge && s.near[i] >= s.r:
			found["something is not cut free"] = true
		case class != outside && s.heat[i] > good.heat[i]+0.8*once:
			found["it melts wider"] = true
		}
		if edge {
			free[class] = max(free[class], s.first[i])
		}
	}
	for class, at := range free {
		if class != rim && at > free[rim] {
			found["the tray is loose before it is done"] = true
		}
	}
	if s.parts(good.class) > good.parts(good.class) {
		found["the tray is in pieces"] = true
	}
}

// parts counts the pieces that the kept foam is left in.
func (s *swept) parts(class []int) (count int) {
	left := make([]bool, len(class))
	for i, c := range class {
		left[i] = c == kept && s.near[i] >= s.r
	}
	for i := range left {
		size, stack := 0, []int{i}
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			if stack = stack[:len(stack)-1]; at < 0 || at >= len(left) || !left[at] {
				continue
			}
			left[at] = false
			size++
			stack = append(stack, at-1, at+1, at-s.columns, at+s.columns) // the grid's edges are waste
		}
		if float64(size)*modelCellMM*modelCellMM > 8 {
			count++
		}
	}
	return count
}
