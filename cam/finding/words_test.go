package finding

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCounted(t *testing.T) {
	assert.Equal(t, []string{"0 pockets", "1 pocket", "2 pockets", "1 pass", "2 passes"}, []string{Counted(0, "pocket"), Counted(1, "pocket"), Counted(2, "pocket"), Counted(1, "pass"), Counted(2, "pass")})
}

// Of a text of the user's 60 characters are shown, whatever their bytes.
func TestQuotesAreShort(t *testing.T) {
	assert.Equal(t, `"`+strings.Repeat("ö", 60)+`"`, Quote(strings.Repeat("ö", 60)))
	assert.Equal(t, `"`+strings.Repeat("ö", 60)+`..."`, Quote(strings.Repeat("ö", 61)))
}

// Findings count as an input that cannot be read in the copy alone; only an error does.
func TestAsUnread(t *testing.T) {
	list := List{{Severity: Warning}, {Severity: Error}}
	assert.True(t, list.AsUnread().Unread())
	assert.False(t, list.Unread())
	assert.False(t, list[:1].AsUnread().Unread())
	assert.False(t, list[:1].Failed())
	assert.NoError(t, list[:1].Err())
	assert.Error(t, list.Err())
}

// A thousand names are looked for, and then none; files come after the first in their order.
func TestLogLooksForSoMany(t *testing.T) {
	l := Log{First: "job.yaml"}
	for range mostLooked {
		assert.Contains(t, l.DidYouMean("kraken", []string{"krakens"}), "krakens")
	}
	assert.Equal(t, "correct the name", l.DidYouMean("kraken", []string{"krakens"}))
	for _, c := range []struct {
		a, b string
		want int
	}{{"a", "a", 0}, {"job.yaml", "a", -1}, {"a", "job.yaml", 1}, {"a", "b", -1}, {"b", "a", 1}} {
		assert.Equal(t, c.want, l.compareFiles(c.a, c.b), "%+v", c)
	}
	assert.Equal(t, Position{File: "a", Line: 1, Column: 1}, Start("a"))
}
