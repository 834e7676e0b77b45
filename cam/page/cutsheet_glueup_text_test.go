package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry/units"
)

func TestSectionText(t *testing.T) {
	tr := tray(250, 190, pocket("a", box(25, 20, 50, 40), 12.7), pocket("b", box(150, 20, 50, 40), 25.4))
	assert.Equal(t, strings.TrimLeft(`
 ------------------------------------------------------------
|######            ##################            ############|
|######            ##################            ############|
|######            ##################            ############|
|######            ##################            ############|  1  pe-30, 25.4 mm
|####################################            ############|
|####################################            ############|
|####################################            ############|
|####################################            ############|
|====================================            ============|  glue
|............................................................|  2  pe-45, 6.35 mm
|............................................................|
 ------------------------------------------------------------
section at Y 40 mm, seen from the front; # is this sheet; not to scale
`, "\n"), sectionText(tr, 1, units.Millimetre))
}

// Whatever the tray, every line has the frame's width, and every layer its name.
func TestSectionTextHasEveryLayer(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		x, w := rapid.Float64Range(-20, 240).Draw(r, "x"), rapid.Float64Range(0.1, 300).Draw(r, "w")
		tr := tray(rapid.Float64Range(20, 900).Draw(r, "length"), 190, pocket("a", box(x, 20, w, 40), rapid.Float64Range(0.1, 31.75).Draw(r, "depth")))
		tr.Pockets[0].Through = rapid.Bool().Draw(r, "through")
		text := sectionText(tr, rapid.IntRange(0, 2).Draw(r, "number"), units.Inch)
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, "|") {
				assert.Equal(r, textColumns+1, strings.LastIndex(line, "|"), line)
			}
		}
		assert.Regexp(r, `(?s)1  pe-30, 1 in.*glue.*2  pe-45, 1/4 in`, text)
	})
}
