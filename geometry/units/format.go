package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// String is the length in millimetres with its unit: "25.4 mm".
func (l Length) String() string { return l.Format(Millimetre) }

// Format prints the length with its unit. Millimetres are exact and have no
// trailing zeros. Inches are a fraction where a sixty-fourth is exact, else
// they are rounded to three decimals, as a calliper shows them. Parse reads both back, the
// rounded ones to within half a thousandth: see Exact.
func (l Length) Format(u Unit) string {
	// The magnitude is unsigned, so that even the least int64 has one.
	sign, n := "", uint64(l)
	if l < 0 {
		sign, n = "-", -n
	}
	number := ""
	if u == Inch {
		number = inches(n)
	} else {
		number = point(n/uint64(oneMM), n%uint64(oneMM), 6)
	}
	if number == "0" {
		sign = ""
	}
	return sign + number + " " + u.String()
}

// InName prints the length for a file's name, which holds neither a space nor a fraction's stroke: 1.25in, 25.4mm.
// Inches have three decimals at most; what Exact prints in mm is in mm here.
func (l Length) InName(u Unit) string {
	if u == Inch && strings.HasSuffix(l.Exact(u), u.String()) {
		return strconv.FormatFloat(math.Round(l.MM()/InchMM*1000)/1000, 'f', -1, 64) + u.String()
	}
	return strings.ReplaceAll(l.Format(Millimetre), " ", "")
}

// Exact prints the length for whoever types it again: as Format does, or in mm where inches
// would have to be rounded.
func (l Length) Exact(u Unit) string {
	text := l.Format(u)
	if back, err := Parse(text, u); err != nil || back != l {
		return l.Format(Millimetre)
	}
	return text
}

// Bare is Exact without the unit where that is u.
func (l Length) Bare(u Unit) string { return strings.TrimSuffix(l.Exact(u), " "+u.String()) }

// Cell is Bare, save that a fraction keeps its unit: a spreadsheet makes a date of one without.
func (l Length) Cell(u Unit) string {
	if text := l.Exact(u); strings.Contains(text, "/") {
		return text
	}
	return l.Bare(u)
}

// inches prints n nanometres.
func inches(n uint64) string {
	const inch, part, places = uint64(oneInch), uint64(sixtyFourth), 1000
	whole, rest := n/inch, n%inch
	if rest%part != 0 {
		rest = (rest*places + inch/2) / inch
		return point(whole+rest/places, rest%places, 3)
	}
	over, under := rest/part, uint64(64)
	for over > 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", over, under)
	}
	return fmt.Sprintf("%d %d/%d", whole, over, under)
}

// point prints whole and a number of decimals without trailing zeros.
func point(whole, decimals uint64, digits int) string {
	s := fmt.Sprintf("%d.%0*d", whole, digits, decimals)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}
