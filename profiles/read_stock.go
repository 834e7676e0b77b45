package profiles

import (
	"cmp"
	"fmt"
	"slices"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// readStock reads the thicknesses that a foam is sold in, each with its unit
// because a trade inch is not a round number of millimetres, thinnest first.
func readStock(v strict.Value) []units.Length {
	var list []units.Length
	for _, size := range v.List() {
		if l, ok := stockLength(size, 0.5, 500); ok {
			list = append(list, l)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// readSizes reads the sheets that a foam is sold in, length and width, largest first.
func readSizes(v strict.Value) [][2]units.Length {
	var list [][2]units.Length
	for _, size := range v.List() {
		sides := size.List()
		if len(sides) != 2 {
			size.Fail("is not a length and a width", "write [1000 mm, 500 mm]")
			continue
		}
		l, okL := stockLength(sides[0], 50, 5000)
		w, okW := stockLength(sides[1], 50, 5000)
		if okL && okW {
			list = append(list, [2]units.Length{l, w})
		}
	}
	slices.SortStableFunc(list, func(a, b [2]units.Length) int { return cmp.Compare(b[0].MM()*b[1].MM(), a[0].MM()*a[1].MM()) })
	return list
}

// stockLength reads one with its unit, within bounds in mm.
func stockLength(v strict.Value, least, most float64) (units.Length, bool) {
	text := v.Text()
	if text == "" {
		return 0, false
	}
	if _, err := strict.Decimal(text); err == nil {
		v.Fail("has no unit", "write "+text+" mm, or "+text+" in")
		return 0, false
	}
	l, ok := v.Length(units.Millimetre)
	if ok && (l.MM() < least || l.MM() > most) {
		v.Fail(fmt.Sprintf("%s is not from %g mm to %g mm", text, least, most), fmt.Sprintf("write a length from %g mm to %g mm", least, most))
		return 0, false
	}
	return l, ok
}
