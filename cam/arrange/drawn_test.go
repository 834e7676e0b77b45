package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// hooks are a job whose pieces have drawings: an L of 70.3 x 40 mm, and a disc.
func hooks() (*job.Job, map[string]geometry.Region) {
	hook, disc := piece("hook", "g", 5, 70, 39, 18, job.AnyPose), piece("disc", "g", 3, 29, 20, 12, job.Lying)
	hook.Outline, disc.Outline = "hook.svg", "disc.svg"
	j := bench(hook, disc, piece("die", "g", 6, 16, 16, 16, job.Upright))
	l := geometry.Polygon(geometry.Point{X: 5, Y: 5}, geometry.Point{X: 75.3, Y: 5}, geometry.Point{X: 75.3, Y: 20}, geometry.Point{X: 20, Y: 20}, geometry.Point{X: 20, Y: 45}, geometry.Point{X: 5, Y: 45})
	return j, map[string]geometry.Region{"hook.svg": geometry.NewRegion(l), "disc.svg": geometry.NewRegion(geometry.Circle(geometry.Point{}, 15))}
}

func planWith(t require.TestingT, j *job.Job, outlines map[string]geometry.Region) (*plan.Plan, finding.List) {
	m := machine(t, j.Machine)
	return plan.Make(plan.Input{Job: j, Catalog: catalog(t), Machine: m, Means: process.MeansOf(m), Outlines: outlines, Recipe: func(foam, tool string) (profiles.Recipe, bool) {
		return catalog(t).Recipe(foam, m.ID, tool)
	}})
}

// A piece that has a drawing gets that as its pocket, as often as there are pieces, in a tray of the job and in one that
// is chosen, with walls and notches by what the plan measures, and stays there.
func TestDrawnPieces(t *testing.T) {
	turned := 0
	for _, c := range []struct {
		cased   bool
		machine string
		notch   job.Side
		length  units.Length
	}{{false, "bench-router", 0, 250 * mm}, {false, "bench-router", job.North, 250 * mm}, {true, "bench-router", 0, 250 * mm}, {true, "bench-laser", job.East, 250 * mm}, {false, "bench-laser", 0, 130 * mm}} {
		j, outlines := hooks()
		j.Machine = c.machine
		j.Defaults.Habits.Notch, j.Defaults.Habits.NotchReach = c.notch, 6*mm
		one := tray("crew", "g")
		one.Habits, one.Length = j.Defaults.Habits, c.length
		if one.Length < 200*mm {
			one.Width = 300 * mm
		}
		j.Trays = []job.Tray{one}
		if c.cased {
			j.Trays, j.Cases = nil, []job.Case{{Name: "Reef", Copies: 1, Inside: inside(5 * inch)}}
		}
		with := func(in *Input) {
			in.Outlines = outlines
			in.Refuses = func(j *job.Job) finding.List { _, found := planWith(t, j, outlines); return found }
		}
		r := run(t, j, with)
		require.NotNil(t, r.Job, "%v", r.Findings)
		p, found := planWith(t, r.Job, outlines)
		assert.False(t, found.Failed(), "%v", found)
		drawn := 0
		for i, tray := range p.Trays {
			for k, a := range tray.Pockets {
				if a.ShapeName == "outline" {
					drawn++
				}
				if a.Box.Height() > 70 {
					turned++
				}
				for _, b := range tray.Pockets[:k] {
					if a.For == "" || b.For == "" {
						continue // an opening meets its pockets
					}
					d, _, _ := geometry.Distance(a.Design.Contours()[0], b.Design.Contours()[0])
					assert.GreaterOrEqual(t, d, r.Job.Trays[i].Wall.MM()-1e-6, "%s %s", a.Name, b.Name)
				}
			}
		}
		assert.Equal(t, 8, drawn)
		for _, k := range r.Kinds {
			if k.Piece == "hook" {
				assert.Equal(t, [2]any{"outline", "upright"}, [2]any{k.Shape, k.Pose})
				assert.Contains(t, k.Why, "as hook.svg draws it; 18 mm deep")
			}
			if k.Piece == "disc" { // laid down, its width is the depth
				assert.Equal(t, "lying", k.Pose)
				assert.GreaterOrEqual(t, k.DepthMM, 20.0)
			}
		}
		more := copyOf(j)
		more.Roster[2].Count++
		again := run(t, more, with, func(in *Input) { in.Previous = r.Job })
		require.NotNil(t, again.Job, "%v", again.Findings)
		if c.length > 200*mm { // the small one is full
			assert.Zero(t, again.Moved.Pockets)
		}
	}
	assert.Positive(t, turned)
}
