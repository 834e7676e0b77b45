package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/cam/process"
	"traywright/profiles"
)

func usesTools(ids ...string) *sheetWork {
	w := &sheetWork{}
	for _, id := range ids {
		w.program.Ops = append(w.program.Ops, process.Op{Tool: profiles.Tool{ID: id}})
	}
	return w
}

// Against every order there is.
func TestNoOrderOfSheetsChangesToolsLessOften(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tool := rapid.SampledFrom([]string{"a", "b", "c"})
		var works []*sheetWork
		for range rapid.IntRange(0, 6).Draw(t, "sheets") {
			works = append(works, usesTools(tool.Draw(t, "from"), tool.Draw(t, "to")))
		}
		least := changesBetween(works)
		orders(works, nil, func(o []*sheetWork) { least = min(least, changesBetween(o)) })
		got := leastChanges(works)
		assert.ElementsMatch(t, works, got)
		assert.Equal(t, least, changesBetween(got))
		if changesBetween(works) == least {
			assert.Equal(t, works, got, "the plan's own")
		}
	})
}

func orders(left, so []*sheetWork, f func([]*sheetWork)) {
	if len(left) == 0 {
		f(so)
	}
	for i, w := range left {
		rest := append(append([]*sheetWork{}, left[:i]...), left[i+1:]...)
		orders(rest, append(so[:len(so):len(so)], w), f)
	}
}
