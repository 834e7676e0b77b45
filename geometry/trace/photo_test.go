package trace

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// An ID-1 card as ISO/IEC 7810 has it (after a secondary text), written out again so that
// the scenes do not follow the code.
const isoLength, isoWidth, isoRadius = 85.60, 53.98, 3.18

// setup is a scene on a table and the camera above it. Lengths are mm; the card's
// lower-left corner is at (0, 0).
type setup struct {
	piece         geometry.Region
	colour        [3]float64 // of the piece, linear light
	cards         []geometry.Transform
	radius        float64 // of the cards' corners; 0 is an ID-1 card's
	stretch       float64 // of the cards' length
	tilt, azimuth float64 // degrees
	height, focal float64 // mm above the paper; widths of the picture
	aim           geometry.Point
	turn          float64 // of the camera about its line of sight, degrees
	light         float64 // how much darker the far side is: 0.4
	shadow        float64 // mm that a shadow lies beside everything
	table         float64 // mm from the card at which the paper ends and a dark table begins; 0 for nowhere
	bend          float64 // barrel distortion: the share that a corner of the picture moves inwards
	more          float64 // and the part of it that grows with the fifth power
	spots         bool    // the piece is of two colours
	blur          float64 // pixels, standard deviation
	noise         float64 // levels
	quality       int     // JPEG; 0 for none
	w, h          int
}

func plainSetup(piece geometry.Region) setup {
	return setup{
		piece: piece, colour: [3]float64{0.1, 0.12, 0.3}, cards: []geometry.Transform{{}}, radius: isoRadius, stretch: 1,
		height: 400, focal: 1.1, aim: geometry.Point{X: 80, Y: 35}, light: 0.3, blur: 0.7, noise: 2, quality: 90, w: 1000, h: 750,
	}
}

// lens maps the paper to the picture, Y down from the upper-left corner.
func (s setup) lens() homography {
	rad := math.Pi / 180
	sinT, cosT := math.Sincos(s.tilt * rad)
	sinA, cosA := math.Sincos(s.azimuth * rad)
	// The line of sight leans by tilt towards azimuth; the camera keeps its height.
	sight := vector{sinT * cosA, sinT * sinA, -cosT}
	sinR, cosR := math.Sincos(s.turn * rad)
	right := vector{cosR, sinR, 0}
	k := right.dot(sight)
	right = vector{right[0] - k*sight[0], right[1] - k*sight[1], right[2] - k*sight[2]}
	right = right.times(1 / math.Sqrt(right.dot(right)))
	down := sight.cross(right)
	reach := s.height / cosT
	eye := vector{s.aim.X - sight[0]*reach, s.aim.Y - sight[1]*reach, s.height}
	f := s.focal * float64(s.w)
	row := func(axis vector) [3]float64 { return [3]float64{axis[0], axis[1], -axis.dot(eye)} }
	x, y, z := row(right), row(down), row(sight)
	var h homography
	for k := range 3 {
		h[k] = f*x[k] + float64(s.w)/2*z[k]
		h[3+k] = f*y[k] + float64(s.h)/2*z[k]
		h[6+k] = z[k]
	}
	return h
}

// ray is the way back, from a picture whose lens may bend lines.
func (s setup) ray() func(geometry.Point) geometry.Point {
	back := s.lens().inverse()
	middle := geometry.Point{X: float64(s.w) / 2, Y: float64(s.h) / 2}
	corner := middle.Norm()
	return func(p geometry.Point) geometry.Point {
		d := p.Sub(middle)
		r := d.Norm() / corner
		return back.apply(middle.Add(d.Scale(1 + s.bend*r*r + s.more*r*r*r*r)))
	}
}

