// Package lettering turns text into contours or single strokes, ready to be cut,
// engraved or drawn, and cuts bridges into shapes so that their islands stay.
//
// Conventions are those of package geometry: millimetres, radians, Y up. A line
// of text lies on its baseline, the X axis, and reads to the right.
//
// Text is read as Unicode, composed first (normalization form C). One character is
// one letter: ligatures and other substitutions of a font are not used, and a mark
// that does not compose with its letter is refused. Text that runs from right to
// left is refused as well, because its letters would be set in the wrong order.
//
// That is for letters that are cut. What a page shows in a font of the user's is set by Shape: joined, with
// its ligatures and marks, in both directions.
package lettering

import (
	"slices"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/gofont/gosmallcaps"

	"traywright/geometry"
)

// Face is a set of letter shapes. Make one with Shipped or ParseFont; the zero value has
// no letters. A face may be used from several goroutines at once.
type Face struct {
	name   string // the shipped one, or the family that the font's file gives itself
	source source
}

// source is what a Face draws its letters from, in its own units.
type source interface {
	capital() float64 // height of a capital letter
	glyph(r rune) (glyph, error)
	has(r rune) bool
	kern(left, right rune) float64 // to be added to the advance of left
	single() bool
}

// glyph is one letter in the units of its face, Y up, on its baseline from X 0.
type glyph struct {
	contours [][]curve       // outlines, each closed
	strokes  []geometry.Path // or single strokes
	left     float64         // of the strokes: the room before x = 0 of their table
	advance  float64
}

// curve is a Bézier curve: its two to four control points.
type curve []geometry.Point

// Strokes is the name of the single-stroke alphabet.
const Strokes = "strokes"

var shipped = []struct {
	name string
	data []byte
}{
	{"go", goregular.TTF},
	{"go-medium", gomedium.TTF},
	{"go-bold", gobold.TTF},
	{"go-italic", goitalic.TTF},
	{"go-bold-italic", gobolditalic.TTF},
	{"go-mono", gomono.TTF},
	{"go-mono-bold", gomonobold.TTF},
	{"go-smallcaps", gosmallcaps.TTF},
}

// Names lists the faces that Shipped knows: the single-stroke alphabet first, then
// the Go fonts.
func Names() []string {
	names := []string{Strokes}
	for _, s := range shipped {
		names = append(names, s.name)
	}
	return names
}

// Shipped is the face of that name, and whether there is one.
func Shipped(name string) (*Face, bool) {
	if name == Strokes {
		return &Face{name, alphabet()}, true
	}
	i := slices.IndexFunc(shipped, func(s struct {
		name string
		data []byte
	}) bool {
		return s.name == name
	})
	if i < 0 {
		return nil, false
	}
	face, err := ParseFont(shipped[i].data)
	if err != nil {
		return nil, false
	}
	face.name = name
	return face, true
}
