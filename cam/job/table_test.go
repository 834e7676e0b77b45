package job_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// A table has the same form as a roster, keeps its comments, and numbers with
// either decimal mark, though not with both.
func TestReadTable(t *testing.T) {
	table, err := job.ReadTable("t.csv", []byte("\ufeff# units: mm\r\na;b\r\n1,5; x \r\n\r\n\"# in quotes\";\r\n2.5;y\r\n"))
	require.NoError(t, err)
	require.Len(t, table.Rows, 3)
	assert.Equal(t, []job.Cell{{At: finding.Position{File: "t.csv", Line: 1, Column: 1}, Text: "units: mm"}, {At: finding.Position{File: "t.csv", Line: 5, Column: 1}, Text: "in quotes"}}, table.Comments)
	assert.Equal(t, job.Cell{At: finding.Position{File: "t.csv", Line: 3, Column: 6}, Text: "x"}, table.Rows[1][1])
	text, mixed := table.WithPoint(table.Rows[1][0])
	assert.Equal(t, "1.5", text)
	assert.Empty(t, mixed)
	_, mixed = table.WithPoint(table.Rows[2][0])
	assert.Contains(t, mixed, "lines 3 and 6")
	text, mixed = table.WithPoint(job.Cell{At: finding.Position{File: "t.csv", Line: 7, Column: 1}, Text: "1,25 in."})
	assert.Equal(t, "1.25 in.", text, "the point of a unit is no decimal point")
	assert.Empty(t, mixed)

	for text, message := range map[string]string{"a,b\n\"1,2\n": "never closed", "\xff\xfea": "UTF-16", "a\x00": "control character"} {
		_, err := job.ReadTable("t.csv", []byte(text))
		var read finding.List
		require.ErrorAs(t, err, &read)
		assert.Contains(t, read[0].Message, message)
	}
}
