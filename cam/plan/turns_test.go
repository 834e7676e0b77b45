package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
	"traywright/profiles"
)

// The turns of tools, by hand: each change is a stop for a person.
func TestTurnsChangeToolsLeastOften(t *testing.T) {
	somewhere := geometry.NewRegion(geometry.Circle(geometry.Point{}, 5))
	tool := func(n int) profiles.Tool { return profiles.Tool{ID: string(rune('a' + n)), Number: n} }
	for name, c := range map[string]struct {
		holes   []int
		marks   int // 0 for none
		outline int
		roughs  [2]int // hole that roughs, hole that it is for
		want    []int
	}{
		"one tool":                              {[]int{2, 2}, 0, 2, [2]int{}, []int{2}},
		"numbers where nothing speaks":          {[]int{3, 1, 2}, 0, 4, [2]int{}, []int{1, 2, 3}},
		"the outline's last":                    {[]int{1, 2}, 0, 1, [2]int{}, []int{2, 1}},
		"the marks' first":                      {[]int{1, 2}, 2, 3, [2]int{}, []int{2, 1}},
		"marks and outline with one, hole else": {[]int{1, 2}, 1, 1, [2]int{}, []int{1, 2}},
		"no outline":                            {[]int{2, 1}, 0, 0, [2]int{}, []int{1, 2}},
		"roughing first":                        {[]int{2, 1}, 0, 2, [2]int{0, 1}, []int{2, 1}},
	} {
		t.Run(name, func(t *testing.T) {
			var s Sheet
			for _, n := range c.holes {
				s.Cuts = append(s.Cuts, Cut{Tool: tool(n)})
			}
			if c.marks > 0 {
				s.Marks, s.Marking = make([]geometry.Path, 1), Cut{Tool: tool(c.marks), Recipes: make([]profiles.Recipe, 1)}
			}
			if c.outline > 0 {
				s.Edge = Cut{Tool: tool(c.outline), Shape: somewhere}
			}
			if c.roughs != [2]int{} {
				s.Cuts[c.roughs[0]].Rough, s.Cuts[c.roughs[1]].After = true, c.roughs[:1]
			}
			s.takeTurns()
			assert.Equal(t, c.want, s.Turns)
		})
	}
}
