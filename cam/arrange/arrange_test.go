package arrange

import (
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

func TestTurnedSides(t *testing.T) {
	assert.Equal(t, job.West, turnedSides(job.North))
	assert.Equal(t, job.North|job.South, turnedSides(job.East|job.West))
	all := job.North | job.East | job.South
	assert.Equal(t, all, turnedSides(turnedSides(turnedSides(turnedSides(all)))))
}

// The demo arranges without an error or a warning, fills every case to the
// nanometre, and has a place for each piece in each case that is for it.
func TestDemo(t *testing.T) {
	j := demo(t)
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Empty(t, r.Findings)
	p, found := planOf(t, r.Job)
	assert.Empty(t, found)
	for _, c := range p.Cases {
		assert.Zero(t, c.Room, c.Name)
		assert.Equal(t, "cover", p.Trays[c.Stack[0]].ID)
		assert.Equal(t, "stores", p.Trays[c.Stack[len(c.Stack)-1]].ID)
	}
	assert.Equal(t, []string{"cover", "lantern-watch-tray-1", "lantern-watch-tray-2", "stores"}, r.Job.Cases[2].Stack)
	for _, piece := range j.Roster {
		for i, group := range []string{"gull", "reef", "lantern"} {
			if piece.Group == group {
				assert.Equal(t, piece.Count, placesFor(r.Job, r.Job.Cases[i].Stack, piece.ID), piece.ID)
			}
		}
	}
	assert.Equal(t, 3, p.Trays[1].Copies, "the stores are cut once and made three times")
}

// Without trays and without a stack, everything is chosen: 127 mm are filled
// with stock sheets.
func TestCaseFromNothing(t *testing.T) {
	j := bench(
		piece("kraken", "beasts", 1, 84, 60, 46, job.Upright),
		piece("deckhand", "crew", 12, 25, 24, 36, job.Lying),
		piece("diver", "crew", 12, 26, 24, 38, job.Lying),
	)
	j.Cases = []job.Case{{Name: "Gull Watch", Copies: 2, Inside: inside(5 * inch)}}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	p, found := planOf(t, r.Job)
	assert.False(t, found.Failed(), "%v", found)
	assert.Zero(t, p.Cases[0].Room)
	for i := 2; i < len(p.Cases[0].Stack); i++ {
		above, below := p.Trays[p.Cases[0].Stack[i-1]], p.Trays[p.Cases[0].Stack[i]]
		if len(below.Pockets) > 0 {
			assert.LessOrEqual(t, above.FoamG+above.PiecesG, below.FoamG+below.PiecesG)
		}
	}
	assert.LessOrEqual(t, r.Trays[0].TraysMin, len(r.Trays))
}

// What one case has no room for goes to the next, whole groups first.
func TestFewestCases(t *testing.T) {
	j := bench(piece("deckhand", "gull", 40, 25, 24, 36, job.Lying), piece("diver", "reef", 30, 26, 24, 38, job.Lying), piece("urchin", "reef", 20, 22, 22, 18, job.Upright))
	j.Cases = []job.Case{{Name: "A", Copies: 1, Inside: inside(3 * inch)}, {Name: "B", Copies: 1, Inside: inside(3 * inch)}}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	for i, want := range [][]int{{40, 0, 0}, {0, 30, 20}} {
		for k, p := range j.Roster {
			assert.Equal(t, want[k], placesFor(r.Job, r.Job.Cases[i].Stack, p.ID), "%s in case %d", p.ID, i)
		}
	}
	p, found := planOf(t, r.Job)
	assert.False(t, found.Failed(), "%v", found)
	assert.Zero(t, p.Cases[0].Room)
	assert.Zero(t, p.Cases[1].Room)
}

// One tray of stores goes into several cases: it is arranged once, whole, and
// must suit the lowest of them.
func TestCommonTray(t *testing.T) {
	j := bench(
		piece("kraken", "stores", 1, 60, 40, 20, job.Upright), piece("die", "stores", 6, 16, 16, 16, job.Upright),
		piece("deckhand", "gull", 9, 25, 24, 36, job.Lying), piece("diver", "reef", 9, 26, 24, 38, job.Lying),
	)
	j.Trays = []job.Tray{tray("stores", "stores"), tray("gull", "gull"), tray("reef", "reef")}
	both := 2 * (inch + inch/4)
	j.Cases = []job.Case{
		{Name: "Gull Watch", Copies: 2, Inside: inside(both), Stack: []string{"gull", "stores"}},
		{Name: "Reef Watch", Copies: 1, Inside: inside(both), Stack: []string{"reef", "stores"}},
	}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	for i, own := range []string{"deckhand", "diver"} {
		for piece, want := range map[string]int{own: 9, "kraken": 1, "die": 6} {
			assert.Equal(t, want, placesFor(r.Job, r.Job.Cases[i].Stack, piece), "%s in %s", piece, r.Job.Cases[i].Name)
		}
	}
	p, found := planOf(t, r.Job)
	assert.False(t, found.Failed(), "%v", found)
	assert.Equal(t, 3, p.Trays[0].Copies)

	j.Cases[1].Inside.Height -= mm
	r = run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	_, found = planOf(t, r.Job)
	require.True(t, found.Failed())
	assert.Contains(t, found[len(found)-1].String(), "Reef Watch")
}

// A label and an emblem keep their place free, in the job's trays and in chosen
// ones; and the arrangement's file has them.
func TestLabelsKeepTheirPlace(t *testing.T) {
	j := bench(piece("deckhand", "gull", 12, 25, 24, 36, job.Lying), piece("diver", "reef", 20, 26, 24, 38, job.Lying))
	label := job.Label{Making: job.Making{X: 20 * mm, Y: 80 * mm}, Text: "{case}", Height: 22 * mm, Font: "strokes"}
	emblem := job.Emblem{Making: job.Making{X: 190 * mm, Y: 90 * mm, Turn: 30}, Picture: job.Picture{File: "anchor.svg", Length: 30 * mm}}
	one := tray("gull", "gull")
	one.Labels, one.Emblems = []job.Label{label}, []job.Emblem{emblem}
	j.Trays, j.Defaults.Labels = []job.Tray{one}, []job.Label{label}
	j.Cases = []job.Case{
		{Name: "Gull Watch", Copies: 1, Inside: inside(inch + inch/4), Stack: []string{"gull"}},
		{Name: "Reef Watch", Copies: 1, Inside: inside(5 * inch), Holds: []string{"reef"}},
	}
	pictures := map[job.Picture]geometry.Region{emblem.Picture: geometry.NewRegion(geometry.Circle(geometry.Point{X: 15, Y: 15}, 15))}
	r := run(t, j, func(in *Input) { in.Pictures = pictures })
	require.NotNil(t, r.Job, "%v", r.Findings)
	m := machine(t, j.Machine)
	p, found := plan.Make(plan.Input{Job: r.Job, Catalog: catalog(t), Machine: m, Means: process.MeansOf(m), Pictures: pictures, Recipe: func(foam, tool string) (profiles.Recipe, bool) {
		return catalog(t).Recipe(foam, m.ID, tool)
	}})
	assert.False(t, found.Failed(), "%v", found)
	for _, one := range p.Trays {
		assert.Equal(t, strings.Contains(one.ID, "filler"), len(one.Marks) == 0, one.ID)
	}
	back := loadWith(t, Write(r.Job, j, "router"))
	for i, want := range r.Job.Trays {
		assert.Equal(t, bare(want, true).Labels, bare(back.Trays[i], true).Labels)
		assert.Equal(t, bare(want, true).Emblems, bare(back.Trays[i], true).Emblems)
	}
}

// A drawing's pocket that the job places keeps its place free.
func TestOutlineKeepsItsPlace(t *testing.T) {
	j := bench(piece("deckhand", "gull", 16, 25, 24, 36, job.Lying))
	one := tray("gull", "gull")
	one.Pockets = []job.Pocket{{X: 80 * mm, Y: 60 * mm, Shape: job.OutlineShape, OutlineFile: "ray.svg", Columns: 1, Rows: 1}}
	j.Trays = []job.Tray{one}
	outlines := map[string]geometry.Region{"ray.svg": geometry.NewRegion(geometry.Circle(geometry.Point{}, 30))}
	r := run(t, j, func(in *Input) { in.Outlines = outlines })
	require.NotNil(t, r.Job, "%v", r.Findings)
	p := (&maker{Input: Input{Catalog: catalog(t), Machine: machine(t, j.Machine), Means: process.MeansOf(machine(t, j.Machine)), Outlines: outlines}}).planOf(r.Job)
	require.Len(t, p.Trays[0].Pockets, 17)
	for _, k := range p.Trays[0].Pockets[1:] {
		d, _, _ := geometry.Distance(k.Design.Contours()[0], p.Trays[0].Pockets[0].Design.Contours()[0])
		assert.GreaterOrEqual(t, d, 6-1e-6, k.Name)
	}
}

// A case far higher than its trays is filled with sheets, under the cover.
func TestFillers(t *testing.T) {
	j := bench(piece("urchin", "g", 4, 22, 22, 18, job.Upright))
	j.Cases = []job.Case{{Name: "A", Copies: 1, Inside: inside(300 * mm)}}
	j.Defaults.Labels = []job.Label{{Making: job.Making{X: 20 * mm, Y: 80 * mm}, Text: "{case}", Height: 22 * mm, Font: "strokes"}}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	again := run(t, j, func(in *Input) { in.Previous = r.Job })
	assert.Equal(t, string(Write(r.Job, j, "router")), string(Write(again.Job, j, "router")))
	p, found := planOf(t, r.Job)
	assert.False(t, found.Failed(), "%v", found)
	assert.Zero(t, p.Cases[0].Room)
	stack := r.Job.Cases[0].Stack
	assert.Equal(t, "a-cover", stack[0])
	assert.Equal(t, "a-tray-1", stack[len(stack)-1])
	assert.Contains(t, stack[1], "a-filler")
}

// What does not fit is named, with what would help, and nothing is answered.
func TestDoesNotFit(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*job.Job)
		rule   string
		says   []string
	}{
		"too deep": {func(j *job.Job) {
			j.Roster = append(j.Roster, piece("tower", "g", 1, 30, 30, 26, job.Upright))
		}, "tray-too-thin", []string{"tower", "26 mm", "0.6 mm more", "25.4 mm", "30 mm"}},
		"too many": {func(j *job.Job) { j.Roster[0].Count = 33 }, "no-room", []string{"crew", "of deckhand", "longer", "one more tray"}},
		"too large": {func(j *job.Job) {
			j.Trays, j.Cases = nil, []job.Case{{Name: "Reef", Inside: inside(5 * inch), Copies: 1}}
			j.Roster = []job.Piece{piece("raft", "g", 1, 240, 40, 20, job.Upright)}
		}, "piece-too-large", []string{"raft", "241.5 mm", "261.5 mm"}},
		"too low": {func(j *job.Job) {
			j.Trays, j.Cases = nil, []job.Case{{Name: "Reef", Inside: inside(2 * inch), Copies: 1}}
			j.Roster[0].Count = 60
		}, "case-too-low", []string{"Reef", "3 trays", "50.45 mm higher than the 50.8 mm", "make it 50.45 mm higher inside"}},
		"no pieces": {func(j *job.Job) {
			j.Cases = []job.Case{{Name: "Reef", Holds: []string{}, Inside: inside(inch)}, {Name: "x", Stack: []string{"crew"}}}
		},
			"case-without-pieces", []string{"Reef", "holds"}},
		"no layers": {func(j *job.Job) {
			j.Trays, j.Defaults.Layers, j.Cases = nil, nil, []job.Case{{Name: "Reef", Inside: inside(5 * inch)}}
		}, "no-layers", []string{"tray_defaults"}},
		"no fit": {func(j *job.Job) { j.Trays[0].Fit = "loose" }, "unknown-fit", []string{"loose", "pe-30"}},
	} {
		t.Run(name, func(t *testing.T) {
			j := bench(piece("deckhand", "g", 4, 25, 24, 36, job.Lying))
			j.Trays = []job.Tray{tray("crew", "g")}
			c.change(j)
			r := run(t, j)
			assert.Nil(t, r.Job)
			at := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.Rule == c.rule })
			require.GreaterOrEqual(t, at, 0, "%v", r.Findings)
			for _, s := range c.says {
				assert.Contains(t, r.Findings[at].String(), s)
			}
		})
	}
}

