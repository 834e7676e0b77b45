package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// task is what a tool is to cut.
type task struct {
	at      place
	origin  geometry.Point // of the shape that is tried, in the tray
	tool    string         // named by the job; "" for the machine's choice
	layers  []Layer
	depthMM float64 // below the sheet's top
	through bool
	skinOf  func(bottom profiles.Recipe) float64 // what is left under an outline or a groove, mm; nil for other holes
}

// refusal is why a tool cannot do a task.
type refusal struct {
	told                bool // elsewhere, and not again
	rule, message, hint string
	near                *geometry.Point  // where, from the origin of the task
	cut                 string           // that it is of, where that is not the task
	at                  finding.Position // of that in the job
	missMM              float64          // of two of one kind, the one with less was nearer to success
}

// candidates are the tools to try, in order.
func (m *maker) candidates(t task) ([]profiles.Tool, *refusal) {
	if len(m.Machine.Tools) == 0 {
		return nil, &refusal{rule: "no-tools", message: "machine " + m.Machine.ID + " has no tools", hint: "add a tool to its profile"}
	}
	if t.tool == "" { // a hot wire in a hand is taken by name only
		return slices.DeleteFunc(slices.Clone(m.Machine.Tools), profiles.Tool.ByAnother), nil
	}
	var ids []string
	for _, tool := range m.Machine.Tools {
		if tool.ID == t.tool {
			return []profiles.Tool{tool}, nil
		}
		ids = append(ids, tool.ID)
	}
	return nil, &refusal{
		rule:    "unknown-tool",
		message: fmt.Sprintf("names the tool %q, which %s does not have", t.tool, m.Machine.ID),
		hint:    "its tools: " + strings.Join(ids, ", "),
	}
}

// recipes are the settings of a tool for every layer.
func (m *maker) recipes(t task, tool profiles.Tool) ([]profiles.Recipe, *refusal) {
	list := make([]profiles.Recipe, len(t.layers))
	for i, l := range t.layers {
		if m.Barred[l.Foam.ID] {
			return nil, &refusal{told: true}
		}
		r, ok := m.Recipe(l.Foam.ID, tool.ID)
		if !ok {
			return nil, &refusal{
				rule:    "no-recipe",
				message: fmt.Sprintf("there is no recipe for foam %s on %s with the tool %s", l.Foam.ID, m.Machine.ID, tool.ID),
				hint:    "write one in a folder of your own (--profiles), or choose another foam, machine or tool",
			}
		}
		if most := r.MostMM.Value; most > 0 && l.Sold().MM() > most+m.slackMM() {
			return nil, &refusal{
				rule:    "too-thick",
				message: fmt.Sprintf("a layer of %s is %s thick, and the recipe on %s with the tool %s goes through %s at most", l.Foam.ID, m.mm(l.Sold().MM()), m.Machine.ID, tool.ID, m.most(most)),
				hint:    "use layers of at most " + m.most(most) + ", or choose another machine",
			}
		}
		r, _ = r.Through(l.Thickness.MM()).In(m.into(t, l))
		if no := m.tooWeak(r, "cuts", "raise power_percent, and the feed with it, in the recipe, or the owner's limit"); no != nil {
			return nil, no
		}
		if no := m.tooCoarse(r); no != nil {
			return nil, no
		}
		m.tellDim(r, "cuts", "what to raise")
		m.tellDepth(r, l)
		m.tellTaper(r, l)
		if name := m.Means.Lacks(r); name != "" {
			return nil, &refusal{
				rule:    "recipe-incomplete",
				message: fmt.Sprintf("the recipe for foam %s on %s with the tool %s has no usable %s", l.Foam.ID, m.Machine.ID, tool.ID, name),
				hint:    "set " + name + " in the recipe",
			}
		}
		if no := m.tooLow(r, l); no != nil {
			return nil, no
		}
		m.tellPause(r)
		list[i] = r
	}
	return list, nil
}

