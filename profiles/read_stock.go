package profiles

import (
	"slices"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// readStock reads the thicknesses that a foam is sold in, each with its unit
// because a trade inch is not a round number of millimetres, thinnest first.
func readStock(v strict.Value) []units.Length {
	var list []units.Length
	for _, size := range v.List() {
		text := size.Text()
		if text == "" {
			continue
		}
		if _, err := strict.Decimal(text); err == nil {
			size.Fail("has no unit", "write "+text+" mm, or "+text+" in")
			continue
		}
		l, ok := size.Length(units.Millimetre)
		switch {
		case !ok:
		case l.MM() < 0.5 || l.MM() > 500:
			size.Fail(text+" is not from 0.5 mm to 500 mm", "")
		default:
			list = append(list, l)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
