package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/geometry/units"
)

// Length is mm as text in a unit: to a hundredth of a millimetre, or as an inch
// fraction where it is one exactly, else to a thousandth of an inch;
// "not known" for what is no length.
func Length(mm float64, u units.Unit) string {
	if u != units.Inch {
		mm = math.Round(mm*100) / 100
	}
	l, err := units.Reckoned(mm)
	if err != nil {
		return "not known"
	}
	return l.Format(u)
}

// tenth is a length that a hand reads off a rule: to a tenth of a millimetre; inches as Length has them.
func tenth(mm float64, u units.Unit) string {
	if u != units.Inch {
		mm = math.Round(mm*10) / 10
	}
	return Length(mm, u)
}

// least is a length that nothing may fall short of.
func least(mm float64, u units.Unit) string { return Length(units.AtLeast(mm, 0.01, u), u) }

// Thick is a sheet's thickness: in mm where inches would be rounded, for no shop sells those.
func Thick(mm float64, u units.Unit) string {
	if exact, err := units.FromMM(mm); err == nil && u == units.Inch {
		return exact.Exact(u)
	}
	return Length(mm, u)
}

// Sold is the length and width of a sheet as it is sold: in mm too where one of them is rounded in inches.
func Sold(x, y float64, u units.Unit) string {
	text := size(x, y, u)
	if u == units.Inch && strings.Contains(Thick(x, u)+Thick(y, u), " mm") {
		text += " (" + size(x, y, units.Millimetre) + ")"
	}
	return text
}

// bare is a length without the name of its unit.
func bare(mm float64, u units.Unit) string {
	return strings.TrimSuffix(Length(mm, u), " "+u.String())
}

// size is two lengths, the unit once.
func size(x, y float64, u units.Unit) string { return bare(x, u) + " × " + Length(y, u) }

// span is from one length to another, the unit once.
func span(low, high float64, u units.Unit) string { return bare(low, u) + " to " + Length(high, u) }

// kerfWide is a kerf: to a thousandth of its unit, as coupons, profiles and programs say it.
func kerfWide(mm float64, u units.Unit) string {
	if u == units.Inch {
		return Length(mm, u)
	}
	return strconv.FormatFloat(math.Round(mm*1000)/1000, 'f', -1, 64) + " mm"
}

// fine is a small length, to a thousandth of its unit.
func fine(mm float64, u units.Unit) string {
	switch {
	case math.IsNaN(mm) || math.IsInf(mm, 0):
		return "an unknown amount"
	case u == units.Inch && mm != 0 && math.Abs(mm) < u.MM()/1000:
		return "under 0.001 in"
	case u == units.Inch:
		return fmt.Sprintf("%.3f in", mm/u.MM())
	}
	return fmt.Sprintf("%.3f mm", mm)
}

// Distance is a long way: metres or feet; a length where it is shorter than one of those.
func Distance(mm float64, u units.Unit) string {
	if u == units.Inch && mm < 304.8 || u != units.Inch && mm < 1000 {
		return Length(mm, u)
	}
	return large(mm, 1e12, u, 1000, "%.2f m", 304.8, "%.1f ft")
}

// Volume is cubic centimetres or cubic inches.
func Volume(mm3 float64, u units.Unit) string {
	return large(mm3, 1e15, u, 1000, "%.1f cm³", 16387.064, "%.2f in³")
}

// large is a number over what its unit has of it, if it is under a bound.
func large(v, bound float64, u units.Unit, metric float64, inMetric string, inch float64, inInch string) string {
	switch {
	case !(math.Abs(v) < bound):
		return "not known"
	case u == units.Inch:
		return fmt.Sprintf(inInch, v/inch)
	}
	return fmt.Sprintf(inMetric, v/metric)
}

// alphabetic counts in the alphabet that begins at a: a, b, ... z, aa, ab, ...
func alphabetic(n int, a rune) string {
	text := ""
	for n++; n > 0; n = (n - 1) / 26 {
		text = string(a+rune((n-1)%26)) + text
	}
	return text
}
