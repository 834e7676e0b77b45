package page

import (
	"reflect"
	"strings"
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

// One module knows how the page is answered, and nothing else of it that somebody listens at an address: whoever
// else can answer those questions, in the browser itself, can stand behind the page.
func TestOneModuleAsks(t *testing.T) {
	for _, name := range lookModules {
		text := lookText(name + ".mjs")
		for _, word := range []string{"fetch(", "XMLHttpRequest", "WebSocket", "EventSource", "sendBeacon", "serviceWorker", "http:", "cookie", "token"} {
			if strings.Contains(strings.ReplaceAll(text, "http://www.w3.org/2000/svg", ""), word) {
				assert.Equal(t, "ask", name, word)
			}
		}
	}
}
