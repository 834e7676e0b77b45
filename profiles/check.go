package profiles

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
)

// checkFoams looks for kinds that the safety table has no row for, and for
// foams that were here with another chemistry.
func (c *Catalog) checkFoams(list []row[Foam]) finding.List {
	var problems finding.List
	for _, r := range list {
		f := r.value
		if !slices.Contains(c.kinds, f.Kind) {
			problems = append(problems, fault(r.at, "unknown-kind", fmt.Sprintf("foam %s: there is no kind %q", f.ID, f.Kind),
				"a kind is a chemistry, whatever the trade name: "+strings.Join(c.kinds, ", ")))
		}
		if old, ok := c.foams[f.ID]; ok && old.Kind != f.Kind {
			problems = append(problems, fault(r.at, "other-kind", fmt.Sprintf("foam %s is %s here and %s as it ships", f.ID, f.Kind, old.Kind),
				"give another chemistry another id"))
		}
	}
	return problems
}

// checkMachines looks for machines that were here with another process, what an
// owner forbids by process or by machine stays forbidden, and for lasers that were
// here with more watts or with another scale of power: heat and eyewear are counted
// by them, and the tube under the name is still the same.
func (c *Catalog) checkMachines(list []row[Machine]) finding.List {
	var problems finding.List
	for _, r := range list {
		if old, ok := c.machines[r.value.ID]; ok && old.Process != r.value.Process {
			problems = append(problems, fault(r.at, "other-process", fmt.Sprintf("machine %s is a %s here and is known as a %s", old.ID, r.value.Process, old.Process),
				"give another machine another id"))
		} else if ok && old.Process == Hand {
			problems = append(problems, cooledTools(r, old)...)
		} else if ok && old.Process == Laser {
			for _, what := range otherBeam(r.value, old) {
				problems = append(problems, fault(r.at, "other-laser", fmt.Sprintf("machine %s has %s", old.ID, what),
					fmt.Sprintf("where the tube or its controller really is another one, it is another machine: traywright profiles --yaml %s --as my-%[1]s prints one to change, for a folder of its own", old.ID)))
			}
		}
	}
	return problems
}

// cooledTools are the tools of a hand that were hot wires here and no longer say so: what is cut
// with one would be judged as with a blade.
func cooledTools(r row[Machine], old Machine) finding.List {
	var problems finding.List
	for _, t := range r.value.Tools {
		if known := old.wasCalled(t, r.value); known.ByAnother() && t.Process != known.Process {
			problems = append(problems, fault(r.at, "other-process", fmt.Sprintf("tool %s of machine %s is a blade here and is known as a %s, %s", t.ID, old.ID, known.Process, known.ID),
				fmt.Sprintf("write process: %s into its row; a blade beside it is another tool, with an id, a number and a diameter of its own", known.Process)))
		}
	}
	return problems
}

// otherBeam is what makes a laser seem to heat less than the one that has its name.
func otherBeam(m, known Machine) []string {
	var list []string
	if m.PowerW.Value < known.PowerW.Value {
		list = append(list, fmt.Sprintf("a power_w of %g here and is known with %g: with less, what heats the foam too much would be let through", m.PowerW.Value, known.PowerW.Value))
	}
	if m.Controller.PowerScale != known.Controller.PowerScale {
		list = append(list, fmt.Sprintf("a power_scale of %g here and is known with %g: its S words would mean another power", m.Controller.PowerScale, known.Controller.PowerScale))
	}
	return list
}

// neededFor is the numbers that no path can be made without.
func neededFor(p Process) []string {
	switch p {
	case Router:
		return []string{"kerf_mm", "feed_mm_per_min", "plunge_mm_per_min", "stepdown_mm", "stepover", "rpm", "finish_mm", "breakthrough_mm", "skin_mm", "ramp_degrees"}
	case Laser:
		return []string{"kerf_mm", "feed_mm_per_min", "power_percent", "focus_step_mm", "lead_in_mm", "corner_radius_mm", "taper_degrees"}
	}
	if p == Hand {
		return nil // see handFaults
	}
	return []string{"kerf_mm", "feed_mm_per_min"}
}

// checkRecipes holds each recipe against its foam, machine and tool.
func (c *Catalog) checkRecipes(list []row[Recipe]) finding.List {
	var problems finding.List
	for _, r := range list {
		problems = append(problems, c.faults(r)...)
	}
	return problems
}

