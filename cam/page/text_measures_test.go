package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/units"
)

// Short lengths are the job's own: 1.1 in is not 27.9 mm, and so 1.098 in.
func TestTenth(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		unit units.Unit
		want string
	}{
		{27.94, units.Inch, "1.1"},
		{25.4 * 25 / 32, units.Inch, "25/32"},
		{25.4 * 0.43125, units.Inch, "0.43"},
		{27.94, units.Millimetre, "27.9"},
	} {
		assert.Equal(t, c.want, bare(tenth(c.mm, c.unit), c.unit))
	}
}
