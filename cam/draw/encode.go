package draw

import (
	"cmp"
	"encoding/binary"
	"image"
	"image/color"
	"image/png"
	"io"
	"slices"
)

// encode writes the picture as a PNG of at most 256 colours, which is a third
// of the bytes and of the time of true colour. The colours that cover most are
// kept exactly: every flat area. Only the rarest blends at the edges of letters
// and lines go to their nearest neighbour.
func encode(w io.Writer, im *image.RGBA) error {
	runs := countColours(im)
	palette := commonest(runs, 256)
	out := image.NewPaletted(im.Bounds(), palette)
	index := map[uint32]uint8{}
	for c := range runs {
		index[c] = nearest(palette, c)
	}
	eachRun(im, func(c uint32, from, to int) {
		i := index[c]
		for p := from; p < to; p++ {
			out.Pix[p] = i
		}
	})
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	return encoder.Encode(w, out)
}

// eachRun calls f for every run of one colour, with pixels counted from the
// picture's first. Opaque pictures only.
func eachRun(im *image.RGBA, f func(c uint32, from, to int)) {
	pix := im.Pix
	start, last := 0, rgb(pix)
	n := len(pix) / 4
	for p := 1; p < n; p++ {
		if c := rgb(pix[4*p:]); c != last {
			f(last, start, p)
			start, last = p, c
		}
	}
	f(last, start, n)
}

// rgb is a pixel without its alpha, red lowest.
func rgb(pix []uint8) uint32 { return binary.LittleEndian.Uint32(pix) & 0xffffff }

func countColours(im *image.RGBA) map[uint32]int {
	counts := map[uint32]int{}
	eachRun(im, func(c uint32, from, to int) { counts[c] += to - from })
	return counts
}

// commonest are the n colours with most pixels; ties go to the lower code, so
// that the same picture always has the same palette.
func commonest(counts map[uint32]int, n int) color.Palette {
	codes := make([]uint32, 0, len(counts))
	for c := range counts {
		codes = append(codes, c)
	}
	slices.SortFunc(codes, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b))
	})
	var palette color.Palette
	for _, c := range codes[:min(n, len(codes))] {
		palette = append(palette, color.RGBA{uint8(c), uint8(c >> 8), uint8(c >> 16), 0xff})
	}
	return palette
}

// nearest is the first of the palette's colours that is nearest to c.
func nearest(palette color.Palette, c uint32) uint8 {
	best, found := 1<<30, 0
	for i, p := range palette {
		q := p.(color.RGBA)
		r, g, b := int(q.R)-int(c&0xff), int(q.G)-int(c>>8&0xff), int(q.B)-int(c>>16)
		if d := 3*r*r + 6*g*g + b*b; d < best {
			best, found = d, i
		}
	}
	return uint8(found)
}