// render takes the photograph: what lies on each of several places in a pixel, in
// linear light, then the lens's blur, noise and JPEG.
func (s setup) render(t testing.TB) image.Image {
	back := s.ray()
	card := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: isoLength * s.stretch, Y: isoWidth}}, s.radius))
	things := []thing{{s.piece, s.piece.Bounds()}}
	for _, c := range s.cards {
		moved := card.Transform(c)
		things = append(things, thing{moved, moved.Bounds()})
	}
	p := planes{w: s.w, h: s.h}
	for k := range p.c {
		p.c[k] = make([]float32, s.w*s.h)
	}
	// Only pixels whose corners show different things are looked at closely.
	kinds := make([]int, (s.w+1)*(s.h+1))
	for y := range s.h + 1 {
		for x := range s.w + 1 {
			kinds[y*(s.w+1)+x] = s.kindAt(back(geometry.Point{X: float64(x), Y: float64(y)}), things)
		}
	}
	for y := range s.h {
		for x := range s.w {
			at := y*(s.w+1) + x
			n := 5
			kind := kinds[at]
			if kind == kinds[at+1] && kind == kinds[at+s.w+1] && kind == kinds[at+s.w+2] {
				n = 1
			}
			for j := range n {
				for i := range n {
					q := back(geometry.Point{X: float64(x) + (float64(i)+0.5)/float64(n), Y: float64(y) + (float64(j)+0.5)/float64(n)})
					if n > 1 {
						kind = s.kindAt(q, things)
					}
					for k, v := range s.colourAt(q, kind) {
						p.c[k][y*s.w+x] += float32(v / float64(n*n))
					}
				}
			}
		}
	}
	return s.develop(t, p)
}

// What is seen at a place.
const (
	seesPaper = iota
	seesShadow
	seesCard
	seesPiece
	seesSpot
	seesTable
)

func (s setup) kindAt(q geometry.Point, things []thing) int {
	for i, r := range things {
		if r.holds(q) {
			if i == 0 {
				if s.spots && math.Sin(q.X/5)*math.Sin(q.Y/5) > 0.2 {
					return seesSpot
				}
				return seesPiece
			}
			return seesCard
		}
	}
	for _, r := range things {
		if s.shadow > 0 && r.holds(q.Add(geometry.Point{X: -s.shadow, Y: s.shadow})) {
			return seesShadow
		}
	}
	if s.table > 0 && max(-q.X, -q.Y, q.X-160, q.Y-60) > s.table {
		return seesTable
	}
	return seesPaper
}

func (s setup) colourAt(q geometry.Point, kind int) [3]float64 {
	switch kind {
	case seesPiece:
		return s.colour
	case seesSpot:
		return [3]float64{0.55, 0.3, 0.25}
	case seesTable:
		return [3]float64{0.12, 0.07, 0.03}
	case seesCard:
		return [3]float64{0.05, 0.25 + 0.15*math.Sin(q.X/4)*math.Cos(q.Y/7), 0.1}
	}
	light := 0.8 * (1 - s.light*(q.X+60)/300) * (1 - s.light*(q.Y+60)/400)
	if kind == seesShadow {
		light *= 0.75
	}
	return [3]float64{light, 0.97 * light, 0.9 * light}
}

// thing is what lies on the paper.
type thing struct {
	geometry.Region
	box geometry.Box
}

// holds is Contains behind a look at the box.
func (r thing) holds(q geometry.Point) bool {
	return q.X > r.box.Min.X && q.X < r.box.Max.X && q.Y > r.box.Min.Y && q.Y < r.box.Max.Y && r.Contains(q)
}

func (s setup) develop(t testing.TB, p planes) image.Image {
	blurred(p, s.blur)
	random := rand.New(rand.NewPCG(7, 7))
	img := image.NewRGBA(image.Rect(0, 0, s.w, s.h))
	encode := func(v float32) uint8 {
		x := float64(v)
		if x <= 0.0031308 {
			x *= 12.92
		} else {
			x = 1.055*math.Pow(x, 1/2.4) - 0.055
		}
		return uint8(min(max(math.Round(255*x+s.noise*random.NormFloat64()), 0), 255))
	}
	for y := range s.h {
		for x := range s.w {
			i := y*s.w + x
			img.SetRGBA(x, y, color.RGBA{encode(p.c[0][i]), encode(p.c[1][i]), encode(p.c[2][i]), 255})
		}
	}
	if s.quality == 0 {
		return img
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: s.quality}))
	out, err := Decode(&b, Limits{})
	require.NoError(t, err)
	return out
}

