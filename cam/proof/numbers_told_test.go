package proof_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
)

// The numbers in what is found are those of the program and of its recipe: a beam's energy is power over feed,
// so that 900 over 800 mm/min is 112.5 %.
func TestNumbersThatAreTold(t *testing.T) {
	for _, c := range []struct{ on, from, to, told string }{
		{"laser", "F900", "F800", "gives the foam 112.5 % of the energy of its recipe"},
		{"laser", "S600", "S480", "gives the foam 80 % of the energy of its recipe"},
		{"laser", "S600", "S700", "asks for 70 % of full power and its recipe has 60 %"},
		{"laser", "F900", "F1200", "cuts at 1200 mm/min and its recipe has 900 mm/min"},
		{"router", "F1200", "F1500", "cuts at 1500 mm/min and its recipe has 1200 mm/min"},
		{"router", "S18000", "S23000", "turns at 23000 rpm where its recipe has 18000"},
		{"router", "S18000", "S12000", "turns at 12000 rpm where its recipe has 18000"},
	} {
		program, setup, want := spoiled(t, c.on)
		r := proof.Run("", []byte(all(c.from+`\b`, c.to)(t, program)), setup, &want)
		assert.Contains(t, fmt.Sprint(r.Findings), c.told, "%s: %s", c.on, c.to)
	}
}

// Heat is within another's where no part of it is more: in a pass, in all, and passes.
func TestHeatWithin(t *testing.T) {
	most := proof.Heat{PassJPerMM: 3, AllJPerMM: 6, Passes: 2}
	for h, within := range map[proof.Heat]bool{
		most: true, {}: true, {PassJPerMM: 2, AllJPerMM: 4, Passes: 1}: true,
		{PassJPerMM: 3.2, AllJPerMM: 6, Passes: 2}: false, {PassJPerMM: 3, AllJPerMM: 6.4, Passes: 2}: false, {PassJPerMM: 3, AllJPerMM: 6, Passes: 3}: false,
	} {
		assert.Equal(t, within, h.Within(most), "%+v", h)
	}
}
