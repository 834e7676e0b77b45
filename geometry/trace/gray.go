package trace

import (
	"image"
	"image/color"
	"image/draw"
)

// workPixels bounds the picture that is traced: a larger one is averaged down by a
// whole factor, which loses nothing that foam could show.
const workPixels = 16 << 20

// grid is a picture of one value a pixel, row 0 at the top.
type grid struct {
	w, h int
	v    []float32
}

func newGrid(w, h int) grid { return grid{w, h, make([]float32, w*h)} }

// grayOf is the picture's luma over white, 0 to 255 (weights of ITU-R BT.601),
// averaged over blocks of shrunk x shrunk pixels so that at most limit are left.
// Averaging encoded values keeps antialiased edges, which are drawn that way, in
// their place.
func grayOf(img image.Image, limit int) (g grid, shrunk int) {
	size := img.Bounds().Size()
	for shrunk = 1; (size.X/shrunk)*(size.Y/shrunk) > limit; shrunk++ {
	}
	g = newGrid(size.X/shrunk, size.Y/shrunk)
	share := 1 / float32(shrunk*shrunk)
	eachPixel(img, func(x, y int, c color.RGBA) {
		x, y = x/shrunk, y/shrunk
		if x < g.w && y < g.h {
			g.v[y*g.w+x] += share * (0.299*float32(c.R) + 0.587*float32(c.G) + 0.114*float32(c.B))
		}
	})
	return g, shrunk
}

// eachPixel visits every pixel, laid over white, counted from the upper-left corner.
// It converts a strip at a time, so that no second picture is held.
func eachPixel(img image.Image, visit func(x, y int, c color.RGBA)) {
	turn := upright
	if p, ok := img.(*Picture); ok {
		img, turn = p.stored, p.turn
	}
	b := img.Bounds()
	const rows = 64
	strip := image.NewRGBA(image.Rect(0, 0, b.Dx(), rows))
	for top := b.Min.Y; top < b.Max.Y; top += rows {
		n := min(rows, b.Max.Y-top)
		area := image.Rect(0, 0, b.Dx(), n)
		draw.Draw(strip, area, image.White, image.Point{}, draw.Src)
		draw.Draw(strip, area, img, image.Pt(b.Min.X, top), draw.Over)
		for j := range n {
			row := strip.Pix[j*strip.Stride:]
			for i := range b.Dx() {
				p := turn.shown(image.Pt(i, top-b.Min.Y+j), b.Size())
				visit(p.X, p.Y, color.RGBA{row[4*i], row[4*i+1], row[4*i+2], 255})
			}
		}
	}
}
