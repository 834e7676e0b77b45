package page

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// monospaced fits text whose letters are all one wide.
func monospaced() fitter {
	return fitter{latin, func(s string, _ style) float64 { return float64(utf8.RuneCountInString(s)) }}
}

func TestWrapBreaksWhereItMust(t *testing.T) {
	f := monospaced()
	for _, c := range []struct {
		text  string
		width float64
		most  int
		want  []string
	}{
		{"keg and crab", 12, 0, []string{"keg and crab"}},
		{"keg and crab", 11, 0, []string{"keg and", "crab"}},
		{"keg and crab", 7, 0, []string{"keg and", "crab"}},
		{"keg and crab", 3, 0, []string{"keg", "and", "cra", "b"}},
		{"harpooner", 4, 0, []string{"harp", "oone", "r"}},
		{"a b c d", 1, 2, []string{"a", ""}},
		{"keg and crab", 7, 1, []string{"keg an…"}},
		{"keg and crab", 7, 2, []string{"keg and", "crab"}},
		{"xy", 0.5, 0, []string{"x", "y"}},
		{"", 5, 0, nil},
	} {
		assert.Equal(t, c.want, f.wrap(c.text, bodyType, c.width, c.most), "%q in %g, %d lines", c.text, c.width, c.most)
	}
}

// Without a limit of lines no letter is lost, none is wider than the room for it,
// and no word that fits moves to the next line.
func TestWrapLosesNothing(t *testing.T) {
	f := monospaced()
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringMatching(`([a-z]{1,9} ){0,20}[a-z]{0,9}`).Draw(r, "text")
		width := float64(rapid.IntRange(1, 30).Draw(r, "width"))
		lines := f.wrap(text, bodyType, width, 0)
		assert.Equal(r, strings.ReplaceAll(text, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
		for i, line := range lines {
			assert.LessOrEqual(r, f.width(line, bodyType), width)
			if i > 0 && len(lines[i-1]) < int(width) {
				first, _, _ := strings.Cut(line, " ")
				assert.Greater(r, f.width(lines[i-1]+" "+first, bodyType), width, "%q had room for %q", lines[i-1], first)
			}
		}
	})
}