// tellDepth warns once of a recipe that makes its passes whatever the layer.
func (m *maker) tellDepth(r profiles.Recipe, l Layer) {
	if r.MMPerPass.Value > 0 || r.Passes.Value == 0 {
		return
	}
	name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
	if m.told[name] {
		return
	}
	m.told[name] = true
	m.log.warn(place{text: name}, "depth-unknown", fmt.Sprintf("says passes: %g and no mm_per_pass, so a layer gets as many however thick it is, and nobody knows whether they go through", r.Passes.Value),
		"write mm_per_pass, the foam that one pass goes through; a coupon tells")
}

// deepest is how deep below the sheet's top a tool goes for a task.
func (t task) deepest(recipes []profiles.Recipe) float64 {
	bottom := recipes[len(recipes)-1]
	if t.skinOf != nil {
		if skin := t.skinOf(bottom); skin > 0 {
			return t.depthMM - skin
		}
	}
	if t.through {
		return t.depthMM + bottom.BreakthroughMM.Value
	}
	return t.depthMM
}

// reaches says why the tool is too short, and which one is not. The reach of a beam
// is not limited.
func (m *maker) reaches(t task, tool profiles.Tool, recipes []profiles.Recipe) *refusal {
	needed := t.deepest(recipes)
	if tool.Reach() <= 0 || needed <= tool.Reach()+m.slackMM() {
		return nil
	}
	message := fmt.Sprintf("is cut %s deep, and the tool %s reaches %s", m.more(needed), tool.ID, m.most(tool.Reach()))
	switch tool.Reach() {
	case tool.StickoutMM.Value:
		message += ": there its collet meets the foam"
	case tool.FluteMM.Value:
		message += ": its shank is wider than its edges, and would rub the walls above them"
	}
	return &refusal{
		rule: "tool-too-short", message: message, hint: m.longer(t, needed, m.shallower(t, tool.Reach(), recipes)), missMM: needed - tool.Reach(),
	}
}

// shallower says what a tool of that reach could cut instead; "" where no sheet that the
// foam is sold in is so thin.
func (m *maker) shallower(t task, reach float64, recipes []profiles.Recipe) string {
	if !t.through || len(t.layers) > 1 {
		return "use thinner layers or a shallower pocket"
	}
	most := units.Length(0)
	for _, l := range t.layers[0].Foam.Thicknesses {
		if l.MM()+recipes[0].BreakthroughMM.Value <= reach+m.slackMM() {
			most = max(most, l)
		}
	}
	if most == 0 {
		return ""
	}
	return "use a layer of at most " + most.Exact(m.unit)
}

// longer is a hint: the tool of the machine whose edges go so deep, or else.
func (m *maker) longer(t task, needed float64, otherwise string) string {
	for _, tool := range m.Machine.Tools {
		if tool.ID != t.tool && !tool.ByAnother() && needed <= tool.Reach()+m.slackMM() && !tool.BeyondFlute(needed) && m.cutsAll(t, tool) {
			return strings.TrimSuffix("write `tool: "+tool.ID+"`, which goes so deep, or "+otherwise, ", or ")
		}
	}
	return strings.TrimPrefix(otherwise+", or take a longer tool", ", or ")
}

// cutsAll reports whether the tool has a recipe for every foam of a task.
func (m *maker) cutsAll(t task, tool profiles.Tool) bool {
	for _, l := range t.layers {
		if _, ok := m.Recipe(l.Foam.ID, tool.ID); !ok {
			return false
		}
	}
	return true
}

// radius of the tool or beam: half the widest kerf among the layers.
func radius(recipes []profiles.Recipe) float64 {
	kerf := 0.0
	for _, r := range recipes {
		kerf = max(kerf, r.KerfMM.Value)
	}
	return kerf / 2
}

// cornerRadius is the least inside radius that is cut: the tool's own, or what
// keeps the foam from tearing.
func cornerRadius(recipes []profiles.Recipe) float64 {
	r := radius(recipes)
	for _, recipe := range recipes {
		r = max(r, recipe.CornerRadiusMM.Value)
	}
	return r
}

