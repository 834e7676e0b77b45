package finding

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPosition(t *testing.T) {
	assert.Equal(t, "job.yaml:3:9", Position{"job.yaml", 3, 9}.String())
	assert.Equal(t, "job.yaml:3", Position{File: "job.yaml", Line: 3}.String())
	assert.Equal(t, "job.yaml", Position{File: "job.yaml"}.String())
	assert.Empty(t, Position{}.String())
}

// Findings come in the order of the files, the first file's first, and what is
// reported twice is said once.
func TestLogOrder(t *testing.T) {
	l := Log{First: "job.yaml"}
	l.Warn(Position{"a.csv", 1, 1}, "w", "w", "")
	l.Fail(Position{"job.yaml", 10, 1}, "b", "late", "")
	l.Fail(Position{"job.yaml", 9, 7}, "b", "early", "")
	l.Fail(Position{"job.yaml", 9, 7}, "b", "early", "")
	l.Fail(Position{"job.yaml", 9, 7}, "a", "by rule", "")
	found, err := l.Result()
	require.NoError(t, err)
	var said []string
	for _, f := range found {
		said = append(said, f.Where+" "+f.Message)
	}
	assert.Equal(t, []string{"job.yaml:9:7 by rule", "job.yaml:9:7 early", "job.yaml:10:1 late", "a.csv:1:1 w"}, said)
	assert.Equal(t, 5, l.Len())
}

// Where a text is no value, the rest is not sure, and is not said.
func TestLogUnread(t *testing.T) {
	l := Log{}
	l.Fail(Position{"job.yaml", 1, 1}, "a", "wrong", "")
	assert.Zero(t, l.Unread())
	l.CannotRead(Position{"job.yaml", 2, 1}, "b", "no number", "write one")
	found, err := l.Result()
	assert.Empty(t, found)
	var list List
	require.True(t, errors.As(err, &list))
	assert.Equal(t, List{{Rule: "b", Where: "job.yaml:2:1", Message: "no number", Hint: "write one", Unread: true}}, list)
	assert.True(t, list.Unread())
	assert.EqualError(t, err, "error: job.yaml:2:1: no number\nhint: write one")
	assert.Equal(t, 1, l.Unread())
}

// A page is shown: of what is left out the count, and errors before warnings.
func TestLogShowsAPage(t *testing.T) {
	var l Log
	for i := range mostWrong + 5 {
		l.Warn(Position{"a", i + 1, 1}, "w", fmt.Sprint(i), "")
	}
	l.Fail(Position{"b", 1, 1}, "e", "wrong", "")
	found, err := l.Result()
	require.NoError(t, err)
	require.Len(t, found, mostWrong+1)
	assert.Equal(t, "wrong", found[0].Message)
	assert.Equal(t, "6 more findings are not shown", found[mostWrong].Message)
	assert.Equal(t, "a", found[mostWrong].Where, "the first of the files")

	for i := range mostUnread + 2 {
		l.CannotRead(Position{"c", i + 1, 1}, "u", fmt.Sprint(i), "")
	}
	_, err = l.Result()
	var list List
	require.True(t, errors.As(err, &list))
	require.Len(t, list, mostUnread+1)
	assert.True(t, list[mostUnread].Unread)
	assert.Equal(t, "2 more findings are not shown", list[mostUnread].Message)
}

func TestListAsError(t *testing.T) {
	assert.NoError(t, List(nil).Err())
	assert.NoError(t, List{{Severity: Warning, Unread: true}}.Err())
	assert.Error(t, List{{}}.Err())
	assert.False(t, List{{Severity: Warning, Unread: true}, {}}.Unread(), "what is no error refuses nothing")
	assert.True(t, List{{}, {Unread: true}}.Unread())
}
