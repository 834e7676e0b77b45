package page

import (
	"encoding/binary"
	"image/color"
	"math"
	"slices"

	"traywright/cam/proof"
	"traywright/geometry"
)

// foam is the drawing's pixels, each with the class of the foam there: the
// deepest that any part of the pixel has, so that no kerf gets lost.
type foam struct {
	x, y, w, h int // page pixels
	class      []uint8
}

func newFoam(v view) *foam {
	p := pixels(v.on())
	f := &foam{x: p.Min.X, y: p.Min.Y, w: max(p.Dx(), 0), h: max(p.Dy(), 0)}
	f.class = make([]uint8, f.w*f.h)
	for i := range f.class {
		f.class[i] = nothing
	}
	return f
}

// usable reports whether a field has a cell for each of its numbers.
func usable(f proof.Field) bool {
	return f.CellMM > 0 && !math.IsInf(f.CellMM, 0) && believable(f.Origin) &&
		f.Columns > 0 && f.Rows > 0 && f.Columns <= len(f.DepthMM) && len(f.DepthMM)/f.Columns >= f.Rows
}

// deepest is the deepest that a field is cut, as far as it can be believed.
func deepest(f proof.Field) float64 {
	most := 0.0
	for _, d := range f.DepthMM {
		if d := float64(d); d > most && d < deepestMM {
			most = d
		}
	}
	return most
}

// sampling is how many places of a pixel are looked at, each way: enough that
// no cell is jumped, within reason.
func sampling(scale, cellMM float64) int {
	return int(min(4, max(2, math.Ceil(1/(scale*cellMM)))))
}

// cells are the field's columns (or rows) under n pixels, k to a pixel, -1 where
// there is none. first is the place of the first pixel's edge, step mm to a pixel.
func cells(first, step, cellMM float64, n, k, count int) []int {
	list := make([]int, n*k)
	for i := range list {
		at := math.Floor((first + step*(float64(i)+0.5)/float64(k)) / cellMM)
		list[i] = -1
		if at >= 0 && at < float64(count) {
			list[i] = int(at)
		}
	}
	return list
}

// paintField draws a height field with its depths shaded, and returns what
// each pixel shows. Pixels on an edge get a blend.
func (c *canvas) paintField(v view, field proof.Field, s *shades) *foam {
	f := newFoam(v)
	if !usable(field) {
		return f
	}
	k := sampling(v.scale, field.CellMM)
	columns := cells(v.box.Min.X-field.Origin.X, 1/v.scale, field.CellMM, f.w, k, field.Columns)
	rows := cells(v.box.Max.Y-field.Origin.Y, -1/v.scale, field.CellMM, f.h, k, field.Rows)
	sampled := make([][]uint8, k)
	spare := make([][]uint8, k)
	for i := range sampled {
		sampled[i], spare[i] = make([]uint8, f.w*k), make([]uint8, f.w*k)
	}
	last := -2
	for y := range f.h {
		for j := range k {
			r := rows[y*k+j]
			if r == last {
				copy(spare[j], s.latest(sampled, spare, j))
				continue
			}
			s.sampleRow(spare[j], field, r, columns)
			last = r
		}
		sampled, spare = spare, sampled
		c.paintRow(f, y, k, sampled, s)
	}
	return f
}

// latest is the row of samples made before row j of a pixel.
func (s *shades) latest(before, now [][]uint8, j int) []uint8 {
	if j > 0 {
		return now[j-1]
	}
	return before[len(before)-1]
}

// sampleRow sorts the cells of one row of the field that the columns name.
func (s *shades) sampleRow(into []uint8, field proof.Field, r int, columns []int) {
	if r < 0 {
		for i := range into {
			into[i] = nothing
		}
		return
	}
	line := field.DepthMM[r*field.Columns : (r+1)*field.Columns]
	for i, column := range columns {
		if column < 0 {
			into[i] = nothing
			continue
		}
		into[i] = s.class(line[column])
	}
}

// paintRow draws one row of pixels from the k rows of samples on it.
func (c *canvas) paintRow(f *foam, y, k int, sampled [][]uint8, s *shades) {
	offset := c.im.PixOffset(f.x, f.y+y)
	pix := c.im.Pix[offset : offset+4*f.w]
	classes := f.class[y*f.w : (y+1)*f.w]
	for x := range classes {
		class, same := sampled[0][x*k], true
		for _, line := range sampled {
			for _, other := range line[x*k : x*k+k] {
				if other != class {
					same = false
				}
			}
		}
		col := s.colours[class]
		if !same {
			class, col = s.blend(sampled, x, k)
		}
		classes[x] = class
		binary.LittleEndian.PutUint32(pix[4*x:], uint32(col.R)|uint32(col.G)<<8|uint32(col.B)<<16|0xff<<24)
	}
}