// faults is what is wrong with one recipe.
func (c *Catalog) faults(row row[Recipe]) finding.List {
	r := row.value
	where := row.at.String() + ": " + keyOf(r).String()
	m, found := c.FindMachine(r.Machine, where)
	if found != nil {
		return found
	}
	if _, found := c.FindFoam(r.Foam, where); found != nil {
		return found
	}
	for _, reason := range recipeFaults(r, m) {
		found = append(found, fault(row.at, "bad-recipe", keyOf(r).String()+": "+reason, ""))
	}
	return found
}

// recipeFaults is what is wrong with a recipe's numbers.
func recipeFaults(r Recipe, m Machine) []string {
	tool, ok := m.Tool(r.Tool)
	if !ok {
		return []string{"the machine has no tool " + r.Tool}
	}
	faults := slices.Concat(missing(r, m.Process), r.beamKeys(m.Process), r.hotFaults(m.With(tool).Process))
	if m.Process == Hand {
		faults = append(faults, handFaults(r, tool)...)
	}
	most := func(name string, value, limit float64) {
		if limit > 0 && value > limit {
			faults = append(faults, fmt.Sprintf("%s of %v is more than the machine's %v", name, value, limit))
		}
	}
	most("feed_mm_per_min", r.FeedMMPerMin.Value, m.MaxFeedMMPerMin.Value)
	most("plunge_mm_per_min", r.PlungeMMPerMin.Value, m.MaxFeedMMPerMin.Value)
	most("rpm", r.RPM.Value, m.MaxRPM.Value)
	if feed, plunge := r.FeedMMPerMin.Value, r.PlungeMMPerMin.Value; m.Process == Router && plunge > feed && feed > 0 {
		faults = append(faults, fmt.Sprintf("plunge_mm_per_min of %v is more than feed_mm_per_min, %v: no cutter sinks faster than it cuts; write plunge_mm_per_min: %[2]v or less", plunge, feed))
	}
	faults = append(faults, kerfFaults(r, m, tool)...)
	faults = append(faults, r.markFaults()...)
	faults = append(faults, r.lapFaults(m.Process)...)
	if m.Process == Laser && r.MMPerPass.Value == 0 && r.Passes.Value == 0 {
		faults = append(faults, "mm_per_pass is missing")
	}
	if r.MostMM.Value > 0 && r.MMPerPass.Value > r.MostMM.Value {
		faults = append(faults, fmt.Sprintf("mm_per_pass of %v is more than most_mm, %v", r.MMPerPass.Value, r.MostMM.Value))
	}
	if m.Process == Router && r.SkinMM.Value == 0 && !(r.TabCount.Value >= 1 && r.TabWidthMM.Value > 0 && r.TabHeightMM.Value > 0) {
		faults = append(faults, "neither skin_mm nor tabs hold the tray when its outline is cut: write skin_mm: 1.3, or tab_count, tab_width_mm and tab_height_mm")
	}
	if high := r.TabHeightMM.Value; m.Process == Router && r.SkinMM.Value == 0 && high > 0 && high < LeastHoldMM {
		faults = append(faults, fmt.Sprintf("tab_height_mm of %v holds nothing: write %v or more", high, LeastHoldMM))
	}
	if skin := r.SkinMM.Value; m.Process == Router && skin > 0 && skin < LeastHoldMM {
		faults = append(faults, fmt.Sprintf("skin_mm of %v holds nothing: write %v or more, or 0 and tabs", skin, LeastHoldMM))
	}
	return faults
}

// markFaults: a mark is made in one pass, and a pass takes no more than the recipe lets it.
func (r Recipe) markFaults() []string {
	key, most := "stepdown_mm", r.StepdownMM.Value
	if most == 0 {
		key, most = "mm_per_pass", r.MMPerPass.Value
	}
	if deep := r.MarkDepthMM.Value; most > 0 && deep > most {
		return []string{fmt.Sprintf("mark_depth_mm of %v is more than %s, %v, and a mark is made in one pass: write mark_depth_mm: %[3]v or less", deep, key, most)}
	}
	return nil
}

func missing(r Recipe, p Process) []string {
	var faults []string
	for _, key := range neededFor(p) {
		if !slices.ContainsFunc(r.Numbers(), func(n Named) bool { return n.Key == key }) {
			faults = append(faults, key+" is missing")
		}
	}
	return faults
}

// LeastHoldMM of foam is the least that holds anything (judged, no source).
const LeastHoldMM = 0.3