// Where a thinner wall makes room, it does.
func TestLeastChangeIsTrue(t *testing.T) {
	j := bench(piece("deckhand", "g", 7, 25, 24, 60, job.Lying), piece("diver", "g", 14, 25, 24, 60, job.Lying))
	j.Trays = []job.Tray{tray("crew", "g")}
	j.Trays[0].Wall, j.Trays[0].Width, j.Trays[0].Length = 9*mm, 215*mm, 255*mm
	r := run(t, j)
	require.Nil(t, r.Job)
	hint := r.Findings[0].Hint
	_, rest, ok := strings.Cut(hint, "a `wall` of ")
	require.True(t, ok, hint)
	wall, err := units.Parse(strings.SplitAfter(rest, "mm")[0], units.Millimetre)
	require.NoError(t, err)
	j.Trays[0].Wall = wall
	assert.NotNil(t, run(t, j).Job)
}

// One more piece stays out of the others' way; and nothing new changes nothing.
func TestEarlierPlacesStay(t *testing.T) {
	j := demo(t)
	first := run(t, j).Job
	again := run(t, j, func(in *Input) { in.Previous = first }).Job
	assert.Equal(t, Write(first, j, "router"), Write(again, j, "router"))

	more := *j
	more.Roster = append(slices.Clone(j.Roster), piece("limpet", "stores", 1, 5, 5, 5, job.Upright), piece("oil-can", "lantern", 2, 8, 8, 20, job.Upright))
	second := run(t, &more, func(in *Input) { in.Previous = first })
	require.NotNil(t, second.Job, "%v", second.Findings)
	_, found := planOf(t, second.Job)
	assert.False(t, found.Failed(), "%v", found)
	added := 0
	for k, one := range second.Job.Trays {
		for n, p := range one.Pockets {
			if n >= len(first.Trays[k].Pockets) && isOpening(p) {
				continue
			}
			if p.For == "limpet" || p.For == "oil-can" {
				added += p.Columns * p.Rows
				continue
			}
			old := first.Trays[k].Pockets[n]
			assert.Equal(t, [2]units.Length{old.X, old.Y}, [2]units.Length{p.X, p.Y}, "%s %s", one.ID, p.For)
		}
	}
	assert.Equal(t, 3, added)
}