// blend is the deepest class on a pixel and the mean of its colours.
func (s *shades) blend(sampled [][]uint8, x, k int) (deepest uint8, col color.RGBA) {
	var r, g, b int
	for _, line := range sampled {
		for _, class := range line[x*k : x*k+k] {
			if class != nothing {
				deepest = max(deepest, class)
			}
			col := &s.colours[class]
			r, g, b = r+int(col.R), g+int(col.G), b+int(col.B)
		}
	}
	n := k * k
	return deepest, rgb(uint32(r/n)<<16 | uint32(g/n)<<8 | uint32(b/n))
}

// set paints a pixel of the drawing.
func (c *canvas) set(f *foam, x, y int, col color.RGBA) { c.im.SetRGBA(f.x+x, f.y+y, col) }

// tint mixes part t of a colour into a pixel of the page.
func (c *canvas) tint(x, y int, col color.RGBA, t float64) {
	c.im.SetRGBA(x, y, mix(c.im.RGBAAt(x, y), col, t))
}

// shade draws the grid's thin line: a little darker than light foam, a little
// lighter than dark.
func (c *canvas) shade(r rect) {
	p := pixels(r).Intersect(c.im.Bounds())
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			if c.im.RGBAAt(x, y).G > 150 {
				c.tint(x, y, ink, 0.11)
			} else {
				c.tint(x, y, paper, 0.16)
			}
		}
	}
}

// edges darkens the lines where one depth meets another: a wall.
func (c *canvas) edges(f *foam) {
	for y := 0; y+1 < f.h; y++ {
		for x := 0; x+1 < f.w; x++ {
			i := y*f.w + x
			a, b, d := f.class[i], f.class[i+1], f.class[i+f.w]
			if wall(a, b) || wall(a, d) {
				c.tint(f.x+x, f.y+y, ink, 0.6)
			}
		}
	}
}

// The hatch of foam that is cut through, and the dots on pieces that fall out.
const (
	throughStep  = 16
	throughWidth = 2
	dotStep      = 12
)

// patterns draws what shades alone cannot say in grey: light lines on foam that
// is cut through, wherever it is wide enough, and dots on loose pieces.
func (c *canvas) patterns(f *foam, s *shades) {
	const clear = 4
	lines := linesOn(s.colours[through])
	for y := range f.h {
		for x := range f.w {
			class := f.class[y*f.w+x]
			switch {
			case class == loose:
				c.loosePixel(f, x, y)
			case class == through && onHatch(x, y, throughStep, throughWidth, 1) &&
				f.is(class, x-clear, y) && f.is(class, x+clear, y) && f.is(class, x, y-clear) && f.is(class, x, y+clear):
				c.set(f, x, y, lines)
			}
		}
	}
}

// clearHatch takes the lines off foam of a shade that is cut through.
func (c *canvas) clearHatch(r rect, back color.RGBA) {
	p, lines := pixels(r).Intersect(c.im.Bounds()), linesOn(back)
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			if c.im.RGBAAt(x, y) == lines {
				c.im.SetRGBA(x, y, back)
			}
		}
	}
}

func (c *canvas) loosePixel(f *foam, x, y int) {
	if onDot(x, y) {
		c.set(f, x, y, softInk)
		return
	}
	c.set(f, x, y, paper)
}

// onDot reports whether a pixel is on a dot of the pattern for loose pieces.
func onDot(x, y int) bool {
	row := y / dotStep
	return y%dotStep < 2 && (x+row%2*dotStep/2)%dotStep < 2
}

// is reports whether a pixel of the drawing has a class.
func (f *foam) is(class uint8, x, y int) bool {
	return x >= 0 && y >= 0 && x < f.w && y < f.h && f.class[y*f.w+x] == class
}

// eachSpan calls f for every run of pixels whose centres are inside a region.
func eachSpan(region geometry.Region, v view, f *foam, visit func(y, from, to int)) {
	crossings := make([][]float64, f.h)
	for _, contour := range region.Contours() {
		points := outline(contour, v.scale)
		for i := 1; i < len(points); i++ {
			a, b := v.at(points[i-1]), v.at(points[i])
			cross(crossings, a.X-float64(f.x), a.Y-float64(f.y), b.X-float64(f.x), b.Y-float64(f.y))
		}
	}
	for y, xs := range crossings {
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			from, to := max(xs[i], 0), min(xs[i+1], float64(f.w))
			if a, b := int(math.Ceil(from-0.5)), int(math.Ceil(to-0.5)); a < b {
				visit(y, a, b)
			}
		}
	}
}

// cross notes where an edge crosses the middles of rows of pixels.
func cross(crossings [][]float64, ax, ay, bx, by float64) {
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	if !(by-ay > 0) || math.IsInf(by-ay, 0) || math.IsNaN(ax+bx) {
		return
	}
	from, to := max(math.Ceil(ay-0.5), 0), min(math.Ceil(by-0.5), float64(len(crossings)))
	for y := int(from); y < int(to); y++ {
		t := (float64(y) + 0.5 - ay) / (by - ay)
		crossings[y] = append(crossings[y], ax+t*(bx-ax))
	}
}
