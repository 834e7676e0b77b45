package plan

import (
	"fmt"
	"slices"

	"traywright/profiles"
)

// overreach is a task whose tool reaches the lowest part with its shank behind it. It is told
// when it is known which pockets are cut round: a groove ends above what is milled.
type overreach struct {
	task
	choice
}

// tellBeyond warns of those of a sheet.
func (m *maker) tellBeyond(beyond []overreach, sheet *Sheet) {
	for _, o := range beyond {
		milled := slices.ContainsFunc(sheet.Cuts, func(c Cut) bool { return c.Through && c.Tool.ID == o.choice.tool.ID })
		if skin := sheet.PlugSkinMM(); skin > 0 && !milled && o.through && o.skinOf == nil {
			o.skinOf = func(profiles.Recipe) float64 { return skin }
		}
		needed, hint := o.deepest(o.recipes), "use thinner layers or a shallower pocket"
		if !o.choice.tool.BeyondFlute(needed) {
			continue
		}
		if o.task.tool != "" {
			hint = m.longer(o.task, needed, hint)
		} else {
			hint += ", or take a cutter with longer edges"
		}
		m.log.warn(o.at, "beyond-flute", fmt.Sprintf("is cut %s deep, and the edges of %s are %s long: above them its shank rubs, the chips stay in the cut, and the foam gets hot",
			m.more(needed), o.choice.tool.ID, m.most(o.choice.tool.FluteMM.Value)), hint)
	}
}
