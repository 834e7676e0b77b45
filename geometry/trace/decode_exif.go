package trace

import (
	"bytes"
	"encoding/binary"
	"image"
)

// orientation is how a stored picture is to be shown: the values of EXIF's tag
// Orientation, 1 to 8, less one (JEITA CP-3451, tag 0x0112; TIFF 6.0, from memory).
// Bit 2 exchanges rows and columns, first; then the others mirror:
//
//	0 as stored          4 about the falling diagonal
//	1 left-right         5 quarter turn clockwise
//	2 half turn          6 about the rising diagonal
//	3 upside down        7 quarter turn counter-clockwise
type orientation uint8

const upright orientation = 0

func (o orientation) sideways() bool { return o >= 4 }

// mirrors says which sides are exchanged, in the picture as shown.
func (o orientation) mirrors() (x, y bool) {
	switch o {
	case 1, 5:
		return true, false
	case 2, 6:
		return true, true
	case 3, 7:
		return false, true
	}
	return false, false
}

// shown is where a stored pixel is shown; size is that of the stored picture.
func (o orientation) shown(p, size image.Point) image.Point {
	if o.sideways() {
		p.X, p.Y, size.X, size.Y = p.Y, p.X, size.Y, size.X
	}
	x, y := o.mirrors()
	if x {
		p.X = size.X - 1 - p.X
	}
	if y {
		p.Y = size.Y - 1 - p.Y
	}
	return p
}

// stored is where a shown pixel is stored; size is that of the stored picture.
func (o orientation) stored(p, size image.Point) image.Point {
	if o.sideways() {
		size.X, size.Y = size.Y, size.X
	}
	x, y := o.mirrors()
	if x {
		p.X = size.X - 1 - p.X
	}
	if y {
		p.Y = size.Y - 1 - p.Y
	}
	if o.sideways() {
		p.X, p.Y = p.Y, p.X
	}
	return p
}

// jpegNotes is what a JPEG says of itself beside its pixels.
type jpegNotes struct {
	turn        orientation
	camera      string // that took it, at which zoom; "" where it does not say
	progressive bool
}

// readJPEG walks the marker segments before the first scan (ITU-T T.81, B.1). What
// it does not understand it leaves at what pictures without notes have.
func readJPEG(data []byte) jpegNotes {
	var n jpegNotes
	for at := 2; at+4 <= len(data) && data[at] == 0xFF; {
		marker := data[at+1]
		if marker == 0xFF { // fill byte
			at++
			continue
		}
		if marker == 0xDA { // start of scan
			break
		}
		length := int(binary.BigEndian.Uint16(data[at+2:]))
		if length < 2 || at+2+length > len(data) {
			break
		}
		body := data[at+4 : at+2+length]
		switch {
		case marker == 0xC2: // progressive frame
			n.progressive = true
		case marker == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")):
			tiff := tiffOf(body[6:])
			n.turn, n.camera = tiff.orientation(), tiff.camera()
		}
		at += 2 + length
	}
	return n
}
