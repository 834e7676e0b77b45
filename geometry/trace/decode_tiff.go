package trace

import (
	"encoding/binary"
	"fmt"
	"strings"
)

// tiffBlock is the TIFF block of a camera's notes (EXIF: JEITA CP-3451; TIFF 6.0; from memory). Without order it is none.
type tiffBlock struct {
	data  []byte
	order binary.ByteOrder
}

// The tags that are read, and their types.
const (
	tagMake        = 0x010F
	tagModel       = 0x0110
	tagOrientation = 0x0112
	tagExif        = 0x8769 // where the second directory begins
	tagFocalLength = 0x920A
	tagDigitalZoom = 0xA404
	tagLensModel   = 0xA434

	typeText, typeShort, typeLong, typeRatio = 2, 3, 4, 5
	mostText                                 = 64 // characters of a name
)

func tiffOf(data []byte) (t tiffBlock) {
	if len(data) < 8 {
		return t
	}
	switch string(data[:2]) {
	case "II":
		t.order = binary.LittleEndian
	case "MM":
		t.order = binary.BigEndian
	default:
		return t
	}
	if t.order.Uint16(data[2:]) != 42 {
		t.order = nil
		return t
	}
	t.data = data
	return t
}

// entry is a tag's row of the directory that begins at a place: type, count and value, or nil.
func (t tiffBlock) entry(start uint32, tag, form uint16) []byte {
	if t.order == nil || int64(start)+2 > int64(len(t.data)) {
		return nil
	}
	rows := t.data[start+2:]
	const size = 12
	for range t.order.Uint16(t.data[start:]) {
		if len(rows) < size {
			return nil
		}
		if t.order.Uint16(rows) == tag && t.order.Uint16(rows[2:]) == form {
			return rows[2:size]
		}
		rows = rows[size:]
	}
	return nil
}

func (t tiffBlock) first() uint32 {
	if t.order == nil {
		return 0
	}
	return t.order.Uint32(t.data[4:])
}

func (t tiffBlock) orientation() orientation {
	if row := t.entry(t.first(), tagOrientation, typeShort); row != nil {
		if value := t.order.Uint16(row[6:]); value >= 1 && value <= 8 {
			return orientation(value - 1)
		}
	}
	return upright
}

// camera names camera and zoom, "" where the notes do not say both: one that changes its lens or zooms has several focal lengths.
func (t tiffBlock) camera() string {
	model := t.text(t.first(), tagModel)
	row := t.entry(t.first(), tagExif, typeLong)
	if model == "" || row == nil {
		return ""
	}
	second := t.order.Uint32(row[6:])
	focal := t.ratio(second, tagFocalLength)
	if focal <= 0 {
		return ""
	}
	zoom := t.ratio(second, tagDigitalZoom)
	if zoom <= 0 {
		zoom = 1 // not used
	}
	words := strings.Fields(strings.Join([]string{t.text(t.first(), tagMake), model, t.text(second, tagLensModel)}, " "))
	return fmt.Sprintf("%s at %.4g mm, zoomed %.3g times", strings.Join(words, " "), focal, zoom)
}

// text is a tag's, without what a terminal or a file could stumble over.
func (t tiffBlock) text(start uint32, tag uint16) string {
	row := t.entry(start, tag, typeText)
	if row == nil {
		return ""
	}
	n, value := int64(t.order.Uint32(row[2:])), row[6:]
	if n > 4 {
		at := int64(t.order.Uint32(value))
		if at+n > int64(len(t.data)) {
			return ""
		}
		value = t.data[at : at+n]
	}
	var b strings.Builder
	for _, c := range value[:n] {
		switch {
		case c == 0 || b.Len() == mostText:
			return strings.TrimSpace(b.String())
		case c >= ' ' && c < 0x7F:
			b.WriteByte(c)
		}
	}
	return strings.TrimSpace(b.String())
}

func (t tiffBlock) ratio(start uint32, tag uint16) float64 {
	row := t.entry(start, tag, typeRatio)
	if row == nil {
		return 0
	}
	at := int64(t.order.Uint32(row[6:]))
	if at+8 > int64(len(t.data)) || t.order.Uint32(t.data[at+4:]) == 0 {
		return 0
	}
	return float64(t.order.Uint32(t.data[at:])) / float64(t.order.Uint32(t.data[at+4:]))
}
