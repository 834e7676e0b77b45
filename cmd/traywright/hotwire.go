package main

import (
	"fmt"
	"strconv"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

var (
	gaugeFlag = &cli.StringFlag{Name: "gauge", Usage: "the wire's `AWG` gauge, 10 to 40"}
	wireFlag  = &cli.StringFlag{Name: "length", Usage: "the wire's `LENGTH` between its clamps, such as \"450 mm\" or \"18 in\""}
	ampsFlag  = &cli.StringFlag{Name: "current", Usage: "work out the rest for a current of so many `AMPS`"}
	voltsFlag = &cli.StringFlag{Name: "voltage", Usage: "work out the rest for a voltage of so many `VOLTS`"}
	wattsFlag = &cli.StringFlag{Name: "watts-per-cm", Usage: "work out the rest for so many `WATTS` in each centimetre of wire"}
	dcFlag    = &cli.BoolFlag{Name: "dc", Usage: "the supply gives smooth direct current; what a dimmer chops is AC"}
	wetFlag   = &cli.BoolFlag{Name: "wet", Usage: "anywhere that is not normally dry: 12 V AC or 30 V DC at most"}
)

func hotWireCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "hotwire",
		Usage:     "the sums for a hot wire of nichrome 80/20: resistance, current, voltage, heat",
		ArgsUsage: " ",
		Description: "Refuses what is above 25 V AC or 60 V DC, where it is not dry 12 V AC or 30 V DC: a hot wire is a bare live part.\n" +
			"A sum is no permission: who may build and connect a supply is for local codes and licensed people to say.\n" +
			"Example: traywright hotwire --gauge 26 --length \"450 mm\" --current 1.6",
		Flags: talkFlags(gaugeFlag, wireFlag, ampsFlag, voltsFlag, wattsFlag, dcFlag, wetFlag, plainUnits),
		Action: func(c *cli.Context) error {
			s.settle(c)
			h, err := readHotWire(c)
			if err != nil {
				return err
			}
			return s.hotWire(h, c.Bool(jsonFlag.Name))
		},
	})
}

// hotWire is what the command line asks.
type hotWire struct {
	wire   safety.Wire
	length units.Length
	unit   units.Unit
	supply safety.Supply
	heat   *safety.Heat // nil when no current, voltage or heat is given
	err    error        // of a voltage that a bare wire may not have
}

func readHotWire(c *cli.Context) (h hotWire, err error) {
	if c.NArg() > 0 {
		return h, usage("hotwire takes flags only", "traywright hotwire --help")
	}
	if h.unit, err = chosenUnit(c, units.Millimetre); err != nil {
		return h, err
	}
	if h.wire.AWG, err = strconv.Atoi(c.String(gaugeFlag.Name)); err != nil {
		return h, usage(fmt.Sprintf("--gauge takes a whole number, not %q", c.String(gaugeFlag.Name)), "such as --gauge 26")
	}
	if h.length, err = units.Parse(c.String(wireFlag.Name), h.unit); err != nil {
		return h, usage(fmt.Sprintf("--length: %v", err), `such as --length "450 mm"`)
	}
	h.wire.LengthM = h.length.MM() / 1000
	h.supply = safety.Supply{DC: c.Bool(dcFlag.Name), Dry: !c.Bool(wetFlag.Name)}
	if err := h.wire.Check(); err != nil {
		return h, usage(err.Error(), "such as --gauge 26 --length \"450 mm\"")
	}
	return h, h.ask(c)
}

