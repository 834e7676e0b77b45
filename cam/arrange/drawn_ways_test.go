package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// A drawn piece gets a notch where a side of its outline has a place for one, whatever lies in the middle of its box; else
// none, and the plan notes it. Where its tray has no room for it, it gives way with a warning; one that the job names does not.
func TestDrawnWaysIn(t *testing.T) {
	p := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	hook := geometry.Polygon(p(0, 0), p(90, 0), p(90, 50), p(65, 50), p(65, 25), p(25, 25), p(25, 70), p(0, 70))
	gem := geometry.Polygon(p(45, 0), p(90, 35), p(45, 70), p(0, 35))
	for _, c := range []struct {
		shape          geometry.Contour
		habits         job.Habits
		length         units.Length
		ways           string
		told, unplaced bool
	}{
		{hook, job.Habits{}, 130 * mm, "notch", false, false},
		{hook, job.Habits{Access: job.NotchAccess}, 130 * mm, "notch", false, false},
		{hook, job.Habits{Ends: true}, 130 * mm, "notch", false, false},
		{hook, job.Habits{Sides: true}, 130 * mm, "notch", false, false},
		{hook, job.Habits{Notch: job.North}, 130 * mm, "notch", false, false},
		{hook, job.Habits{Access: job.GapAccess}, 130 * mm, "none", false, false},
		{hook, job.Habits{Access: job.NoAccess}, 130 * mm, "none", false, false},
		{gem, job.Habits{}, 130 * mm, "none", false, false},
		{gem, job.Habits{Ends: true}, 130 * mm, "none", false, false},
		{hook, job.Habits{}, 112 * mm, "none", true, false},
		{hook, job.Habits{Ends: true}, 112 * mm, "", false, true},
	} {
		one := piece("hook", "g", 1, 90, 70, 20, job.Upright)
		one.Outline = "hook.svg"
		outlines := map[string]geometry.Region{"hook.svg": geometry.NewRegion(c.shape)}
		j := bench(one)
		crew := tray("crew", "g")
		crew.Length, crew.Width, crew.Corner, crew.Habits = c.length, 102*mm, 0, c.habits
		j.Trays = []job.Tray{crew}
		r := run(t, j, func(in *Input) {
			in.Outlines = outlines
			in.Refuses = func(j *job.Job) finding.List { _, found := planWith(t, j, outlines); return found }
		})
		require.Equal(t, c.unplaced, r.Job == nil, "%+v %v", c, r.Findings)
		if c.unplaced {
			continue
		}
		assert.Equal(t, c.told, len(r.Findings) == 1 && r.Findings[0].Rule == "way-in-gave-way", "%+v %v", c, r.Findings)
		made, _ := planWith(t, r.Job, outlines)
		require.Len(t, made.Trays[0].Pockets, 1)
		assert.Equal(t, c.ways, made.Trays[0].Pockets[0].Access, "%+v", c)
	}
}
