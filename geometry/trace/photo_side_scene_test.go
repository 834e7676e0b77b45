package trace

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"traywright/geometry"
)

// A table seen from the side, by casting a ray through each pixel: a card that stands upright, solids that
// stand beside it, plain paper that goes up behind. X to the right, Y up, Z towards the lens; the card's
// lower-left corner is at the origin.

type solid struct {
	kind       int // a block, a round column, a ball, a peaked one
	x, z       float64
	wide, high float64
	deep       float64
	turn       float64
	colour     [3]float64
}

const (
	aBlock = iota
	aColumn
	aBall
	aCone
)

type shelf struct {
	setup
	eye        vector
	ray        func(x, y float64) vector
	lean       float64
	raised     float64 // mm that the card stands higher than the table
	before     float64 // and nearer to the lens than the line
	solids     []solid
	dark, soft float64 // of the shadows at feet
}

func (s *shelf) aims() {
	forward := vector{s.aim.X - s.eye[0], s.aim.Y - s.eye[1], -s.eye[2]}
	forward = forward.times(1 / math.Sqrt(forward.dot(forward)))
	sin, cos := math.Sincos(s.turn * math.Pi / 180)
	right := vector{cos, sin, 0}
	right = right.plus(forward.times(-right.dot(forward)))
	right = right.times(1 / math.Sqrt(right.dot(right)))
	up := right.cross(forward)
	focal, corner := s.focal*float64(s.w), math.Hypot(float64(s.w), float64(s.h))/2
	s.ray = func(x, y float64) vector {
		u, v := x-float64(s.w)/2, float64(s.h)/2-y
		r := math.Hypot(u, v) / corner
		k := 1 + s.bend*r*r
		return forward.times(focal).plus(right.times(u * k)).plus(up.times(v * k))
	}
}

func (v vector) plus(u vector) vector { return vector{v[0] + u[0], v[1] + u[1], v[2] + u[2]} }

// meets is how far along a ray a solid is met: in its own frame it stands at the origin.
func (o solid) meets(eye, ray vector) (far float64, ok bool) {
	sin, cos := math.Sincos(o.turn)
	own := func(v vector) vector { return vector{cos*v[0] - sin*v[2], v[1], sin*v[0] + cos*v[2]} }
	e, d := own(vector{eye[0] - o.x, eye[1], eye[2] - o.z}), own(ray)
	switch o.kind {
	case aBlock:
		low, high := 0.0, math.Inf(1)
		for k, half := range [3]float64{o.wide / 2, o.high / 2, o.deep / 2} {
			at := e[k]
			if k == 1 {
				at -= half
			}
			a, b := (-half-at)/d[k], (half-at)/d[k]
			low, high = max(low, min(a, b)), min(high, max(a, b))
		}
		return low, low < high
	case aColumn:
		return round(e, d, o.wide/2, 0, o.high)
	case aBall:
		e[1] -= o.high / 2
		return roots(d.dot(d), 2*e.dot(d), e.dot(e)-o.high*o.high/4)
	}
	return round(e, d, o.wide/2, o.wide/2/o.high, o.high)
}

// round is where a column is met whose radius falls by taper for each mm of height.
func round(e, d vector, radius, taper, high float64) (far float64, ok bool) {
	a, b := radius-taper*e[1], -taper*d[1] // radius at a place of the ray
	far, ok = roots(d[0]*d[0]+d[2]*d[2]-b*b, 2*(e[0]*d[0]+e[2]*d[2]-a*b), e[0]*e[0]+e[2]*e[2]-a*a)
	if y := e[1] + far*d[1]; ok && y >= 0 && y <= high {
		return far, true
	}
	top := (high - e[1]) / d[1]
	if x, z := e[0]+top*d[0], e[2]+top*d[2]; top > 0 && taper == 0 && math.Hypot(x, z) < radius {
		return top, true
	}
	return 0, false
}

func roots(a, b, c float64) (least float64, ok bool) {
	under := b*b - 4*a*c
	if under < 0 {
		return 0, false
	}
	return (-b - math.Sqrt(under)) / (2 * a), true
}

// what is seen along a ray: a solid's number, the card, or nothing.
func (s *shelf) what(ray vector, card thing) int {
	which, nearest := sceneNothing, math.Inf(1)
	sin, cos := math.Sincos(s.lean)
	n, origin := vector{0, sin, cos}, s.eye.plus(vector{0, -s.raised, -s.before})
	far := -n.dot(origin) / n.dot(ray)
	at := origin.plus(ray.times(far))
	if card.holds(geometry.Point{X: at[0], Y: at[1]*cos - at[2]*sin}) {
		which, nearest = sceneCard, far
	}
	for i, o := range s.solids {
		if far, ok := o.meets(s.eye, ray); ok && far < nearest {
			which, nearest = i, far
		}
	}
	return which
}

