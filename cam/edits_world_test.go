package cam_test

import (
	"fmt"
	"strings"
)

// world is all that somebody can write who wants a refused job cut: a foam and a
// machine of their own, a recipe, shop rules beside the owner's, the flags and the
// words in a program's header. What the foam and the machine really are does not
// change: what the rows say is made from it, edit by edit, and always keeps a trace of
// it (see honest), because a lie without a trace is nobody's to catch.
type world struct {
	foamIs    string // the shipped foam that it really is
	machineIs string // the shipped machine that it really is

	foam    *foamRow
	machine *machineRow
	recipe  *recipeRow
	owner   []rule // the owner's, which stay
	rules   []rule

	jobFoam, jobMachine     string // as the job names them
	flagMachine             string // --machine
	saysFoam, saysMachine   string // in the program's header
	flagFoam, flagThickness string // of dryrun
	tryMachine              string // --machine of dryrun
}

type foamRow struct{ id, name, kind, notes, source, density string }

type machineRow struct {
	id, name, process, tool, diameter, flutes, reach, rpm string
	watts, nm, scale, air                                 string
}

type recipeRow struct {
	feed, power, passes string
	measured            bool
	beam                bool // with the keys of a beam
}

// rule is one entry of a rules file: its list, then its fields.
type rule struct {
	list   string
	fields map[string]string
}

func (r rule) text() string {
	var fields []string
	for _, key := range []string{"foam", "kind", "process", "machine", "when", "is", "although", "because", "what", "power", "feed", "depth"} {
		if v := r.fields[key]; v != "" {
			fields = append(fields, fmt.Sprintf("%s: %q", key, v))
		}
	}
	return fmt.Sprintf("owner: somebody\n%s: [{%s}]\n", r.list, strings.Join(fields, ", "))
}

// folder is the attacker's folder of profiles, "" for none.
func (w *world) folder() string {
	var b strings.Builder
	if f := w.foam; f != nil {
		fmt.Fprintf(&b, "foams:\n- {id: %s, name: %q, kind: %s, notes: %q, source: %q, density_kg_m3: %s, thicknesses: [1/2 in], least_wall_mm: 4, least_edge_mm: 6, fits: {tight: 0, snug: 0, easy: 1}, loose_mm: 3}\n",
			f.id, f.name, f.kind, f.notes, f.source, f.density)
	}
	if m := w.machine; m != nil {
		fmt.Fprintf(&b, "machines:\n- {id: %s, name: %q, process: %s, source: mine, travel_mm: [400, 300, 80], rapid_mm_per_min: 3000, max_feed_mm_per_min: 3000, acceleration_mm_per_s2: 300, corner_mm: 0.02, clearance_mm: 5, z_zero: top",
			m.id, m.name, m.process)
		for key, v := range map[string]string{"power_w": m.watts, "wavelength_nm": m.nm, "max_rpm": m.rpm} {
			if v != "" {
				fmt.Fprintf(&b, ", %s: %s", key, v)
			}
		}
		b.WriteString(", controller: {like: pc, tool_change: none")
		for key, v := range map[string]string{"power_scale": m.scale, "air_assist": m.air} {
			if v != "" {
				fmt.Fprintf(&b, ", %s: %s", key, v)
			}
		}
		fmt.Fprintf(&b, "}, tools: [{id: tip, number: 1, name: %q, diameter_mm: %s", m.tool, m.diameter)
		for key, v := range map[string]string{"flutes": m.flutes, "reach_mm": m.reach} {
			if v != "" {
				fmt.Fprintf(&b, ", %s: %s", key, v)
			}
		}
		b.WriteString("}]}\n")
	}
	if w.recipe != nil {
		b.WriteString(w.recipeText())
	}
	return b.String()
}

