package trace

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"traywright/geometry"
)

// A table with pieces on it, photographed by casting a ray through each pixel: pieces are
// upright prisms, the paper may be wavy, the lens may bend lines, a lamp throws soft shadows
// and is mirrored in pieces that shine.

type prism struct {
	shape  geometry.Region // as it lies on the paper
	form   Form
	sides  [2]float64 // length and width, the longer first; of no use for odd ones
	colour [3]float64
	gloss  *geometry.Point // where the lamp is mirrored
	joined int             // pieces that touch each other have one number above 0
	lies   rigid
}

// rigid is how a thing lies on wavy paper: the height of its underside.
type rigid struct{ z, dx, dy float64 }

func (r rigid) at(p geometry.Point) float64 { return r.z + r.dx*p.X + r.dy*p.Y }

type tabletop struct {
	setup
	pieces  []prism
	tall    float64 // of all pieces
	wave    float64 // mm up and down
	phase   [4]float64
	lamp    geometry.Point // that a shadow of a mm of height reaches, mm
	soft    float64        // share of its length that it is blurred over
	shade   float64        // light that is left in it
	shining float64        // light that is mirrored
	seed    uint64
	under   geometry.Point   // the place below the lens
	cells   map[[2]int][]int // the pieces near a square of the table
}

// cellMM is the side of such a square, reachMM how far from its box a piece or its shadow is
// seen.
const cellMM, reachMM = 8.0, 14.0

func cellOf(p geometry.Point) [2]int {
	return [2]int{int(math.Floor(p.X / cellMM)), int(math.Floor(p.Y / cellMM))}
}

// index finds out which pieces are near what.
func (s *tabletop) index(things []thing) {
	s.cells = map[[2]int][]int{}
	for i, r := range things {
		b := r.box.Grow(reachMM)
		low, high := cellOf(b.Min), cellOf(b.Max)
		for x := low[0]; x <= high[0]; x++ {
			for y := low[1]; y <= high[1]; y++ {
				s.cells[[2]int{x, y}] = append(s.cells[[2]int{x, y}], i)
			}
		}
	}
}

// paper is how high it lies.
func (s *tabletop) paper(p geometry.Point) float64 {
	return s.wave * math.Sin(p.X/s.phase[0]+s.phase[1]) * math.Sin(p.Y/s.phase[2]+s.phase[3])
}

// lay lays something rigid onto the paper: the plane nearest to it below its box.
func (s *tabletop) lay(b geometry.Box) rigid {
	if s.wave == 0 {
		return rigid{}
	}
	var f fitting
	for i := range 5 {
		for j := range 5 {
			p := geometry.Point{X: b.Min.X + b.Width()*float64(i)/4, Y: b.Min.Y + b.Height()*float64(j)/4}
			f.add(p.X/100, p.Y/100, s.paper(p), 3)
		}
	}
	plane, _ := f.solve(3)
	return rigid{plane[0], plane[1] / 100, plane[2] / 100}
}

// foot is the place below the lens.
func (s *tabletop) foot() geometry.Point {
	sin, cos := math.Sincos(s.tilt * math.Pi / 180)
	a := s.azimuth * math.Pi / 180
	reach := s.height / cos
	return geometry.Point{X: s.aim.X - sin*math.Cos(a)*reach, Y: s.aim.Y - sin*math.Sin(a)*reach}
}

// up is where a ray that meets the height 0 at p passes a height.
func (s *tabletop) up(p geometry.Point, z float64) geometry.Point {
	return p.Add(s.under.Sub(p).Scale(z / s.height))
}

// onto is where it meets something rigid, so much above its underside.
func (s *tabletop) onto(p geometry.Point, r rigid, above float64) geometry.Point {
	q := p
	for range 3 {
		q = s.up(p, r.at(q)+above)
	}
	return q
}

const (
	sceneNothing = -1
	sceneCard    = -2
)

// what is seen along a ray; side is true for the side of a prism.
func (s *tabletop) what(p geometry.Point, things []thing, card thing, lies rigid) (which int, side bool) {
	for _, i := range s.cells[cellOf(p)] {
		for _, share := range [...]float64{1, 0.75, 0.5, 0.25, 0} {
			if things[i].holds(s.onto(p, s.pieces[i].lies, s.tall*share)) {
				return i, share < 1
			}
		}
	}
	if card.holds(s.onto(p, lies, cardThicknessMM)) {
		return sceneCard, false
	}
	return sceneNothing, false
}

