package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func setter(t testing.TB) *typesetter {
	t.Helper()
	set, err := newTypesetter(nil)
	require.NoError(t, err)
	return set
}

func TestCleanShowsWhatTheFontsHave(t *testing.T) {
	for text, want := range map[string]string{
		"kraken":           "kraken",
		"Märchen-Øl Ἀθηνᾶ": "Märchen-Øl [1F08]θην[1FB6]", // Greek letters with tone marks are in the fonts, polytonic ones are not
		"two\nlines\tend":  "two lines end",
		"帆船":               "[5E06][8239]",
		"🐙":                "[1F419]",
		"e\u0301":          "é",
		"a\u200bb":         "ab",
		"bad \xff byte":    "bad \ufffd byte",
		"bell\x07":         "bell ",
	} {
		assert.Equal(t, want, setter(t).clean(text), "%q", text)
	}
}

func TestTypesetterShortens(t *testing.T) {
	set := setter(t)
	assert.Equal(t, "kraken", set.shorten("kraken", bodyType, 1000))
	assert.Equal(t, "", set.shorten("kraken", bodyType, 3), "no letter fits")
	assert.Equal(t, "", set.shorten("", bodyType, 100))
	short := set.shorten("sea charts and soundings", bodyType, 150)
	assert.True(t, strings.HasSuffix(short, "…"), short)
	assert.LessOrEqual(t, set.width(short, bodyType), 150.0)
}

func TestTextStaysInItsWidth(t *testing.T) {
	set := setter(t)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		width := rapid.Float64Range(40, 900).Draw(t, "width")
		most := rapid.IntRange(1, 5).Draw(t, "most")
		if w := set.width(set.shorten(text, bodyType, width), bodyType); w > width {
			t.Fatalf("shortened to %g px, room %g", w, width)
		}
		lines := set.wrap(text, bodyType, width, most)
		if len(lines) > most {
			t.Fatalf("%d lines, at most %d", len(lines), most)
		}
		for _, line := range lines {
			if w := set.width(line, bodyType); w > width {
				t.Fatalf("line %q is %g px wide, room %g", line, w, width)
			}
		}
	})
}

func TestWrapKeepsNumberAndUnitTogether(t *testing.T) {
	set := setter(t)
	lines := set.wrap("from here to 10 mm", bodyType, set.width("from here to 10", bodyType), 3)
	assert.Equal(t, []string{"from here to", "10 mm"}, lines)
}
