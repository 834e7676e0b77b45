package trace

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pngHeader is a PNG of a size that has no pixels to go with it (ISO/IEC 15948, 11.2.2).
func pngHeader(w, h uint32, depth, colour byte) []byte {
	body := binary.BigEndian.AppendUint32([]byte("IHDR"), w)
	body = append(binary.BigEndian.AppendUint32(body, h), depth, colour, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	return binary.BigEndian.AppendUint32(append(out, body...), crc32.ChecksumIEEE(body))
}

func encoded(t testing.TB, img image.Image) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// arrow is a picture that looks different in every orientation: dark at the upper left,
// half dark at the upper right.
func arrow(w, h int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 250
	}
	for y := range h / 4 {
		for x := range w / 4 {
			img.SetGray(x, y, color.Gray{10})
			img.SetGray(w-1-x, y, color.Gray{120})
		}
	}
	return img
}

// exif is a block with the one tag, as a camera writes it.
func exif(order binary.AppendByteOrder, value uint16) []byte {
	mark := "II"
	if order.String() == "BigEndian" {
		mark = "MM"
	}
	b := order.AppendUint16([]byte("Exif\x00\x00"+mark), 42)
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 1)
	b = order.AppendUint16(b, 0x0112)
	b = order.AppendUint16(b, 3)
	b = order.AppendUint32(b, 1)
	b = order.AppendUint16(b, value)
	return append(b, 0, 0, 0, 0, 0, 0)
}

func withEXIF(t testing.TB, img image.Image, block []byte) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	out := append([]byte{0xFF, 0xD8, 0xFF, 0xE1}, byte((len(block)+2)>>8), byte(len(block)+2))
	return append(append(out, block...), b.Bytes()[2:]...)
}

// Where the stored upper-left and upper-right corners are seen, by the eight values of the tag
// (JEITA CP-3451, Orientation: which side of the scene the stored rows and columns are; from
// memory).
func TestEXIFOrientation(t *testing.T) {
	const ul, ur, lr, ll = 0, 1, 2, 3
	for value, want := range map[uint16][2]int{
		1: {ul, ur}, 2: {ur, ul}, 3: {lr, ll}, 4: {ll, lr}, 5: {ul, ll}, 6: {ur, lr}, 7: {lr, ur}, 8: {ll, ul},
		0: {ul, ur}, 9: {ul, ur}, // no orientations
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			p, err := Decode(bytes.NewReader(withEXIF(t, arrow(48, 32), exif(order, value))), Limits{})
			require.NoError(t, err)
			size := p.Bounds().Size()
			if value >= 5 && value <= 8 {
				assert.Equal(t, image.Pt(32, 48), size)
			} else {
				assert.Equal(t, image.Pt(48, 32), size)
			}
			g, _ := grayOf(p, workPixels)
			corners := [4]image.Point{{}, {X: size.X - 1}, {X: size.X - 1, Y: size.Y - 1}, {Y: size.Y - 1}}
			for k, c := range corners {
				level := 250.0
				switch k {
				case want[0]:
					level = 10
				case want[1]:
					level = 120
				}
				r, _, _, _ := p.At(c.X, c.Y).RGBA()
				assert.InDelta(t, level, float64(r>>8), 8, "value %d, corner %d", value, k)
				assert.InDelta(t, level, g.v[c.Y*g.w+c.X], 8, "value %d, corner %d, as worked on", value, k)
			}
		}
	}
}

func TestPicturesOfEveryKind(t *testing.T) {
	fill := func(img interface {
		image.Image
		Set(x, y int, c color.Color)
	}) image.Image {
		for y := range 8 {
			for x := range 8 {
				if x < 4 {
					img.Set(x, y, color.Black)
				} else {
					img.Set(x, y, color.Transparent)
				}
			}
		}
		return img
	}
	r := image.Rect(0, 0, 8, 8)
	for name, img := range map[string]image.Image{
		"8 bit with alpha":  fill(image.NewNRGBA(r)),
		"16 bit with alpha": fill(image.NewNRGBA64(r)),
		"palette":           fill(image.NewPaletted(r, color.Palette{color.Black, color.Transparent})),
	} {
		p, err := Decode(bytes.NewReader(encoded(t, img)), Limits{})
		require.NoError(t, err, name)
		g, _ := grayOf(p, workPixels)
		assert.Equal(t, float32(0), g.v[3*8+1], name)
		assert.Equal(t, float32(255), g.v[3*8+6], name)
	}
	for name, img := range map[string]image.Image{"grey": arrow(8, 8), "16 bit grey": gray16(arrow(8, 8))} {
		p, err := Decode(bytes.NewReader(encoded(t, img)), Limits{})
		require.NoError(t, err, name)
		g, _ := grayOf(p, workPixels)
		assert.InDelta(t, 10, g.v[0], 1, name)
		assert.InDelta(t, 120, g.v[7], 1, name)
	}
}

func gray16(img *image.Gray) image.Image {
	out := image.NewGray16(img.Rect)
	for i, v := range img.Pix {
		out.SetGray16(i%img.Rect.Dx(), i/img.Rect.Dx(), color.Gray16{uint16(v) * 257})
	}
	return out
}

