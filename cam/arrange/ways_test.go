package arrange

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// measured are the ways in that the plan measures in a tray, in order, and what it notes of them.
func measured(t require.TestingT, j *job.Job, tray string) (ways []string, noted int) {
	p, found := planOf(t, j)
	for _, one := range p.Trays {
		for _, k := range one.Pockets {
			if one.ID == tray && k.For != "" {
				ways = append(ways, k.Access)
			}
		}
	}
	for _, f := range found {
		if f.Rule == "no-way-in" {
			noted++
		}
	}
	return ways, noted
}

// What is chosen for a piece is a way in by the plan's own measure: a notch where a side is wide enough for one, an opening
// along the row else, and where tools do not stop within a layer none, unless the job asks for it.
func TestWaysInAreChosen(t *testing.T) {
	round := func(d float64) job.Piece {
		p := piece("urchin", "g", 3, d, d, 20, job.Upright)
		p.Shape = job.Round
		return p
	}
	for i, c := range []struct {
		piece  job.Piece
		bench  string
		habits job.Habits
		want   string
	}{
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "router", job.Habits{}, "notch"},
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "router", job.Habits{NotchWidth: 12 * mm, NotchReach: 4 * mm}, "notch"},
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "laser", job.Habits{}, "notch"},
		{piece("raft", "g", 3, 60, 10, 20, job.Upright), "router", job.Habits{}, "notch"},
		{piece("bead", "g", 9, 12, 12, 12, job.Upright), "router", job.Habits{}, "gap"},
		{piece("bead", "g", 1, 5, 5, 7, job.Upright), "router", job.Habits{}, "gap"},
		{piece("bead", "g", 1, 5, 5, 6.9, job.Upright), "router", job.Habits{}, "none"},
		{piece("bead", "g", 9, 12, 12, 12, job.Upright), "laser", job.Habits{}, "none"},
		{piece("bead", "g", 9, 12, 12, 12, job.Upright), "laser", job.Habits{Access: job.GapAccess}, "gap"},
		{piece("bead", "g", 9, 12, 12, 12, job.Upright), "router", job.Habits{Access: job.NotchAccess}, "none"},
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "router", job.Habits{Access: job.GapAccess}, "gap"},
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "router", job.Habits{Access: job.NoAccess}, "none"},
		{piece("raft", "g", 3, 60, 30, 20, job.Upright), "router", job.Habits{Access: job.LiftAccess}, "lift"},
		{round(30), "router", job.Habits{}, "notch"},
		{round(19.5), "router", job.Habits{}, "gap"},
	} {
		j := bench(c.piece)
		j.Machine, j.Trays = "bench-"+c.bench, []job.Tray{tray("crew", "g")}
		j.Trays[0].Habits = c.habits
		r := run(t, j)
		require.NotNil(t, r.Job, "%d %v", i, r.Findings)
		assert.Empty(t, r.Findings, "%d", i)
		ways, noted := measured(t, r.Job, "crew")
		require.Len(t, ways, c.piece.Count)
		for _, way := range ways {
			assert.Equal(t, c.want, way, "%d %+v", i, r.Job.Trays[0].Pockets)
		}
		assert.Equal(t, c.want == "none" && c.habits.Access != job.NoAccess, noted > 0, "%d", i)
		p, found := planOf(t, r.Job)
		assert.False(t, found.Failed(), "%d %v", i, found)
		r.Measure(p)
		assert.Equal(t, c.want, r.Kinds[0].Access)
	}
}

// An opening leaves of the wall what holds the piece: half of that, and 5 mm of it are free.
func TestOpeningsAreShallow(t *testing.T) {
	for height, depth := range map[float64]units.Length{20: 10 * mm, 12: 6 * mm, 7: 5 * mm} {
		j := bench(piece("bead", "g", 2, 12, 12, height, job.Upright))
		j.Trays = []job.Tray{tray("crew", "g")}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		list := r.Job.Trays[0].Pockets
		require.Len(t, list, 2)
		require.True(t, isOpening(list[1]))
		assert.Equal(t, depth, list[1].Depth, "%g", height)
	}
}