// Spare room is shared out: edges and walls of a row of pockets, and those
// between two blocks, differ by no more than rounding does.
func TestSpreadIsEven(t *testing.T) {
	k := kind{piece: &job.Piece{ID: "a"}, count: 3, needs: []plan.Need{{Length: 50 * mm, Width: 40 * mm}}}
	l := kind{piece: &job.Piece{ID: "b"}, count: 1, needs: []plan.Need{{Length: 50 * mm, Width: 30 * mm}}}
	r := room{length: 250 * mm, width: 100 * mm, wall: 6 * mm, edge: 10 * mm, step: mm / 2}
	f := fill(context.Background(), r, []kind{k, l}, nil, search{})
	require.Len(t, f.blocks, 2)
	f.spread()
	a, b := f.blocks[0], f.blocks[1]
	require.Equal(t, 3, a.columns)
	// 250 less four pockets of 50, two edges of 10 and three walls of 6 leave 12 for five gaps:
	// 2.4 each, in steps of half a millimetre.
	for name, got := range map[string][2]units.Length{
		"left edge": {a.x, 12_400_000}, "wall": {a.gapX, 8_400_000},
		"between": {b.x - a.x - a.length(), 8_400_000}, "right edge": {250*mm - b.x - b.length(), 12_400_000},
		"front": {a.y, 30 * mm}, "back": {100*mm - a.y - a.width(), 30 * mm},
	} {
		assert.InDelta(t, got[1].MM(), got[0].MM(), 2.11, name)
	}
}

