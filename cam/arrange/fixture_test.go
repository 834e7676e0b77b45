package arrange

import (
	"context"
	"math"
	"os"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

const (
	mm   units.Length = 1_000_000
	inch units.Length = 25_400_000
)

func mmOf(x float64) units.Length { return units.Length(math.Round(x * 1e6)) }

var shipped = sync.OnceValues(profiles.Shipped)

func catalog(t require.TestingT) *profiles.Catalog {
	c, err := shipped()
	require.NoError(t, err)
	return c
}

func machine(t require.TestingT, name string) profiles.Machine {
	m, ok := catalog(t).Machine(name)
	require.True(t, ok)
	return m
}

func layers(pad, base units.Length) []job.Layer {
	return []job.Layer{{Foam: "pe-30", Thickness: pad}, {Foam: "pe-45", Thickness: base}}
}

// tray holds what it is told, on 1 in of pe-30 and 1/4 in of pe-45.
func tray(id string, holds ...string) job.Tray {
	return job.Tray{
		ID: id, Length: 250 * mm, Width: 190 * mm, Corner: 8 * mm, Ease: mm, Layers: layers(inch, inch/4),
		Wall: 6 * mm, Edge: 10 * mm, Fit: "easy", Halves: 1, Holds: holds,
	}
}

func inside(height units.Length) job.Inside {
	return job.Inside{Length: 250 * mm, Width: 190 * mm, Height: height, Corner: 8 * mm, Ease: mm}
}

func piece(id, group string, count int, length, width, height float64, pose job.Pose) job.Piece {
	return job.Piece{ID: id, Group: group, Count: count, Length: mmOf(length), Width: mmOf(width), Height: mmOf(height), WeightG: 10, Pose: pose}
}

// bench is a job whose trays have the layers that tray gives.
func bench(roster ...job.Piece) *job.Job {
	d := tray("")
	d.Length, d.Width = 0, 0
	for i := range roster {
		roster[i].Position = finding.Position{File: "roster.csv", Line: i + 2, Column: 1}
	}
	return &job.Job{File: "job.yaml", Game: "Tidewrack", Machine: "bench-router", Roster: roster, Defaults: d}
}

func run(t require.TestingT, j *job.Job, change ...func(*Input)) Result {
	in := Input{Job: j, Catalog: catalog(t), Machine: machine(t, j.Machine), Means: process.MeansOf(machine(t, j.Machine)), Try: 2, Seed: 1}
	in.Refuses = func(j *job.Job) finding.List { _, found := planOf(t, j); return found }
	for _, c := range change {
		c(&in)
	}
	return Make(context.Background(), in)
}

// planOf holds an arranged job against the plan, which measures true distances
// from contour to contour and knows nothing of blocks.
func planOf(t require.TestingT, j *job.Job) (*plan.Plan, finding.List) {
	m := machine(t, j.Machine)
	return plan.Make(plan.Input{Job: j, Catalog: catalog(t), Machine: m, Means: process.MeansOf(m), Recipe: func(foam, tool string) (profiles.Recipe, bool) {
		return catalog(t).Recipe(foam, m.ID, tool)
	}})
}

// demo is testdata/tidewrack/arrange.yaml.
func demo(t testing.TB) *job.Job {
	j, found, err := job.Load(os.DirFS("../../testdata/tidewrack"), "arrange.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	return j
}

// placesFor counts the pockets for a piece in the trays of a stack.
func placesFor(j *job.Job, stack []string, id string) int {
	n := 0
	for _, name := range stack {
		for _, t := range j.Trays {
			for _, p := range t.Pockets {
				if t.ID == name && p.For == id {
					n += p.Columns * p.Rows
				}
			}
		}
	}
	return n
}
