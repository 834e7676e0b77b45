package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Words are compared without case, accents (Unicode's decomposition, UAX 15) and what stands
// between them.
func TestWordsAsTheyAreCompared(t *testing.T) {
	for text, want := range map[string][]string{
		"Krähe": {"krahe"}, "ÉCLAIR à la crème": {"eclair", "a", "la", "creme"}, "sea-chart_2/b": {"sea", "chart", "2", "b"}, "ﬁrst": {"first"}, "": {}, " - ": {},
	} {
		assert.ElementsMatch(t, want, words(text), text)
	}
	assert.Equal(t, "2041", digits("Tray 20, row 4b1"))
	assert.Equal(t, "", digits("none"))
	for _, c := range []struct {
		a, b string
		want bool
	}{{"keg", "kegs", true}, {"kegs", "keg", true}, {"box", "boxes", true}, {"box", "boxed", false}, {"keg", "keg", false}, {"keg", "mast", false}, {"keg", "kegses", false}} {
		assert.Equal(t, c.want, plural(c.a, c.b), "%s %s", c.a, c.b)
	}
}