// Four blocks in a row: 12 mm to spare make five gaps wider by 2.4 mm each, to
// the half millimetre below.
func TestSpreadBetweenBlocks(t *testing.T) {
	f := newFilling(room{length: 250 * mm, width: 60 * mm, wall: 6 * mm, edge: 10 * mm, step: mm / 2}, nil, nil)
	for i := range units.Length(4) {
		f.add(block{count: 1, columns: 1, need: plan.Need{Length: 50 * mm, Width: 40 * mm}, x: (10 + 56*i) * mm, y: 10 * mm})
	}
	f.spread()
	for i, want := range []float64{12, 70.5, 129, 187.5} {
		assert.Equal(t, mmOf(want), f.blocks[i].x)
	}
}

// Pockets that stay are kept clear of in both halves of a tray.
func TestHalvesKeepClearOfFixedPockets(t *testing.T) {
	j := bench(piece("urchin", "g", 16, 22, 22, 18, job.Upright))
	one := tray("crew", "g")
	one.Halves = 2
	for _, x := range []units.Length{20, 150} {
		one.Pockets = append(one.Pockets, job.Pocket{X: x * mm, Y: 100 * mm, Shape: job.SizeShape, Length: 60 * mm, Width: 60 * mm, Corner: 2 * mm, Columns: 1, Rows: 1})
	}
	j.Trays = []job.Tray{one}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	_, found := planOf(t, r.Job)
	for _, f := range found {
		assert.NotContains(t, f.Rule, "pocket", "%s", f)
	}
	assert.False(t, found.Failed(), "%v", found)
}

