package lettering

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"traywright/geometry"
)

func TestAlphabetIsComplete(t *testing.T) {
	a := alphabet()
	for name, letters := range map[string]string{
		"ASCII": func() string {
			var b strings.Builder
			for r := '!'; r <= '~'; r++ {
				b.WriteRune(r)
			}
			return b.String()
		}(),
		// The letters of the languages, from memory.
		"German":              "ÄÖÜäöüß„“‚‘",
		"French":              "ÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸàâæçéèêëîïôœùûüÿ«»‹›",
		"Spanish, Portuguese": "ÁÉÍÑÓÚÜáéíñóúü¿¡ÃÕÂÊÔÀÇãõâêôàç",
		"Nordic":              "ÅÄÖÆØåäöæøÁÐÉÍÓÚÝÞáðéíóúýþŠŽšž",
		"Polish":              "ĄĆĘŁŃÓŚŹŻąćęłńóśźż",
		"Czech, Slovak":       "ÁČĎÉĚÍĹĽŇÓÔŔŘŠŤÚŮÝŽáčďéěíĺľňóôŕřšťúůýž",
		"Hungarian":           "ÁÉÍÓÖŐÚÜŰáéíóöőúüű",
		"Romanian":            "ĂÂÎȘȚăâîșțŞŢşţ",
		"South Slavic":        "ČĆĐŠŽčćđšž",
		"Baltic":              "ĀČĒĢĪĶĻŅŌŖŠŪŽāčēģīķļņōŗšūžĄĘĖĮŲąęėįųÕõ",
		"Turkish, Maltese":    "ÇĞİIÖŞÜçğıiöşüĊĠĦŻċġħż",
		"Dutch, Welsh":        "ËÏÖŴŶëïöŵŷ",
		"Esperanto":           "ĈĜĤĴŜŬĉĝĥĵŝŭ",
	} {
		for _, r := range letters {
			assert.True(t, a.has(r), "%s: %s", name, named(r))
		}
	}
}

// Every letter is strokes with a length, smooth numbers, inside its line.
func TestAlphabetIsSound(t *testing.T) {
	a := alphabet()
	for _, r := range slices.Sorted(maps.Keys(a.letters)) {
		g, err := a.glyph(r)
		require.NoError(t, err)
		require.NotEmpty(t, g.strokes, "%c", r)
		for _, p := range g.strokes {
			assert.Greater(t, p.Length(), 0.5, "%c", r)
			for s := range p.Segments() {
				assert.Greater(t, s.Chord(), 0.1, "%c", r)
				assert.Less(t, math.Abs(s.Sweep()), math.Pi, "%c", r)
			}
		}
		b := bounds(g.strokes)
		assert.GreaterOrEqual(t, b.Min.Y, -4.01, "%c", r)
		assert.LessOrEqual(t, b.Max.Y, 16.01, "%c", r)
		assert.GreaterOrEqual(t, b.Min.X, 0.0, "%c", r)
		assert.LessOrEqual(t, b.Max.X, g.advance, "%c", r)
		assert.Greater(t, g.advance, 2.0, "%c", r)
	}
}

func TestHeightsOfTheAlphabet(t *testing.T) {
	a := alphabet()
	for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789" {
		b := bounds(a.letters[r].strokes)
		assert.InDelta(t, 14, b.Max.Y, 1e-3, "%c", r)
		if r != 'Q' {
			assert.InDelta(t, 0, b.Min.Y, 1e-3, "%c", r)
		}
	}
	for _, r := range "acegmnopqrsuvwxyz" {
		assert.InDelta(t, 10, bounds(a.letters[r].strokes).Max.Y, 1e-3, "%c", r)
	}
	for _, r := range "gjpqy" {
		assert.InDelta(t, -4, bounds(a.letters[r].strokes).Min.Y, 1e-3, "%c", r)
	}
	for _, r := range "0123456789" {
		assert.InDelta(t, a.letters['0'].advance, a.letters[r].advance, 1e-9, "figures stand in columns: %c", r)
	}
}

// Letters that are taken for each other differ by more than a stroke's width (a fourteenth
// of the height) somewhere: the largest distance from a point of one to the other.
func TestNoTwoLettersLookAlike(t *testing.T) {
	a := alphabet()
	for _, pair := range []string{"0O", "0o", "OQ", "1l", "1I", "lI", "5S", "2Z", "8B", "6b", "9g", "9q", "uv", "UV", "rn", "cl", "cC", "il", "1!", "gq", "5s"} {
		r := []rune(pair)
		d := max(apart(a.letters[r[0]], a.letters[r[1]]), apart(a.letters[r[1]], a.letters[r[0]]))
		assert.Greater(t, d, 1.5, pair)
	}
}

