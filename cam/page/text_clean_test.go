package page

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

var latin = pageFonts{own: func(r rune) bool { return r < 0x250 }}

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"Kraken 3/4\"": "Kraken 3/4\"", "two\nlines\t": "two lines ", "日🐙": "[65E5][1F419]", "a\u202eb": "ab", "e\u0301": "é", "x\u0301": "x[0301]", "x\u200dy\ufe0f": "xy", "hard\u00a0space": "hard\u00a0space",
		"Łódź": "Łódź", "\x1b[31m": " [31m", "": "",
	} {
		assert.Equal(t, want, latin.clean(text), "%q", text)
	}
}

func TestShorten(t *testing.T) {
	fits := func(n int) func(string) bool { return func(s string) bool { return utf8.RuneCountInString(s) <= n } }
	for _, c := range []struct {
		n    int
		want string
	}{{20, "harpooner, one"}, {14, "harpooner, one"}, {13, "harpooner, o…"}, {12, "harpooner…"}, {2, "h…"}, {1, ""}, {0, ""}} {
		assert.Equal(t, c.want, shorten("  harpooner, one ", fits(c.n)), c.n)
	}
	rapid.Check(t, func(r *rapid.T) {
		text, n := latin.clean(rapid.String().Draw(r, "text")), rapid.IntRange(0, 30).Draw(r, "n")
		short := shorten(text, fits(n))
		assert.LessOrEqual(r, utf8.RuneCountInString(short), n)
		assert.True(r, strings.HasPrefix(strings.TrimSpace(text), strings.TrimSuffix(short, "…")))
	})
}

func Example_shorten() {
	fmt.Println(shorten("harbour-master", func(s string) bool { return len([]rune(s)) <= 8 }))
	// Output: harbour…
}

func Example_clean() {
	fmt.Println(latin.clean("keg\n☃"))
	// Output: keg [2603]
}

func TestLacking(t *testing.T) {
	assert.Nil(t, Lacking("Ålesund: Łódź, κράκεν, Буй 3/4 \u202e", nil))
	assert.Equal(t, []rune("龍王🐙"), Lacking("龍 dragon 王, 龍🐙", nil))
}
