package arrange

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// seeded is a job drawn without rapid, so that it stays the same: trays, halves
// and cases, with notches, corners, labels and pockets that have their place.
func seeded(n int) *job.Job {
	r := rand.New(rand.NewPCG(uint64(n), 12))
	between := func(low, high int) int { return low + r.IntN(high-low+1) }
	tenths := func(low, high int) float64 { return float64(between(low, high)) / 10 }
	var roster []job.Piece
	for i := range between(2, 8) {
		p := piece(fmt.Sprintf("p%d", i), fmt.Sprintf("g%d", i/3), between(1, 8), tenths(80, 700), tenths(80, 500), tenths(30, 480), job.Pose(r.IntN(3)))
		p.WeightG = tenths(0, 900)
		if r.IntN(4) == 0 {
			p.Shape, p.Width = job.Round, p.Length
		}
		roster = append(roster, p)
	}
	j := bench(roster...)
	j.Machine = []string{"bench-router", "bench-laser"}[n%2]
	j.Units = []units.Unit{units.Millimetre, units.Inch}[n/2%2]
	j.Defaults.Habits = job.Habits{Ends: r.IntN(2) == 0, Notch: job.Side(r.IntN(16)), NotchReach: mmOf(tenths(0, 90))}
	j.Defaults.Wall, j.Defaults.Edge = mmOf(tenths(50, 90)), mmOf(tenths(80, 120))
	if r.IntN(3) == 0 {
		j.Defaults.Labels = []job.Label{{Making: job.Making{X: 30 * mm, Y: 130 * mm}, Text: "A1", Height: 24 * mm, Font: "strokes"}}
	}
	if n%3 == 0 {
		for _, name := range []string{"Gull Watch", "Reef Watch"}[:between(1, 2)] {
			in := inside(mmOf(tenths(600, 2400)))
			in.Corner = mmOf(tenths(0, 300))
			j.Cases = append(j.Cases, job.Case{Name: name, Copies: 1, Inside: in})
		}
		return j
	}
	one := tray("crew", "g0", "g1", "g2")
	one.Holds = one.Holds[:(len(roster)+2)/3]
	one.Layers, one.Corner, one.Halves = layers(2*inch, inch/4), mmOf(tenths(0, 300)), between(1, 2)
	one.Habits, one.Wall, one.Edge, one.Labels = j.Defaults.Habits, j.Defaults.Wall, j.Defaults.Edge, j.Defaults.Labels
	if r.IntN(2) == 0 {
		one.Pockets = []job.Pocket{{X: 40 * mm, Y: 70 * mm, Shape: job.SizeShape, Length: 35 * mm, Width: 20 * mm, Turn: 20, Columns: 1, Rows: 1, Corner: 2 * mm}}
	}
	j.Trays = []job.Tray{one}
	if n%3 == 1 {
		two := tray("mates", one.Holds...)
		two.Layers, two.Wall = layers(40*mm, inch/4), 6*mm
		j.Trays = append(j.Trays, two)
	}
	return j
}

// told is all that an arrangement says.
func told(j *job.Job, r Result) string {
	var b bytes.Buffer
	for _, f := range r.Findings {
		fmt.Fprintln(&b, f)
	}
	for _, k := range r.Kinds {
		fmt.Fprintf(&b, "%s: %d of %s %s %s %g x %g, %g deep: %s\n", k.Tray, k.Count, k.Piece, k.Pose, k.Shape, k.LengthMM, k.WidthMM, k.DepthMM, k.Why)
	}
	for _, t := range r.Trays {
		fmt.Fprintf(&b, "%s of %q: %d pockets in %d blocks, used %.4f, least %d trays, %g g\n", t.ID, t.Case, t.Pockets, t.Blocks, t.Used, t.TraysMin, t.WeightG)
	}
	if r.Job != nil {
		_, body, _ := bytes.Cut(Write(r.Job, j, "router"), []byte("\n\n"))
		b.Write(body)
	}
	return b.String()
}

// Arrangements are as they were: no truth, but a change that nobody meant shows
// here, and one that was meant is read through before -looked-at.
func TestArrangementsAreAsTheyWere(t *testing.T) {
	var b bytes.Buffer
	for n := range 20 {
		j := seeded(n)
		r := run(t, j, func(in *Input) { in.Try, in.Unit = 1, j.Units })
		fmt.Fprintf(&b, "== %d\n%s", n, told(j, r))
		if r.Job == nil {
			continue
		}
		more := *j
		more.Roster = append(j.Roster[:len(j.Roster):len(j.Roster)], piece("limpet", j.Roster[0].Group, 2, 9, 8, 7, job.AnyPose))
		again := run(t, &more, func(in *Input) { in.Try, in.Unit, in.Previous = 1, j.Units, r.Job })
		fmt.Fprintf(&b, "== %d and two limpets\n%s", n, told(&more, again))
	}
	lookedat.Text(t, "arranged.txt", b.String())
}
