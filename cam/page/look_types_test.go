package page

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/testdata/lookedat"
)

// What the page's types say that it is given is what it is given.
func TestTheScenesTypesAreTheProgram(t *testing.T) {
	types := lookedat.Declared(t, "look/types.d.ts")
	for name, v := range map[string]any{
		"Scene": lookData{}, "Case": lookCase{}, "Tray": lookTray{}, "Layer": lookLayer{}, "Pocket": lookPocket{}, "Play": lookPlay{}, "Mark": lookMark{},
		"Setup": lookSetup{}, "Field": lookField{}, "Program": lookProgram{}, "Blade": lookWide{}, "Band": lookBand{},
		"Sheet": lookSheet{}, "Laid": lookLaid{}, "SawCut": lookCut{}, "Wrong": LookWrong{},
	} {
		assert.Equal(t, lookedat.Written(reflect.TypeOf(v)), types[name], name)
	}
}
