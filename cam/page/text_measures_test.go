package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/units"
)

// What a length has to be at least is rounded up and what it may be at most down, but a 64th of an inch is that everywhere.
func TestLeastAndMost(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		unit units.Unit
		want [3]string // nearest, at least, at most
	}{
		{27.94, units.Inch, [3]string{"1.1 in", "1.1 in", "1.1 in"}},
		{25.4 * 25 / 32, units.Inch, [3]string{"25/32 in", "25/32 in", "25/32 in"}},
		{25.4*3/16 - 2e-5, units.Inch, [3]string{"3/16 in", "3/16 in", "3/16 in"}},
		{25.4 * 0.43125, units.Inch, [3]string{"0.431 in", "0.432 in", "0.431 in"}},
		{3, units.Inch, [3]string{"0.118 in", "0.119 in", "0.118 in"}},
		{13, units.Inch, [3]string{"0.512 in", "0.512 in", "0.511 in"}},
		{0, units.Inch, [3]string{"0 in", "0 in", "0 in"}},
		{27.943, units.Millimetre, [3]string{"27.94 mm", "27.95 mm", "27.94 mm"}},
		{4.7625, units.Millimetre, [3]string{"4.76 mm", "4.77 mm", "4.76 mm"}},
	} {
		assert.Equal(t, c.want, [3]string{Length(c.mm, c.unit), least(c.mm, c.unit), CutSheet{Unit: c.unit}.most(c.mm)}, "%v %v", c.mm, c.unit)
	}
}

// What a hand reads off a rule is printed to a tenth of a mm; in inches it is rounded once, and so as everywhere: 254.56 mm are
// 10.022 in, and 254.6 would be 10.024.
func TestTenths(t *testing.T) {
	assert.Equal(t, "254.6 mm", tenth(254.56, units.Millimetre))
	assert.Equal(t, Length(254.56, units.Inch), tenth(254.56, units.Inch))
	assert.Equal(t, "10.022 in", tenth(254.56, units.Inch))
	assert.Equal(t, "10 3/4 in", tenth(273.05, units.Inch))
}