// Places are not kept where they break what is asked for now.
func TestThinWallsAreNotKept(t *testing.T) {
	j := bench(piece("deckhand", "g", 7, 25, 24, 36, job.Lying))
	j.Trays = []job.Tray{tray("crew", "g")}
	first := run(t, j)
	require.NotNil(t, first.Job)
	j.Trays[0].Wall = 14 * mm
	second := run(t, j, func(in *Input) { in.Previous = first.Job })
	require.NotNil(t, second.Job)
	_, found := planOf(t, second.Job)
	assert.False(t, found.Failed(), "%v", found)
}

// The engine's dense layout has every pocket, turned ones with their notch on
// the side that was turned too.
func TestPacked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := room{length: 250 * mm, width: 190 * mm, wall: 6 * mm, edge: 10 * mm, step: mm / 2}
		var kinds []kind
		total := 0
		for i := range rapid.IntRange(1, 6).Draw(t, "kinds") {
			n := plan.Need{
				Length: units.Length(rapid.IntRange(20, 140).Draw(t, "length")) * r.step,
				Width:  units.Length(rapid.IntRange(20, 140).Draw(t, "width")) * r.step,
			}
			k := kind{piece: &job.Piece{ID: fmt.Sprint(i)}, count: rapid.IntRange(1, 9).Draw(t, "count"), needs: []plan.Need{n}}
			k.habits = job.Habits{Notch: job.North, NotchReach: 9 * mm}
			kinds, total = append(kinds, k), total+k.count
		}
		list := packed(context.Background(), r, kinds, 1, 1)
		require.NotEmpty(t, list)
		assert.LessOrEqual(t, boundOf(r, kinds), len(list))
		for _, f := range list {
			for i, b := range f.blocks {
				assert.True(t, r.within(b.box()))
				assert.Equal(t, b.turned, b.notch == job.West)
				for _, c := range f.blocks[:i] {
					assert.True(t, b.box().apart(c.box(), r.wall))
				}
			}
			total -= len(f.blocks)
		}
		assert.Zero(t, total)
	})
}

// The same input, the same bytes; another seed may give another answer.
func TestRepeatable(t *testing.T) {
	j := demo(t)
	a, b := run(t, j), run(t, j)
	assert.Equal(t, Write(a.Job, j, "router"), Write(b.Job, j, "router"))
	assert.Equal(t, a.Kinds, b.Kinds)
}

// A search that is stopped at once still answers in full.
func TestStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	j := demo(t)
	r := Make(ctx, Input{Job: j, Catalog: catalog(t), Machine: machine(t, j.Machine), Means: process.MeansOf(machine(t, j.Machine)), Try: 1000})
	assert.True(t, r.Stopped)
	require.NotNil(t, r.Job, "%v", r.Findings)
	_, found := planOf(t, r.Job)
	assert.False(t, found.Failed(), "%v", found)
}

// An arrangement file is a job: it loads, alone or over the job that it was made
// from, and gives the same pockets.
func TestFileRoundTrip(t *testing.T) {
	j := demo(t)
	r := run(t, j)
	text := Write(r.Job, j, "router")
	assert.Equal(t, Fingerprint(j, "router"), MadeFrom(text))
	assert.False(t, job.Edited(text))
	assert.True(t, job.Edited([]byte(strings.Replace(string(text), "at: [10,", "at: [11,", 1))))
	assert.True(t, job.Edited([]byte("game: Tidewrack\n")))

	back := loadWith(t, text)
	for _, whole := range []*job.Job{back, Apply(j, back)} {
		require.Len(t, whole.Trays, len(r.Job.Trays))
		assert.False(t, whole.Open())
		for i, want := range r.Job.Trays {
			got := whole.Trays[i]
			assert.Equal(t, places(want.Pockets), places(got.Pockets), want.ID)
			assert.Equal(t, [4]units.Length{want.Length, want.Width, want.Corner, want.Ease}, [4]units.Length{got.Length, got.Width, got.Corner, got.Ease})
		}
		for i, c := range r.Job.Cases {
			assert.Equal(t, c.Stack, whole.Cases[i].Stack)
		}
	}
}

