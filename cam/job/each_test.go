package job_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// withCover is a job whose cover is made for each of its cases.
func withCover(cases string) string {
	return `game: Tidewrack
case: {inside: [200, 100, 60]}
tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}]}
trays:
  - {id: cover, each: case, label: "{game} {case}"}
  - {id: crew, pockets: [{at: [20, 20], size: [30, 30]}]}
cases:
` + cases
}

// A template makes a tray for each case that stacks it, or whose stack is yet to be chosen.
func TestEachCase(t *testing.T) {
	j, found, err := job.Load(folder("job.yaml", withCover(`  - {name: Gull Watch, stack: [cover, crew]}
  - {name: Reef Watch, inside: [180, 90, 60], holds: []}
`)), "job.yaml")
	require.NoError(t, err)
	assert.Empty(t, found)
	var ids []string
	for _, one := range j.Trays {
		ids = append(ids, one.ID+" of "+one.Case)
	}
	assert.Equal(t, []string{"cover-gull-watch of Gull Watch", "cover-reef-watch of Reef Watch", "crew of "}, ids)
	assert.Equal(t, []string{"cover-gull-watch", "crew"}, j.Cases[0].Stack)
	assert.Equal(t, [2]int{200, 180}, [2]int{int(j.Trays[0].Length / mm), int(j.Trays[1].Length / mm)}, "each as large as its case")
}

func TestEachCaseWrong(t *testing.T) {
	for _, c := range []struct {
		text, rule, says, hint string
		more                   int // findings
	}{
		{withCover("  - {name: Gull, stack: [crew]}\n"), "each-not-stacked", `case "Gull" has no cover in its stack, so none is made for it`, "write cover into its `stack`, where it lies", 0},
		{withCover("  - {name: Gull 1, stack: [cover, crew]}\n  - {name: Gull-1, stack: [cover, crew]}\n"), "each-clash", `the tray cover for the case "Gull-1" would have the id "cover-gull-1", which is taken in line 5`, "give the case a name that differs in a-z or 0-9, or the template another id", 0},
		{withCover("  - {name: \u6f6e, stack: [cover, crew]}\n  - {name: \u6ce2, stack: [cover, crew]}\n"), "each-clash", `would have the id "cover-case", which is taken in line 5`, "give the case", 0},
		{withCover("  - {name: Gull, stack: [cover, crew]}\n  - {name: Gull, stack: [cover, crew]}\n"), "duplicate-case", `case "Gull" is here a second time`, "give it another name", 1},
		{strings.ReplaceAll(withCover("  - {name: A gull of twenty letters, stack: [cover, crew]}\n"), "cover", "cover-of-each-ship"), "bad-id", "which is too long", "give the template a shorter id", 1},
		{strings.Split(withCover(""), "cases:")[0], "each-without-cases", `tray "cover" is to be made for each case, and the job has none`, "list the `cases`, or take `each` out", 0},
		{strings.Replace(withCover("  - {name: A, stack: [cover, crew]}\n  - {name: B, stack: [cover, crew]}\n"), "{case}", "{kase}", 1), "unknown-placeholder", "there is no \"{kase}\" to fill in", "did you mean {case}?", 0},
	} {
		_, found, err := job.Load(folder("job.yaml", c.text), "job.yaml")
		require.NoError(t, err)
		require.Len(t, found, 1+c.more, "%v", found)
		at := 0
		for i, f := range found {
			if f.Rule == c.rule {
				at = i
			}
		}
		assert.Equal(t, c.rule, found[at].Rule)
		assert.Contains(t, found[at].Message, c.says)
		assert.Contains(t, found[at].Hint, c.hint)
		assert.NotEqual(t, finding.Note, found[at].Severity)
	}
}
