package page

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

	"traywright/cam/plan"
	"traywright/geometry/lettering"
)

// dragonFont is the Go font with its T, H and I under other characters alone: OpenType 1.9, "cmap", format 12, of
// groups of first, last and glyph. The glyphs are found by asking the font.
func dragonFont(t testing.TB, of map[rune]rune) *lettering.Face {
	t.Helper()
	regular, _, err := parseFonts()
	require.NoError(t, err)
	be := binary.BigEndian
	groups := []byte{}
	for r := rune(1); r <= 0x1ffff; r++ {
		if as, ok := of[r]; ok {
			groups = be.AppendUint32(be.AppendUint32(be.AppendUint32(groups, uint32(r)), uint32(r)), uint32(regular.Index(as)))
		}
	}
	cmap := []byte{0, 0, 0, 1, 0, 3, 0, 10, 0, 0, 0, 12, 0, 12, 0, 0}
	cmap = be.AppendUint32(cmap, uint32(16+len(groups)))
	cmap = be.AppendUint32(be.AppendUint32(cmap, 0), uint32(len(groups)/12))
	cmap = append(cmap, groups...)
	ttf := append(bytes.Clone(goregular.TTF), make([]byte, -len(goregular.TTF)&3)...)
	for i := range int(be.Uint16(ttf[4:])) {
		if e := ttf[12+16*i:]; string(e[:4]) == "cmap" {
			be.PutUint32(e[8:], uint32(len(ttf)))
			be.PutUint32(e[12:], uint32(len(cmap)))
		}
	}
	face, err := lettering.ParseFont(append(ttf, cmap...))
	require.NoError(t, err)
	return face
}

