package main

import (
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestColumns(t *testing.T) {
	var out strings.Builder
	c := columns{out: &out, width: 30, gap: 2}
	fmt.Fprint(&c, "TRAY\tWHY\nbase\ttype `traywright check job.yaml` now, and look at it\n\n  a line that is longer than thirty columns\n")
	require.NoError(t, c.Flush())
	assert.Equal(t, `TRAY  WHY
base  type
      `+"`traywright check job.yaml`"+`
      now, and look at it

  a line that is longer than
    thirty columns
`, out.String())
}

// A letter of some scripts takes two columns, a mark above one none.
func TestColumnsOfAnyScript(t *testing.T) {
	var out strings.Builder
	c := columns{out: &out, width: 80, gap: 2}
	fmt.Fprint(&c, "CASE\tHEIGHT\n鸥守\t50 mm\nVigi\u0301a\t9 mm\nかもめの箱\t50 mm\n")
	require.NoError(t, c.Flush())
	assert.Equal(t, "CASE        HEIGHT\n鸥守        50 mm\nVigi\u0301a       9 mm\nかもめの箱  50 mm\n", out.String())
}

// No line is wider than it may be, and nothing is lost: the words of each column stand in their order.
func TestColumnsHoldTheirWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`[a-zéø木]{1,6}( [a-z]{1,9}){0,9}`)
		across := rapid.IntRange(2, 4).Draw(t, "columns")
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, across, across), 1, 5).Draw(t, "rows")
		var out strings.Builder
		c := columns{out: &out, width: 60, gap: 3}
		for _, row := range rows {
			fmt.Fprintln(&c, strings.Join(row, "\t"))
		}
		widths := c.widths(rows)
		require.NoError(t, c.Flush())
		seen := make([]string, across)
		for line := range strings.Lines(out.String()) {
			line = strings.TrimSuffix(line, "\n")
			line = strings.ReplaceAll(line, "木", "木\x00") // which takes two columns of a terminal
			require.LessOrEqual(t, utf8.RuneCountInString(line), 60)
			rest := []rune(line)
			for i, w := range widths {
				seen[i] += strings.ReplaceAll(string(rest[:min(w, len(rest))]), "\x00", "") + " "
				rest = rest[min(w+3, len(rest)):]
			}
			require.Empty(t, rest)
		}
		for i := range seen {
			var want []string
			for _, row := range rows {
				want = append(want, row[i])
			}
			require.Equal(t, strings.Fields(strings.Join(want, " ")), strings.Fields(seen[i]))
		}
	})
}

// What is printed of everything that ships, and of a job, fits the narrowest terminal.
func TestTablesFitEightyColumns(t *testing.T) {
	demo := "../../testdata/tidewrack/job.yaml"
	for _, args := range [][]string{
		{"profiles"}, {"profiles", "safety"}, {"profiles", "controllers"}, {"profiles", "pe-30", "xps-32", "--units", "in"},
		{"profiles", "bench-router", "bench-laser", "bench-knife", "bench-drag-knife", "bench-hotwire", "by-hand"},
		{"check", demo}, {"check", demo, "--units", "in"}, {"hotwire", "--length", "500", "--gauge", "28", "--current", "1"},
	} {
		var out strings.Builder
		run(t.Context(), append([]string{"traywright"}, args...), strings.NewReader(""), &out, io.Discard)
		require.NotEmpty(t, out.String(), args)
		for line := range strings.Lines(out.String()) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), 80, "%v: %s", args, line)
		}
	}
}

func TestColumnsUseWhatThereIs(t *testing.T) {
	for set, want := range map[string]int{"": 80, "20": 80, "120": 120, "wide": 80} {
		t.Setenv("COLUMNS", set)
		assert.Equal(t, want, widthOf(io.Discard), set)
	}
}
