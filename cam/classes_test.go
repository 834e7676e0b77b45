package cam

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/profiles"
)

// One job, cut for every class of controller: the same foam goes. It is reckoned twice: by
// the dry run, and by a reader of this file's own, which mills a map of heights.

var (
	classJobs  = flag.Int("class-jobs", 4, "random jobs to cut for every class of controller")
	firstClass = flag.Uint64("first-class", 1, "number of the first of them")
)

// Programs differ by how far chords stray from arcs, 0.01 mm, and by the rounding to three
// decimals, half of a thousandth along each axis; heights by that alone, and by what the
// stray of a ramp makes of it (the profiles, arithmetic).
const (
	strayMM  = 0.012
	heightMM = 0.004
)

// classJob is a random job on a machine: trays of one or two layers, pockets of
// several shapes in places that are far enough apart, a text, and what goes through.
// A wire and a blade take one layer that they can cut, and no text. A blade that is turned has one class.
func classJob(r *rand.Rand, machine string) string {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	var b strings.Builder
	fmt.Fprintf(&b, "machine: %s\nunits: mm\ntrays:\n", machine)
	for tray := range 1 + r.IntN(2) {
		thin := r.IntN(2) == 0
		layers, depths := "{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}", []string{"25.4", "through"}
		if thin {
			layers, depths = "{foam: eva-90, thickness: 12}", []string{"through"}
		}
		labels, corner := fmt.Sprintf("labels: [{text: %q, at: [12, 88], height: 16, font: strokes, make: mark}]", pick("A7", "Ko", "C8", "OS")), 2.0
		switch machine {
		case "bench-hotwire":
			layers, depths, labels = "{foam: pe-30, thickness: 1 in}", []string{"through"}, ""
		case "bench-drag-knife":
			layers, depths, labels, corner = "{foam: pe-30, thickness: 6}", []string{"through"}, "", 5
		}
		if machine == "bench-router" {
			depths = append(depths, "5", "7.3", fmt.Sprintf("%.4f", 3+8*r.Float64()))
		}
		fmt.Fprintf(&b, "  - id: t%d\n    size: [150, 110]\n    layers: [%s]\n    %s\n    pockets:\n",
			tray, layers, labels)
		for i := range 6 {
			x, y := 14+45*float64(i%3)+2*r.Float64(), 13+38*float64(i/3)+2*r.Float64()
			shape := pick(fmt.Sprintf("size: [%.3f, %.3f]", 14+14*r.Float64(), 12+12*r.Float64()), fmt.Sprintf("size: [%.2f, %.2f], corner: %.2f", 16+12*r.Float64(), 14+10*r.Float64(), corner+(6.9-corner)*r.Float64()),
				fmt.Sprintf("round: %.3f", 13+11*r.Float64()), fmt.Sprintf("slot: [%.3f, %.3f]", 22+6*r.Float64(), 9+8*r.Float64()), fmt.Sprintf("size: [18, 13], turn: %.2f", 90*r.Float64()))
			fmt.Fprintf(&b, "      - {for: p%d, at: [%.4f, %.4f], %s, depth: %s, relief: %s}\n", i, x, y, shape, depths[r.IntN(len(depths))], pick("none", "none", "dogbone", "tbone"))
		}
	}
	return b.String()
}

// classesOf are the machine under each class of controller, in an order of their own.
func classesOf(m profiles.Machine) []profiles.Machine {
	var list []profiles.Machine
	for _, c := range profiles.Controllers() {
		one := m
		one.Controller, one.ZZero = c, profiles.ZTop
		if m.Process.Traits().Beam {
			one.Controller.PowerScale, one.Controller.Air = map[profiles.Class]float64{profiles.PC: 1000, profiles.Small: 1000, profiles.Printer: 255}[c.Class], []string{"M8", "M9"}
		}
		list = append(list, one.Proving())
	}
	return list
}

