package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/geometry/units"
)

// length is mm as text in the user's unit, to a hundredth of a millimetre.
func length(mm float64, u units.Unit) string {
	l, err := units.FromMM(math.Round(mm*100) / 100)
	if err != nil {
		return "not known"
	}
	return l.Format(u)
}

// bare is a length without the name of its unit.
func bare(mm float64, u units.Unit) string {
	return strings.TrimSuffix(strings.TrimSuffix(length(mm, u), " mm"), " in")
}

// size is two lengths, the unit once.
func size(x, y float64, u units.Unit) string { return bare(x, u) + " × " + length(y, u) }

// span is two lengths, the unit once.
func span(low, high float64, u units.Unit) string { return bare(low, u) + " to " + length(high, u) }

// duration is seconds as a person reads them.
func duration(seconds float64) string {
	if !(seconds >= 0 && seconds < 1e8) {
		return "not known"
	}
	s := int(math.Round(seconds))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	}
	return fmt.Sprintf("%d h %02d min", s/3600, s/60%60)
}

// distance is a long way: metres or feet.
func distance(mm float64, u units.Unit) string {
	if !(math.Abs(mm) < 1e12) {
		return "not known"
	}
	if u == units.Inch {
		return fmt.Sprintf("%.1f ft", mm/304.8)
	}
	return fmt.Sprintf("%.2f m", mm/1000)
}

// volume is cubic centimetres or cubic inches.
func volume(mm3 float64, u units.Unit) string {
	if !(math.Abs(mm3) < 1e15) {
		return "not known"
	}
	if u == units.Inch {
		return fmt.Sprintf("%.1f in³", mm3/16387.064)
	}
	return fmt.Sprintf("%.1f cm³", mm3/1000)
}

func grams(g float64) string {
	switch {
	case !(math.Abs(g) < 1e12):
		return "not known"
	case math.Abs(g) >= 9999.5:
		return fmt.Sprintf("%.1f kg", g/1000)
	}
	return fmt.Sprintf("%.0f g", g)
}

// plural is a count with its noun.
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
