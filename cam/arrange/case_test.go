package arrange

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/process"
	"traywright/geometry/units"
)

func fixedPocket(id string, x, y, length, width float64) job.Pocket {
	return job.Pocket{For: id, X: mmOf(x), Y: mmOf(y), Shape: job.SizeShape, Length: mmOf(length), Width: mmOf(width), Columns: 1, Rows: 1}
}

// withReady is a job whose only piece has its pocket in a tray that the case
// can take as it is.
func withReady(height float64) *job.Job {
	j := bench(piece("deckhand", "g", 1, 25, 24, 20, job.Lying))
	one := tray("crew")
	one.Pockets = []job.Pocket{fixedPocket("deckhand", 20, 20, 26.5, 21.5)}
	j.Trays = []job.Tray{one}
	j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(mmOf(height))}}
	return j
}

// A case too low for the trays that it reuses: there is no new tray to speak of.
func TestTooLowForWhatIsThere(t *testing.T) {
	r := run(t, withReady(25.4))
	require.Nil(t, r.Job)
	assert.Contains(t, r.Findings[0].Message, "the pieces take 1 tray, and with cover and bases these are at least 12.35 mm higher than the 25.4 mm")
	assert.Contains(t, r.Findings[0].Hint, "make it 12.35 mm higher inside")
	assert.NotNil(t, run(t, withReady(25.4+12.35)).Job)
}

// Without a foam to make a cover or fillers of, the trays that are there make
// the stack.
func TestReusedTraysWithoutDefaults(t *testing.T) {
	j := withReady(40)
	j.Defaults.Layers = nil
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Equal(t, []string{"crew"}, r.Job.Cases[0].Stack)
}

// A pose that is chosen for a thin sheet may be too large where another, in a
// thicker one, is not.
func TestAnotherPoseInAThickerSheet(t *testing.T) {
	j := bench(piece("raft", "g", 1, 100, 45, 20, job.AnyPose))
	j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(5 * inch)}}
	j.Cases[0].Inside.Width = 60 * mm
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Equal(t, "lying", r.Kinds[0].Pose)
}

// A pad that is glued of two sheets and has no base: a pocket that is deeper than the upper one
// goes on into the lower, and leaves a floor there where the tool can stop.
func TestAPocketGoesOnIntoTheLowerSheet(t *testing.T) {
	for machine, depth := range map[string]float64{"bench-router": 65, "by-hand": 70} {
		j := bench(piece("dragon", "g", 1, 80, 70, 65, job.Upright), piece("token", "g", 4, 30, 30, 15, job.Upright))
		j.Machine, j.Defaults.Layers = machine, []job.Layer{{Foam: "pe-30", Thickness: inch}}
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(mmOf(100))}}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		assert.InDelta(t, depth, r.Kinds[0].DepthMM, 1e-9, machine)
		dragon := r.Job.Trays[len(r.Job.Trays)-1].Pockets[0]
		assert.Equal(t, mmOf(depth), dragon.Depth, machine)
	}
}

// What the pieces of a case take at least is never more than what they are then found to take: so
// nothing that fits is ever passed over for it, and it says no where it can.
func TestNoTraysAreLowerThanTheLeast(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 1))
	near := 0
	for i := range 16 {
		var roster []job.Piece
		for k := range 1 + random.IntN(15) {
			pose := []job.Pose{job.AnyPose, job.Lying, job.Upright}[random.IntN(3)]
			roster = append(roster, piece(fmt.Sprintf("p%d", k), fmt.Sprintf("g%d", k/4), 1+random.IntN(9), 12+50*random.Float64(), 12+20*random.Float64(), 12+40*random.Float64(), pose))
		}
		j := bench(roster...)
		if i%2 == 0 {
			j.Defaults.Layers = j.Defaults.Layers[:1]
		}
		j.Cases = []job.Case{{Name: "Hold", Copies: 1, Inside: inside(40 * inch)}}
		m := newMaker(t.Context(), Input{Job: j, Catalog: catalog(t), Machine: machine(t, j.Machine), Means: process.MeansOf(machine(t, j.Machine)), Try: 8})
		m.readFixed()
		k := m.begin(&m.out.Cases[0])
		k.leave(m.share()[0])
		require.True(t, k.ready(), "%v", m.found)
		require.True(t, k.layOut())
		height := units.Length(0)
		for _, chosen := range k.trays {
			height += k.leastTray(chosen)
		}
		require.LessOrEqual(t, k.leastHeight(), height, "roster %d", i)
		if k.leastHeight() > height/2 {
			near++
		}
	}
	assert.Greater(t, near, 8)
}

