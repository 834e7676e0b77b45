package strict

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
)

// Comments change nothing, wherever YAML lets them stand (YAML 1.2.2, 6.6).
func TestCommentsChangeNothing(t *testing.T) {
	for _, text := range []string{
		"# first\nname: a # the name\n# between\nnumbers: # below\n  # before\n  - 1 # one\n  # more\n  - 2\n  # after\nflag: true\n# last\n",
		"name: a\nnumbers: [1, # one\n  2]\nflag: true # end",
		"---\n# head\nname: a\n\n# lone\n\nnumbers: [1, 2]\nflag: true\n",
	} {
		name, numbers, flag, err := readAll(text)
		require.NoError(t, err, text)
		assert.Equal(t, "a", name)
		assert.Equal(t, []float64{1, 2}, numbers)
		assert.True(t, flag)
	}
	_, _, _, err := readAll("# nothing\n")
	assert.ErrorContains(t, err, "is empty")
}

// Is asks for a word as it is written, and for nothing else.
func TestIsAWord(t *testing.T) {
	d := Read("f.yaml", []byte("word: ' none '\nother: nonesuch\nempty:\nlist: [none]\ngroup: {none: none}\n"))
	m := d.Root().Map("word", "other", "empty", "list", "group")
	assert.True(t, m.Get("word").Is("none"))
	for _, key := range []string{"other", "empty", "list", "group", "absent"} {
		assert.False(t, m.Get(key).Is("none"), key)
	}
	for _, key := range []string{"empty", "list", "group", "absent"} {
		assert.False(t, m.Get(key).Is(""), key)
	}
}

// 1 list of 99 values counts 100 each time that it is written out: 2000 times are as many as
// may be, and one is too many, told once. An alias of aliases counts all that it stands for.
func TestAliasesAreCounted(t *testing.T) {
	anchor := "numbers: &a [" + strings.TrimSuffix(strings.Repeat("1,", 99), ",") + "]\n"
	uses := func(n int) string {
		return anchor + "more: [" + strings.TrimSuffix(strings.Repeat("*a,", n), ",") + "]\n"
	}
	problems := func(text string) string {
		log := finding.Log{First: "f.yaml"}
		Parse(&log, "f.yaml", text, Options{Aliases: true, LongestText: 100})
		return fmt.Sprint(log.All().Err())
	}
	assert.NotContains(t, problems(uses(2000)), "stand for more")
	assert.Equal(t, 1, strings.Count(problems(uses(2001)), "stand for more"))
	assert.Equal(t, 1, strings.Count(problems(uses(5000)), "stand for more"), "told once")
	nested := anchor + "b: &b [" + strings.TrimSuffix(strings.Repeat("*a,", 100), ",") + "]\n" // 10,000 and itself
	more := func(n int) string { return nested + "c: [" + strings.TrimSuffix(strings.Repeat("*b,", n), ",") + "]\n" }
	assert.NotContains(t, problems(more(18)), "stand for more", "10,000 + 18 x 10,001")
	assert.Contains(t, problems(more(19)), "stand for more")
	assert.Contains(t, problems("a: *a\nb: &a 1\n"), "no anchor &a before this")
}
