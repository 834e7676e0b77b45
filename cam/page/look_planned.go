package page

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"traywright/cam/plan"
	"traywright/geometry"
)

// plannedCellMM is the lattice of a foam that no program has been tried on: fine enough for
// the eye, and drawn anew while a hand moves something.
const plannedCellMM = 0.4

// LookPolicy is what the page may load and run, for a server to say it too.
func LookPolicy() string {
	return fmt.Sprintf("default-src 'none'; script-src '%s'; style-src '%s'; font-src data:; img-src data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
		integrity(lookScript()), integrity(lookStyle()))
}

// plannedSetups are the sheets of every tray as the plan has them, without a program.
func (c CutSheet) plannedSetups() []lookSetup {
	list := []lookSetup{}
	for i := range c.Plan.Trays {
		t := &c.Plan.Trays[i]
		for _, s := range t.Sheets {
			if len(s.Layers) > 0 {
				list = append(list, c.plannedSetup(i, t, s))
			}
		}
	}
	return list
}

func (c CutSheet) plannedSetup(tray int, t *plan.Tray, s plan.Sheet) lookSetup {
	var foams []string
	for _, l := range s.Layers {
		foams = appendNew(foams, l.Foam.ID)
	}
	box := t.Outline.Bounds().Grow(1)
	cell := max(plannedCellMM, math.Sqrt(box.Width()*box.Height())/2000)
	down := func(mm float64) float64 { return math.Floor(mm/cell) * cell }
	return lookSetup{
		Foam: fmt.Sprintf("%s, %s", strings.Join(foams, " + "), c.thick(s.ThicknessMM())), Parts: [][2]int{{tray, s.Number}},
		TopMM: s.Layers[0].Top.MM(), ThickMM: s.ThicknessMM(), Last: s.Number == 0 || s.Number == len(t.Layers), Programs: []lookProgram{},
		Field: lookField{down(box.Min.X), down(box.Min.Y), cell, int(math.Ceil(box.Width()/cell)) + 1, int(math.Ceil(box.Height()/cell)) + 1},
	}
}

// LookWrong is a pocket, a label or an emblem that a finding is about, to be shown over the last page that was right.
type LookWrong struct {
	Tray string     `json:"tray"` // id
	Path string     `json:"path"`
	Box  [4]float64 `json:"box"`
	Text string     `json:"text"`
}

// LookWrongs are what errors name, in the plan that they refuse.
func LookWrongs(p *plan.Plan, places map[string]string) []LookWrong {
	list, all := []LookWrong{}, slices.Sorted(maps.Keys(places))
	add := func(tray string, outline geometry.Region, box geometry.Box, named func(where string) bool) {
		if i := slices.IndexFunc(all, named); i >= 0 {
			list = append(list, LookWrong{tray, svgPath(outline), boxOf(box), places[all[i]]})
		}
	}
	for _, t := range p.Trays {
		for _, k := range t.Pockets {
			add(t.ID, k.Design, k.Box, func(where string) bool { return namesPocket(where, k) })
		}
		for _, k := range t.Marks {
			add(t.ID, geometry.NewRegion(geometry.Rectangle(k.Box, 0)), k.Box, func(where string) bool { return strings.HasPrefix(where, k.Position.String()+":") })
		}
	}
	return list
}

// namesPocket reports whether a finding's place is a pocket, or the one of a grid.
func namesPocket(where string, k plan.Pocket) bool {
	at, ok := strings.CutPrefix(where, k.Position.String())
	return ok && (strings.HasPrefix(at, ":") && strings.Contains(at+",", k.Name+",") || at == "")
}