// A way in gives way before a piece has no place, as few as that takes; a notch that the job asks for does not.
func TestWaysInGiveWay(t *testing.T) {
	// 62 mm and 31.5 mm of pocket (1.5 mm of fit), two edges of 10 mm: 82 x 51.5 mm; a notch takes 10 mm more.
	for _, c := range []struct {
		length, width       units.Length
		habits              job.Habits
		notch, told, placed bool
	}{
		{92 * mm, 52 * mm, job.Habits{}, true, false, true},
		{91 * mm, 52 * mm, job.Habits{}, false, true, true},
		{91 * mm, 62 * mm, job.Habits{}, false, true, true},
		{91 * mm, 52 * mm, job.Habits{Access: job.NotchAccess}, false, true, true},
		{91 * mm, 52 * mm, job.Habits{Ends: true}, false, false, false},
		{81 * mm, 51 * mm, job.Habits{}, false, false, false},
		{91 * mm, 52 * mm, job.Habits{Access: job.NoAccess}, false, false, true},
	} {
		j := bench(piece("raft", "g", 1, 60.5, 30, 20, job.Upright))
		one := tray("crew", "g")
		one.Length, one.Width, one.Corner, one.Habits = c.length, c.width, 0, c.habits
		j.Trays = []job.Tray{one}
		r := run(t, j)
		require.Equal(t, c.placed, r.Job != nil, "%+v %v", c, r.Findings)
		if r.Job == nil {
			continue
		}
		assert.Equal(t, c.notch, r.Job.Trays[0].Pockets[0].Notch != 0, "%+v", c)
		assert.Equal(t, c.told, len(r.Findings) == 1, "%+v %v", c, r.Findings)
	}
}

// Only what has to gives way: of a raft and two buoys that together lack room for a notch, one kind.
func TestAsFewAsItTakesGiveWay(t *testing.T) {
	j := bench(piece("raft", "g", 4, 60.5, 30, 20, job.Upright), piece("buoy", "g", 2, 40.5, 40.5, 20, job.Upright))
	one := tray("crew", "g")
	one.Length, one.Width, one.Corner = 188*mm, 130*mm, 0
	j.Trays = []job.Tray{one}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	ways, _ := measured(t, r.Job, "crew")
	assert.Contains(t, ways, "notch")
	for _, f := range r.Findings {
		assert.NotContains(t, f.Message, "raft, buoy")
	}
}

// In a case as many trays are chosen as without ways in; where those that the job asks for take no more, all are there.
func TestWaysInTakeNoTrayMore(t *testing.T) {
	for count := 2; count <= 24; count += 2 {
		with := func(h job.Habits) Result {
			j := bench(piece("raft", "g", count, 60.5, 30, 20, job.Upright), piece("buoy", "g", 3, 40, 40, 20, job.Upright))
			j.Defaults.Habits = h
			j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(6 * inch)}}
			return run(t, j)
		}
		ours, bare, asked := with(job.Habits{}), with(job.Habits{Access: job.NoAccess}), with(job.Habits{Notch: job.East})
		require.NotNil(t, ours.Job)
		require.NotNil(t, bare.Job)
		assert.Len(t, ours.Trays, len(bare.Trays), "%d rafts", count)
		if asked.Job != nil && len(asked.Trays) == len(bare.Trays) {
			assert.Empty(t, ours.Findings, "%d rafts", count)
		}
	}
}

// A piece that is to stand out has a pocket so much less deep, under air; where there is none it has another way in, and
// is told of.
func TestWhatIsToStandOut(t *testing.T) {
	for _, c := range []struct {
		proud, above units.Length
		depth        float64
		way          string
	}{{0, 5 * mm, 15, "lift"}, {8 * mm, 8 * mm, 12, "lift"}, {8 * mm, 7 * mm, 20, "notch"}} {
		j := bench(piece("raft", "g", 1, 60, 30, 20, job.Upright))
		j.Trays = []job.Tray{tray("crew", "g")}
		j.Trays[0].Habits = job.Habits{Access: job.LiftAccess, Proud: c.proud}
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(inch + inch/4 + c.above), Stack: []string{"crew"}, StackPositions: make([]finding.Position, 1)}}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		assert.InDelta(t, c.depth, r.Kinds[0].DepthMM, 1e-9)
		ways, _ := measured(t, r.Job, "crew")
		assert.Equal(t, []string{c.way}, ways)
		assert.Equal(t, c.way != "lift", len(r.Findings) == 1, "%v", r.Findings)
		back, found, err := job.Load(fstest.MapFS{FileName: {Data: Write(r.Job, j, "router")}, "roster.csv": {Data: []byte("id,count,length,width,height\nraft,1,60,30,20\n")}}, FileName)
		require.NoError(t, err)
		require.False(t, found.Failed(), "%v", found)
		ways, _ = measured(t, back, "crew")
		assert.Equal(t, []string{c.way}, ways)
	}
}

