package page

import (
	"fmt"
	"slices"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles"
)

// controller is what a hand sets at the machine before a program runs on it, because no
// program can: lines of a sheet's settings; none where the machine takes drawings.
func (c CutSheet) controller(s Sheet) [][2]string {
	m := c.Plan.Machine
	k := m.Controller
	if m.DrawingsOnly() || k.Class == "" {
		return nil
	}
	lines := [][2]string{{"Counts from", workOffset(k, c.wired())}}
	if other := countsIn(k, c.Unit); other != "" {
		lines = append(lines, [2]string{"Counts in", other})
	}
	if k.Class == profiles.Printer {
		lines = append(lines, [2]string{"Idle", motorsOff})
	}
	switch {
	case m.Process.Traits().Beam:
		lines = append(lines, c.beam()...)
	case m.Process.Traits().Turning:
		lines = append(lines, [2]string{"Spindle", spindle(s, k)})
	}
	lines = append(lines, c.switches()...)
	if at := k.ChangeAt; len(at) == 3 && (len(toolsInOrder(s.Program)) > 1 || k.ToolChange == profiles.ByItself) {
		lines = append(lines, [2]string{"Tool change", c.changing(s, at)})
	}
	if at := k.ParkAt; len(at) == 3 {
		lines = append(lines, [2]string{"Parks", "at " + c.place([]float64{at[0], at[1], max(0, at[2])}) + ", never lower than it came: that place has to be free"})
	}
	return lines
}

// switches says what of air and extraction the program switches, and what is left to a hand.
func (c CutSheet) switches() [][2]string {
	k, is := c.Plan.Machine.Controller, c.Plan.Machine.Process.Traits()
	by := func(what string, pair []string) string {
		if on := profiles.On(pair); on != "" {
			text := fmt.Sprintf("the program switches the %s on by %s before it cuts, and off by M9 at its end", what, on)
			if k.Class == profiles.Printer {
				text += fmt.Sprintf("; printer-style firmware knows %s only where that was built in, and passes over what it does not know: see once, nothing lit and nothing turning, that it comes on, or switch it by hand before the program starts", on)
			}
			return text
		}
		return "the program switches no " + what + ": on by hand before it starts"
	}
	switch {
	case is.Beam:
		return [][2]string{{"Switches", by("air assist", k.Air) + ". The extraction is a hand's: on before it starts, and on until the smoke has cleared"}}
	case is.Turning:
		return [][2]string{{"Switches", by("dust extraction", k.Dust)}}
	}
	return nil
}

// beam is what S has to mean at the machine, where its head stands at Z0, and which mode has
// to be on.
func (c CutSheet) beam() [][2]string {
	m := c.Plan.Machine
	k := m.Controller
	lines := [][2]string{{"Full power", fmt.Sprintf("S%v of the program is 100 %%: see that the controller's own full S is that number, else the beam is stronger or weaker than it was proved", k.PowerScale)}}
	if off := m.StandoffMM.Value; off > 0 {
		lines = append(lines, [2]string{"Focus", fmt.Sprintf("in focus on the foam's top the nozzle stands %s above it: that height is Z0, never the nozzle on the foam", c.length(off))})
	}
	if k.Class == profiles.Small {
		corners := ""
		if k.LaserOn == "M4" {
			corners = ", and M4 keeps full power in corners"
		}
		lines = append(lines, [2]string{"Laser mode", "has to be on, a setting that a small controller is shipped without: without it the machine stands, lit, at every change of power" + corners})
	}
	return lines
}

// motorsOff is of controllers as printers have them (from experience, no source).
const motorsOff = "printer-style controllers may switch their motors off after minutes of standing still, and X0 Y0 and Z0 are then lost, with no word said: set them again after a pause, or make that time longer in the controller"

// workOffset says which of a controller's zeros the program counts from; an upright wire has no height to set.
func workOffset(k profiles.Controller, wired bool) string {
	zero := "X0 Y0 and Z0"
	if wired {
		zero = "X0 Y0"
	}
	for _, word := range k.Start {
		if i := slices.Index([]string{"G54", "G55", "G56", "G57", "G58", "G59"}, word); i >= 0 {
			return fmt.Sprintf("work offset %s, the controller's number %d: set %s there, and see that no G92 is left over", word, i+1, zero)
		}
	}
	return "the program names no work offset: whatever zero is in force when it starts; set " + zero + " right before it"
}

// countsIn warns of a program in another unit than its pages; "" where both are one.
func countsIn(k profiles.Controller, u units.Unit) string {
	switch inches := k.Units == profiles.Inches; {
	case u == units.Inch && !inches:
		return "millimetres, by G21: this page says inches, and the numbers in the program are 25.4 times those. What the controller shows is in whichever unit it is set to"
	case u != units.Inch && inches:
		return "inches, by G20: this page says millimetres, and the numbers in the program are 25.4 times less. What the controller shows is in whichever unit it is set to"
	}
	return ""
}

// spindle says at how many turns the program counts on it.
func spindle(s Sheet, k profiles.Controller) string {
	var speeds []string
	for _, op := range s.Program.Ops {
		if text := fmt.Sprintf("%.0f", op.RPM); op.RPM > 0 && !slices.Contains(speeds, text) {
			speeds = append(speeds, text)
		}
	}
	text := strings.Join(speeds, ", then ") + " rpm. One with a dial of its own turns as that says, and not as S does: set it. One with a switch of its own has to turn before the program starts"
	if k.Class == profiles.Printer {
		text += "; and printer-style firmware may take S for rpm, per cent or 0 to 255: see once, with an empty spindle, that S of this program is rpm there"
	}
	return text
}

// place is a place of the program's own coordinates.
func (c CutSheet) place(at []float64) string {
	return fmt.Sprintf("X %s, Y %s, Z %s", c.length(at[0]), c.length(at[1]), c.length(at[2]))
}
