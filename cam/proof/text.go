package proof

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// What a finding says in numbers. Values of these types are printed in the
// setup's unit.
type (
	length float64 // mm
	area   float64 // mm2
	feed   float64 // mm/min
)

// say is a message in the setup's unit. Places are points of the program.
func (d *run) say(format string, values ...any) string {
	for i, v := range values {
		switch v := v.(type) {
		case length:
			values[i] = d.inUnit(float64(v), 1, "")
		case feed:
			values[i] = d.inUnit(float64(v), 1, "/min")
		case area:
			values[i] = d.inUnit(float64(v), 2, "2")
		case geometry.Point:
			values[i] = d.display(v)
		}
	}
	return fmt.Sprintf(format, values...)
}

// inUnit is mm to a power in the setup's unit.
func (d *run) inUnit(mm float64, power int, behind string) string {
	if d.setup.Unit != units.Inch {
		return number(mm) + " mm" + behind
	}
	for range power {
		mm /= units.InchMM
	}
	return decimals(mm, 4) + " in" + behind
}

// word is mm as the number of a word, in the unit that the program itself counts in.
func (d *run) word(mm float64) string {
	if c, ok := d.trace.First(func(name string) bool { return name == "G20" || name == "G21" }); ok && c.Name == "G20" {
		return decimals(mm/units.InchMM, 4)
	}
	return number(mm)
}

// waitWord is a wait as the machine's controller reads it.
func (d *run) waitWord(seconds float64) string {
	c := d.setup.Machine.Controller
	switch {
	case c.Class == profiles.Printer:
		return "G4 S" + number(seconds)
	case c.DwellUnit == profiles.DwellMS:
		return "G4 P" + number(1000*seconds)
	}
	return "G4 P" + number(seconds)
}

// display is a place as a machine's display has it.
func (d *run) display(p geometry.Point) string {
	return "X " + strings.TrimSuffix(d.inUnit(p.X, 1, ""), " mm") + " Y " + strings.TrimSuffix(d.inUnit(p.Y, 1, ""), " mm")
}

// number prints a number for a person: at most three decimals, no zeros behind.
func number(v float64) string { return decimals(v, 3) }

func decimals(v float64, most int) string {
	s := strconv.FormatFloat(v, 'f', most, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
