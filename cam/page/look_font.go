package page

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"slices"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// lookFonts are the Go fonts as styles of a page that loads nothing.
var lookFonts = sync.OnceValue(func() string {
	face := func(ttf []byte, weight int) string {
		return fmt.Sprintf("@font-face{font-family:Go;font-weight:%d;src:url(data:font/woff;base64,%s)}\n", weight, base64.StdEncoding.EncodeToString(woff(ttf)))
	}
	return face(goregular.TTF, 400) + face(gobold.TTF, 700)
})

// woff is a TrueType font in the Web Open Font Format (W3C Recommendation WOFF 1.0, 13
// December 2012, sections 3 to 5): its tables as they are, each deflated where that is smaller.
func woff(ttf []byte) []byte {
	be := binary.BigEndian
	type table struct {
		entry, data []byte // of the TrueType directory: tag, sum, offset, length
	}
	var tables []table
	for i := range int(be.Uint16(ttf[4:])) {
		e := ttf[12+16*i:][:16]
		tables = append(tables, table{e, ttf[be.Uint32(e[8:]):][:be.Uint32(e[12:])]})
	}
	slices.SortFunc(tables, func(a, b table) int { return cmp.Compare(be.Uint32(a.entry), be.Uint32(b.entry)) })
	var directory, body []byte
	start, whole := 44+20*len(tables), 12+16*len(tables)
	for _, t := range tables {
		packed := deflated(t.data)
		directory = append(directory, t.entry[:4]...)
		directory = be.AppendUint32(directory, uint32(start+len(body)))
		directory = be.AppendUint32(directory, uint32(len(packed)))
		directory = be.AppendUint32(directory, uint32(len(t.data)))
		directory = append(directory, t.entry[4:8]...)
		body = append(body, packed...)
		body = append(body, make([]byte, -len(body)&3)...)
		whole += (len(t.data) + 3) &^ 3
	}
	head := append([]byte("wOFF"), ttf[:4]...)
	head = be.AppendUint32(head, uint32(start+len(body)))
	head = be.AppendUint16(head, uint16(len(tables)))
	head = be.AppendUint16(head, 0)
	head = be.AppendUint32(head, uint32(whole))
	head = append(head, make([]byte, 24)...) // version 0.0; no metadata, no private data
	return slices.Concat(head, directory, body)
}

// deflated is data in zlib's format, or as it is where that is no longer.
func deflated(data []byte) []byte {
	var b bytes.Buffer
	w, _ := zlib.NewWriterLevel(&b, zlib.BestCompression) // a buffer takes all, the level is one
	w.Write(data)
	w.Close()
	if b.Len() >= len(data) {
		return data
	}
	return b.Bytes()
}
