package page

import (
	"bytes"
	"encoding/binary"
	"image/color"
	"slices"
)

// pngHead is how every PNG begins; then chunks follow, each a length, a type, its data and a sum
// (PNG, ISO/IEC 15948, 5.2 and 5.3).
const pngHead = "\x89PNG\r\n\x1a\n"

// OurPicture reports whether a PNG has the form of those that are drawn here: size, palette, pixels and
// end, and nothing else, with paper and ink in the palette. Other programs add chunks and have other colours.
func OurPicture(data []byte) bool {
	rest, ok := bytes.CutPrefix(data, []byte(pngHead))
	var kinds []string
	var palette []color.RGBA
	for ok && len(rest) >= 12 {
		n := uint64(binary.BigEndian.Uint32(rest))
		kind := string(rest[4:8])
		if n > uint64(len(rest)-12) {
			return false
		}
		if kind == "PLTE" {
			for c := range slices.Chunk(rest[8:8+n], 3) {
				if len(c) == 3 {
					palette = append(palette, rgb(uint32(c[0])<<16|uint32(c[1])<<8|uint32(c[2])))
				}
			}
		}
		if len(kinds) == 0 || kinds[len(kinds)-1] != kind {
			kinds = append(kinds, kind)
		}
		rest = rest[12+n:]
	}
	return ok && len(rest) == 0 && slices.Equal(kinds, []string{"IHDR", "PLTE", "IDAT", "IEND"}) &&
		slices.Contains(palette, paper) && slices.Contains(palette, ink)
}

// OurPaper reports whether a PDF is one of those that are made here, and nothing was added to it
// since: who writes on one adds a part with an end of its own.
func OurPaper(data []byte) bool {
	return bytes.Contains(data, []byte("/Producer (traywright)")) && bytes.Count(data, []byte("startxref")) == 1 && bytes.HasSuffix(data, []byte("%%EOF\n"))
}