// blurred spreads light by a normal curve.
func blurred(p planes, sigma float64) {
	reach := int(3*sigma) + 1
	var weights []float32
	var sum float32
	for k := -reach; k <= reach; k++ {
		v := float32(math.Exp(-float64(k*k) / (2 * sigma * sigma)))
		weights, sum = append(weights, v), sum+v
	}
	pass := func(v []float32, n, stride int) {
		line := make([]float32, n)
		for i := range line {
			line[i] = v[i*stride]
		}
		for i := range n {
			var out float32
			for k, w := range weights {
				out += w / sum * line[min(max(i+k-reach, 0), n-1)]
			}
			v[i*stride] = out
		}
	}
	for _, v := range p.c {
		for y := range p.h {
			pass(v[y*p.w:], p.w, 1)
		}
		for x := range p.w {
			pass(v[x:], p.h, p.w)
		}
	}
}

// onPaper is the measured piece where it lies on the paper.
func (p *Photo) onPaper() geometry.Region {
	return p.Piece.Transform(geometry.Translate(p.origin.X, p.origin.Y))
}

func TestPieceInAPhotographIsTrueToHalfAMillimetre(t *testing.T) {
	at := geometry.Point{X: 150, Y: 40}
	hexagon := geometry.NewRegion(polygon(at, 40, 6, 0.2))
	disc := geometry.NewRegion(geometry.Circle(at, 25))
	wheel := geometry.NewRegion(gear(at, 36, 44, 9, 0.1))
	bar := geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: 100, Y: 5}, Max: geometry.Point{X: 200, Y: 45}}, 2))
	for i, c := range []struct {
		name   string
		change func(*setup)
		piece  geometry.Region
	}{
		{"from above", func(s *setup) {}, bar},
		{"tilt 8", func(s *setup) { s.tilt, s.azimuth = 8, 30 }, hexagon},
		{"tilt 20", func(s *setup) { s.tilt, s.azimuth = 20, 70 }, bar},
		{"tilt 20 the other way", func(s *setup) { s.tilt, s.azimuth = 20, 200; s.aim.X = 90 }, wheel},
		{"turned camera", func(s *setup) { s.turn, s.tilt = 25, 5 }, disc},
		{"on its side", func(s *setup) { s.turn = 90; s.height = 440 }, wheel},
		{"uneven light", func(s *setup) { s.light = 0.6 }, wheel},
		{"soft shadow", func(s *setup) { s.shadow = 2 }, bar},
		{"pale piece", func(s *setup) { s.colour = [3]float64{0.5, 0.45, 0.12} }, hexagon},
		{"grain", func(s *setup) { s.noise, s.quality = 5, 75 }, disc},
		{"spotted piece", func(s *setup) { s.spots = true }, wheel},
		{"table around the paper", func(s *setup) { s.table, s.height = 65, 450 }, bar},
		{"soft focus", func(s *setup) { s.blur = 1.2 }, bar},
	} {
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && i%4 != 0 {
				t.Skip("one in four is enough for a short run")
			}
			s := plainSetup(c.piece)
			c.change(&s)
			img := s.render(t)
			p, err := TracePhoto(img, PhotoOptions{})
			require.NoError(t, err)
			require.NoError(t, p.Piece.Validate(1e-6))
			got := p.onPaper()
			if s.turn == 90 {
				// The card stands upright in the picture, and so does the answer.
				got = got.Transform(geometry.Rotate(math.Pi/2, geometry.Point{}).Then(geometry.Translate(isoLength, 0)))
			}
			d := hausdorff(c.piece, got)
			want, have := c.piece.Bounds(), got.Bounds()
			t.Logf("%.3f mm off at the worst place, width %+.3f mm, height %+.3f mm, card %+v", d, have.Width()-want.Width(), have.Height()-want.Height(), p.Card)
			assert.InDelta(t, want.Width(), have.Width(), 0.5*want.Width()/100)
			assert.InDelta(t, want.Height(), have.Height(), 0.5*want.Height()/100)
			assert.Less(t, d, 0.5)
		})
	}
}

