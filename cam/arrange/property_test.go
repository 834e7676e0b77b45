package arrange

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// anyJob draws a roster and what is to be arranged: a tray, its halves, or a
// case without a stack; notches, corners and fixed pockets included.
func anyJob(t *rapid.T) *job.Job {
	var roster []job.Piece
	for i := range rapid.IntRange(1, 14).Draw(t, "kinds") {
		tenths := func(name string, low, high int) float64 {
			return float64(rapid.IntRange(low, high).Draw(t, name)) / 10
		}
		p := piece(fmt.Sprintf("p%d", i), fmt.Sprintf("g%d", i/4), rapid.IntRange(1, 9).Draw(t, "count"),
			tenths("length", 80, 800), tenths("width", 80, 600), tenths("height", 30, 600),
			rapid.SampledFrom([]job.Pose{job.AnyPose, job.Upright, job.Lying}).Draw(t, "pose"))
		if rapid.IntRange(0, 3).Draw(t, "round") == 0 {
			p.Shape, p.Width = job.Round, p.Length
		}
		if rapid.IntRange(0, 3).Draw(t, "piled") == 0 {
			p.Pile = rapid.IntRange(1, 5).Draw(t, "pile")
		}
		if p.Pile > 1 && p.Pose == job.AnyPose {
			p.Pose = job.Upright // as the reader has it
		}
		roster = append(roster, p)
	}
	j := bench(roster...)
	j.Machine = rapid.SampledFrom([]string{"bench-router", "bench-laser"}).Draw(t, "machine")
	if rapid.IntRange(0, 3).Draw(t, "inch") == 0 {
		j.Units = units.Inch
	}
	if rapid.Bool().Draw(t, "notched") {
		j.Defaults.Habits = job.Habits{Ends: rapid.Bool().Draw(t, "ends"), Notch: job.Side(rapid.IntRange(0, 15).Draw(t, "notch"))}
	}
	j.Defaults.Habits.NotchReach = mmOf(float64(rapid.IntRange(0, 90).Draw(t, "reach")) / 10)
	if rapid.IntRange(0, 2).Draw(t, "labelled") == 0 {
		j.Defaults.Labels = []job.Label{{Making: job.Making{X: 30 * mm, Y: 130 * mm}, Text: "A1", Height: 24 * mm, Font: "strokes"}}
	}
	wall, edge := mmOf(float64(rapid.IntRange(50, 90).Draw(t, "wall"))/10), mmOf(float64(rapid.IntRange(80, 120).Draw(t, "edge"))/10)
	corner := mmOf(float64(rapid.IntRange(0, 400).Draw(t, "corner")) / 10)
	if rapid.IntRange(0, 3).Draw(t, "left out") == 0 {
		wall, edge = 0, 0 // as the foam asks
	}
	j.Defaults.Wall, j.Defaults.Edge = wall, edge
	if rapid.Bool().Draw(t, "case") {
		in := inside(mmOf(float64(rapid.IntRange(400, 2600).Draw(t, "height")) / 10))
		in.Corner = corner
		j.Cases = []job.Case{{Name: "Gull Watch", Copies: 1, Inside: in}}
		return j
	}
	one := tray("crew", "g0", "g1", "g2", "g3")
	one.Layers = layers(2*inch, inch/4)
	one.Habits, one.Wall, one.Edge, one.Corner = j.Defaults.Habits, wall, edge, corner
	one.Labels = j.Defaults.Labels
	one.Halves = rapid.IntRange(1, 2).Draw(t, "halves")
	one.Holds = one.Holds[:(len(roster)+3)/4]
	if rapid.Bool().Draw(t, "fixed") {
		one.Pockets = []job.Pocket{{
			X: units.Length(rapid.SampledFrom([]int{60, 160}).Draw(t, "x")) * mm, Y: 70 * mm, Shape: job.SizeShape, Length: 35_123_456, Width: 20 * mm, Turn: float64(rapid.IntRange(0, 89).Draw(t, "turn")),
			Columns: 1, Rows: 1, Depth: inch / 2, Notch: job.North, Corner: 2 * mm,
		}}
		if j.Machine == "bench-laser" {
			one.Pockets[0].Depth = 0
		}
	}
	j.Trays = []job.Tray{one}
	return j
}

