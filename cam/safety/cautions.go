package safety

import (
	"fmt"
	"slices"

	"traywright/profiles"
)

// caution is a warning in few words, and what it applies to: every kind of foam
// where kinds is empty, sheets and blocks where block is false.
type caution struct {
	text      string
	processes []profiles.Process
	kinds     []string
	block     bool // glued-up blocks only
	machine   bool // not where a hand moves the tool
	hand      bool // only there
}

var (
	laserOnly   = []profiles.Process{profiles.Laser}
	wireOnly    = []profiles.Process{profiles.HotWire}
	routerOnly  = []profiles.Process{profiles.Router}
	knifeOnly   = []profiles.Process{profiles.Knife}
	handOnly    = []profiles.Process{profiles.Hand}
	machines    = []profiles.Process{profiles.Laser, profiles.HotWire, profiles.Router, profiles.Knife}
	heat        = []profiles.Process{profiles.Laser, profiles.HotWire}
	held        = []profiles.Process{profiles.Router, profiles.Knife}
	polystyrene = []string{"xps", "eps"}
)

// cautions in the order in which they matter. Sources: universities' laser and
// shop rules (stay with the machine, extinguisher, extraction off in a fire, no
// gloves, hold-down, hearing); the hot wire's voltages after a secondary text
// for BS 7671 414.4.5; HBCD from Environ. Sci. Technol., thermal cutting of EPS
// and XPS (abstract). The rest is common practice, no source.
var cautions = []caution{
	{text: "Stay with the machine: never run it unattended.", processes: machines, machine: true},
	{text: "A cut-resistant glove on the hand that holds; that hand never in front of the blade, the blade away from the body.", processes: handOnly},
	{text: "A fresh blade, locked: a blunt one slips. Spent blades into a tin, not into the bin.", processes: handOnly},
	{text: "Crumbles to a fine dust: wear a mask.", processes: handOnly, kinds: []string{"melamine", "phenolic"}},
	{text: "Never leave a hot wire on: hang the bow up where it touches nothing, and switch it off before you put it down.", processes: wireOnly, hand: true},
	{text: "Extraction running and ducted outdoors.", processes: heat},
	{text: "Air assist on.", processes: laserOnly},
	{text: "CO2 extinguisher at hand. In a fire: stop, extraction off, lid shut where there is one, then extinguish.", processes: laserOnly},
	{text: "Extinguisher at hand. In a fire: wire's supply off, extraction off, then extinguish.", processes: wireOnly},
	{text: "Under and beside the foam nothing that burns or mirrors; weights matt, not combustible; scraps out before each sheet.", processes: laserOnly},
	{text: "Lid shut, if it has one; else a screen, and eyewear for all in sight. Never look at the beam or its reflection.", processes: laserOnly},
	{text: "Supply isolated: at most 25 V AC or 60 V DC in the dry, 12 or 30 V otherwise.", processes: wireOnly},
	{text: "The wire burns skin and whips when it breaks: eye protection, hands off until cold.", processes: wireOnly},
	{text: "Never polystyrene with a flame retardant (often HBCD): a wire may not cut it, its label tells. Do not breathe the fumes.", processes: wireOnly, kinds: polystyrene},
	{text: "Foam held down over its whole area, outline too.", processes: held},
	{text: "Eye and hearing protection; dust collected, not breathed.", processes: routerOnly},
	{text: "No gloves, loose sleeves or loose hair near the turning tool.", processes: routerOnly},
	{text: "Its dust clings and burns: no sparks, earth the hose.", processes: routerOnly, kinds: polystyrene},
	{text: "Fine dust: wear a dust mask.", processes: routerOnly, kinds: []string{"melamine", "pu", "pvc", "phenolic", "pmi", "fr", "antistatic", "conductive", "filled", profiles.UnknownKind}},
	{text: "Its dust conducts: keep it out of motors and electronics.", processes: routerOnly, kinds: []string{"conductive"}},
	{text: "Glue cured through before cutting.", processes: profiles.Processes(), block: true},
	{text: "Fingers away from the blade; change it with the machine off.", processes: knifeOnly},
	{text: "No solvent glue and no spray paint on polystyrene.", processes: profiles.Processes(), kinds: polystyrene},
	{text: "Air the foam before painted pieces go in.", processes: profiles.Processes()},
}

func (c caution) applies(u Use) bool {
	return slices.Contains(c.processes, u.Machine.Process) && (u.Block || !c.block) && !(c.machine && u.Machine.InHand()) && (u.Machine.InHand() || !c.hand) &&
		(len(c.kinds) == 0 || slices.Contains(c.kinds, u.Foam.Kind))
}

// Cautions are what to mind with the foams under a machine, in few words, each
// once: the owners' conditions first, then those that apply to one of the uses
// and no others.
func Cautions(uses []Use, rules []Rules) []string {
	var list []string
	add := func(text string) {
		if !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	for _, r := range rules {
		for _, p := range r.Permits {
			if slices.ContainsFunc(uses, p.covers) {
				add(fmt.Sprintf("%s: only when (%s): %s.", p.Foam, r.rule(p.Line), p.When))
			}
		}
	}
	for _, r := range rules {
		for _, v := range r.Vouches {
			if slices.ContainsFunc(uses, v.covers) {
				add(fmt.Sprintf("%s is taken for %s although it speaks of %s (%s): %s.", v.Foam, v.Is, v.Although, r.rule(v.Line), v.Because))
			}
		}
	}
	for _, c := range cautions {
		if slices.ContainsFunc(uses, c.applies) {
			add(c.text)
		}
	}
	for _, u := range uses {
		if u.Machine.Process.Traits().Beam {
			add(eyewear(u.Machine))
		}
	}
	return list
}

const leave = "Do not breathe the smoke. Not out at once: get out, shut the door, call the fire service."

// Sources: extraction off in a fire, universities' laser rules; the rest is common
// practice, no source.
var burns = map[profiles.Process][]string{
	profiles.Laser:   {"Stop the machine. Extraction off: it feeds the flame. Lid shut, where it has one. Then the extinguisher.", leave},
	profiles.HotWire: {"Wire's supply off. Extraction off: it feeds the flame. Then the extinguisher.", leave, "Burnt skin: cool running water at once, then medical help."},
	profiles.Router:  {"Smoke, or a smell of burning: stop the spindle, dust collector off (embers go on in its bag).", leave},
}

// IfItBurns is what to do when a process sets foam on fire, or is about to; a
// knife does not.
func IfItBurns(p profiles.Process) []string { return burns[p] }

// Requires lists what the owners require before these uses, each once, in the
// order of the files, with the rule that says so: boxes to tick.
func Requires(uses []Use, rules []Rules) []string {
	var list []string
	told := map[string]bool{}
	for _, r := range rules {
		for _, q := range r.Requires {
			if slices.ContainsFunc(uses, q.covers) && !told[q.What] {
				told[q.What] = true
				list = append(list, fmt.Sprintf("%s (%s)", q.What, r.rule(q.Line)))
			}
		}
	}
	return list
}
