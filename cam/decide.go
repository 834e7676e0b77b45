package cam

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// machineName is the machine that the run is for.
func machineName(r Request) string {
	if r.Machine != "" {
		return r.Machine
	}
	return r.Job.Machine
}

// machineWhere is the place of that name.
func machineWhere(r Request) string {
	if r.Machine != "" {
		return "--machine"
	}
	if r.Job.MachinePosition.File == "" {
		return r.Job.File
	}
	return r.Job.MachinePosition.String()
}

// FindMachine looks up the machine that the run is for. A job without one, or with
// one that nobody knows, is the finding then.
func (r Request) FindMachine() (profiles.Machine, finding.List) {
	name := machineName(r)
	if name == "" {
		return profiles.Machine{}, finding.List{{
			Rule: "no-machine", Where: r.Job.File, Message: "the job names no machine",
			Hint: "add `machine: bench-router`, or give --machine; `traywright profiles` lists them",
		}}
	}
	return r.Catalog.FindMachine(name, machineWhere(r))
}

// limiter hands out recipes with the shop rules' limits applied, and keeps
// what the limits changed.
type limiter struct {
	request Request
	machine profiles.Machine
	thickMM float64 // of a coupon's foam, whose job is not there yet
	found   finding.List
	told    map[string]bool
}

func newLimiter(r Request, m profiles.Machine) *limiter {
	return &limiter{request: r, machine: m, told: map[string]bool{}}
}

func (l *limiter) recipe(foam, tool string) (profiles.Recipe, bool) {
	recipe, ok := l.request.Catalog.Recipe(foam, l.machine.ID, tool)
	if !ok {
		return recipe, false
	}
	cutter, _ := l.machine.Tool(tool)
	if l.request.currentA > 0 {
		recipe = recipe.AtCurrent(cutter, l.request.currentA)
	}
	if l.request.coupon {
		recipe.MeasuredIn = nil // it is cut to find that out
	}
	measured := recipe
	recipe, found := safety.Limit(recipe, l.machine.With(cutter), l.request.Rules)
	if l.request.currentA == 0 { // else a hand is told to set that one, or the feed for it is refused
		cooled, more := safety.CoolWire(measured, recipe, l.machine.With(cutter))
		recipe, found = cooled, append(found, more...)
	}
	recipe, why := recipe.AsTested()
	if !l.request.coupon {
		found = append(found, otherSetting(measured, recipe, why, l.coupon(recipe))...)
	}
	found = append(found, l.beam(recipe)...)
	found = append(found, safety.CheckWire(recipe, cutter, l.machine)...)
	found = append(found, l.wire(recipe, cutter)...)
	if key := foam + "\x00" + tool; !l.told[key] {
		l.told[key] = true
		l.found = append(l.found, found...)
	}
	return recipe, true
}

// coupon is the command for a coupon of a recipe, in the thickest foam of the job that is of it.
func (l *limiter) coupon(r profiles.Recipe) string {
	var thickest units.Length
	for _, t := range l.request.Job.Trays {
		for _, layer := range t.Layers {
			if layer.Foam == r.Foam {
				thickest = max(thickest, cmp.Or(layer.Measured, layer.Thickness))
			}
		}
	}
	return plan.CouponOf(r, thickest, l.request.Unit)
}

// beam holds what a recipe makes of the machine's beam against what is safe. What
// may not go under the beam at all is told elsewhere.
func (l *limiter) beam(recipe profiles.Recipe) finding.List {
	foam, _ := l.request.Catalog.Foam(recipe.Foam)
	u := safety.Use{Foam: foam, Machine: l.machine, Where: fmt.Sprintf("recipe for %s with %s", recipe.Foam, recipe.Tool)}
	if !l.machine.Process.Traits().Beam || safety.Barred(u, l.request.Catalog, l.request.Rules) {
		return nil
	}
	for _, thick := range l.thicknesses(recipe.Foam) {
		u.DepthMM = thick
		if found := safety.CheckBeam(safety.BeamOf(recipe.Through(thick), l.machine), u, l.request.Catalog); len(found) > 0 {
			return found
		}
	}
	return nil
}