func TestPicturesThatAreRefused(t *testing.T) {
	small := encoded(t, arrow(16, 16))
	var photo bytes.Buffer
	require.NoError(t, jpeg.Encode(&photo, arrow(16, 16), nil))
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"no picture", []byte("game: Tidewrack\n"), "neither a PNG nor a JPEG"},
		{"empty", nil, "neither a PNG nor a JPEG"},
		{"60000 x 60000", pngHeader(60000, 60000, 8, 2), "60000 x 60000 pixels, 3600000000 in all, and at most 50000000"},
		{"16 bit, large", pngHeader(7000, 7000, 16, 6), "takes 374 MiB decoded, and at most 320 MiB"},
		{"PNG cut short", small[:len(small)/2], "not enough pixel data"},
		{"PNG header alone", small[:20], "cut short"},
		{"PNG broken", append(append([]byte{}, small[:40]...), bytes.Repeat([]byte{7}, 60)...), "cannot be read"},
		{"JPEG cut short", photo.Bytes()[:photo.Len()/2], "cut short"},
		{"JPEG without anything", []byte("\xff\xd8\xff"), "cut short"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Decode(bytes.NewReader(c.data), Limits{})
			var refused *PictureError
			require.ErrorAs(t, err, &refused)
			assert.Contains(t, err.Error(), c.want)
			assert.NotEmpty(t, refused.Hint)
		})
	}
	_, err := Decode(bytes.NewReader(small), Limits{FileBytes: 20})
	assert.ErrorContains(t, err, "larger than")
}

// fuzzLimits keep a fuzzed picture small.
var fuzzLimits = Limits{FileBytes: 1 << 20, Pixels: 1 << 16, Memory: 1 << 20}

// FuzzDecode: no bytes make the decoders panic, and what is decoded can be looked at,
// traced, and searched for a card.
func FuzzDecode(f *testing.F) {
	f.Add(encoded(f, arrow(16, 12)))
	f.Add(encoded(f, gray16(arrow(9, 7))))
	f.Add(withEXIF(f, arrow(16, 12), exif(binary.LittleEndian, 6)))
	f.Add(withEXIF(f, arrow(16, 12), exif(binary.BigEndian, 3)))
	f.Add(pngHeader(60000, 60000, 8, 2))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Decode(bytes.NewReader(data), fuzzLimits)
		if err != nil {
			return
		}
		b := p.Bounds()
		p.At(b.Dx()-1, b.Dy()-1)
		res, err := Emblem(p, Options{WidthMM: 10})
		if err == nil {
			require.NoError(t, res.Region.Validate(1e-9))
			require.InDelta(t, 10, res.Region.Bounds().Width(), 1e-6)
		}
		_, _ = TracePhoto(p, PhotoOptions{})
	})
}

// cameraNotes is a block that names a camera, its focal length in hundredths of a mm and its digital zoom in tenths, as TIFF 6.0
// lays out directories: counts, rows of twelve bytes, and what is longer than four bytes behind.
func cameraNotes(order binary.AppendByteOrder, maker, model string, focal, zoom uint32) []byte {
	b := []byte("II")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		b = []byte("MM")
	}
	const second, texts = 8 + 2 + 3*12 + 4, 8 + 2 + 3*12 + 4 + 2 + 2*12 + 4
	row := func(tag, form uint16, count, value uint32) {
		b = order.AppendUint16(order.AppendUint16(b, tag), form)
		b = order.AppendUint32(order.AppendUint32(b, count), value)
	}
	b = order.AppendUint32(order.AppendUint16(b, 42), 8)
	b = order.AppendUint16(b, 3)
	text := func(tag uint16, name string, at uint32) {
		row(tag, typeText, uint32(len(name)+1), at)
		if len(name) < 4 {
			copy(b[len(b)-4:], name+"\x00\x00\x00\x00")
		}
	}
	text(tagMake, maker, texts)
	text(tagModel, model, texts+uint32(len(maker)+1))
	row(tagExif, typeLong, 1, second)
	b = order.AppendUint16(order.AppendUint32(b, 0), 2)
	ratios := texts + uint32(len(maker)+len(model)+2)
	row(tagFocalLength, typeRatio, 1, ratios)
	row(tagDigitalZoom, typeRatio, 1, ratios+8)
	b = append(order.AppendUint32(b, 0), maker+"\x00"+model+"\x00"...)
	for _, v := range []uint32{focal, 100, zoom, 10} {
		b = order.AppendUint32(b, v)
	}
	return b
}

// A picture's notes name camera and zoom, or nothing at all.
func TestCameraOfNotes(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		notes := cameraNotes(order, "Quayside Optics", "Q1 ", 425, 10)
		p, err := Decode(bytes.NewReader(withEXIF(t, arrow(48, 32), append([]byte("Exif\x00\x00"), notes...))), Limits{})
		require.NoError(t, err)
		assert.Equal(t, "Quayside Optics Q1 at 4.25 mm, zoomed 1 times", p.takenBy())
		assert.Equal(t, "Q1 at 4.25 mm, zoomed 2 times", tiffOf(cameraNotes(order, "", "Q1", 425, 20)).camera())
		assert.Equal(t, "Q1 at 4.25 mm, zoomed 1 times", tiffOf(cameraNotes(order, "", "Q\x1b1", 425, 0)).camera(), "no digital zoom is told by 0")
		assert.Empty(t, tiffOf(cameraNotes(order, "Quayside", "", 425, 10)).camera())
		assert.Empty(t, tiffOf(cameraNotes(order, "Quayside", "Q1", 0, 10)).camera(), "which lens is not said")
		for n := range notes {
			tiffOf(notes[:n]).camera()
		}
	}
	assert.Empty(t, tiffOf(exif(binary.LittleEndian, 6)[6:]).camera())
}

// FuzzEXIF: a block of any bytes says one of eight things.
func FuzzEXIF(f *testing.F) {
	f.Add(exif(binary.LittleEndian, 6)[6:])
	f.Add(exif(binary.BigEndian, 8)[6:])
	f.Add([]byte("II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		block := tiffOf(data)
		if got := block.orientation(); got > 7 {
			t.Fatalf("orientation %d", got)
		}
		block.camera()
		readJPEG(append([]byte("\xff\xd8"), data...))
	})
}