// ask works out the one thing that is asked.
func (h *hotWire) ask(c *cli.Context) error {
	ways := []struct {
		flag string
		heat func(float64, safety.Supply) (safety.Heat, error)
		unit float64
	}{
		{ampsFlag.Name, h.wire.Heat, 1}, {voltsFlag.Name, h.wire.HeatAtVolts, 1}, {wattsFlag.Name, h.wire.HeatOf, cmPerM},
	}
	for _, way := range ways {
		if !c.IsSet(way.flag) {
			continue
		}
		if h.heat != nil {
			return usage("give one of --current, --voltage and --watts-per-cm", "the others follow from it")
		}
		n, err := strict.Decimal(c.String(way.flag))
		if err != nil {
			return usage(fmt.Sprintf("--%s: %v", way.flag, err), "write a plain number")
		}
		heat, err := way.heat(n*way.unit, h.supply)
		if h.heat, h.err = &heat, err; err != nil && heat == (safety.Heat{}) {
			return usage(fmt.Sprintf("--%s %v: %v", way.flag, n, err), "give what a hot wire takes: such as --current 3")
		}
	}
	return nil
}

const cmPerM = 100

// findings are what is wrong with the sum, or worth knowing.
func (h hotWire) findings() finding.List {
	if h.err != nil {
		return finding.List{{
			Rule: "voltage-too-high", Message: h.err.Error(), Hint: "lower the voltage, or ask for less current or heat; a shorter or thicker wire needs less voltage for the same; the limit holds for the supply with nothing connected, too, and no flag lifts it",
		}}
	}
	if h.heat == nil {
		return nil
	}
	return h.hot()
}

// hot compares the current with the last one whose temperature is known.
func (h hotWire) hot() finding.List {
	all, known := h.wire.StillAirAmps()
	if !known {
		return finding.List{{
			Severity: finding.Note, Rule: "wire-heat-unknown",
			Message: fmt.Sprintf("how hot a wire of AWG %d gets is not known to this program", h.wire.AWG),
			Hint:    "begin low, and raise the current only until the wire cuts; it must never glow",
		}}
	}
	last, c := all[len(all)-1], safety.StillAirC()[len(all)-1]
	more := fmt.Sprintf("%.2f A is more than the %.2f A that one maker gives for %d C in still air", h.heat.Amps, last, c)
	switch {
	case h.heat.Amps > safety.MostOverheated*last:
		return finding.List{{
			Rule: "wire-would-glow", Message: more + fmt.Sprintf(", by more than %d times: the wire may glow, sag and break, and sets foam on fire", safety.MostOverheated),
			Hint: fmt.Sprintf("stay below %.2f A; polystyrene cuts well below that", last),
		}}
	case h.heat.Amps > last:
		return finding.List{{
			Severity: finding.Warning, Rule: "wire-too-hot", Message: more + ": nothing is known beyond it, and a wire that glows sags, breaks and sets foam on fire",
			Hint: "polystyrene cuts well below that; begin low, and raise the current only until the wire cuts",
		}}
	}
	return nil
}

// hotWire prints the sums; above a limit it prints none that could be built.
func (s *session) hotWire(h hotWire, asJSON bool) error {
	found := h.findings()
	var err error
	switch {
	case asJSON:
		err = writeJSON(s.out, h.report(found))
	case !found.Failed():
		err = s.writeHotWire(h)
	}
	if err != nil {
		return err
	}
	s.print(found)
	return refusal(found)
}

// The sources of the sums, with how well each is known.
const (
	gaugeSource   = "ASTM B258: 0.127 mm x 92^((36 - AWG)/39), after a secondary text"
	ohmsSource    = "nichrome 80/20, 1.08e-6 ohm m at room temperature, after a secondary text; about 3 % more at 400 C"
	voltageSource = "BS 7671 414.4.5, after a secondary text; that IEC 60364-4-41 says the same is from memory"
	airSource     = "one maker's figures for still air, after a secondary text, conditions not stated; in foam the wire runs cooler"
	noPermission  = "a sum is no permission: local codes and licensed people say who may build and connect a supply, the manual and the owner who may use it; SAFETY.md has more"
	derivedSource = "derived: U = I R, P = I2 R of the cold wire; measure your own"
)

