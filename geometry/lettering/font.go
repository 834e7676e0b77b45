package lettering

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"traywright/geometry"
)

// The limits on a font of the user's. Work is what may be read, in bytes, with a fee for each
// read: subroutines and tables of a hostile file may call each other without end.
const (
	maxFontBytes  = 32 << 20
	maxPoints     = 10_000 // of one glyph
	maxParseWork  = 64 << 20
	maxGlyphWork  = 4 << 20
	readFee       = 64
	pointFee      = 100 // a point of a glyf table may take less than a bit of the file
	minUnits      = 16  // per em; OpenType 1.9, "head"
	maxUnits      = 16384
	maxFamilyName = 60
)

// ParseFont reads a TrueType or OpenType font (outlines of the glyf or CFF tables). Its
// capital height is that of its H, else what its OS/2 table says, else 0.7 em.
//
// It takes up to 32 MiB, and a glyph of up to 10,000 points. It does not read
// collections, WOFF, bitmap or colour fonts, CFF2 and the axes of variable fonts (the default
// instance of one with a glyf table is used), and it ignores hints and ligatures.
// Points are exact, but for parts of a compound glyph that are scaled: those are rounded
// to whole font units. The data must not be changed afterwards. The error is a *Fault.
func ParseFont(data []byte) (*Face, error) {
	if len(data) > maxFontBytes {
		return nil, &Fault{ruleFont, fmt.Sprintf("the font has %d bytes, the limit is %d", len(data), maxFontBytes), "use a smaller font, or one of its subsets"}
	}
	if err := checkKind(data); err != nil {
		return nil, err
	}
	o := &outlines{file: data, meter: meter{data: data}}
	parse := func() (err error) {
		o.font, err = sfnt.ParseReaderAt(&o.meter)
		return err
	}
	err := o.guard(maxParseWork, parse)
	if err != nil {
		// The library confuses its buffer where several lookups of a GPOS table kern, as of an Arabic font:
		// then letters of labels are not kerned.
		o.meter.data = unread(data, "GPOS")
		if o.guard(maxParseWork, parse) == nil {
			err = nil
		}
	}
	if err != nil {
		return nil, &Fault{ruleFont, fmt.Sprintf("the font cannot be read: %v", err), "use another TrueType or OpenType file"}
	}
	if u := o.font.UnitsPerEm(); u < minUnits || u > maxUnits {
		return nil, &Fault{ruleFont, fmt.Sprintf("the font has %d units to the em, outside %d to %d", u, minUnits, maxUnits), "use another font"}
	}
	o.findCapital()
	return &Face{o.family(), o}, nil
}

// unread is a font's file with the name of a table struck out.
func unread(data []byte, table string) []byte {
	data = bytes.Clone(data)
	for at := 12; at+16 <= len(data) && at < 12+16*int(binary.BigEndian.Uint16(data[4:])); at += 16 {
		if string(data[at:at+4]) == table {
			data[at+3] = '_'
		}
	}
	return data
}

// checkKind knows the files that people take for a font of this kind.
func checkKind(data []byte) error {
	for _, k := range []struct{ magic, text string }{
		{"wOFF", "a WOFF font"},
		{"wOF2", "a WOFF2 font"},
		{"ttcf", "a collection of fonts"},
		{"%!", "a PostScript Type 1 font"},
	} {
		if bytes.HasPrefix(data, []byte(k.magic)) {
			return &Fault{ruleFont, "the file is " + k.text, "convert it to a single .ttf or .otf file"}
		}
	}
	return nil
}

// outlines is a font file. The lock is for the meter and the buffer.
type outlines struct {
	sync.Mutex
	file   []byte
	font   *sfnt.Font
	buffer sfnt.Buffer
	meter  meter
	cap    float64
	shaper shaper
}

// meter is the font's data, and how much more of it may be read.
type meter struct {
	data    []byte
	left    int
	glyphs  bool     // what is read now are glyphs of a glyf table
	onCurve [][]bool // of their contours, which points lie on the curve
}

var errWork = errors.New("it takes too much work to read")

func (m *meter) ReadAt(p []byte, offset int64) (int, error) {
	m.left -= len(p) + readFee
	if offset < 0 || offset > int64(len(m.data)) {
		return 0, io.ErrUnexpectedEOF
	}
	n := copy(p, m.data[offset:])
	if m.glyphs {
		g := simpleGlyph(p[:n])
		if m.left -= pointFee * g.points(); m.left >= 0 {
			m.onCurve = append(m.onCurve, g.onCurve()...)
		}
	}
	switch {
	case m.left < 0:
		return 0, errWork
	case n < len(p):
		return n, io.ErrUnexpectedEOF
	}
	return n, nil
}

// guard calls do with so much work to spend. The font library says that it is not hardened
// against hostile files, so a panic of it becomes an error here.
func (o *outlines) guard(work int, do func() error) (err error) {
	o.Lock()
	defer o.Unlock()
	o.meter.left = work
	o.meter.glyphs, o.meter.onCurve = false, nil
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("it is damaged (%v)", r)
		}
	}()
	return do()
}