// cutFor is the height maps of a job's sheets on a machine, a cell of what is left, at a
// kerf that is so much wider on each side; and what the dry run has removed.
func cutFor(t *testing.T, text string, m profiles.Machine, wider ...float64) (maps [][]heights, removed []float64) {
	t.Helper()
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%s\n%v", text, found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	var permits []safety.Permit
	for _, foam := range []string{"pe-30", "pe-45", "eva-90"} {
		for _, hot := range []profiles.Process{profiles.Laser, profiles.HotWire} {
			permits = append(permits, safety.Permit{Foam: foam, Process: hot, When: "extraction running, somebody stays with it"})
		}
	}
	p, found := decide(Request{Job: j, Catalog: c, Unit: j.Units, Rules: []safety.Rules{{Permits: permits}}})
	require.False(t, found.Failed(), "%s\n%v", text, found)
	p.Machine = m
	cell := 0.0937 // narrow for a slit, and no part of any length
	if m.Process.Traits().Turning {
		cell = 0.1871 // and for a groove
	}
	for _, w := range sheetsOf(p) {
		require.NoError(t, w.lay(p))
		require.False(t, w.found.Failed(), "%v", w.found)
		sheets := make([]heights, len(wider))
		for i := range sheets {
			sheets[i] = newHeights(w.sheet.Edge.Shape.Bounds(), w.sheet.ThicknessMM(), cell)
		}
		sum := 0.0
		for _, one := range w.programs() {
			run := proof.Run(one.path(), one.body, one.setup(m), one.wanted(m))
			assert.True(t, run.OK, "%s\n%s %s: %v", text, m.Controller.Class, one.path(), run.Findings)
			sum += run.RemovedMM3
			assert.True(t, strings.HasSuffix(one.path(), "."+m.Controller.Extension), one.path())
			tool := one.program.Ops[0].Tool.Number
			for i, by := range wider {
				sheets[i].mill(t, string(one.body), one.setup(m).KerfMM[tool]/2+by, m.Process.Traits())
			}
		}
		maps, removed = append(maps, sheets), append(removed, sum)
	}
	return maps, removed
}

func TestSameFoamUnderEveryClass(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	jobs := *classJobs
	if testing.Short() { // a router and a laser: the race detector makes each of them ten times as long
		jobs = min(jobs, 2)
	}
	for n := range uint64(jobs) {
		number := *firstClass + n
		r := rand.New(rand.NewPCG(number, 15))
		machine := []string{"bench-router", "bench-laser", "bench-hotwire", "bench-drag-knife"}[n%4]
		text := classJob(r, machine)
		m, _ := c.Machine(machine)
		classes := classesOf(m)
		require.Len(t, classes, 4)
		first, removed := cutFor(t, text, classes[0], -strayMM, 0, strayMM)
		for _, other := range classes[1:] {
			if other.TravelMM != classes[0].TravelMM { // a hand sets the focus of a beam that takes drawings: its head waits elsewhere
				fixed := classes[0]
				fixed.TravelMM = other.TravelMM
				first, removed = cutFor(t, text, fixed, -strayMM, 0, strayMM)
			}
			maps, also := cutFor(t, text, other, -strayMM, 0, strayMM)
			require.Len(t, maps, len(first))
			for s := range maps {
				narrow, same, wide, got := first[s][0], first[s][1], first[s][2], maps[s][1]
				assert.InEpsilon(t, removed[s], also[s], 0.003, "job %d, sheet %d, %s: the dry run's volume", number, s, other.Controller.Class)
				var off []float64 // at three widths of the cut: at one of them a wall may run along a row's middle
				for k, one := range maps[s] {
					off = append(off, math.Abs(one.volume()/first[s][k].volume()-1))
				}
				slices.Sort(off)
				assert.Less(t, off[1], 0.003, "job %d, sheet %d, %s", number, s, other.Controller.Class)
				for i, deep := range got.deep {
					if deep < narrow.deep[i]-heightMM || deep > wide.deep[i]+heightMM {
						x, y := got.at(i)
						t.Fatalf("job %d, sheet %d: at X%.2f Y%.2f a %s leaves a hole of %.4f mm, a %s one between %.4f and %.4f\n%s",
							number, s, x, y, other.Controller.Class, deep, classes[0].Controller.Class, narrow.deep[i], wide.deep[i], text)
					}
				}
				assert.Greater(t, same.volume(), 100.0, "it cuts")
				if !m.Process.Traits().Turning {
					continue // what falls out is gone for the dry run, and not for this file's reader, which follows no tip
				}
				assert.InEpsilon(t, same.volume(), removed[s], 0.01, "job %d, sheet %d: the dry run removes what this file's reader mills", number, s)
			}
		}
	}
}