// What once had no room for a way in gets it where it is, when there is room; and a pin stays, with its opening.
func TestWaysInOfWhatWasThere(t *testing.T) {
	j := bench(piece("raft", "g", 1, 60.5, 30, 20, job.Upright))
	one := tray("crew", "g")
	one.Length, one.Width, one.Corner = 91*mm, 52*mm, 0
	j.Trays = []job.Tray{one}
	first := run(t, j).Job
	more := copyOf(j)
	more.Trays[0].Length = 100 * mm
	r := run(t, more, func(in *Input) { in.Previous = first })
	require.NotNil(t, r.Job, "%v", r.Findings)
	was, is := first.Trays[0].Pockets[0], r.Job.Trays[0].Pockets[0]
	assert.Zero(t, was.Notch)
	assert.NotZero(t, is.Notch)
	assert.Equal(t, [2]units.Length{was.X, was.Y}, [2]units.Length{is.X, is.Y})

	j = bench(piece("bead", "g", 4, 12, 12, 12, job.Upright))
	j.Trays = []job.Tray{tray("crew", "g")}
	first = run(t, j).Job
	require.Len(t, first.Trays[0].Pockets, 2)
	pinned := pinAt(first, "crew", 0, func(*job.Pocket) {})
	r = run(t, j, func(in *Input) { in.Previous = pinned })
	require.NotNil(t, r.Job, "%v", r.Findings)
	for i, p := range r.Job.Trays[0].Pockets {
		assert.True(t, p.Pin)
		p.Pin, p.Position = false, first.Trays[0].Pockets[i].Position
		assert.Equal(t, first.Trays[0].Pockets[i], p)
	}
}

// assertWaysIn wants a way in by the plan's measure at every pocket that the arranger made where the job asks for none in
// particular, or a finding that names its piece.
func assertWaysIn(t require.TestingT, j *job.Job, r Result) {
	if h := j.Defaults.Habits; h.Ends || h.Notch != 0 {
		return
	}
	flat := map[string]bool{}
	for _, p := range j.Roster {
		flat[p.ID] = min(p.Height, p.Width) < 7*mm || p.Pile > 1 // or the upper ones would slide together
	}
	p, found := planOf(t, r.Job)
	told := append(slices.Clone(r.Findings), found...)
	for _, one := range p.Trays {
		for _, k := range one.Pockets {
			if k.For == "" || k.Access != "none" {
				continue
			}
			at := fmt.Sprintf("tray %s", strings.TrimSuffix(strings.TrimSuffix(one.ID, "-1"), "-2"))
			named := func(rule string) bool {
				return slices.ContainsFunc(told, func(f finding.Finding) bool {
					return f.Rule == rule && strings.Contains(f.Where+f.Message, at) && strings.Contains(f.Message, k.For)
				})
			}
			wide := job.NotchSide(mmOf(k.Box.Width()), mmOf(k.Box.Height()), k.ShapeName == "round") != 0
			assert.True(t, named("way-in-gave-way") || !wide && (j.Machine == "bench-laser" || flat[k.For]) && named("no-way-in"), "%s %s %v", one.ID, k.Name, told)
		}
	}
	assertKindsMeasured(t, r, p)
}

// assertKindsMeasured wants a way in, or none, told of every kind.
func assertKindsMeasured(t require.TestingT, r Result, p *plan.Plan) {
	r.Measure(p)
	for _, k := range r.Kinds {
		assert.NotEmpty(t, k.Access, "%+v", k)
	}
}
