package plan

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// A label that is too fine is told a height only where the tray has room for letters of that height, and to be moved where it
// would not stay on the tray there; followed, the height is enough, and the tray has the room that was named.
func TestALargerLabelHasRoom(t *testing.T) {
	says := regexp.MustCompile(`make its letters (.*) high instead of 8 mm( and move it to where it has the .* that it takes then)?, or `)
	for name, c := range map[string]struct {
		label      job.Label
		made, move bool
	}{
		"room where it is":  {engravedLabel("Tide", 20, 60, 8), true, false},
		"room elsewhere":    {engravedLabel("Tide", 200, 60, 8), true, true},
		"no room":           {engravedLabel("Tidewrack and the gulls of the reef", 20, 60, 8), false, false},
		"cut, with no room": {cutLabel("Tidewrack and the gulls of it", 20, 60, 8), false, false},
	} {
		t.Run(name, func(t *testing.T) {
			_, found := make1(t, bench(cover(labels(c.label))))
			require.NotEmpty(t, found)
			require.Equal(t, "letter-too-fine", found[0].Rule, "%v", found)
			said := says.FindStringSubmatch(found[0].Hint)
			if require.Equal(t, c.made, said != nil, "%s", found[0]); !c.made {
				assert.Contains(t, found[0].Hint, "it has no room on the tray")
				return
			}
			assert.Equal(t, c.move, said[2] != "", "%s", found[0])
			height, err := units.Parse(said[1], units.Millimetre)
			require.NoError(t, err)
			if c.label.Height = height; c.move {
				c.label.X, c.label.Y = mm(20), mm(60)
			}
			_, then := make1(t, bench(cover(labels(c.label))))
			assert.Empty(t, toldOf(then, "letter-too-fine", "mark-outside-tray", "edge-too-thin", "gap-too-thin"), "%s\n%v", found[0], then)
		})
	}
}