// places are pockets without where they stand in which file.
func places(list []job.Pocket) []job.Pocket {
	list = slices.Clone(list)
	for i := range list {
		list[i].Position, list[i].Asked = finding.Position{}, ""
		if list[i].Notch == 0 {
			list[i].NotchWidth, list[i].NotchReach = 0, 0
		}
	}
	return list
}

func loadWith(t *testing.T, text []byte) *job.Job {
	roster, err := os.ReadFile("../../testdata/tidewrack/roster.csv")
	require.NoError(t, err)
	var fsys fs.FS = fstest.MapFS{FileName: {Data: text}, "roster.csv": {Data: roster}}
	back, found, err := job.Load(fsys, FileName)
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	return back
}

// What an arrangement depends on changes its fingerprint, and nothing else does.
func TestFingerprint(t *testing.T) {
	was := Fingerprint(demo(t), "router")
	for name, c := range map[string]struct {
		change func(*job.Job)
		same   bool
	}{
		"a label":       {func(j *job.Job) { j.Trays[1].Label = "x" }, true},
		"a name":        {func(j *job.Job) { j.Roster[0].Name = "x" }, true},
		"a weight":      {func(j *job.Job) { j.Roster[0].WeightG = 1 }, true},
		"copies":        {func(j *job.Job) { j.Cases[0].Copies = 4 }, true},
		"a length":      {func(j *job.Job) { j.Roster[0].Length++ }, false},
		"a count":       {func(j *job.Job) { j.Roster[0].Count++ }, false},
		"a wall":        {func(j *job.Job) { j.Trays[1].Wall++ }, false},
		"a layer":       {func(j *job.Job) { j.Trays[1].Layers[0].Thickness++ }, false},
		"a pocket":      {func(j *job.Job) { j.Trays[1].Pockets[0].X++ }, false},
		"what it holds": {func(j *job.Job) { j.Trays[1].Holds = j.Trays[1].Holds[:0] }, false},
		"a height":      {func(j *job.Job) { j.Cases[2].Inside.Height++ }, false},
		"a notch":       {func(j *job.Job) { j.Trays[2].Habits.Notch = 0 }, false},
	} {
		t.Run(name, func(t *testing.T) {
			j := demo(t)
			c.change(j)
			assert.Equal(t, c.same, was == Fingerprint(j, "router"))
		})
	}
	assert.NotEqual(t, was, Fingerprint(demo(t), "laser"))
}

// A tray too heavy for two fingertips is proposed as halves.
func TestHeavyTray(t *testing.T) {
	j := bench(piece("anchor", "g", 10, 25, 24, 36, job.Lying))
	j.Roster[0].WeightG = 200
	j.Trays = []job.Tray{tray("crew", "g")}
	r := run(t, j)
	require.NotNil(t, r.Job)
	require.Len(t, r.Findings, 1)
	assert.Contains(t, r.Findings[0].String(), "halves: 2")
	j.Trays[0].Halves = 2
	r = run(t, j)
	require.NotNil(t, r.Job)
	assert.Empty(t, r.Findings)
}

// manyPieces is a roster of a thousand pieces in two hundred kinds.
func manyPieces() *job.Job {
	random := rand.New(rand.NewPCG(5, 1000))
	var roster []job.Piece
	for i := range 200 {
		roster = append(roster, piece(fmt.Sprintf("p%d", i), fmt.Sprintf("g%d", i/10), 5,
			15+random.Float64()*40, 15+random.Float64()*10, 20+random.Float64()*40, job.AnyPose))
	}
	j := bench(roster...)
	j.Cases = []job.Case{{Name: "Hold", Copies: 1, Inside: inside(2000 * mm)}}
	return j
}

func BenchmarkThousandPieces(b *testing.B) {
	j := manyPieces()
	for b.Loop() {
		r := run(b, j, func(in *Input) { in.Try = 8 })
		require.NotNil(b, r.Job, "%v", r.Findings)
		b.ReportMetric(float64(len(r.Trays)), "trays")
		b.ReportMetric(float64(r.Trays[0].TraysMin), "trays-min")
	}
}

func BenchmarkDemo(b *testing.B) {
	j := demo(b)
	for b.Loop() {
		run(b, j, func(in *Input) { in.Try = 8 })
	}
}
