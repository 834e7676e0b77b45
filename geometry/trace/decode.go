package trace

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// Limits bounds what a picture may cost. A zero field takes its default.
type Limits struct {
	FileBytes int64 // of the file; defaultFileBytes
	Pixels    int   // width times height; defaultPixels
	Memory    int64 // bytes that decoding takes, as far as the header tells; defaultMemory
}

// The defaults of Limits: a telephone's picture passes, a poster scan does not.
const (
	defaultFileBytes = 48 << 20
	defaultPixels    = 50_000_000
	defaultMemory    = 320 << 20
)

func (l Limits) filled() Limits {
	if l.FileBytes == 0 {
		l.FileBytes = defaultFileBytes
	}
	if l.Pixels == 0 {
		l.Pixels = defaultPixels
	}
	if l.Memory == 0 {
		l.Memory = defaultMemory
	}
	return l
}

// Picture is a decoded picture as it is meant to be seen: a JPEG that a camera
// stored lying on its side stands upright. It is an image.Image with its upper-left
// corner at (0, 0).
type Picture struct {
	stored image.Image
	turn   orientation
	camera string
}

// takenBy names the camera and its zoom as the picture's own notes have them, "" where they do not.
func (p *Picture) takenBy() string { return p.camera }

// takenBy is the same of any image.
func takenBy(img image.Image) string {
	if p, ok := img.(interface{ takenBy() string }); ok {
		return p.takenBy()
	}
	return ""
}

// ColorModel is that of the picture as stored.
func (p *Picture) ColorModel() color.Model { return p.stored.ColorModel() }

// Bounds starts at (0, 0).
func (p *Picture) Bounds() image.Rectangle {
	size := p.stored.Bounds().Size()
	if p.turn.sideways() {
		size.X, size.Y = size.Y, size.X
	}
	return image.Rectangle{Max: size}
}

// At is the colour of a pixel, counted from the upper-left corner.
func (p *Picture) At(x, y int) color.Color {
	b := p.stored.Bounds()
	q := p.turn.stored(image.Pt(x, y), b.Size())
	return p.stored.At(b.Min.X+q.X, b.Min.Y+q.Y)
}

// Decode reads a PNG or JPEG picture, whichever it is. Its size is read from the
// header and held against the limits before room is made for the pixels. The
// orientation that a camera notes in a JPEG (EXIF, JEITA CP-3451) is followed.
// Errors are *PictureError, but for those of r itself.
func Decode(r io.Reader, limits Limits) (*Picture, error) {
	l := limits.filled()
	data, err := io.ReadAll(io.LimitReader(r, l.FileBytes+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > l.FileBytes {
		return nil, refuse("save it smaller", "the picture's file is larger than %s", mib(l.FileBytes))
	}
	switch {
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return decodePNG(data, l)
	case bytes.HasPrefix(data, []byte("\xff\xd8")):
		return decodeJPEG(data, l)
	}
	return nil, refuse("save it as PNG or JPEG; a drawing as SVG or DXF", "the file is neither a PNG nor a JPEG picture")
}

func mib(n int64) string { return fmt.Sprintf("%.3g MiB", float64(n)/(1<<20)) }

func decodePNG(data []byte, l Limits) (*Picture, error) {
	header, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, broken("PNG", err)
	}
	// The bytes of a pixel, twice for an interlaced picture, which is put together
	// from parts.
	need := pixelBytes(header.ColorModel)
	if len(data) > 28 && data[28] != 0 {
		need *= 2
	}
	if err := l.check(header.Width, header.Height, need); err != nil {
		return nil, err
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, broken("PNG", err)
	}
	return &Picture{stored: img}, nil
}

func decodeJPEG(data []byte, l Limits) (*Picture, error) {
	header, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, broken("JPEG", err)
	}
	notes := readJPEG(data)
	need := pixelBytes(header.ColorModel)
	if notes.progressive {
		need += 4 * need // all coefficients are held, four bytes each
	}
	if err := l.check(header.Width, header.Height, need); err != nil {
		return nil, err
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, broken("JPEG", err)
	}
	return &Picture{img, notes.turn, notes.camera}, nil
}

// pixelBytes is what a pixel takes in memory, decoded.
func pixelBytes(m color.Model) float64 {
	switch m {
	case color.GrayModel:
		return 1
	case color.Gray16Model:
		return 2
	case color.YCbCrModel:
		return 1.5 // most cameras halve the colours' resolution both ways
	case color.RGBA64Model, color.NRGBA64Model:
		return 8
	case color.CMYKModel:
		return 8
	}
	if _, ok := m.(color.Palette); ok {
		return 1
	}
	return 4
}

// check holds a picture's size against the limits; need is bytes a pixel.
func (l Limits) check(w, h int, need float64) error {
	const hint = "save it smaller: some 3000 pixels on the longer side show all that foam can"
	if w <= 0 || h <= 0 {
		return refuse("save it anew", "the picture has no pixels (%d x %d)", w, h)
	}
	if pixels := int64(w) * int64(h); pixels > int64(l.Pixels) {
		return refuse(hint, "the picture has %d x %d pixels, %d in all, and at most %d are read", w, h, pixels, l.Pixels)
	}
	if bytes := int64(need * float64(w) * float64(h)); bytes > l.Memory {
		return refuse(hint, "the picture, %d x %d pixels, takes %s decoded, and at most %s are given to it", w, h, mib(bytes), mib(l.Memory))
	}
	return nil
}

// broken words a decoder's error.
func broken(kind string, err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return refuse("copy or save it again", "the %s picture is cut short", kind)
	}
	return refuse("save it again with another program", "the %s picture cannot be read: %v", kind, err)
}
