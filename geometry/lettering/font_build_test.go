package lettering

import (
	"encoding/binary"
	"maps"
	"slices"
)

// A small maker of fonts, so that tests can have kerning, CFF outlines and hostile
// files without any font but our own. The layouts are those of the OpenType
// specification, 1.9, and of Adobe Technical Notes 5176 (CFF) and 5177 (Type 2 charstrings).

func u16(values ...int) []byte {
	var b []byte
	for _, v := range values {
		b = binary.BigEndian.AppendUint16(b, uint16(v))
	}
	return b
}

func u32(values ...int) []byte {
	var b []byte
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(v))
	}
	return b
}

// sfntFile joins tables to a file.
func sfntFile(version string, tables map[string][]byte) []byte {
	head := append([]byte(version), u16(len(tables), 0, 0, 0)...)
	var body []byte
	start := len(head) + 16*len(tables)
	for _, tag := range slices.Sorted(maps.Keys(tables)) {
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
		head = append(head, tag...)
		head = append(head, u32(0, start+len(body), len(tables[tag]))...)
		body = append(body, tables[tag]...)
	}
	return append(head, body...)
}

// commonTables has n glyphs, each 600 of 1000 units wide, for the characters from 'H' on.
func commonTables(n int) map[string][]byte {
	head := make([]byte, 54)
	copy(head[18:], u16(1000))
	copy(head[50:], u16(1))
	hhea := make([]byte, 36)
	copy(hhea[34:], u16(1))
	cmap := slices.Concat(u16(0, 1, 3, 10), u32(12), u16(12, 0), u32(16+12, 0, 1), u32('H', 'H'+n-2, 1))
	return map[string][]byte{
		"head": head, "hhea": hhea, "hmtx": append(u16(600, 0), make([]byte, 2*(n-1))...), "cmap": cmap,
		"post": append(u32(0x30000), make([]byte, 28)...),
	}
}

// trueType makes a font of glyf data: the first is the missing glyph, then H, I, J ...
func trueType(more map[string][]byte, glyphs ...[]byte) []byte {
	tables := commonTables(len(glyphs))
	var glyf, loca []byte
	for _, g := range glyphs {
		loca = append(loca, u32(len(glyf))...)
		glyf = append(glyf, g...)
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
	}
	tables["glyf"], tables["loca"] = glyf, append(loca, u32(len(glyf))...)
	tables["maxp"] = append(u32(0x10000), append(u16(len(glyphs)), make([]byte, 26)...)...)
	maps.Copy(tables, more)
	return sfntFile("\x00\x01\x00\x00", tables)
}

// polygonGlyph is a simple glyph of straight contours, each a row of x, y.
func polygonGlyph(contours ...[]int) []byte {
	g := append(u16(len(contours)), make([]byte, 8)...)
	end := -1
	for _, c := range contours {
		end += len(c) / 2
		g = append(g, u16(end)...)
	}
	g = append(g, u16(0)...)
	g = append(g, slices.Repeat([]byte{1}, end+1)...)
	for axis := range 2 {
		last := 0
		for _, c := range contours {
			for i := axis; i < len(c); i += 2 {
				g = append(g, u16(c[i]-last)...)
				last = c[i]
			}
		}
	}
	return g
}

// manyPoints is a glyph of n points in one place, in few bytes: flags that repeat.
func manyPoints(n int) []byte {
	g := append(u16(1), make([]byte, 8)...)
	g = append(g, u16(n-1, 0)...)
	for ; n > 0; n -= 256 {
		g = append(g, 0x01|0x08|0x10|0x20, byte(min(n, 256)-1))
	}
	return g
}

// compound places other glyphs, all at the origin.
func compound(glyphs ...int) []byte {
	g := append(u16(-1), make([]byte, 8)...)
	for i, n := range glyphs {
		flags := 0x2
		if i < len(glyphs)-1 {
			flags |= 0x20
		}
		g = append(append(g, u16(flags, n)...), 0, 0)
	}
	return g
}

// cffIndex is an INDEX of CFF, with offsets of 4 bytes.
func cffIndex(items ...[]byte) []byte {
	if len(items) == 0 {
		return u16(0)
	}
	b := append(u16(len(items)), 4)
	at := 1
	for _, item := range items {
		b = append(b, u32(at)...)
		at += len(item)
	}
	b = append(b, u32(at)...)
	return append(b, slices.Concat(items...)...)
}

// number is a number of a DICT, always five bytes.
func number(n int) []byte { return append([]byte{29}, u32(n)...) }

// short is a number of a charstring.
func short(n int) []byte { return append([]byte{28}, u16(n)...) }

// cffFont makes a font of charstrings and global subroutines.
func cffFont(subrs [][]byte, charstrings ...[]byte) []byte {
	head := append([]byte{1, 0, 4, 1}, cffIndex([]byte("Test"))...)
	top := func(charstrings, private int) []byte {
		return cffIndex(slices.Concat(number(charstrings), []byte{17}, number(0), number(private), []byte{18}))
	}
	rest := append(cffIndex(), cffIndex(subrs...)...)
	at := len(head) + len(top(0, 0)) + len(rest)
	glyphs := cffIndex(charstrings...)
	cff := slices.Concat(head, top(at, at+len(glyphs)), rest, glyphs)
	tables := commonTables(len(charstrings))
	tables["CFF "] = cff
	tables["maxp"] = append(u32(0x5000), u16(len(charstrings))...)
	return sfntFile("OTTO", tables)
}

// charstring is a rectangle, counter-clockwise as CFF has its outer contours.
func charstring(x, y, w, h int) []byte {
	return slices.Concat(short(x), short(y), []byte{21}, short(w), []byte{6}, short(h), []byte{7}, short(-w), []byte{6}, []byte{14})
}