// inked is how many pixels of a text are more ink than paper, and the box that they lie in.
func inked(t testing.TB, set *typesetter, text string, st style) (n int, box image.Rectangle) {
	t.Helper()
	c := newCanvas(set, 400, 80)
	defer done(c.im)
	c.text(20, 50, text, st, color.RGBA{0, 0, 0, 255}, 0)
	for y := range 80 {
		for x := range 400 {
			if c.im.RGBAAt(x, y).R < 128 {
				n++
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return n, box
}

// A font that has the T under 龍 draws it as the Go font draws its T, on pictures and on paper: the size of its capitals is
// that of the Go font's, to the style's 0.72 for the 0.722 that a T of it has (read off the font).
func TestLettersOfTheUsersFont(t *testing.T) {
	face := dragonFont(t, map[rune]rune{'龍': 'T', '王': 'H', '🐙': 'I'})
	set, err := newTypesetter(lettersOf(face))
	require.NoError(t, err)
	for _, st := range []style{smallType, bodyType, {46, false}} {
		assert.InEpsilon(t, set.width("THI", st), set.width("龍王🐙", st), 0.02, "%v", st)
		own, ownBox := inked(t, set, "THI", style{size: st.size})
		drawn, box := inked(t, set, "龍王🐙", st)
		assert.InEpsilon(t, own, drawn, 0.15, "%v", st)
		for _, off := range []int{ownBox.Min.X - box.Min.X, ownBox.Min.Y - box.Min.Y, ownBox.Max.X - box.Max.X, ownBox.Max.Y - box.Max.Y} {
			assert.LessOrEqual(t, max(off, -off), 2, "%v: %v and %v", st, ownBox, box)
		}
	}
	assert.Equal(t, "龍王 [9A0E]", set.clean("龍王 騎"))
	assert.Equal(t, []rune{'騎'}, Lacking("龍騎王", face))

	d, err := newDocument(a4, "龍", lettersOf(face))
	require.NoError(t, err)
	st := style{12, false}
	assert.InEpsilon(t, d.width("a THI b", st), d.width("a 龍王🐙 b", st), 0.02)
	d.page(a4, false)
	red, green, blue := 1, 2, 3
	d.SetFillColor(red, green, blue)
	d.text(20, 20, "a 龍王🐙 b", st, ink, 0)
	r, g, b := d.GetFillColor()
	assert.Equal(t, []int{red, green, blue}, []int{r, g, b}, "the page's own colour stays")
	require.NoError(t, d.write(&bytes.Buffer{}))
}

// drawnAs fails where a text in the user's letters is not drawn as the Go font draws another, within two pixels.
func drawnAs(t *testing.T, set *typesetter, text, as string) {
	t.Helper()
	st := style{size: 46}
	n, box := inked(t, set, text, st)
	m, asBox := inked(t, set, as, st)
	assert.InEpsilon(t, m, n, 0.15, "%q", text)
	for _, off := range []int{asBox.Min.X - box.Min.X, asBox.Min.Y - box.Min.Y, asBox.Max.X - box.Max.X, asBox.Max.Y - box.Max.Y} {
		assert.LessOrEqual(t, max(off, -off), 2, "%q: %v and %v", text, box, asBox)
	}
}

// sameInk is whether three quarters of what is ink in one of two texts are so in both.
func sameInk(t *testing.T, set *typesetter, text, as string) bool {
	t.Helper()
	drawn := func(s string) *image.RGBA {
		c := newCanvas(set, 400, 80)
		c.text(20, 50, s, style{size: 46}, color.RGBA{0, 0, 0, 255}, 0)
		return c.im
	}
	a, b := drawn(text), drawn(as)
	defer done(a)
	defer done(b)
	both, either := 0, 0
	for y := range 80 {
		for x := range 400 {
			p, q := a.RGBAAt(x, y).R < 128, b.RGBAAt(x, y).R < 128
			if p && q {
				both++
			}
			if p || q {
				either++
			}
		}
	}
	return both*4 > either*3
}

// Text from right to left stands in its order, its numbers and brackets as Unicode wants them, and Arabic letters take the
// form of their place in the word: here the font has another letter for each form of beh (U+FE8F to U+FE92, The Unicode
// Standard, 9.2).
func TestNamesFromRightToLeft(t *testing.T) {
	face := dragonFont(t, map[rune]rune{'א': 'M', 'ב': 'H', 'ג': 'N', 'ب': 'M', '\ufe8f': 'M', '\ufe90': 'N', '\ufe91': 'H', '\ufe92': 'I'})
	set, err := newTypesetter(lettersOf(face))
	require.NoError(t, err)
	for text, as := range map[string]string{
		"אבג":                              "NHM",
		"בבב אגג":                          "NNM HHH",
		"אבג 12":                           "12 NHM", // so a number of ours would go, if the name were not apart
		apart("אבג") + " 12":               "NHM 12",
		apart("אבג 12"):                    "12 NHM",
		"2 × " + apart("אב (ג) 3") + ", 4": "2 × 3 (N) HM, 4",
		"ب":                                "M",
		"بب":                               "NH",
		"بببب ب":                           "M NIIH",
		apart("بب-1 (ب)"):                  "(M) 1-NH",
		apart("x [ב]"):                     "x [H]",
	} {
		drawnAs(t, set, text, as)
		assert.True(t, sameInk(t, set, text, as), "%q stands as %q", text, as)
	}
	assert.False(t, sameInk(t, set, "אבג", "MHN"))
	k := plan.Pocket{For: "king", Piece: "אב 7"}
	assert.Equal(t, "\u2067אב 7\u2069", set.called(&k))
	assert.Equal(t, "king", setter(t).called(&k))
}

// A mark that does not compose with its letter is over or under it, in one font, and takes no room of its own; without a
// font that has both it is told.
func TestMarksOverLetters(t *testing.T) {
	face := dragonFont(t, map[rune]rune{'x': 'x', '\u0323': '.', '\u0301': '\''})
	set, err := newTypesetter(lettersOf(face))
	require.NoError(t, err)
	st := style{size: 46}
	for _, text := range []string{"x\u0323", "x\u0301", "x\u0323\u0301"} {
		assert.Equal(t, text, set.clean(text))
		assert.Nil(t, Lacking(text, face))
		assert.InDelta(t, set.width("x", st), set.width(text, st), 1, "%+q", text)
		plain, _ := inked(t, set, "x", st)
		marked, _ := inked(t, set, text, st)
		assert.Greater(t, marked, plain, "%+q", text)
	}
	assert.Equal(t, "é", set.clean("e\u0301"), "the Go font has it in one")
	assert.Equal(t, []rune{0x0323}, Lacking("x\u0323", nil))
	assert.Equal(t, []rune{0x0301}, Lacking("q\u0301", face), "it lacks the q")
	assert.Equal(t, "x[0323]", setter(t).clean("x\u0323"))
	many := "x" + strings.Repeat("\u0301", 10_000)
	assert.Equal(t, []rune{0x0301}, Lacking(many, face))
	assert.Equal(t, "x"+strings.Repeat("\u0301", mostMarks), set.clean(many))
	_, box := inked(t, set, many, st)
	assert.Less(t, box.Dy(), 80)
}

// Without such a font a piece is its id on pictures and on paper, and its name where a page has all letters.
func TestNamesThatLettersLack(t *testing.T) {
	bare, err := newTypesetter(nil)
	require.NoError(t, err)
	drawn, err := newTypesetter(lettersOf(dragonFont(t, map[rune]rune{'龍': 'T'})))
	require.NoError(t, err)
	k := plan.Pocket{For: "dragon", Piece: "龍 of the sea"}
	assert.Equal(t, []string{"dragon", "龍 of the sea", "龍 of the sea"}, []string{bare.called(&k), drawn.called(&k), (*typesetter)(nil).called(&k)})
}

// The number of a character is broken over no line and cut short in no place.
func TestNumbersStayWhole(t *testing.T) {
	set, err := newTypesetter(nil)
	require.NoError(t, err)
	const text = "the [9F8D][9A0E][58EB] of the sea, and [10FFFF] 12 [mm]"
	for width := 60.0; width < 700; width += 7 {
		for _, line := range append(set.wrap("the 龍騎士 of the sea", bodyType, width, 0), set.shorten("the 龍騎士 of the sea", bodyType, width)) {
			if width > set.width("[9F8D]", bodyType) {
				assert.NotRegexp(t, `\[[0-9A-F]*(…|$)|^[0-9A-F]{1,4}\]`, line, "%g", width)
			}
		}
	}
	letters := letterByLetter(text)
	assert.Equal(t, []int{4, 4, 10, 16, 39}, []int{outsideNumber(letters, 5), outsideNumber(letters, 9), outsideNumber(letters, 10), outsideNumber(letters, 20), outsideNumber(letters, 46)})
	assert.Equal(t, len(letters), outsideNumber(letters, len(letters)))
}

// The overview, a sheet's picture and the templates draw a name with the font that the plan carries.
func TestPagesAreDrawnWithTheUsersFont(t *testing.T) {
	face := dragonFont(t, map[rune]rune{'龍': 'T'})
	for name, draw := range map[string]func(w io.Writer, p *plan.Plan) error{
		"overview":  func(w io.Writer, p *plan.Plan) error { return Overview(w, p, OverviewOptions{}) },
		"templates": func(w io.Writer, p *plan.Plan) error { return CutSheet{Plan: p}.Templates(w, a4) },
		"picture": func(w io.Writer, p *plan.Plan) error {
			r, wanted := cutTray()
			o := routerOptions(wanted)
			o.Job, o.Title = p, p.Trays[0].Label
			return Picture(w, r, o)
		},
	} {
		p := demoPlan(t)
		p.Trays = p.Trays[:1]
		p.Cases = nil
		p.Trays[0].Label = "龍"
		var with, without bytes.Buffer
		require.NoError(t, draw(&without, p), name)
		p.Letters = face
		require.NoError(t, draw(&with, p), name)
		assert.False(t, bytes.Equal(without.Bytes(), with.Bytes()), name)
	}
}