// wire holds what a recipe's wire gives to the foam against what is safe, but of foam that may not go under it at all.
func (l *limiter) wire(recipe profiles.Recipe, wire profiles.Tool) finding.List {
	foam, _ := l.request.Catalog.Foam(recipe.Foam)
	u := safety.Use{Foam: foam, Machine: l.machine.With(wire), Where: fmt.Sprintf("recipe for %s with %s", recipe.Foam, recipe.Tool)}
	if safety.Barred(u, l.request.Catalog, l.request.Rules) {
		return nil
	}
	found := safety.CheckWireHeat(recipe, wire, u, l.request.Catalog)
	return append(found, process.CheckLag(recipe, wire, slices.Max(l.thicknesses(recipe.Foam)), u.Machine)...)
}

// thicknesses are those of a foam's layers, mm; a coupon's among them. The thinnest is what
// a fixed number of passes is too many for. 0 where no layer is of it.
func (l *limiter) thicknesses(foam string) []float64 {
	list := []float64{l.thickMM}
	for _, t := range l.request.Job.Trays {
		for _, layer := range t.Layers {
			if layer.Foam == foam {
				list = append(list, layer.Real().MM())
			}
		}
	}
	slices.Sort(list)
	if list = slices.Compact(list); len(list) > 1 && list[0] == 0 {
		list = list[1:]
	}
	return list
}

// uses lists every foam that the job puts under the machine, each once as
// sheets and once as a glued block and for each process of the tools that the job names,
// with its thickest and where that is. Foams that the catalog
// does not know are the plan's to report.
func uses(r Request, m profiles.Machine) []safety.Use {
	var list []safety.Use
	for _, t := range r.Job.Trays {
		block := t.Cut == job.Block && len(t.Layers) > 1
		var thickness units.Length
		for _, l := range t.Layers {
			thickness += l.Real()
		}
		for _, l := range t.Layers {
			if !block {
				thickness = l.Real()
			}
			foam, ok := r.Catalog.Foam(l.Foam)
			where := strings.TrimPrefix(fmt.Sprintf("%s: tray %s", l.Position, t.ID), ": ") // a chosen tray is in no file yet
			if r.coupon {
				where = t.ID
			}
			for _, m := range processesOf(t, m) {
				if ok {
					list = addUse(list, safety.Use{Foam: foam, Machine: m, Block: block, DepthMM: thickness.MM(), Where: where})
				}
			}
		}
	}
	return list
}

// barred are the foams that no permit brings under the machine.
func barred(under []safety.Use, r Request) map[string]bool {
	foams := map[string]bool{}
	for _, u := range under {
		foams[u.Foam.ID] = foams[u.Foam.ID] || safety.Barred(u, r.Catalog, r.Rules)
	}
	return foams
}

// processesOf is the machine as it is with each of the tools that a tray's job names for its
// outline and for what is in it; its own, which is a hand's blade, only where one of them names none.
func processesOf(t job.Tray, m profiles.Machine) []profiles.Machine {
	names := []string{t.Tool}
	for _, p := range t.Pockets {
		names = append(names, cmp.Or(p.Tool, t.Tool))
	}
	for _, l := range t.Labels {
		names = append(names, cmp.Or(l.Tool, t.Tool))
	}
	for _, e := range t.Emblems {
		names = append(names, cmp.Or(e.Tool, t.Tool))
	}
	var list []profiles.Machine
	for _, name := range names {
		tool, _ := m.Tool(name)
		as := m.With(tool)
		if !slices.ContainsFunc(list, as.CutsLike) {
			list = append(list, as)
		}
	}
	return list
}

func addUse(list []safety.Use, u safety.Use) []safety.Use {
	at := slices.IndexFunc(list, func(v safety.Use) bool {
		return v.Foam.ID == u.Foam.ID && v.Block == u.Block && v.Machine.CutsLike(u.Machine)
	})
	if at < 0 {
		return append(list, u)
	}
	if u.DepthMM > list[at].DepthMM {
		list[at] = u
	}
	return list
}