func TestPhotographsThatAreRefused(t *testing.T) {
	disc := geometry.NewRegion(geometry.Circle(geometry.Point{X: 150, Y: 40}, 25))
	for i, c := range []struct {
		name   string
		change func(*setup, *PhotoOptions)
		want   string // "" is accepted
	}{
		{"as it should be", func(*setup, *PhotoOptions) {}, ""},
		{"no card", func(s *setup, _ *PhotoOptions) { s.cards = nil }, "no card is found"},
		{"card cut off by the frame", func(s *setup, _ *PhotoOptions) { s.aim = geometry.Point{X: 205, Y: 35} }, "no card is found"},
		{"card half under the frame's corner", func(s *setup, _ *PhotoOptions) { s.aim = geometry.Point{X: 200, Y: 155} }, "no card is found"},
		{"two cards", func(s *setup, _ *PhotoOptions) { s.cards = append(s.cards, geometry.Translate(0, 70)) }, "2 things of a card's shape are in the picture"},
		{"two cards, one pointed at", func(s *setup, o *PhotoOptions) {
			s.cards = append(s.cards, geometry.Translate(0, 75))
			o.Card, o.Piece = s.pixelOf(20, 20), s.pixelOf(150, 40)
		}, ""},
		{"pointing beside the card", func(s *setup, o *PhotoOptions) { o.Card = s.pixelOf(150, 40) }, "no card is found"},
		{"blurred", func(s *setup, _ *PhotoOptions) { s.blur = 3.5 }, "blurred"},
		{"card 2 % too long", func(s *setup, _ *PhotoOptions) { s.stretch = 1.02 }, "shape is"},
		{"a playing card", func(s *setup, _ *PhotoOptions) { s.stretch = 88.9 / 63.5 / (isoLength / isoWidth) }, "shape is"},
		{"sharp corners", func(s *setup, _ *PhotoOptions) { s.radius = 0.3 }, "corners of radius"},
		{"lens that bends lines", func(s *setup, _ *PhotoOptions) { s.bend = 0.12; s.aim.Y = 75 }, "the lens bends"},
		{"piece against the card", func(s *setup, _ *PhotoOptions) { s.piece = s.piece.Transform(geometry.Translate(-39.4, 0)) }, "no"},
		{"piece at the border", func(s *setup, _ *PhotoOptions) { s.aim.X = -20 }, "no piece is found"},
		{"no piece", func(s *setup, _ *PhotoOptions) { s.piece = geometry.Region{} }, "no piece is found"},
		{"two pieces", func(s *setup, _ *PhotoOptions) {
			s.piece = geometry.NewRegion(geometry.Circle(geometry.Point{X: 150, Y: 55}, 15), geometry.Circle(geometry.Point{X: 150, Y: 20}, 15))
		}, "2 things lie beside the card"},
		{"paper smaller than the things on it", func(s *setup, _ *PhotoOptions) { s.table = 4; s.height = 600 }, "card"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && i%4 != 0 {
				t.Skip("one in four is enough for a short run")
			}
			s, o := plainSetup(disc), PhotoOptions{}
			c.change(&s, &o)
			p, err := TracePhoto(s.render(t), o)
			if c.want == "" {
				require.NoError(t, err)
				assert.InDelta(t, 50, p.Piece.Bounds().Width(), 0.25)
				return
			}
			require.Error(t, err)
			var refused *PictureError
			require.ErrorAs(t, err, &refused)
			assert.Contains(t, err.Error(), c.want)
			assert.NotEmpty(t, refused.Hint)
		})
	}
}

// pixelOf is where a place on the paper is seen.
func (s setup) pixelOf(x, y float64) *image.Point {
	p := s.lens().apply(geometry.Point{X: x, Y: y})
	return &image.Point{X: int(p.X), Y: int(p.Y)}
}

// inverse up to a factor, which a homography does not notice.
func (h homography) inverse() homography {
	return homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
}