// ofTools are findings about what the bench's tools can cut, wherever it lies.
var ofTools = []string{"tool-too-short", "pocket-too-narrow", "two-tools"}

// Whatever is asked for: every piece has its place and the plan, which
// measures from contour to contour, finds nothing wrong with it, or nothing is
// answered and the findings say what would help.
func TestAnyRoster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		r := run(t, j, func(in *Input) { in.Try = 0 })
		if r.Job == nil {
			require.True(t, r.Findings.Failed())
			for _, f := range r.Findings {
				assert.NotEmpty(t, f.Message)
				assert.NotEmpty(t, f.Hint, f.Message)
			}
			return
		}
		assert.False(t, r.Job.Open())
		assert.False(t, r.Findings.Failed())
		planned, found := planOf(t, r.Job)
		for _, f := range found {
			if slices.Contains(ofTools, f.Rule) {
				continue // the bench has no such tool; no arrangement changes that
			}
			if f.Rule == "too-thick" && (strings.HasPrefix(f.Where, "tray crew") || strings.HasPrefix(f.Where, "tray mates")) {
				continue // the job itself says of which sheets
			}
			assert.NotEqual(t, finding.Error, f.Severity, "%s", f)
			assert.NotContains(t, []string{"piece-stands-proud", "fewer-pockets-than-pieces", "piece-without-pocket", "pockets-joined", "floor-too-thin", "wall-thin-for-foam", "edge-thin-for-foam"}, f.Rule, "%s", f)
		}
		var ids []string
		for _, one := range r.Job.Trays {
			ids = append(ids, one.ID)
		}
		for _, p := range j.Roster {
			pile := max(1, p.Pile)
			packed, _ := packedIn(planned, p.ID)
			assert.Equal(t, p.Count, packed, p.ID)
			assert.LessOrEqual(t, placesFor(r.Job, ids, p.ID), p.Count, p.ID)
			assert.GreaterOrEqual(t, placesFor(r.Job, ids, p.ID)*pile, p.Count, p.ID)
		}
		assertOnGrid(t, r.Job)
		assertWaysIn(t, j, r)
	})
}

// assertOnGrid wants new pockets on the grid of their unit.
func assertOnGrid(t require.TestingT, j *job.Job) {
	step := plan.Step(j.Units)
	for _, one := range j.Trays {
		if one.Halves == 2 {
			continue // the second half begins where the cut is
		}
		for _, p := range one.Pockets {
			if p.For != "" {
				assert.Zero(t, p.X%step+p.Y%step+p.Length%step+p.Width%step+p.Diameter%step, "%+v", p)
			}
		}
	}
}

// The cheapest exact sum, against all sums counted out.
func TestStackUpAgainstEverySum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts [][]option
		for range rapid.IntRange(0, 4).Draw(t, "parts") {
			var list []option
			for range rapid.IntRange(1, 4).Draw(t, "options") {
				list = append(list, option{height: units.Length(rapid.IntRange(0, 12).Draw(t, "height")), cost: float64(rapid.IntRange(0, 9).Draw(t, "cost"))})
			}
			parts = append(parts, list)
		}
		whole := units.Length(rapid.IntRange(0, 40).Draw(t, "whole"))
		want, cost := units.Length(-1), 0.0
		var try func(i int, h units.Length, c float64)
		try = func(i int, h units.Length, c float64) {
			switch {
			case h > whole:
			case i < len(parts):
				for _, o := range parts[i] {
					try(i+1, h+o.height, c+o.cost)
				}
			case h > want || h == want && c < cost:
				want, cost = h, c
			}
		}
		try(0, 0, 0)
		picked, ok := stackUp(parts, whole)
		require.Equal(t, want >= 0, ok)
		if !ok {
			return
		}
		sum, paid := units.Length(0), 0.0
		require.Len(t, picked, len(parts))
		for i, o := range picked {
			assert.True(t, slices.ContainsFunc(parts[i], func(p option) bool { return p.height == o.height && p.cost == o.cost }))
			sum, paid = sum+o.height, paid+o.cost
		}
		assert.Equal(t, want, sum)
		assert.Equal(t, cost, paid)
	})
}
