package page

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/profiles"
)

func TestSourcesOf(t *testing.T) {
	n := func(name, source string) process.Setting {
		return process.Setting{Name: name, Number: profiles.Number{Value: 1, Source: source}}
	}
	assert.Equal(t, []string{"feed, kerf: measured", "speed: a guess"}, sourcesOf([]process.Setting{n("feed", "measured"), n("speed", "a guess"), n("kerf", "measured"), n("none", "")}))
	assert.Empty(t, sourcesOf(nil))
	// A feed that was typed has its recipe's source, which begins with the kerf of another feed.
	assert.Equal(t, []string{"feed: a guess", "kerf: between measured kerfs"}, sourcesOf([]process.Setting{n("feed", "kerf measured: 1.4 mm at 29 mm/min; else a guess"), n("kerf", "between measured kerfs")}))
}

func TestBoxesAreTold(t *testing.T) {
	found := finding.List{{Boxed: true}, {Boxed: true}, {Rule: "caution"}}
	assert.Equal(t, finding.List{{Rule: "caution"}}, toldHere(found))
	assert.Len(t, found, 3, "the list itself is as it was")
}

func TestWorth(t *testing.T) {
	var found finding.List
	for range 10 {
		found = append(found, finding.Finding{Severity: finding.Note, Message: "a note"})
	}
	found = append(found, finding.Finding{Severity: finding.Warning, Where: "tray a", Message: "a warning", Hint: "do this"})
	list := worth(found)
	require.Len(t, list, mostWorth+1)
	assert.Equal(t, "tray a: a warning (do this)", list[0])
	assert.Equal(t, "And 3 more, in cut-sheet.md.", list[mostWorth])
}

// What is told once is not hidden by many alike: the kerf that nobody measured comes after
// the first of twenty corners.
func TestWorthHasEachRuleOnce(t *testing.T) {
	var found finding.List
	for i := range 20 {
		found = append(found, finding.Finding{Severity: finding.Warning, Rule: "a", Message: fmt.Sprint("corner ", i)})
	}
	found = append(found, finding.Finding{Severity: finding.Warning, Rule: "b", Message: "kerf"}, finding.Finding{Severity: finding.Note, Rule: "c", Message: "note"})
	list := worth(found)
	assert.Equal(t, []string{"corner 0", "kerf", "corner 1"}, list[:3])
	assert.Equal(t, "And 14 more, in cut-sheet.md.", list[mostWorth])
}