// paper is its light along a ray: darker near feet.
func (s *shelf) paperLight(ray vector, y float64) float64 {
	light := 0.75 * (1 - s.light*y/float64(s.h))
	far := -s.eye[1] / ray[1]
	at := s.eye.plus(ray.times(far))
	if far <= 0 || at[2] < -80 {
		return light
	}
	near := 1.0
	for _, o := range s.solids {
		d := math.Hypot(max(math.Abs(at[0]-o.x)-o.wide/2, 0), max(math.Abs(at[2]-o.z)-o.deep/2, 0))
		near = min(near, 1-s.dark*math.Exp(-d/s.soft))
	}
	d := math.Hypot(max(math.Abs(at[0]-isoLength/2)-isoLength/2, 0), at[2])
	return light * min(near, 1-s.dark*math.Exp(-d/s.soft))
}

func (s *shelf) render(t testing.TB) image.Image {
	s.aims()
	shape := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: isoLength, Y: isoWidth}}, isoRadius))
	card := thing{shape, shape.Bounds()}
	kinds := make([]int, (s.w+1)*(s.h+1))
	for i := range kinds {
		kinds[i] = s.what(s.ray(float64(i%(s.w+1)), float64(i/(s.w+1))), card)
	}
	p := planes{w: s.w, h: s.h}
	for k := range p.c {
		p.c[k] = make([]float32, s.w*s.h)
	}
	for i := range s.w * s.h {
		x, y := i%s.w, i/s.w
		at, n := y*(s.w+1)+x, 4
		if k := kinds[at]; k == kinds[at+1] && k == kinds[at+s.w+1] && k == kinds[at+s.w+2] {
			n = 1
		}
		for j := range n * n {
			u, v := float64(x)+(float64(j%n)+0.5)/float64(n), float64(y)+(float64(j/n)+0.5)/float64(n)
			ray := s.ray(u, v)
			c := [3]float64{0.05, 0.25, 0.1}
			switch which := s.what(ray, card); which {
			case sceneCard:
			case sceneNothing:
				l := s.paperLight(ray, v)
				c = [3]float64{l, 0.97 * l, 0.92 * l}
			default:
				c = s.solids[which].colour
			}
			for k := range c {
				p.c[k][i] += float32(c[k] / float64(n*n))
			}
		}
	}
	return s.develop(t, p)
}

// randomShelf is a scene of a seed: fronts within lineMM of the line, the card within uprightDegrees, as the
// person is asked to have them; away moves one of them far off it.
func randomShelf(seed uint64, w, h int, away float64) *shelf {
	r := rand.New(rand.NewPCG(seed, 21))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	s := &shelf{setup: plainSetup(geometry.Region{})}
	s.w, s.h, s.focal = w, h, between(1.2, 3)
	s.light, s.blur, s.noise, s.quality = between(0, 0.3), between(0.5, 1.1), between(0.5, 3), 85+r.IntN(11)
	s.lean = between(-1, 1) * math.Pi / 180 // as README says
	s.dark, s.soft = between(0, 0.35), between(1, 4)
	if r.IntN(3) == 0 {
		s.bend = between(-0.02, 0.02)
	}
	x := 0.0
	for i := range 1 + r.IntN(4) {
		o := solid{kind: r.IntN(4), wide: between(14, 40), high: between(6, 60), deep: between(6, 25), turn: between(-0.03, 0.03)}
		o.colour = [3]float64{between(0.02, 0.4), between(0.02, 0.4), between(0.02, 0.4)}
		switch o.kind {
		case aBall:
			o.wide, o.deep = o.high, o.high
		case aColumn, aCone:
			o.deep = o.wide
		}
		o.z = between(-3, 3)*0.9 - o.deep/2
		if away != 0 && i == 0 {
			o.z += away
		}
		x -= between(9, 20) + o.wide
		o.x = x + o.wide/2
		s.solids = append(s.solids, o)
	}
	middle := (x + isoLength) / 2
	s.eye = vector{middle + between(-20, 20), between(4, 25), 1.4 * s.focal * max(isoLength-x, 110)}
	s.aim = geometry.Point{X: middle + between(-8, 8), Y: between(22, 34)}
	s.turn = between(-2, 2)
	return s
}
