package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
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

// Where no order changes tools less often, a tool whose holes are plugs waits for one whose holes are pockets,
// and one of registration holes lies between.
func TestPlugsWaitWhereNoChangeIsSaved(t *testing.T) {
	of := func(n int, dowel, plug bool) Cut {
		return Cut{Tool: profiles.Tool{Number: n}, Dowel: dowel, Plug: plug}
	}
	s := Sheet{Cuts: []Cut{of(1, false, true), of(2, true, false), of(3, false, false)}}
	s.takeTurns()
	assert.Equal(t, []int{3, 2, 1}, s.Turns)
	s.Edge = Cut{Tool: profiles.Tool{ID: "c", Number: 3}, Shape: geometry.NewRegion(geometry.Circle(geometry.Point{}, 5))}
	s.takeTurns()
	assert.Equal(t, []int{2, 1, 3}, s.Turns, "a change less goes before it")
}

// An outline takes the tool of the last hole where that is a change less: lines with the thin tool, a pocket with the thick
// one, and the outline with that too. Not where the job names a tool, nor where the thick one does not go round (arithmetic).
func TestTheOutlineSavesAChange(t *testing.T) {
	for name, c := range map[string]struct {
		tool, marks string
		bedMM       float64
		want        []string
	}{
		"saved":   {"", "flat-3", 400, []string{"flat-3", "flat-6", "flat-6"}},
		"named":   {"flat-3", "", 400, nil},
		"no room": {"", "flat-3", pad().Length.MM() + 2*3.175 + 0.1, []string{"flat-3", "flat-6", "flat-3"}},
	} {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Depth, p.Tool = mm(5), "flat-6" }))
		tray.Layers = []job.Layer{layer("pe-30", inch/2)}
		tray.Tool = c.tool
		tray.Labels = []job.Label{{Making: job.Making{X: mm(20), Y: mm(52), Tool: c.marks}, Text: "L", Height: mm(13), Font: "strokes"}}
		in := input(t, bench(tray), "bench-router")
		in.Machine.TravelMM[0].Value = c.bedMM
		p, found := Make(in)
		if c.want == nil {
			assert.Equal(t, "flat-3", p.Trays[0].Sheets[0].Edge.Tool.ID, name)
			continue
		}
		if !assert.False(t, found.Failed(), "%s %v", name, found) {
			continue
		}
		s := p.Trays[0].Sheets[0]
		assert.Equal(t, c.want, []string{s.Marking.Tool.ID, s.Cuts[0].Tool.ID, s.Edge.Tool.ID}, name)
	}
}

// A hand changes a tool beside the foam, and a changer does: 20 mm of room.
func TestToolsAreChangedBesideTheFoam(t *testing.T) {
	one, two := profiles.Tool{ID: "a", Number: 1}, profiles.Tool{ID: "b", Number: 2}
	s := Sheet{Cuts: []Cut{{Tool: one}}, Edge: Cut{Tool: two}}
	foam := geometry.Box{Max: geometry.Point{X: 400, Y: 300}}
	at := func(change string, x float64) profiles.Controller {
		return profiles.Controller{ToolChange: change, ChangeAt: []float64{x, 150, 40}}
	}
	assert.True(t, s.ChangesOver(at(profiles.ByItself, 200), foam))
	assert.True(t, s.ChangesOver(at(profiles.ByHand, 419), foam))
	assert.False(t, s.ChangesOver(at(profiles.ByHand, 421), foam))
	assert.False(t, s.ChangesOver(at(profiles.OwnFiles, 200), foam), "it is changed between programs")
	s.Edge.Tool = one
	assert.False(t, s.ChangesOver(at(profiles.ByHand, 200), foam), "there is nothing to change")
	assert.True(t, s.ChangesOver(at(profiles.ByItself, 200), foam), "the first is put in")
}