// apart is the largest distance from a point on the strokes of g to those of h, both
// centred.
func apart(g, h glyph) float64 {
	centred := func(g glyph) []geometry.Path {
		b := bounds(g.strokes)
		return shift(g.strokes, -(b.Min.X+b.Max.X)/2, 0)
	}
	worst := 0.0
	for _, p := range centred(g) {
		for s := range p.Segments() {
			for i := range 9 {
				at, least := s.At(float64(i)/8), math.Inf(1)
				for _, q := range centred(h) {
					for u := range q.Segments() {
						near, _ := u.Nearest(at)
						least = min(least, near.DistanceTo(at))
					}
				}
				worst = max(worst, least)
			}
		}
	}
	return worst
}

// Marks stand clear of their letters, and on the side that they belong to.
func TestMarks(t *testing.T) {
	a := alphabet()
	for r := rune(0xc0); r < 0x250; r++ {
		parts := []rune(norm.NFD.String(string(r)))
		if _, own := a.letters[r]; own || len(parts) != 2 || !a.has(r) {
			continue
		}
		g, err := a.glyph(r)
		require.NoError(t, err)
		plain, marked := bounds(a.dotless(parts[0]).strokes), bounds(g.strokes)
		assert.LessOrEqual(t, marked.Max.X, g.advance, "%c", r)
		assert.GreaterOrEqual(t, marked.Min.X, 0.0, "%c", r)
		if a.marks[parts[1]].where == "over" {
			assert.Greater(t, marked.Max.Y, plain.Max.Y+2, "%c", r)
			assert.Len(t, g.strokes, len(a.dotless(parts[0]).strokes)+len(a.marks[parts[1]].strokes), "no dot under the mark: %c", r)
		} else {
			assert.Less(t, marked.Min.Y, plain.Min.Y-1, "%c", r)
		}
	}
}

// The hook of Ą hangs on its right foot, that of ę on its lowest point.
func TestHooksHangOnTheFoot(t *testing.T) {
	a := alphabet()
	for _, c := range []struct {
		letter, plain rune
		x             float64 // of the table
	}{{'Ą', 'A', 10}, {'ą', 'a', 8}, {'ę', 'e', 4.2}} {
		g, err := a.glyph(c.letter)
		require.NoError(t, err)
		hook := g.strokes[len(a.letters[c.plain].strokes)].Vertices()[0]
		assert.InDelta(t, c.x+g.left, hook.X, 1e-9, "%c", c.letter)
		assert.InDelta(t, 0, hook.Y, 1e-9, "%c", c.letter)
	}
}

func TestQuarterOval(t *testing.T) {
	// From (0, 0) level to the right, turning left, to (8, 6) upright: both ends are
	// tangent, and the two arcs join smoothly.
	path, err := alphabet().readPath([]string{"0,0", "(8,6"})
	require.NoError(t, err)
	arcs := slices.Collect(path[0].Segments())
	require.Len(t, arcs, 2)
	near := func(want, got geometry.Point) {
		assert.InDelta(t, want.X, got.X, 1e-12)
		assert.InDelta(t, want.Y, got.Y, 1e-12)
	}
	near(geometry.Point{X: 1}, arcs[0].Tangent(0))
	near(arcs[0].Tangent(1), arcs[1].Tangent(0))
	near(geometry.Point{X: 0.8, Y: 0.6}, arcs[1].Tangent(0))
	near(geometry.Point{Y: 1}, arcs[1].Tangent(1))
}

func TestReadStrokesRefuses(t *testing.T) {
	for _, c := range []struct{ line, says string }{
		{"A 1", "needs a letter"},
		{"AB 1 1 0,0 1,1", "one letter"},
		{"A x 1 0,0 1,1", "two numbers"},
		{"A 1 x 0,0 1,1", "two numbers"},
		{"A 1 1 0;0", "no point"},
		{"A 1 1 (0,0 1,1", "from nowhere"},
		{"A 1 1 0,0 ((1,1", "more than one bend"},
		{"A 1 1 0,0 x:1,1", "no turn"},
		{"A 1 1 0,0 (x:1,1", "no turn"},
		{"A 1 1 =B", "no letter 'B'"},
		{"A 1 1 0,0 1,1\nA 1 1 0,0 1,1", "twice"},
		{"mark zz over 0,0 1,1", "invalid syntax"},
		{"mark 0301 beside 0,0 1,1", "over, under or at the foot"},
		{"kern x AV", "invalid syntax"},
		{"kern 1 AVA", "no pair"},
	} {
		_, err := readStrokes(c.line)
		require.ErrorContains(t, err, c.says, c.line)
		assert.ErrorContains(t, err, "line ")
	}
}

func TestStrokesKern(t *testing.T) {
	apart := mustSet(t, Strokes, "AHV", Setting{HeightMM: 14})
	pair := mustSet(t, Strokes, "AV", Setting{HeightMM: 14})
	h := mustSet(t, Strokes, "H", Setting{HeightMM: 14})
	assert.InDelta(t, apart.AdvanceMM-h.AdvanceMM-1.6, pair.AdvanceMM, 1e-9)
	marked := mustSet(t, Strokes, "ÁV", Setting{HeightMM: 14})
	assert.InDelta(t, pair.AdvanceMM, marked.AdvanceMM, 1e-9)
}
