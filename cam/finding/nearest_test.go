package finding

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Near is at most a third of the letters that were written: common practice, no
// source. So nothing is near to a name of one or two letters but itself.
func TestNearest(t *testing.T) {
	known := []string{"pe-30", "pe-45", "permits", "forbids", "process", "M7", "mm"}
	cases := []struct{ name, want string }{
		{"permit", "permits"}, {"pemrits", "permits"}, {"forbid", "forbids"}, {"prosess", "process"},
		{"pe30", "pe-30"}, {"pe-54", "pe-45"}, {"PE-30", "pe-30"}, {"PermitS", "permits"}, {"m7", "M7"},
		{"x", ""}, {"M9", ""}, {"cm", ""}, {"m", ""}, {"", ""}, {"granite", ""}, {"prosesz", "process"}, {"brosesz", ""},
		{strings.Repeat("p", 100), ""}, {strings.Repeat("p", 1000), ""},
	}
	for _, c := range cases {
		assert.Equal(t, c.want, Nearest(c.name, known), c.name)
	}
	long := strings.Repeat("ä", longestSpelt)
	assert.Equal(t, long, Nearest(long, []string{long}), "letters count, not bytes")
	assert.Empty(t, Nearest("pe-30", nil))
}

// No name that is offered is farther than a third, and none that is nearer is
// passed over.
func TestOnlyNearNamesAreOffered(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abcé")), 0, 7, -1)
	rapid.Check(t, func(t *rapid.T) {
		name, known := word.Draw(t, "name"), rapid.SliceOfN(word, 0, 5).Draw(t, "known")
		near := Nearest(name, known)
		least := len([]rune(name))/3 + 1
		for _, k := range known {
			least = min(least, alignment([]rune(name), []rune(k)))
		}
		if least > len([]rune(name))/3 {
			assert.Empty(t, near)
			return
		}
		assert.Equal(t, least, alignment([]rune(name), []rune(near)))
		assert.Contains(t, known, near)
	})
}

// alignment is the distance by its recurrence, as Damerau (1964, after a
// secondary text) has it restricted to one edit a place; slow.
func alignment(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	i, j := len(a)-1, len(b)-1
	change := 1
	if a[i] == b[j] {
		change = 0
	}
	n := min(alignment(a[:i], b)+1, alignment(a, b[:j])+1, alignment(a[:i], b[:j])+change)
	if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
		n = min(n, alignment(a[:i-1], b[:j-1])+1)
	}
	return n
}

func TestEdits(t *testing.T) {
	cases := []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"abc", "", 3}, {"ca", "abc", 3}, {"kitten", "sitting", 3}, {"ab", "ba", 1}, {"harpooner", "harpoonre", 1}, {"aab", "ab", 1}, {"ä", "a", 1},
	}
	for _, c := range cases {
		assert.Equal(t, c.want, Edits([]rune(c.a), []rune(c.b)), "%s %s", c.a, c.b)
	}
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abc")), 0, 6, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := []rune(word.Draw(t, "a")), []rune(word.Draw(t, "b"))
		assert.Equal(t, alignment(a, b), Edits(a, b))
	})
}

func ExampleSuggest() {
	known := []string{"trays", "cases", "machine"}
	fmt.Println(Suggest("trais", known))
	fmt.Println(Suggest("lid", known))
	// Output:
	// did you mean trays?
	// known are trays, cases, machine
}