// shaded is the light that is left on the paper: what shadows of things take.
func (s *tabletop) shaded(q geometry.Point, things []thing, card thing) float64 {
	const steps = 6
	dark := 0.0
	for _, i := range append([]int{sceneCard}, s.cells[cellOf(q)]...) {
		high, r := cardThicknessMM, card
		if i >= 0 {
			high, r = s.tall, things[i]
		}
		hit := 0
		for k := range steps {
			length := high * (1 + s.soft*(float64(k)+0.5-steps/2)/steps)
			if r.holds(q.Sub(s.lamp.Scale(length))) || r.holds(q.Sub(s.lamp.Scale(length/2))) {
				hit++
			}
		}
		dark = max(dark, float64(hit)/steps)
	}
	return 1 - dark*(1-s.shade)
}

func (s *tabletop) render(t testing.TB) image.Image {
	shape := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: isoLength, Y: isoWidth}}, isoRadius)).Transform(s.cards[0])
	card := thing{shape, shape.Bounds()}
	lies := s.lay(card.box)
	var things []thing
	for i := range s.pieces {
		b := s.pieces[i].shape.Bounds()
		s.pieces[i].lies = s.lay(b)
		things = append(things, thing{s.pieces[i].shape, b})
	}
	s.under = s.foot()
	s.index(things)
	back := s.ray()
	kinds := make([]int, (s.w+1)*(s.h+1))
	for i := range kinds {
		kinds[i], _ = s.what(back(geometry.Point{X: float64(i % (s.w + 1)), Y: float64(i / (s.w + 1))}), things, card, lies)
	}
	p := planes{w: s.w, h: s.h}
	for k := range p.c {
		p.c[k] = make([]float32, s.w*s.h)
	}
	for i := range s.w * s.h {
		x, y := i%s.w, i/s.w
		at := y*(s.w+1) + x
		n := 5
		if k := kinds[at]; k == kinds[at+1] && k == kinds[at+s.w+1] && k == kinds[at+s.w+2] {
			n = 1
		}
		for j := range n * n {
			q := back(geometry.Point{X: float64(x) + (float64(j%n)+0.5)/float64(n), Y: float64(y) + (float64(j/n)+0.5)/float64(n)})
			which, side := s.what(q, things, card, lies)
			for k, v := range s.light(q, which, side, things, card) {
				p.c[k][i] += float32(v / float64(n*n))
			}
		}
	}
	return s.develop(t, p)
}

// light is what a place sends.
func (s *tabletop) light(q geometry.Point, which int, side bool, things []thing, card thing) [3]float64 {
	lamp := 0.8 * (1 - s.setup.light*(q.X+60)/500) * (1 - s.setup.light*(q.Y+60)/600)
	switch {
	case which == sceneCard:
		return [3]float64{0.05, 0.25 + 0.15*math.Sin(q.X/4)*math.Cos(q.Y/7), 0.1}
	case which == sceneNothing:
		lamp *= s.shaded(q, things, card)
		return [3]float64{lamp, 0.97 * lamp, 0.9 * lamp}
	}
	c := s.pieces[which].colour
	if side {
		return [3]float64{0.8 * c[0], 0.8 * c[1], 0.8 * c[2]}
	}
	if g := s.pieces[which].gloss; g != nil {
		shine := s.shining * math.Exp(-math.Pow(q.DistanceTo(*g)/5, 4))
		return [3]float64{c[0] + shine, c[1] + shine, c[2] + shine}
	}
	return c
}

// randomTable is a scene of a seed. Kinds of pieces come several times each.
func randomTable(seed uint64, w, h int) *tabletop {
	r := rand.New(rand.NewPCG(seed, 20))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	s := &tabletop{setup: plainSetup(geometry.Region{}), seed: seed}
	s.w, s.h = w, h
	s.height, s.focal = between(330, 600), between(0.72, 1.1)
	if r.IntN(2) == 0 {
		s.tilt, s.azimuth = between(0, 15), between(0, 360)
	}
	s.turn = between(-20, 20)
	s.setup.light, s.blur, s.noise, s.quality = between(0, 0.4), between(0.5, 1.1), between(0.5, 3), 85+r.IntN(11)
	s.tall = between(0.8, 6)
	s.lamp, s.soft, s.shade = geometry.Point{X: between(-1, 1), Y: between(-1, 1)}, between(0.4, 2), between(0.35, 0.9)
	if r.IntN(2) == 0 { // light from all sides
		s.soft, s.shade = between(1, 2), between(0.85, 1)
	}
	if r.IntN(4) == 0 {
		s.bend = between(-0.03, 0.03)
	}
	if r.IntN(3) == 0 {
		s.wave = between(0, 0.5)
	}
	s.phase = [4]float64{between(15, 60), between(0, 6), between(15, 60), between(0, 6)}
	s.aim = geometry.Point{X: between(20, 70), Y: between(10, 45)}
	s.furnish(r, between)
	return s
}