// tooNarrow is why a tool does not fit a shape.
func (m *maker) tooNarrow(tool profiles.Tool, r float64, at geometry.Point) *refusal {
	return &refusal{
		rule:    "pocket-too-narrow",
		message: fmt.Sprintf("is too narrow for the tool %s, which needs more than %s of width everywhere", tool.ID, m.mm(2*r)),
		hint:    "make it or its notch wider, or use a thinner tool",
		near:    &at,
		missMM:  2 * r,
	}
}

// choice is the tool for a task with what it leaves.
type choice struct {
	tool    profiles.Tool
	recipes []profiles.Recipe
	design  geometry.Region // with reliefs
	reached reached
}

// choose takes the first tool that has its recipes, reaches with its edges, and
// fits, where try asks whether it fits; or else the first whose shank follows its
// edges into the foam. Where none does it is the reason that came nearest to success.
func (m *maker) choose(t task, try func(profiles.Tool, []profiles.Recipe) (choice, *refusal)) (choice, *refusal) {
	tools, why := m.candidates(t)
	nearest, short := 0, ""
	var beyond *choice
	for _, tool := range tools {
		recipes, no := m.recipes(t, tool)
		step := 1
		if no == nil {
			if no, step = m.reaches(t, tool, recipes), 2; no != nil {
				short += fmt.Sprintf("; the tool %s reaches only %s", tool.ID, m.most(tool.Reach()))
			}
		}
		var c choice
		if no == nil {
			c, no = try(tool, recipes)
			step = 3
		}
		if no == nil {
			c.tool, c.recipes = tool, recipes
			if !tool.BeyondFlute(t.deepest(recipes)) {
				m.tellChips(c)
				m.tellThickness(t, c)
				return c, nil
			}
			if beyond == nil {
				beyond = &c
			}
			continue
		}
		if step > nearest || step == nearest && no.missMM <= why.missMM {
			why, nearest = no, step
		}
	}
	if beyond != nil {
		m.beyond = append(m.beyond, overreach{t, *beyond})
		m.tellChips(*beyond)
		m.tellThickness(t, *beyond)
		return *beyond, nil
	}
	if nearest == 3 {
		why.message += short
	}
	return choice{}, why
}

// tellChips warns once of each recipe whose chips are far off: see profiles.ChipsOf.
func (m *maker) tellChips(c choice) {
	for _, r := range c.recipes {
		chips := profiles.ChipsOf(r, c.tool)
		off, hint := "the edges rub more than they cut, and the foam gets hot", "raise the feed or lower the speed"
		if chips.Tear() {
			off, hint = "foam tears, and a thin cutter bends", "lower the feed, raise the speed, or take a smaller step-down"
		}
		name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
		if !(chips.Rub() || chips.Tear()) || m.told["chips "+name] {
			continue
		}
		m.told["chips "+name] = true
		m.log.warn(place{text: name}, "chip-load", fmt.Sprintf("each edge takes %s a turn, where %s has %s: %s", profiles.ChipText(chips.MM, m.unit), profiles.ChipsSource, chips.Chart(m.unit), off), hint)
	}
}

// refused reports why there is no tool. What is missing on the machine or
// among the recipes is said once, not for every pocket.
func (m *maker) refused(t task, why *refusal) {
	message := why.message
	switch {
	case why.told:
		return
	case why.rule == "no-recipe" || why.rule == "no-tools" || why.rule == "too-thick" || why.rule == "power-too-low" || why.rule == "power-too-coarse":
		if m.told[message] {
			return
		}
		m.told[message] = true
	case why.near != nil:
		at := why.near.Add(t.origin)
		message += fmt.Sprintf(" (near x %s, y %s)", m.mm(at.X), m.mm(at.Y))
	}
	m.log.fail(t.at, why.rule, message, why.hint)
}