func (s *session) writeHotWire(h hotWire) error {
	w := s.columns(2)
	last := ""
	row := func(name, value, source string) {
		if source == last {
			source = "the same"
		} else {
			last = source
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", name, value, source)
	}
	row("wire", fmt.Sprintf("AWG %d, %s", h.wire.AWG, h.length.Format(h.unit)), "as given")
	row("diameter", fmt.Sprintf("%.4f mm", h.wire.DiameterMM()), gaugeSource)
	row("resistance", fmt.Sprintf("%.3g ohm, %.4g ohm/m", h.wire.Ohms(), h.wire.OhmsPerM()), ohmsSource)
	row("supply", fmt.Sprintf("isolated, %v: at most %g V", h.supply, h.supply.MostVolts()), voltageSource)
	if h.heat != nil {
		row("current", fmt.Sprintf("%.3g A", h.heat.Amps), derivedSource)
		row("voltage", fmt.Sprintf("%.3g V", h.heat.Volts), derivedSource)
		row("heat", fmt.Sprintf("%.3g W/cm, %.3g W in all", h.heat.WattsPerM/cmPerM, h.heat.WattsPerM*h.wire.LengthM), derivedSource)
	}
	if amps, known := h.wire.StillAirAmps(); known {
		for i, c := range safety.StillAirC() {
			row(fmt.Sprintf("about %d C", c), h.stillAir(amps[i]), airSource)
		}
	}
	row("fumes", "ducted outdoors", "common practice, no source; which foam may be cut: traywright profiles safety")
	row("burns", "hands off until cold, eye protection", "common practice, no source; the wire whips when it breaks")
	fmt.Fprintln(w, noPermission)
	return w.Flush()
}

// stillAir is a current of the maker's with the voltage that it takes, if that
// may be had.
func (h hotWire) stillAir(amps float64) string {
	heat, err := h.wire.Heat(amps, h.supply)
	if err != nil {
		return fmt.Sprintf("refused: %.2f A takes %.3g V", amps, heat.Volts)
	}
	return fmt.Sprintf("%.2f A, %.3g V", amps, heat.Volts)
}

// hotWireReport is the command's JSON: names end in their unit.
type hotWireReport struct {
	GaugeAWG   int               `json:"gauge_awg"`
	LengthMM   float64           `json:"length_mm"`
	DiameterMM float64           `json:"diameter_mm"`
	Ohms       float64           `json:"resistance_ohm"`
	OhmsPerM   float64           `json:"resistance_ohm_per_m"`
	Supply     string            `json:"supply"`
	MostVolts  float64           `json:"most_voltage_v"`
	Amps       float64           `json:"current_a,omitempty"`
	Volts      float64           `json:"voltage_v,omitempty"`
	WattsPerCM float64           `json:"heat_w_per_cm,omitempty"`
	Watts      float64           `json:"heat_w,omitempty"`
	Sources    map[string]string `json:"sources"`
	Notes      []string          `json:"notes"`
	Findings   finding.List      `json:"findings"`
}

func (h hotWire) report(found finding.List) hotWireReport {
	r := hotWireReport{
		GaugeAWG: h.wire.AWG, LengthMM: h.length.MM(), DiameterMM: h.wire.DiameterMM(), Ohms: h.wire.Ohms(), OhmsPerM: h.wire.OhmsPerM(),
		Supply: "isolated, " + h.supply.String(), MostVolts: h.supply.MostVolts(), Findings: found, Notes: []string{noPermission},
		Sources: map[string]string{"diameter_mm": gaugeSource, "resistance_ohm": ohmsSource, "most_voltage_v": voltageSource},
	}
	if h.heat != nil && !found.Failed() {
		r.Amps, r.Volts, r.WattsPerCM, r.Watts = h.heat.Amps, h.heat.Volts, h.heat.WattsPerM/cmPerM, h.heat.WattsPerM*h.wire.LengthM
		r.Sources["heat_w_per_cm"] = derivedSource
	}
	return r
}
