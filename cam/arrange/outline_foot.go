package arrange

import (
	"math"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// foot is what one pocket takes of a tray at a turn, from the lower-left corner of its own box: its true outline with
// notches, or, of a box, the box with notches and relief. What it goes around is taken with it.
type foot struct {
	shape geometry.Region
	box   geometry.Box
	turn  float64 // that the job writes, degrees
	area  map[units.Length]float64
	spots map[spotsKey][]node
}

// feet are made once for all trays of a job.
type feet struct {
	outlines map[string]geometry.Region
	known    map[footKey]*foot
}

// footKey is all that a foot depends on.
type footKey struct {
	need          plan.Need
	turned        bool
	notch         job.Side
	reach, relief units.Length
	width         units.Length // of a notch
	turn          float64
}

// of is the foot of a block's pockets at a turn more; nil where it has none.
func (s *feet) of(b block, turn float64) *foot {
	b.open = 0 // no part of a single pocket
	key := footKey{b.need, b.turned, b.notch, b.reach, b.relief, b.of.habits.NotchWidth, turn}
	if f, ok := s.known[key]; ok {
		return f
	}
	f := s.made(b, turn)
	s.known[key] = f
	return f
}

func (s *feet) made(b block, turn float64) *foot {
	shape, err := geometry.Region{}, error(nil)
	if b.need.Outline == "" && (!b.need.Round || b.notch != 0) {
		shape = cellShape(b, turn)
	} else {
		p := b.pockets(b.of.habits, 0, &job.Tray{})[0]
		p.Turn += turn
		shape, err = plan.DesignOf(p, s.outlines)
	}
	var outer []geometry.Contour
	for _, c := range shape.Contours() {
		if c.Area() > 0 {
			outer = append(outer, c)
		}
	}
	if err != nil || len(outer) == 0 {
		return nil
	}
	shape = geometry.NewRegion(outer...)
	return &foot{shape: shape, box: shape.Bounds(), turn: turn, area: map[units.Length]float64{}, spots: map[spotsKey][]node{}}
}

// cellShape is the box of one pocket with its notches and its relief, turned.
func cellShape(b block, turn float64) geometry.Region {
	length, width := b.pocket()
	own := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: length.MM(), Y: width.MM()}}, 0)
	cell := geometry.Rectangle(geometry.Box{
		Min: geometry.Point{X: -b.margin(job.West).MM(), Y: -b.margin(job.South).MM()},
		Max: geometry.Point{X: (length + b.margin(job.East)).MM(), Y: (width + b.margin(job.North)).MM()},
	}, 0)
	about := geometry.Rotate(turn/90*(math.Pi/2), geometry.Point{})
	low := own.Transform(about).Bounds().Min
	return geometry.NewRegion(cell.Transform(about.Then(geometry.Translate(-low.X, -low.Y))))
}

// cost is the area that it takes with half a wall around it, mm2.
func (f *foot) cost(wall units.Length) float64 {
	if a, ok := f.area[wall]; ok {
		return a
	}
	a := f.shape.Area()
	if grown, err := geometry.Offset(f.shape, wall.MM()/2, 1e-6); err == nil {
		a = grown.Area()
	}
	f.area[wall] = a
	return a
}

// node is a place of a foot, in steps.
type node struct{ x, y int }

// used is the area that a block takes with half a wall around each pocket, mm2.
func (b block) used(wall units.Length) float64 {
	if b.foot != nil {
		return b.foot.cost(wall)
	}
	l, w := b.cell()
	return float64(b.count) * (l + wall).MM() * (w + wall).MM()
}

type spotsKey struct{ step, wall float64 }

// spotsAt are places of it, rounded to steps: along its outline no further apart than half a wall and 2 mm, and about a wall
// apart inside it, so that nothing with a wall around it lies between them. Each is far from those before it.
func (f *foot) spotsAt(step, wall float64) []node {
	key := spotsKey{step, wall}
	if list, ok := f.spots[key]; ok {
		return list
	}
	var all []node
	seen := map[node]bool{}
	for _, p := range f.places(min(2, max(step, wall/2)), max(2, wall)) {
		s := node{int(math.Round(p.X / step)), int(math.Round(p.Y / step))}
		if !seen[s] {
			seen[s] = true
			all = append(all, s)
		}
	}
	list := make([]node, 0, len(all))
	for stride := strideOf(len(all)); len(list) < len(all); {
		list = append(list, all[len(list)*stride%len(all)])
	}
	f.spots[key] = list
	return list
}

// strideOf is about the golden part of a number, and has no divisor in common with it.
func strideOf(n int) int {
	for stride := max(1, int(float64(n)*(math.Sqrt(5)-1)/2)); ; stride++ {
		a, b := stride, n
		for b > 0 {
			a, b = b, a%b
		}
		if a <= 1 {
			return stride
		}
	}
}

// places are points of it that are nowhere further apart than asked along its outline, and inside it.
func (f *foot) places(apart, across float64) (list []geometry.Point) {
	for _, c := range f.shape.Contours() {
		for s := range c.Segments() {
			n := max(1, int(math.Ceil(s.Length()/apart)))
			for i := range n {
				list = append(list, s.At(float64(i)/float64(n)))
			}
		}
	}
	inside := geometry.NewWalls(f.shape)
	for x := f.box.Min.X + across/2; x < f.box.Max.X; x += across {
		for y := f.box.Min.Y + across/2; y < f.box.Max.Y; y += across {
			if p := (geometry.Point{X: x, Y: y}); inside.Contains(p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// at is the foot where a pocket's own box begins at a place.
func (f *foot) at(x, y units.Length) geometry.Region {
	return f.shape.Transform(geometry.Translate(x.MM(), y.MM()))
}

// turns are those beyond quarters of the foot of a block's pockets that are tried one by one.
func (k kind) turns(b block) []float64 {
	step, end := 90, 360
	if k.anyTurn() {
		step = job.TurnStep
	}
	switch {
	case b.need.Outline == "" && b.need.Round && b.notch == 0:
		return []float64{0}
	case b.need.Outline == "" && b.notch == 0:
		end = 180 // a box is the same upside down
	}
	var list []float64
	for turn := 0; turn < end; turn += step {
		// The quarters of a box are its two ways to lie.
		if b.need.Outline != "" || turn == 0 || turn%90 != 0 {
			list = append(list, float64(turn))
		}
	}
	return list
}

// anyTurn reports whether it may be turned by less than a quarter.
func (k kind) anyTurn() bool {
	if k.piece.Turns != job.UsualTurns {
		return k.piece.Turns == job.AnyTurns
	}
	return k.habits.Turns == job.AnyTurns
}

// odd reports whether boxes do not say all of how it may lie.
func (k kind) odd() bool { return k.anyTurn() || k.needs[0].Outline != "" }
