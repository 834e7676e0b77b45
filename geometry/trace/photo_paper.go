package trace

import (
	"image"
	"image/color"
	"math"
	"slices"
)

// photoPixels bounds the photograph that is worked on; a larger one is averaged down.
const photoPixels = 8 << 20

// planes are the red, green and blue of a photograph in linear light, 0 to 1.
type planes struct {
	w, h int
	c    [3][]float32
}

// linearOf decodes a photograph's sRGB (IEC 61966-2-1) and averages it down by a whole
// factor, as a camera with larger pixels would have seen it.
func linearOf(img image.Image, limit int) (p planes, shrunk int) {
	size := img.Bounds().Size()
	for shrunk = 1; (size.X/shrunk)*(size.Y/shrunk) > limit; shrunk++ {
	}
	p = planes{w: size.X / shrunk, h: size.Y / shrunk}
	for k := range p.c {
		p.c[k] = make([]float32, p.w*p.h)
	}
	table := linearLight()
	share := 1 / float32(shrunk*shrunk)
	eachPixel(img, func(x, y int, c color.RGBA) {
		x, y = x/shrunk, y/shrunk
		if x >= p.w || y >= p.h {
			return
		}
		at := y*p.w + x
		p.c[0][at] += share * table[c.R]
		p.c[1][at] += share * table[c.G]
		p.c[2][at] += share * table[c.B]
	})
	return p, shrunk
}

func linearLight() (table [256]float32) {
	for i := range table {
		v := float64(i) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		table[i] = float32(v)
	}
	return table
}

// soften averages each pixel with its neighbours, 1 2 1 both ways, which takes half
// of the noise and moves no straight edge.
func (p planes) soften() {
	line := make([]float32, max(p.w, p.h))
	for _, v := range p.c {
		for y := range p.h {
			soften(v[y*p.w:(y+1)*p.w], 1, line)
		}
		for x := range p.w {
			soften(v[x:], p.w, line[:p.h])
		}
	}
}

// soften averages along a row of values that are a stride apart.
func soften(v []float32, stride int, line []float32) {
	n := (len(v) + stride - 1) / stride
	for i := range n {
		line[i] = v[i*stride]
	}
	for i := range n {
		v[i*stride] = (line[max(i-1, 0)] + 2*line[i] + line[min(i+1, n-1)]) / 4
	}
}

func (p planes) luminance(i int) float64 {
	return 0.2126*float64(p.c[0][i]) + 0.7152*float64(p.c[1][i]) + 0.0722*float64(p.c[2][i])
}

// paper is the light that blank paper sends: for each colour the logarithm of a
// quadratic surface over the picture, which follows a lamp on one side and a lens
// that darkens the corners, and leaves shadows with an edge alone.
type paper struct {
	w, h      int
	luminance surface
	color     [3]surface
	share     float64 // of the picture that is paper
}

// surface is a + bx + cy + dx² + exy + fy², x and y from -1 to 1 over the picture.
type surface [6]float64

func basis(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }

func (s surface) at(x, y float64) float64 {
	sum := 0.0
	for k, b := range basis(x, y) {
		sum += s[k] * b
	}
	return sum
}

// tile is a small square of the photograph.
type tile struct {
	x, y   float64 // its middle, -1 to 1
	area   image.Rectangle
	bright float64 // logarithm of the luminance that a quarter of it exceeds
}

const (
	tilesAcross = 28   // on the shorter side
	sameLight   = 0.12 // how far the logarithm of the light of a tile of paper may be from the surface
	leastPaper  = 0.25 // of the tiles
	darkest     = 1e-4 // light that is as good as none
)

func (p planes) tiles() []tile {
	size := max(min(p.w, p.h)/tilesAcross, 2)
	var tiles []tile
	var light []float64
	for y := 0; y+size <= p.h; y += size {
		for x := 0; x+size <= p.w; x += size {
			t := tile{area: image.Rect(x, y, x+size, y+size)}
			t.x, t.y = p.place(float64(x)+float64(size)/2, float64(y)+float64(size)/2)
			light = light[:0]
			for j := y; j < y+size; j++ {
				for i := x; i < x+size; i++ {
					light = append(light, p.luminance(j*p.w+i))
				}
			}
			slices.Sort(light)
			t.bright = math.Log(max(light[len(light)*3/4], darkest))
			tiles = append(tiles, t)
		}
	}
	return tiles
}

// place puts pixels into the surface's coordinates.
func (p planes) place(x, y float64) (float64, float64) {
	return 2*x/float64(p.w) - 1, 2*y/float64(p.h) - 1
}

