package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/geometry/units"
)

// hardSpace keeps a number and its unit on one line.
const hardSpace = "\u00a0"

// length is mm as text in the user's unit: an inch fraction where it is one
// exactly, else to a hundredth of a millimetre.
func length(mm float64, u units.Unit) string {
	exact, err := units.FromMM(mm)
	if err != nil {
		return "not known"
	}
	if u == units.Inch && isFraction(exact) {
		return hard(exact.Format(u))
	}
	l, err := units.FromMM(math.Round(mm*100) / 100)
	switch {
	case err != nil:
		return "not known"
	case u == units.Inch:
		return strconv.FormatFloat(math.Round(mm/25.4*1000)/1000, 'f', -1, 64) + hardSpace + "in"
	}
	return hard(l.Format(u))
}

// isFraction reports whether a length is a whole number of 64ths of an inch.
func isFraction(l units.Length) bool {
	const inch = 25_400_000 // nanometres
	return int64(l)*64%inch == 0
}

func hard(s string) string { return strings.ReplaceAll(s, " ", hardSpace) }

// bare is a length without the name of its unit.
func bare(mm float64, u units.Unit) string {
	text := length(mm, u)
	return strings.TrimSuffix(strings.TrimSuffix(text, hardSpace+"mm"), hardSpace+"in")
}

// size is two lengths, the unit once.
func size(x, y float64, u units.Unit) string {
	return bare(x, u) + hardSpace + "×" + hardSpace + length(y, u)
}

// span is two lengths, the unit once.
func span(low, high float64, u units.Unit) string {
	return bare(low, u) + hardSpace + "to" + hardSpace + length(high, u)
}

// tenth rounds to a tenth of a millimetre, or a hundredth of an inch, where a
// page has no room for more; a fraction of an inch stays what it is.
func tenth(mm float64, u units.Unit) float64 {
	if l, err := units.FromMM(mm); err == nil && u == units.Inch && isFraction(l) {
		return mm
	}
	if u == units.Inch {
		return math.Round(mm/25.4*100) / 100 * 25.4
	}
	return math.Round(mm*10) / 10
}

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
	case math.Abs(g) >= 999.5:
		return fmt.Sprintf("%.2f", g/1000) + hardSpace + "kg"
	}
	return fmt.Sprintf("%.0f", g) + hardSpace + "g"
}

// plural is a count with its noun.
func plural(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case strings.HasSuffix(noun, "s"):
		noun += "e"
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
