package arrange

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// hollowed is a job of large pieces with a hollow that is known to take a small one, in a tray that has room for the boxes of
// the large ones and nothing else.
type hollowed struct {
	job      *job.Job
	outlines map[string]geometry.Region
}

// hollow draws a shape about as long and as wide as told, and the box that its hollow takes with walls.
func hollow(r *rand.Rand, kind int, wall float64) (shape geometry.Region, inner [2]float64) {
	a, b := 60+r.Float64()*30, 50+r.Float64()*25
	t := 12 + r.Float64()*6 // how thick its arms are
	p := func(xy ...float64) geometry.Contour {
		var list []geometry.Point
		for i := 0; i < len(xy); i += 2 {
			list = append(list, geometry.Point{X: xy[i], Y: xy[i+1]})
		}
		return geometry.Polygon(list...)
	}
	rounded := func(c geometry.Contour) geometry.Region { // so that the bench's cutter gets into every corner
		in, err := geometry.Offset(geometry.NewRegion(c), -2, 1e-6)
		if err == nil {
			in, err = geometry.Offset(in, 2, 1e-6)
		}
		if err != nil {
			panic(err)
		}
		return in
	}
	switch kind {
	case 0: // L
		return geometry.NewRegion(p(0, 0, a, 0, a, t, t, t, t, b, 0, b)), [2]float64{a - t - wall, b - t - wall}
	case 1: // U
		return geometry.NewRegion(p(0, 0, a, 0, a, b, a-t, b, a-t, t, t, t, t, b, 0, b)), [2]float64{a - 2*t - 2*wall, b - t - wall}
	case 2: // C: its mouth is too narrow for what lies in it
		m := (b - 14) / 2
		return geometry.NewRegion(p(0, 0, a, 0, a, m, a-t, m, a-t, t, t, t, t, b-t, a-t, b-t, a-t, m+14, a, m+14, a, b, 0, b)), [2]float64{a - 2*t - 2*wall, b - 2*t - 2*wall}
	case 3: // a ring open at a side
		outer, in := a/2, a/2-t
		at := func(radius, angle float64) geometry.Point {
			return geometry.Point{X: outer + radius*math.Cos(angle), Y: outer + radius*math.Sin(angle)}
		}
		gap := 0.35
		half := math.Tan((math.Pi - gap) / 4)
		ring := geometry.NewContour(
			geometry.Vertex{Point: at(outer, gap), Bulge: half}, geometry.Vertex{Point: at(outer, math.Pi), Bulge: half}, geometry.Vertex{Point: at(outer, -gap)},
			geometry.Vertex{Point: at(in, -gap), Bulge: -half}, geometry.Vertex{Point: at(in, math.Pi), Bulge: -half}, geometry.Vertex{Point: at(in, gap)},
		)
		side := (in - wall) * math.Sqrt2
		return rounded(ring), [2]float64{side, side}
	}
	// an outline with a ragged rim and a notch in it
	var rim []geometry.Point
	for i := range 72 {
		angle := float64(i) * math.Pi / 36
		radius := 34 + 3*math.Sin(5*angle) + r.Float64()/4
		if i >= 65 || i < 7 {
			continue
		}
		rim = append(rim, geometry.Point{X: radius * math.Cos(angle), Y: radius * math.Sin(angle)})
	}
	rim = append(rim, geometry.Point{X: 2, Y: -18}, geometry.Point{X: 2, Y: 18})
	return rounded(geometry.Polygon(rim...)), [2]float64{20, 36 - 2*wall}
}

func hollowJob(seed uint64, kind int) hollowed {
	r := rand.New(rand.NewPCG(seed, uint64(kind)))
	const wall, edge, n = 6.0, 10.0, 3
	h := hollowed{outlines: map[string]geometry.Region{}}
	var roster []job.Piece
	length, width := 2*edge, 0.0
	for i := range n {
		shape, in := hollow(r, kind, wall)
		file := fmt.Sprintf("%d.svg", i)
		h.outlines[file] = shape
		box := shape.Bounds()
		large := piece(fmt.Sprintf("large-%d", i), "g", 1, box.Width(), box.Height(), 15, job.Upright)
		large.Outline = file
		// Half a millimetre of fit on each side, and a step of rounding.
		small := piece(fmt.Sprintf("small-%d", i), "g", 1, in[0]-2.5, in[1]-2.5, 15, job.Upright)
		roster = append(roster, large, small)
		length += math.Ceil(box.Width()) + wall
		width = math.Max(width, math.Ceil(box.Height())+2*edge)
	}
	h.job = bench(roster...)
	one := tray("crew", "g")
	one.Length, one.Width, one.Corner = mmOf(length), mmOf(width), 0
	if seed%4 > 0 {
		one.Habits.Access = job.NoAccess
	}
	h.job.Trays = []job.Tray{one}
	return h
}

func (h hollowed) with(in *Input) {
	in.Outlines = h.outlines
	in.Refuses = func(j *job.Job) finding.List { _, found := in.planFound(j); return found }
}