// findPaper fits the paper's light: first to the brightest light that a quarter of the
// tiles share, then, round by round, to all that lie along it.
func (p planes) findPaper() (paper, error) {
	tiles := p.tiles()
	found := paper{w: p.w, h: p.h}
	found.luminance[0] = commonLight(tiles)
	for round := range 12 {
		terms := 3
		if round >= 5 {
			terms = 6
		}
		reach := 2 * sameLight
		if round >= 9 {
			reach = sameLight
		}
		var f fitting
		n := 0
		for _, t := range tiles {
			if math.Abs(t.bright-found.luminance.at(t.x, t.y)) < reach {
				f.add(t.x, t.y, t.bright, terms)
				n++
			}
		}
		found.share = float64(n) / float64(max(len(tiles), 1))
		s, ok := f.solve(terms)
		if !ok || found.share < leastPaper {
			return found, refuse("lay the piece and the card on plain white paper that fills most of the picture, in even light",
				"no plain paper is found under the piece: only %.0f %% of the picture could be paper", 100*found.share)
		}
		found.luminance = s
	}
	return found, found.tint(p, tiles)
}

// commonLight is the brightest light that a quarter of the tiles share.
func commonLight(tiles []tile) float64 {
	light := make([]float64, len(tiles))
	for i, t := range tiles {
		light[i] = t.bright
	}
	slices.Sort(light)
	need := int(leastPaper*float64(len(light))) + 1
	for i := len(light) - 1; i >= need; i-- {
		if light[i]-light[i-need] < 2*sameLight {
			return (light[i] + light[i-need]) / 2
		}
	}
	return light[len(light)/2]
}

// tint fits the colours to the pixels that have the paper's light.
func (found *paper) tint(p planes, tiles []tile) error {
	var fits [3]fitting
	for _, t := range tiles {
		level := found.luminance.at(t.x, t.y)
		var sum [3]float64
		n := 0
		for y := t.area.Min.Y; y < t.area.Max.Y; y++ {
			for x := t.area.Min.X; x < t.area.Max.X; x++ {
				i := y*p.w + x
				if math.Abs(math.Log(max(p.luminance(i), darkest))-level) < sameLight {
					n++
					for k := range sum {
						sum[k] += float64(p.c[k][i])
					}
				}
			}
		}
		if 2*n > t.area.Dx()*t.area.Dy() {
			for k := range sum {
				fits[k].add(t.x, t.y, math.Log(max(sum[k]/float64(n), darkest)), 6)
			}
		}
	}
	for k := range fits {
		s, ok := fits[k].solve(6)
		if !ok {
			return refuse("photograph the piece in even light, without strong grain", "the paper's light is too uneven to follow")
		}
		found.color[k] = s
	}
	return nil
}

// fitting gathers the normal equations of a surface.
type fitting [6][7]float64

func (f *fitting) add(x, y, value float64, terms int) {
	b := basis(x, y)
	for r := range terms {
		for c := range terms {
			f[r][c] += b[r] * b[c]
		}
		f[r][6] += b[r] * value
	}
}

func (f *fitting) solve(terms int) (s surface, ok bool) {
	for c := range terms {
		p := c
		for r := c + 1; r < terms; r++ {
			if math.Abs(f[r][c]) > math.Abs(f[p][c]) {
				p = r
			}
		}
		f[c], f[p] = f[p], f[c]
		if math.Abs(f[c][c]) < 1e-9 {
			return s, false
		}
		for r := range terms {
			k := f[r][c] / f[c][c]
			for j := c; r != c && j < 7; j++ {
				f[r][j] -= k * f[c][j]
			}
		}
	}
	for r := range terms {
		s[r] = f[r][6] / f[r][r]
	}
	return s, true
}

// difference is how far each pixel's colour is from the paper's, in shares of the
// paper's light: 0 for paper, 1 for black. Where an edge passes through a pixel it is
// the share that is not paper, whatever the colours, because light adds.
func (found paper) difference(p planes) grid {
	g := newGrid(p.w, p.h)
	for y := range p.h {
		for x := range p.w {
			u, v := p.place(float64(x)+0.5, float64(y)+0.5)
			sum := 0.0
			for k := range p.c {
				d := 1 - float64(p.c[k][y*p.w+x])/math.Exp(found.color[k].at(u, v))
				sum += d * d
			}
			g.v[y*p.w+x] = float32(math.Sqrt(sum / 3))
		}
	}
	return g
}

// grain is the difference that half of the paper's pixels exceed: the noise.
func grainOf(g grid) float64 {
	var small []float32
	for i := 0; i < len(g.v); i += 7 {
		if g.v[i] < 0.15 {
			small = append(small, g.v[i])
		}
	}
	if len(small) == 0 {
		return 1
	}
	slices.Sort(small)
	return float64(small[len(small)/2])
}
