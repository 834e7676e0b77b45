package safety

import (
	"fmt"
	"slices"

	"traywright/profiles"
)

// caution is a warning in few words, and what it applies to: every kind of foam
// where kinds is empty.
type caution struct {
	text      string
	processes []profiles.Process
	kinds     []string
}

var (
	laserOnly   = []profiles.Process{profiles.Laser}
	wireOnly    = []profiles.Process{profiles.HotWire}
	routerOnly  = []profiles.Process{profiles.Router}
	knifeOnly   = []profiles.Process{profiles.Knife}
	heat        = []profiles.Process{profiles.Laser, profiles.HotWire}
	polystyrene = []string{"xps", "eps"}
)

// cautions in the order in which they matter. Sources: universities' laser and
// shop rules (stay with the machine, extinguisher, extraction off in a fire, no
// gloves, hold-down, hearing); the hot wire's voltages after a secondary text
// for BS 7671 414.4.5; HBCD from Environ. Sci. Technol., thermal cutting of EPS
// and XPS (abstract). The rest is common practice, no source.
var cautions = []caution{
	{"Stay with the machine: never run it unattended.", []profiles.Process{profiles.Laser, profiles.HotWire, profiles.Router, profiles.Knife}, nil},
	{"Extraction running and ducted outdoors.", heat, nil},
	{"Air assist on.", laserOnly, nil},
	{"CO2 extinguisher at hand. In a fire: stop, extraction off, lid shut, then extinguish.", laserOnly, nil},
	{"Lid shut; never look at the beam or its reflection.", laserOnly, nil},
	{"Supply isolated: at most 25 V AC or 60 V DC in the dry, 12 or 30 V otherwise.", wireOnly, nil},
	{"The wire burns skin and whips when it breaks: eye protection, hands off until cold.", wireOnly, nil},
	{"Flame-retarded polystyrene may hold HBCD: do not breathe the fumes.", wireOnly, polystyrene},
	{"Foam held down over its whole area, outline too.", routerOnly, nil},
	{"Eye and hearing protection; dust collected, not breathed.", routerOnly, nil},
	{"No gloves, loose sleeves or loose hair near the turning tool.", routerOnly, nil},
	{"Its dust clings and burns: no sparks, earth the hose.", routerOnly, polystyrene},
	{"Fine dust: wear a dust mask.", routerOnly, []string{"melamine", "pu", "pvc", profiles.UnknownKind}},
	{"If glued up first: glue cured before cutting.", routerOnly, nil},
	{"Fingers away from the blade; change it with the machine off.", knifeOnly, nil},
	{"No solvent glue and no spray paint on polystyrene.", profiles.Processes(), polystyrene},
	{"Air the foam before painted pieces go in.", profiles.Processes(), nil},
}

func (c caution) applies(foam profiles.Foam, p profiles.Process) bool {
	return slices.Contains(c.processes, p) && (len(c.kinds) == 0 || slices.Contains(c.kinds, foam.Kind))
}

// Cautions are what to mind with a foam under a machine, in few words: the
// owner's conditions first, then those that apply to this foam and process and
// no others.
func Cautions(foam profiles.Foam, m profiles.Machine, rules []Rules) []string {
	var list []string
	for _, r := range rules {
		for _, p := range r.Permits {
			if p.covers(Use{Foam: foam, Machine: m}) {
				list = append(list, fmt.Sprintf("Only when (%s): %s.", r.rule(p.Line), p.When))
			}
		}
	}
	for _, c := range cautions {
		if c.applies(foam, m.Process) {
			list = append(list, c.text)
		}
	}
	if m.Process == profiles.Laser {
		list = append(list, eyewear(m))
	}
	return list
}

// eyewear says which to begin with when the beam is not shut in.
func eyewear(m profiles.Machine) string {
	n, err := LB(m.PowerW.Value, m.WavelengthNM.Value)
	if err != nil {
		return "Eyewear: ask your laser safety officer before any lid is opened."
	}
	return fmt.Sprintf("Eyewear if the beam is not shut in: EN 207, D LB%d or more at %.0f nm; check with your laser safety officer.",
		n, m.WavelengthNM.Value)
}

// Requires lists what the owners require of everyone, each once, in the order
// of the files: boxes to tick.
func Requires(rules []Rules) []string {
	var list []string
	for _, r := range rules {
		for _, text := range r.Requires {
			if !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	return list
}