// What a tray of boxes has no room for lies in the hollows of the large ones, at least nine of ten that are known to fit, and
// the plan, which measures by true distance, finds nothing wrong.
func TestHollows(t *testing.T) {
	seeds := uint64(4)
	if !testing.Short() {
		seeds = 20
	}
	regained, wasted := 0.0, 0.0
	for kind := range 5 {
		for seed := range seeds {
			h := hollowJob(seed, kind)
			r := run(t, h.job, h.with)
			for _, p := range h.job.Roster {
				area := p.Length.MM() * p.Width.MM()
				switch {
				case p.Outline != "":
				case r.Job != nil:
					regained += area
					fallthrough
				default:
					wasted += area
				}
			}
			if r.Job != nil {
				requirePlanned(t, r.Job, h.outlines)
				if seed%4 > 0 {
					continue
				}
				again := run(t, h.job, h.with)
				assert.Equal(t, told(h.job, r), told(h.job, again))
				kept := run(t, h.job, h.with, func(in *Input) { in.Previous = r.Job })
				require.NotNil(t, kept.Job, "%v", kept.Findings)
				assert.Zero(t, kept.Moved.Pockets)
			}
		}
	}
	t.Logf("regained %.1f %%", 100*regained/wasted)
	assert.GreaterOrEqual(t, regained/wasted, 0.9)
}

// checkSome draws one in share of the cases that rapid.Check would: for properties whose single case takes about a second.
func checkSome(t *testing.T, share int, property func(*rapid.T)) {
	checks := flag.Lookup("rapid.checks")
	usual := checks.Value.String()
	n, err := strconv.Atoi(usual)
	require.NoError(t, err)
	require.NoError(t, checks.Value.Set(strconv.Itoa(max(1, n/share))))
	defer func() { require.NoError(t, checks.Value.Set(usual)) }()
	rapid.Check(t, property)
}

func requirePlanned(t require.TestingT, j *job.Job, outlines map[string]geometry.Region) {
	_, found := planWith(t, j, outlines)
	for _, f := range found {
		require.NotEqual(t, finding.Error, f.Severity, "%s", f)
		require.NotContains(t, []string{"pockets-joined", "pockets-stepped", "piece-without-pocket", "fewer-pockets-than-pieces"}, f.Rule, "%s", f)
	}
}

// A sword that is longer than its tray lies across it where it may be turned freely, and a drawn one too; without that there is no room.
func TestTurnedFreely(t *testing.T) {
	for _, drawn := range []bool{false, true} {
		sword := piece("sword", "g", 2, 250, 12, 12, job.Upright)
		outlines := map[string]geometry.Region{}
		if drawn {
			sword.Outline = "sword.svg"
			outlines["sword.svg"] = geometry.NewRegion(geometry.Slot(geometry.Point{X: 6, Y: 6}, geometry.Point{X: 245, Y: 6}, 12))
		}
		j := bench(sword, piece("die", "g", 12, 16, 16, 16, job.Upright))
		j.Trays = []job.Tray{tray("crew", "g")}
		with := hollowed{j, outlines}.with
		require.Nil(t, run(t, j, with).Job)
		j.Roster[0].Turns = job.AnyTurns
		r := run(t, j, with)
		require.NotNil(t, r.Job, "%v", r.Findings)
		requirePlanned(t, r.Job, outlines)
		swords := 0
		for _, p := range r.Job.Trays[0].Pockets {
			if p.For == "sword" {
				swords++
				assert.NotZero(t, math.Mod(p.Turn, 90))
				assert.Zero(t, math.Mod(p.Turn, job.TurnStep))
			}
		}
		assert.Equal(t, 2, swords)
		kept := run(t, j, with, func(in *Input) { in.Previous = r.Job })
		require.NotNil(t, kept.Job)
		assert.Zero(t, kept.Moved.Pockets)
		j.Trays[0].Habits.Turns, j.Roster[0].Turns = job.AnyTurns, job.UsualTurns
		assert.NotNil(t, run(t, j, with).Job)
		j.Roster[0].Turns = job.QuarterTurns
		assert.Nil(t, run(t, j, with).Job)
	}
}