// BenchmarkManyPieces is how what an arrangement takes grows with the pieces, in several cases that share many groups and
// in one that is high enough: run it with -benchtime 1x and -benchmem.
func BenchmarkManyPieces(b *testing.B) {
	for _, n := range []int{500, 1500, 5000} {
		for _, cases := range []int{n/150 + 1, 1} {
			b.Run(fmt.Sprintf("%d in %d", n, cases), func(b *testing.B) {
				j := crowd(n, cases)
				for b.Loop() {
					r := run(b, j, func(in *Input) { in.Try = 8 })
					b.ReportMetric(float64(len(r.Trays)), "trays")
					if cases == 1 {
						b.ReportMetric(float64(r.Trays[0].TraysMin), "trays-min")
					}
				}
			})
		}
	}
}

// crowd is so many pieces, five of a kind, for so many cases.
func crowd(n, cases int) *job.Job {
	random := rand.New(rand.NewPCG(5, uint64(n)))
	var roster []job.Piece
	for i := range n / 5 {
		roster = append(roster, piece(fmt.Sprintf("p%d", i), fmt.Sprintf("g%d", i/10), 5,
			15+random.Float64()*40, 15+random.Float64()*10, 20+random.Float64()*40, job.AnyPose))
	}
	j := bench(roster...)
	for i := range cases {
		height := 12 * inch
		if cases == 1 {
			height = units.Length(2*n) * mm
		}
		j.Cases = append(j.Cases, job.Case{Name: fmt.Sprintf("Hold %d", i), Copies: 1, Inside: inside(height)})
	}
	return j
}

// A figure of 1 in stands in a pad of 1 in, and room above it is what is asked for.
func TestHeadroomIsWhatIsAskedFor(t *testing.T) {
	for _, c := range []struct {
		headroom float64
		pad      units.Length
	}{{0, inch}, {0.25, 30 * mm}, {10, 40 * mm}} {
		j := bench(piece("figure", "g", 4, 25, 25, 25.4, job.Upright))
		j.Defaults.Headroom = mmOf(c.headroom)
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(mmOf(100))}}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		last := r.Job.Trays[len(r.Job.Trays)-1]
		assert.GreaterOrEqual(t, last.Layers[0].Thickness, c.pad)
		assert.GreaterOrEqual(t, r.Kinds[0].DepthMM, 25.4+c.headroom)
		_, found := planOf(t, r.Job)
		for _, f := range found {
			assert.NotEqual(t, finding.Error, f.Severity, "%s", f)
			assert.NotContains(t, []string{"piece-stands-proud", "piece-just-proud", "headroom-too-small"}, f.Rule)
		}
	}
	_, found := planOf(t, func() *job.Job { // by hand in a tray of the job
		j := bench(piece("figure", "g", 4, 25, 25, 25.4, job.Upright))
		j.Trays = []job.Tray{tray("crew", "g")}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		return r.Job
	}())
	assert.False(t, found.Failed())
}

// A case whose trays do not fit under the cover that another case has got has a cover of its own, whichever comes first.
func TestACaseMayHaveACoverOfItsOwn(t *testing.T) {
	for _, flatFirst := range []bool{false, true} {
		j := bench(piece("token", "flat", 1, 30, 30, 8, job.Upright), piece("tower", "tall", 1, 40, 40, 33, job.Upright))
		base := &j.Defaults.Layers[len(j.Defaults.Layers)-1]
		base.Measured = base.Thickness - mmOf(0.3) // no sheets fill the case, and a thick cover comes nearest over what is flat
		j.Cases = []job.Case{{Name: "Flat", Copies: 1, Inside: inside(mmOf(62)), Holds: []string{"flat"}}, {Name: "Tall", Copies: 1, Inside: inside(mmOf(62)), Holds: []string{"tall"}}}
		if !flatFirst {
			slices.Reverse(j.Cases)
		}
		r := run(t, j)
		require.NotNil(t, r.Job, "flat first: %t: %v", flatFirst, r.Findings)
		for _, c := range r.Job.Cases {
			if c.Name == "Tall" {
				assert.Equal(t, "tall-cover", c.Stack[0], "flat first: %t", flatFirst)
			}
		}
	}
}
