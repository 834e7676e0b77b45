package page

import (
	"cmp"
	"encoding/binary"
	"image"
	"image/color"
	"image/png"
	"io"
	"math/bits"
	"slices"
)

// encode writes the picture as a PNG of at most 256 colours, which is a third
// of the bytes and of the time of true colour. The colours that cover most are
// kept exactly: every flat area. Only the rarest blends at the edges of letters
// and lines go to their nearest neighbour. On paper what has the paper's colour is
// not printed.
func encode(w io.Writer, im *image.RGBA, onPaper bool) error {
	found := findColours(im)
	palette := commonest(found.colours, 256)
	index := make([]uint8, len(found.colours))
	for i, c := range found.colours {
		index[i] = nearest(palette, c.code)
	}
	if at := slices.Index(palette, color.Color(paper)); onPaper && at >= 0 {
		palette[at] = unprinted
	}
	out := image.NewPaletted(im.Bounds(), palette)
	for i, r := range found.runs {
		to := uint32(len(out.Pix))
		if i+1 < len(found.runs) {
			to = found.runs[i+1].from
		}
		fillBytes(out.Pix[r.from:to], index[r.colour])
	}
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	return encoder.Encode(w, out)
}

// counted is a colour and how many pixels have it.
type counted struct {
	code   uint32 // red lowest
	pixels int
}

// colourRun is where a stretch of pixels of one colour begins.
type colourRun struct{ from, colour uint32 }

// colours are a picture's, in the order they are met, and where they are.
type colours struct {
	colours []counted
	runs    []colourRun
}

// findColours reads an opaque picture from its first pixel to its last.
func findColours(im *image.RGBA) colours {
	var f colours
	ids := map[uint32]uint32{}
	pix := im.Pix
	for p := 0; p < len(pix); {
		from := p
		code := binary.LittleEndian.Uint32(pix[p:])
		for twice := uint64(code)<<32 | uint64(code); p+8 <= len(pix) && binary.LittleEndian.Uint64(pix[p:]) == twice; p += 8 {
		}
		for p+4 <= len(pix) && binary.LittleEndian.Uint32(pix[p:]) == code {
			p += 4
		}
		id, known := ids[code]
		if !known {
			id = uint32(len(f.colours))
			ids[code] = id
			f.colours = append(f.colours, counted{code: code & 0xffffff})
		}
		f.colours[id].pixels += (p - from) / 4
		f.runs = append(f.runs, colourRun{uint32(from / 4), id})
	}
	return f
}

// commonest are the shades of depth that are there, which mean something, and then
// the colours with most pixels, n together; ties go to the lower code, so that the
// same picture always has the same palette.
func commonest(list []counted, n int) color.Palette {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b counted) int {
		return cmp.Or(isDepth(b.code)-isDepth(a.code), cmp.Compare(b.pixels, a.pixels), cmp.Compare(a.code, b.code))
	})
	var palette color.Palette
	for _, c := range list[:min(n, len(list))] {
		palette = append(palette, fromCode(c.code))
	}
	return palette
}

// isDepth is 1 for a shade of depth, else 0.
func isDepth(code uint32) int {
	if slices.Contains(shadesOfDepth[:], fromCode(code)) {
		return 1
	}
	return 0
}

func fromCode(code uint32) color.RGBA { return rgb(bits.ReverseBytes32(code) >> 8) }

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
