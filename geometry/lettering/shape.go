package lettering

import (
	"bytes"
	"fmt"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
	"golang.org/x/image/font/sfnt"

	"traywright/geometry"
)

// Glyph is a shape of a font, by its number in it, and where its origin stands on a line.
type Glyph struct {
	ID   uint16
	X, Y float64 // mm from where the line begins on its baseline
}

// shaper reads a font's tables for joining, ligatures and marks when they are first asked for. The lock is for it: its
// caches are not for several goroutines.
type shaper struct {
	sync.Mutex
	font *harfbuzz.Font
	err  error
}

// Shape sets text of one direction as its scripts and the font want it: letters joined, marks in their places, ligatures. The
// glyphs stand from left to right, also of text from right to left; a character that the font lacks is glyph 0. Capitals of
// the font would be heightMM high. The error is a *Fault, of a font that cannot be used for it.
func (f *Face) Shape(text string, rightToLeft bool, heightMM float64) (glyphs []Glyph, advanceMM float64, err error) {
	o, ok := f.source.(*outlines)
	if !ok {
		return nil, 0, &Fault{ruleFont, "this face has no tables to shape text by", "take a font file"}
	}
	o.shaper.Lock()
	defer o.shaper.Unlock()
	// The library that shapes says no more of hostile files than the one that reads outlines.
	defer func() {
		if r := recover(); r != nil {
			glyphs, advanceMM, err = nil, 0, unusable(r)
		}
	}()
	hb, err := o.shaping()
	if err != nil {
		return nil, 0, err
	}
	scale := heightMM / o.cap
	pen := 0.0
	for _, b := range buffers(text, rightToLeft) {
		b.Shape(hb, nil)
		for i, g := range b.Info {
			at := b.Pos[i]
			glyphs = append(glyphs, Glyph{uint16(g.Glyph), (pen + float64(at.XOffset)) * scale, float64(at.YOffset) * scale})
			pen += float64(at.XAdvance)
		}
	}
	return glyphs, pen * scale, nil
}

func unusable(why any) error {
	return &Fault{ruleFont, fmt.Sprintf("the font's tables cannot be used: %v", why), "use another font"}
}

// shaping is the font for the library that shapes.
func (o *outlines) shaping() (*harfbuzz.Font, error) {
	if s := &o.shaper; s.font == nil && s.err == nil {
		s.err = unusable("they are damaged") // if it panics
		face, err := font.ParseTTF(bytes.NewReader(o.file))
		if err != nil {
			s.err = unusable(err)
			return nil, s.err
		}
		s.font, s.err = harfbuzz.NewFont(face), nil
	}
	return o.shaper.font, o.shaper.err
}

// buffers are the stretches of one script, in the order in which they stand from left to right. What belongs to every
// script, as a space or a mark, stays with what is before it, or begins the first. No language is taken from the machine.
func buffers(text string, rightToLeft bool) []*harfbuzz.Buffer {
	runes := []rune(text)
	var list []*harfbuzz.Buffer
	for from := 0; from < len(runes); {
		var script language.Script
		to := from
		for ; to < len(runes); to++ {
			if s := language.LookupScript(runes[to]); s.Strong() {
				if script != 0 && s != script {
					break
				}
				script = s
			}
		}
		b := harfbuzz.NewBuffer()
		b.Props = harfbuzz.SegmentProperties{Language: "und", Script: script, Direction: harfbuzz.LeftToRight}
		if script == 0 {
			b.Props.Script = language.Common
		}
		b.AddRunes(runes, from, to-from)
		if from = to; !rightToLeft {
			list = append(list, b)
			continue
		}
		b.Props.Direction = harfbuzz.RightToLeft
		list = append([]*harfbuzz.Buffer{b}, list...)
	}
	return list
}

// Outline is a glyph of the font's, on its baseline, where capitals are heightMM high; tol as of Setting.ToleranceMM. It is
// empty where the font draws nothing. The error is as of Set.
func (f *Face) Outline(id uint16, heightMM, tol float64) (geometry.Region, error) {
	o, ok := f.source.(*outlines)
	if !ok {
		return geometry.Region{}, &Fault{ruleFont, "this face has no glyphs", "take a font file"}
	}
	g, err := o.outline(sfnt.GlyphIndex(id))
	if err != nil {
		return geometry.Region{}, &Fault{ruleFont, fmt.Sprintf("the font's glyph %d cannot be used: %v", id, err), "use another font"}
	}
	made, err := g.scaled(heightMM/o.cap, tol)
	return made.region, err
}
