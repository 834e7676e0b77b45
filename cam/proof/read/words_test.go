package read_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
)

// What a class of controller makes of words and comments of another: sources and manuals of
// one of each class, and where noted from memory.
func TestWordsOfOtherClasses(t *testing.T) {
	const pc, printer = "G21 G90 G17 G94\nG0 Z5\nWORD\nG0 X9\nM2\n", "G90\nG0 Z5 F3000\nWORD\nG0 X9\n"
	for _, c := range []struct {
		as         read.Dialect
		word, want string // the rule and its severity; "" where it passes
	}{
		{read.Printer, "M117 Cutting 1 of 2, T1", "note idle-word"}, {read.Printer, "M400", "note idle-word"},
		{read.PC, "M117", "error not-followed"}, {read.PC, "M400", "error not-followed"},
		{read.Printer, "M48", "error not-for-printer"}, {read.PC, "M48", ""}, {read.Small, "M48", "error not-for-small"},
		{read.Printer, "T1", "error not-for-printer"}, {read.Printer, "M60", "error not-for-printer"}, {read.Printer, "M6", "error not-for-printer"},
		{read.Small, "T1", ""}, {read.PC, "T1", ""},
		// from memory, after the manual of a PC's controller
		{read.PC, "(PROBEOPEN results.txt)", "error acting-comment"}, {read.PC, "( logopen,x)", "error acting-comment"}, {read.RS274, "(LOG, #1)", "error acting-comment"},
		{read.Small, "(PROBEOPEN results.txt)", ""}, {read.PC, "(probe it by hand)", ""}, {read.PC, "(tray: LOGOPEN)", ""}, {read.PC, "(logbook)", ""},
		{read.Small, "(" + strings.Repeat("a", 198) + ")", "warning long-comment"}, {read.Small, "(" + strings.Repeat("a", 77) + ")", ""},
		{read.PC, "(" + strings.Repeat("a", 198) + ")", ""},
	} {
		text := pc
		if c.as == read.Printer {
			text = printer
		}
		got := []string{}
		trace := read.Program([]byte(strings.Replace(text, "WORD", c.word, 1)), read.Options{Dialect: c.as})
		for _, f := range trace.Findings {
			got = append(got, f.Severity.String()+" "+f.Rule)
			assert.Equal(t, strings.Count(text[:strings.Index(text, "WORD")], "\n")+1, f.Line)
			assert.NotEmpty(t, f.Hint)
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), "%v: %s", c.as, c.word)
		assert.Equal(t, strings.Contains(c.want, "not-followed"), trace.Unfollowed > 0)
	}
}
