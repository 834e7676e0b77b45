package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/profiles"
)

// A sheet of a laser takes no lid for granted, and Z0 is its focus whether or not anybody has
// said how high that is; a router's asks for neither.
func TestASheetOfALaserWithoutALid(t *testing.T) {
	sheet := func(process profiles.Process, standoffMM float64) (boxes, zero string) {
		c := CutSheet{Plan: &plan.Plan{Machine: profiles.Machine{Process: process, StandoffMM: profiles.Number{Value: standoffMM}}}}
		return strings.Join(c.open(), "; "), c.zeroOf(profiles.ZTop)
	}
	boxes, zero := sheet(profiles.Laser, 12)
	assert.Contains(t, boxes, "Where the beam is not shut in: eyewear made for its wavelength for everybody who can see it, a screen, and nobody else")
	assert.NotContains(t, boxes, "focus height")
	assert.Contains(t, zero, "the nozzle 12 mm above it")
	boxes, zero = sheet(profiles.Laser, 0)
	assert.Contains(t, boxes, "focus height above the foam is measured")
	assert.Contains(t, zero, "at your lens's focus height above the foam: measure it. Never the nozzle on the foam")
	boxes, zero = sheet(profiles.Router, 0)
	assert.Empty(t, boxes)
	assert.Equal(t, "Z0 is the top of the foam", zero)
}
