package profiles

import (
	"fmt"

	"traywright/geometry/units"
)

// The one chart of chip loads in foam that was found is a tool maker's, for a foam that
// it does not name: at 18000 rpm with 2 edges and one diameter deep, 2540 to 3556 mm/min
// for 3.175 mm and 3556 to 5334 mm/min for 6.35 mm; a quarter less at two diameters,
// half at three. Soft foam bears more than it says, so that only what is far off is
// called wrong: judged, no source.
const (
	thinMM, thickMM           = 3.175, 6.35
	thinLeastMM, thinMostMM   = 2540.0 / 18000 / 2, 3556.0 / 18000 / 2
	thickLeastMM, thickMostMM = 3556.0 / 18000 / 2, 5334.0 / 18000 / 2
	mostChipsOff              = 2.0
)

// ChipsSource is where the range of Chips comes from.
const ChipsSource = "a tool maker's chart, for a foam that it does not name"

// Chips is what each edge of a cutter takes of the foam at every turn.
type Chips struct {
	MM              float64 // feed / (speed x edges)
	LeastMM, MostMM float64 // what the chart has
}

// ChipsOf is that of a recipe with its tool; zero where a number is missing.
func ChipsOf(r Recipe, t Tool) Chips {
	turns, d := r.RPM.Value*float64(t.Flutes), t.DiameterMM.Value
	if !(turns > 0 && d > 0) {
		return Chips{}
	}
	thick := min(1, max(0, (d-thinMM)/(thickMM-thinMM)))
	deep := 1 - 0.25*min(2, max(0, r.StepdownMM.Value/d-1))
	return Chips{
		MM:      r.FeedMMPerMin.Value / turns,
		LeastMM: deep * (thinLeastMM + thick*(thickLeastMM-thinLeastMM)),
		MostMM:  deep * (thinMostMM + thick*(thickMostMM-thinMostMM)),
	}
}

// Chart is what the chart has, in words.
func (c Chips) Chart(u units.Unit) string {
	return chipFigures(c.LeastMM, u) + " to " + ChipText(c.MostMM, u)
}

// ChipText is how thick a chip is, to two figures: in mm, or in thousandths of an inch as the trade counts them.
func ChipText(mm float64, u units.Unit) string {
	if u == units.Inch {
		return chipFigures(mm, u) + " thou"
	}
	return chipFigures(mm, u) + " mm"
}

func chipFigures(mm float64, u units.Unit) string {
	if u == units.Inch {
		mm *= 1000 / units.InchMM
	}
	return fmt.Sprintf("%.2g", mm)
}

// Rub reports chips so thin that the edges rub more than they cut, which heats the foam.
func (c Chips) Rub() bool { return c.MM*mostChipsOff < c.LeastMM }

// Tear reports chips so thick that foam tears, or a thin cutter bends.
func (c Chips) Tear() bool { return c.MM > c.MostMM*mostChipsOff }