// furnish lays pieces onto the table wherever there is room for them.
func (s *tabletop) furnish(r *rand.Rand, between func(a, b float64) float64) {
	taken := []geometry.Box{{Max: geometry.Point{X: isoLength, Y: isoWidth}}}
	want := 1 + r.IntN(30)
	corner := s.ray()
	inPicture := func(b geometry.Box) bool {
		for _, q := range geometry.Rectangle(b, 0).Vertices() {
			if p := s.lens().apply(q.Point); p.X < 20 || p.Y < 20 || p.X > float64(s.w)-20 || p.Y > float64(s.h)-20 {
				return false
			}
		}
		return true
	}
	gap := between(6, 14)
	for tries := 0; len(s.pieces) < want && tries < 60; tries++ {
		p := randomPiece(r, between)
		for range 1 + r.IntN(6) {
			for range 40 {
				seen := corner(geometry.Point{X: between(0, float64(s.w)), Y: between(0, float64(s.h))})
				placed := p
				placed.shape = p.shape.Transform(geometry.Rotate(between(0, 2*math.Pi), geometry.Point{}).Then(geometry.Translate(seen.X, seen.Y)))
				b := placed.shape.Bounds().Grow(gap + s.tall)
				free := inPicture(b)
				for _, other := range taken {
					free = free && (b.Max.X < other.Min.X || other.Max.X < b.Min.X || b.Max.Y < other.Min.Y || other.Max.Y < b.Min.Y)
				}
				if !free || len(s.pieces) >= want {
					continue
				}
				if r.IntN(12) == 0 {
					c := placed.shape.Bounds().Min.Add(placed.shape.Bounds().Max).Scale(0.5).Add(geometry.Point{X: between(-9, 9), Y: between(-9, 9)})
					placed.gloss, s.shining = &c, between(0.2, 1.2)
				}
				taken, s.pieces = append(taken, placed.shape.Bounds()), append(s.pieces, placed)
				break
			}
		}
	}
	s.touch(r, between)
}

// touch pushes some pieces against their copies.
func (s *tabletop) touch(r *rand.Rand, between func(a, b float64) float64) {
	if len(s.pieces) == 0 || r.IntN(4) > 0 {
		return
	}
	p := &s.pieces[r.IntN(len(s.pieces))]
	twin := *p
	b := p.shape.Bounds()
	c := b.Min.Add(b.Max).Scale(0.5)
	way := towards(between(0, 2*math.Pi))
	far := b.Width() + b.Height()
	for twin.shape = p.shape; far > 0; far -= 0.25 {
		moved := p.shape.Transform(geometry.Rotate(between(0.2, 1.2), c).Then(geometry.Translate(way.X*far, way.Y*far)))
		both, err := geometry.Union(1e-6, p.shape, moved)
		if err == nil && 2*p.shape.Area()-both.Area() > 0.3 {
			twin.shape = moved
			break
		}
	}
	p.joined, twin.joined, twin.gloss = 1, 1, nil
	s.pieces = append(s.pieces, twin)
}

func randomPiece(r *rand.Rand, between func(a, b float64) float64) prism {
	p := prism{colour: [3]float64{between(0.02, 0.5), between(0.02, 0.5), between(0.02, 0.5)}}
	if r.IntN(4) == 0 { // grey
		v := between(0.02, 0.4)
		p.colour = [3]float64{v, v, v}
	}
	a, b := between(12, 60), between(9, 40)
	p.sides = [2]float64{max(a, b), min(a, b)}
	box := geometry.Box{Min: geometry.Point{X: -a / 2, Y: -b / 2}, Max: geometry.Point{X: a / 2, Y: b / 2}}
	switch r.IntN(6) {
	case 0, 1, 2:
		p.form = Box
		p.shape = geometry.NewRegion(geometry.Rectangle(box, between(0, 0.1)*min(a, b)))
	case 3, 4:
		p.form, p.sides = Disc, [2]float64{b, b}
		p.shape = geometry.NewRegion(geometry.Circle(geometry.Point{}, b/2))
	case 5:
		p.shape = geometry.NewRegion(polygon(geometry.Point{}, a/2, 3+r.IntN(4), between(0, 1)))
		if r.IntN(2) == 0 {
			p.shape = geometry.NewRegion(geometry.Slot(geometry.Point{X: -a / 3}, geometry.Point{X: a / 3}, b/4))
		}
	}
	return p
}
