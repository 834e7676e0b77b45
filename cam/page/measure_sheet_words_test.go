package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/units"
)

// A sheet in inches says the command that reads it in inches.
func TestASheetSaysTheCommandOfItsUnit(t *testing.T) {
	for unit, want := range map[units.Unit]string{
		units.Millimetre: "traywright measure measuring-sheet.csv --out measured",
		units.Inch:       "traywright measure measuring-sheet.csv --units in --out measured",
	} {
		words := sheetWords(unit)
		assert.Contains(t, words[len(words)-1], want)
	}
}
