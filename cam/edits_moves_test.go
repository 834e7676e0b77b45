package cam_test

import (
	"math/rand/v2"
	"slices"
)

func anyOf[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// Words that say something, and what says nothing (the project's own rule).
var (
	goodWords = []string{"extraction running", "Absaugung läuft"}
	badWords  = []string{".", "-", "—", "...", "\u200b \u200b", "\u3164\u3164", "always", "ok", "x y"}
)

// newWorld is a job that is refused: by the table, for want of a permit, or by a rule
// of the owner.
func newWorld(r *rand.Rand) *world {
	w := &world{machineIs: anyOf(r, "bench-laser", "bench-laser", "bench-router")}
	w.foamIs = anyOf(r, "pe-30", "pe-30", "eva-90", "pvc-60", "pvc-60", "cr-150", "pu-30", "melamine-10", "xps-32")
	if w.machineIs == "bench-router" || r.IntN(3) == 0 {
		w.owner = []rule{{"forbids", anyOf(r,
			map[string]string{"kind": kindOf[w.foamIs]}, map[string]string{"foam": w.foamIs}, map[string]string{"machine": w.machineIs},
			map[string]string{"process": map[string]string{"bench-laser": "laser", "bench-router": "router"}[w.machineIs]},
			map[string]string{"kind": kindOf[w.foamIs], "machine": w.machineIs})}}
		if r.IntN(4) == 0 {
			w.owner = []rule{{"limits", map[string]string{"depth": "5 mm"}}}
		}
	}
	w.jobFoam, w.jobMachine = w.foamIs, w.machineIs
	w.saysFoam, w.saysMachine = w.foamIs, w.machineIs
	return w
}

// edit changes one thing of a world.
func (w *world) edit(r *rand.Rand) {
	switch r.IntN(7) {
	case 0, 1:
		w.editFoam(r)
	case 2:
		w.editMachine(r)
	case 3:
		w.editRecipe(r)
	case 4, 5:
		w.editRules(r)
	default:
		w.editNames(r)
	}
}

func (w *world) editFoam(r *rand.Rand) {
	if w.foam == nil {
		w.foam = &foamRow{id: anyOf(r, "mat", "soft-pad", w.foamIs), name: anyOf(r, traces[kindOf[w.foamIs]]...), kind: kindOf[w.foamIs], notes: "as bought", source: "mine", density: "30"}
		w.jobFoam = w.foam.id
		return
	}
	f := *w.foam
	words := append([]string{"a mat", "soft pad", "the usual", "sheet 12", "polyethylene, or so"}, traces[kindOf[w.foamIs]]...)
	switch r.IntN(6) {
	case 0, 1:
		f.kind = anyOf(r, "pe", "pe", "eva", "xpe", "epp", "pvc", "unknown", "granite")
	case 2:
		f.name = anyOf(r, words...)
	case 3:
		f.notes = anyOf(r, words...)
	case 4:
		f.source = anyOf(r, words...)
	default:
		f.density = anyOf(r, "2", "30", "600")
	}
	w.foam = &f
}

func (w *world) editMachine(r *rand.Rand) {
	if w.machine == nil {
		w.machine = &machineRow{id: anyOf(r, "quiet", w.machineIs), name: "a bench", process: "laser", tool: "the beam", diameter: "0.2", watts: "40", nm: "10600", scale: "1000", air: "M8"}
		if w.machineIs == "bench-router" {
			w.machine = &machineRow{id: anyOf(r, "quiet", w.machineIs), name: "a bench", process: "router", tool: "a cutter", diameter: "3", flutes: "1", reach: "30", rpm: "20000"}
		}
		w.jobMachine = w.machine.id
		return
	}
	m := *w.machine
	switch r.IntN(9) {
	case 0:
		m.process = anyOf(r, "laser", "router", "knife", "hot-wire")
	case 1:
		m.name = anyOf(r, "a bench", "old laser", "DIODENLASER")
	case 2:
		m.tool = anyOf(r, "the beam", "a tip")
	case 3:
		m.watts = anyOf(r, "", "40", "400")
	case 4:
		m.nm, m.scale = anyOf(r, "", "450"), anyOf(r, "", "255", "1000")
	case 5:
		m.air = anyOf(r, "", "M8")
	case 6:
		m.rpm, m.flutes = anyOf(r, "", "20000"), anyOf(r, "", "1")
	case 7:
		m.diameter, m.reach = anyOf(r, "0.2", "3"), anyOf(r, "", "30")
	default: // all at once: the same machine as something that it is not
		if w.machineIs == "bench-router" {
			m.process, m.rpm, m.watts, m.nm, m.scale, m.air = "laser", "", "40", "450", "1000", "M8"
			break
		}
		m.process, m.rpm, m.flutes, m.reach, m.diameter = "router", "20000", "1", "30", "3"
		m.watts, m.nm, m.scale, m.tool = "", "", "", "a tip"
		m.air = anyOf(r, "", "M8")
	}
	w.machine = &m
}

func (w *world) editRecipe(r *rand.Rand) {
	w.recipe = &recipeRow{
		feed: anyOf(r, "3", "200", "900", "2000"), power: anyOf(r, "1", "45", "100"), passes: anyOf(r, "1", "2", "40"),
		measured: r.IntN(4) == 0, beam: r.IntN(5) > 0 == (w.machineIs == "bench-laser"),
	}
}

func (w *world) editRules(r *rand.Rand) {
	if len(w.rules) > 0 && r.IntN(3) == 0 {
		at := r.IntN(len(w.rules))
		w.rules = slices.Delete(slices.Clone(w.rules), at, at+1)
	}
	foam := anyOf(r, w.foamIs, w.jobFoam, "pe-30", "")
	process := anyOf(r, "laser", "laser", "router", "hot-wire", "")
	machine := anyOf(r, "", "", w.jobMachine, "bench-laser")
	words := anyOf(r, anyOf(r, goodWords...), anyOf(r, goodWords...), anyOf(r, badWords...))
	w.rules = append(w.rules, anyOf(r,
		rule{"permits", map[string]string{"foam": foam, "process": process, "machine": machine, "when": words}},
		rule{"permits", map[string]string{"foam": w.jobFoam, "process": "laser", "when": words}},
		rule{"permits", map[string]string{"foam": w.jobFoam, "process": "laser", "when": words}},
		rule{"vouches", map[string]string{"foam": w.jobFoam, "is": anyOf(r, "pe", "eva"), "although": kindOf[w.foamIs], "because": words}},
		rule{"vouches", map[string]string{"foam": foam, "is": anyOf(r, "pe", "eva", kindOf[w.foamIs]), "although": anyOf(r, "pvc", "pe", kindOf[w.foamIs]), "because": words}},
		rule{"limits", map[string]string{"foam": foam, "power": anyOf(r, "", "1 %", "100 %"), "feed": anyOf(r, "", "100 mm/min"), "depth": anyOf(r, "30 mm", "5 mm")}},
		rule{"requires", map[string]string{"what": "care", "foam": foam}},
		rule{"forbids", map[string]string{"foam": foam, "process": process, "machine": machine}},
	))
	if len(w.rules) > 5 {
		w.rules = w.rules[len(w.rules)-5:]
	}
}

// editNames changes who is named where. A header that names no foam and a flag that
// names an honest other one would be a lie without a trace.
func (w *world) editNames(r *rand.Rand) {
	mine := []string{w.foamIs}
	if w.foam != nil {
		mine = append(mine, w.foam.id)
	}
	machines := []string{w.machineIs}
	if w.machine != nil {
		machines = append(machines, w.machine.id)
	}
	switch r.IntN(8) {
	case 7:
		w.tryMachine = anyOf(r, append(machines, "", "bench-laser", "bench-router", "bench-knife", "bench-hotwire")...)
	case 0:
		w.jobFoam = anyOf(r, mine...)
	case 1:
		w.jobMachine = anyOf(r, machines...)
	case 2:
		w.flagMachine = anyOf(r, append(machines, "", "")...)
	case 3:
		w.saysFoam = anyOf(r, append(mine, "", "gone")...)
	case 4:
		w.saysMachine = anyOf(r, append(machines, "", "gone", "bench-knife")...)
	case 5:
		w.flagFoam = anyOf(r, append(mine, "")...)
		if w.saysFoam == w.foamIs && r.IntN(2) == 0 {
			w.flagFoam = anyOf(r, "pe-30", "eva-90", "xpe-33")
		}
	default:
		w.flagThickness = anyOf(r, "", "1 mm", "500 mm")
	}
	if w.saysFoam != w.foamIs && !slices.Contains(append(mine, ""), w.flagFoam) {
		w.flagFoam = ""
	}
}