// Random rosters with outlines: whatever is asked for, every piece has its place, the plan finds nothing wrong by true distance,
// the same job has the same answer, and what has its place stays.
func TestAnyOutlines(t *testing.T) {
	checkSome(t, 5, func(t *rapid.T) {
		j := anyJob(t)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shapes"), 1))
		outlines := map[string]geometry.Region{}
		for i := range j.Roster {
			p := &j.Roster[i]
			p.Turns = rapid.SampledFrom([]job.Turns{job.UsualTurns, job.QuarterTurns, job.AnyTurns}).Draw(t, "turns")
			if rapid.IntRange(0, 2).Draw(t, "drawn") > 0 {
				shape, _ := hollow(r, rapid.IntRange(0, 4).Draw(t, "kind"), 6)
				p.Count = min(p.Count, 3)
				p.Outline = fmt.Sprintf("%d.svg", i)
				outlines[p.Outline] = shape
				p.Length, p.Width = mmOf(shape.Bounds().Width()-1), mmOf(shape.Bounds().Height()-1)
				if p.Pose == job.Lying {
					p.Width, p.Height = p.Height, p.Width
				}
				if p.Shape == job.Round {
					p.Shape = job.Rect
				}
			}
		}
		with := hollowed{j, outlines}.with
		res := run(t, j, with, func(in *Input) { in.Try = 0 })
		if res.Job == nil {
			require.True(t, res.Findings.Failed())
			return
		}
		_, found := planWith(t, res.Job, outlines)
		for _, f := range found {
			if slices.Contains(ofTools, f.Rule) || f.Rule == "too-thick" {
				continue
			}
			require.NotEqual(t, finding.Error, f.Severity, "%s", f)
			require.NotContains(t, []string{"pockets-joined", "pockets-stepped", "piece-without-pocket", "fewer-pockets-than-pieces"}, f.Rule, "%s", f)
		}
		kept := run(t, j, with, func(in *Input) { in.Try, in.Previous = 0, res.Job })
		require.NotNil(t, kept.Job, "%v", kept.Findings)
		assert.Zero(t, kept.Moved.Pockets)
	})
}

// How much better true outlines are than boxes, and how long they take: 60 drawn pieces that may be turned freely.
func BenchmarkOutlines(b *testing.B) {
	r := rand.New(rand.NewPCG(5, 5))
	outlines := map[string]geometry.Region{}
	var roster []job.Piece
	for i := range 60 {
		shape, _ := hollow(r, i%5, 6)
		p := piece(fmt.Sprintf("p%d", i), "g", 1, shape.Bounds().Width(), shape.Bounds().Height(), 15, job.Upright)
		if i%2 == 1 {
			shape = shape.Transform(geometry.Scale(0.45, geometry.Point{}))
		}
		p.Outline, p.Turns = fmt.Sprintf("%d.svg", i), job.AnyTurns
		outlines[p.Outline] = shape
		roster = append(roster, p)
	}
	j := bench(roster...)
	j.Cases = []job.Case{{Name: "Gull Watch", Copies: 1, Inside: job.Inside{Length: 380 * mm, Width: 280 * mm, Height: 300 * mm}}}
	for b.Loop() {
		for _, turns := range []job.Turns{job.QuarterTurns, job.AnyTurns} {
			for i := range j.Roster {
				j.Roster[i].Turns = turns
			}
			began := time.Now()
			res := run(b, j, func(in *Input) { in.Outlines, in.Try, in.Refuses = outlines, 8, nil })
			require.NotNil(b, res.Job, "%v", res.Findings)
			name := map[job.Turns]string{job.QuarterTurns: "quarter", job.AnyTurns: "any"}[turns]
			b.ReportMetric(float64(len(res.Trays)), "trays-"+name)
			b.ReportMetric(time.Since(began).Seconds(), "s-"+name)
		}
		boxes := copyOf(j)
		for i := range boxes.Roster {
			p, box := &boxes.Roster[i], outlines[j.Roster[i].Outline].Bounds()
			p.Outline, p.Turns, p.Length, p.Width = "", job.QuarterTurns, mmOf(box.Width()), mmOf(box.Height())
		}
		boxes.Defaults.Fit = "snug"
		res := run(b, boxes, func(in *Input) { in.Try, in.Refuses = 8, nil })
		b.ReportMetric(float64(len(res.Trays)), "trays-boxes")
	}
}

// A pocket that has its place is turned where the plan has something against it as it lies, and only there.
func TestPlacedPocketIsTurned(t *testing.T) {
	bar := func(x, y units.Length) job.Pocket {
		return job.Pocket{X: x, Y: y, Shape: job.SizeShape, Length: 60 * mm, Width: 20 * mm, Columns: 1, Rows: 1, Corner: 2 * mm, Depth: 12 * mm, AnyTurn: true}
	}
	j := bench(piece("die", "g", 2, 16, 16, 16, job.Upright))
	one, two := tray("crew", "g"), tray("stores")
	one.Pockets = []job.Pocket{bar(20*mm, 20*mm), bar(200*mm, 20*mm)}
	two.Pockets = []job.Pocket{bar(200*mm, 100*mm)}
	j.Trays = []job.Tray{one, two}
	require.True(t, j.Open())
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	turns := func(j *job.Job) (list []float64) {
		for _, one := range j.Trays {
			for _, p := range one.Pockets {
				if p.For == "" && !isOpening(p) {
					assert.False(t, p.AnyTurn)
					list = append(list, p.Turn)
				}
			}
		}
		return list
	}
	got := turns(r.Job)
	require.Len(t, got, 3)
	assert.Zero(t, got[0])
	assert.NotZero(t, got[1])
	assert.NotZero(t, got[2])
	assert.False(t, r.Job.Open())
	assert.Equal(t, got, turns(Apply(j, r.Job)))
	again := run(t, j, func(in *Input) { in.Previous = r.Job })
	require.NotNil(t, again.Job)
	assert.Zero(t, again.Moved.Pockets)
	assert.Equal(t, got, turns(again.Job))
}