// em makes the library's numbers whole font units.
func (o *outlines) em() fixed.Int26_6 { return fixed.Int26_6(o.font.UnitsPerEm()) }

// findCapital measures the H, which stands flat on the baseline. A font without one may tell
// its capital height in the OS/2 table; one that does not, as a font of symbols, is taken to
// have capitals of seven tenths of an em (common practice, no source).
func (o *outlines) findCapital() {
	o.cap = 0.7 * float64(o.font.UnitsPerEm())
	_ = o.guard(maxGlyphWork, func() error {
		m, err := o.font.Metrics(&o.buffer, o.em(), font.HintingNone)
		if err == nil && m.CapHeight > 0 {
			o.cap = float64(m.CapHeight)
		}
		return err
	})
	g, err := o.glyph('H')
	if !o.has('H') || err != nil {
		return
	}
	top := 0.0
	for _, curves := range g.contours {
		for _, c := range curves {
			top = max(top, c[0].Y)
		}
	}
	if top > 0 {
		o.cap = top
	}
}

func (o *outlines) family() string {
	name := ""
	_ = o.guard(maxGlyphWork, func() (err error) {
		name, err = o.font.Name(&o.buffer, sfnt.NameIDFull)
		return err
	})
	return plainName(name)
}

// plainName is a name that is safe to print: letters, digits and a few signs.
func plainName(name string) string {
	var plain []rune
	for _, r := range name {
		if r >= ' ' && r < 0x7f && len(plain) < maxFamilyName {
			plain = append(plain, r)
		}
	}
	if len(plain) == 0 {
		return "without a name"
	}
	return string(plain)
}

func (o *outlines) capital() float64 { return o.cap }

func (o *outlines) single() bool { return false }

func (o *outlines) has(r rune) bool { return o.index(r) != 0 }

// index is the number of the glyph, 0 for none.
func (o *outlines) index(r rune) sfnt.GlyphIndex {
	var index sfnt.GlyphIndex
	err := o.guard(maxGlyphWork, func() (err error) {
		index, err = o.font.GlyphIndex(&o.buffer, r)
		return err
	})
	if err != nil {
		return 0
	}
	return index
}

func (o *outlines) kern(left, right rune) float64 {
	l, r := o.index(left), o.index(right)
	kern := 0.0
	_ = o.guard(maxGlyphWork, func() error {
		k, err := o.font.Kern(&o.buffer, l, r, o.em(), font.HintingNone)
		if err == nil {
			kern = float64(k)
		}
		return err
	})
	return kern
}

func (o *outlines) glyph(r rune) (glyph, error) {
	g, err := o.outline(o.index(r))
	if err != nil {
		return glyph{}, &Fault{ruleFont, fmt.Sprintf("the font's glyph for %s cannot be used: %v", named(r), err), "use another font"}
	}
	return g, nil
}

// outline is the glyph of a number.
func (o *outlines) outline(index sfnt.GlyphIndex) (glyph, error) {
	var g glyph
	err := o.guard(maxGlyphWork, func() error {
		advance, err := o.font.GlyphAdvance(&o.buffer, index, o.em(), font.HintingNone)
		if err != nil {
			return err
		}
		g.advance = float64(advance)
		o.meter.glyphs = !bytes.HasPrefix(o.meter.data, []byte("OTTO"))
		segments, err := o.font.LoadGlyph(&o.buffer, index, o.em(), nil)
		if err != nil {
			return err
		}
		if len(segments) > maxPoints {
			return fmt.Errorf("it has more than %d points", maxPoints)
		}
		g.contours = contours(segments, o.meter.onCurve)
		return nil
	})
	return g, err
}

// contours splits the segments at their moves and closes each. For a glyf table, onCurve tells which
// points of each contour lie on it.
func contours(segments sfnt.Segments, onCurve [][]bool) [][]curve {
	var list [][]curve
	var now []curve
	var start, pen geometry.Point
	flush := func() {
		if now != nil && pen != start {
			now = append(now, curve{pen, start})
		}
		if now != nil {
			list = append(list, now)
		}
		now = nil
	}
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			flush()
			start = point(s.Args[0])
			pen = start
			continue
		case sfnt.SegmentOpLineTo:
			now = append(now, curve{pen, point(s.Args[0])})
		case sfnt.SegmentOpQuadTo:
			now = append(now, curve{pen, point(s.Args[0]), point(s.Args[1])})
		case sfnt.SegmentOpCubeTo:
			now = append(now, curve{pen, point(s.Args[0]), point(s.Args[1]), point(s.Args[2])})
		}
		last := now[len(now)-1]
		pen = last[len(last)-1]
	}
	flush()
	if len(list) == len(onCurve) {
		for i, curves := range list {
			exactMiddles(curves, onCurve[i])
		}
	}
	return list
}

// point turns the library's Y, which points down, up.
func point(p fixed.Point26_6) geometry.Point {
	return geometry.Point{X: float64(p.X), Y: -float64(p.Y)}
}