// recipeText is a recipe for the job's foam on the job's machine.
func (w *world) recipeText() string {
	r, tool := w.recipe, "tip"
	if w.machine == nil || w.on() != w.machine.id {
		tool = map[string]string{"bench-laser": "beam", "bench-router": "flat-3", "bench-knife": "blade", "bench-hotwire": "wire"}[w.on()]
	}
	list, keys := "recipes", "kerf_mm: 3, feed_mm_per_min: "+r.feed+", corner_radius_mm: 1"
	if r.beam {
		keys = "kerf_mm: 0.4, feed_mm_per_min: " + r.feed + ", corner_radius_mm: 1, power_percent: " + r.power + ", passes: " + r.passes + ", focus_step_mm: 0, lead_in_mm: 2, taper_degrees: 0"
	} else {
		keys += ", plunge_mm_per_min: 300, stepdown_mm: 6, stepover: 0.5, rpm: 12000, finish_mm: 0, breakthrough_mm: 0.5, skin_mm: 0.8, ramp_degrees: 8"
	}
	if r.measured {
		list, keys = "measured", keys+", kerf_interval_mm: 0.1"
	}
	return fmt.Sprintf("%s:\n- {machine: %s, tool: %s, source: mine, common: {%s}, foams: {%s: {}}}\n", list, w.on(), tool, keys, w.jobFoam)
}

// on is the machine that the job runs on.
func (w *world) on() string {
	if w.flagMachine != "" {
		return w.flagMachine
	}
	return w.jobMachine
}

func (w *world) job() string {
	return fmt.Sprintf("machine: %s\ntrays:\n- {id: a, size: [60, 40], layers: [{foam: %s, thickness: 1/2 in}]}\n", w.jobMachine, w.jobFoam)
}

// program is what the job's machine really is: a beam that never goes down, or a
// cutter that does.
func (w *world) program() string {
	var b strings.Builder
	if w.saysFoam != "" {
		fmt.Fprintf(&b, "(foam: %s)\n", w.saysFoam)
	}
	if w.saysMachine != "" {
		fmt.Fprintf(&b, "(machine: %s)\n", w.saysMachine)
	}
	b.WriteString("(thickness: 12.7 mm)\nG21 G90 G17 G94\n")
	if w.machineIs == "bench-laser" {
		b.WriteString("M3 S0\nG0 X10 Y10\nG1 X50 S100 F900\nS0\nM5\nM2\n")
	} else {
		b.WriteString("T1\nS12000 M3\nG0 X10 Y10 Z5\nG1 Z-6 F300\nG1 X50 F900\nG0 Z5\nM5\nM2\n")
	}
	return b.String()
}

// kindOf is what a shipped foam is made of.
var kindOf = map[string]string{"pe-30": "pe", "eva-90": "eva", "pvc-60": "pvc", "cr-150": "cr", "pu-30": "pu", "melamine-10": "melamine", "xps-32": "xps"}

// traces are words that give away what a foam is, in the languages of labels.
var traces = map[string][]string{
	"pe": {"polyethylene"}, "eva": {"EVA"}, "pvc": {"vinyl mat", "PVC", "espuma de vinilo", "ＶＩＮＹＬ", "vi\u200bnyl"},
	"cr": {"neoprene", "Neopren", "хлоропрен"}, "pu": {"polyurethane", "PUR foam", "memory foam"}, "melamine": {"Melaminharz"}, "xps": {"polystyrene", "XPS"},
}

// honest is whether the rows still have a trace of what they really are.
func (w *world) honest() bool {
	if f := w.foam; f != nil && f.kind != kindOf[w.foamIs] {
		found := false
		for _, trace := range traces[kindOf[w.foamIs]] {
			found = found || strings.Contains(f.name+"|"+f.notes+"|"+f.source, trace)
		}
		if !found {
			return false
		}
	}
	if m := w.machine; m != nil && w.machineIs == "bench-laser" && m.process != "laser" {
		sign := m.watts != "" || m.nm != "" || m.scale != "" || m.air != "" || strings.Contains(m.name+m.tool, "aser") || strings.Contains(m.tool, "beam")
		spot := m.process != "hot-wire" && m.flutes == "" && m.diameter == "0.2"
		return sign || spot
	}
	if m := w.machine; m != nil && w.machineIs == "bench-router" {
		return m.process == "router" || m.id == "bench-router"
	}
	return true
}
