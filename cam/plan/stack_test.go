package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// three is a job of a case 5 in high: pads of 2, 1 and 1 in, each on a base of
// 1/4 in, under a cover of 1/4 in. Common practice, no source.
func three() *job.Job {
	tray := func(id string, pad units.Length) job.Tray {
		t := job.Tray{ID: id, Label: "{game} {case} {tray}", Length: mm(250), Width: mm(190), Layers: []job.Layer{layer("pe-30", pad)}}
		if id != "cover" {
			t.Layers = append(t.Layers, layer("pe-45", inch/4))
		}
		return t
	}
	c := job.Case{Name: "Gull Watch", Copies: 1, Stack: []string{"cover", "riders", "crew", "stores"}}
	c.Inside = job.Inside{Length: mm(250), Width: mm(190), Height: 5 * inch}
	return &job.Job{
		File: "job.yaml", Game: "Tidewrack", Machine: "bench-router", Units: units.Inch, Cases: []job.Case{c},
		Trays: []job.Tray{tray("cover", inch/4), tray("riders", inch), tray("crew", inch), tray("stores", 2*inch)},
	}
}

func TestStackIsExact(t *testing.T) {
	plan, found := make1(t, three())
	assert.Empty(t, rules(found), "%v", found)
	c := plan.Cases[0]
	assert.Equal(t, 5*inch, c.Height)
	assert.Zero(t, c.Room)
	assert.Equal(t, []int{0, 1, 2, 3}, c.Stack)
	// 250 x 190 mm of pe-30 and pe-45: 4.25 in of one, 0.75 in of the other.
	want := 250 * 190 * 25.4 * (4.25*30 + 0.75*45) * 1e-6
	assert.InDelta(t, want, c.WeightG, 1e-6)
	assert.Equal(t, "Tidewrack Gull Watch crew", plan.Trays[2].Label)
}

// A micrometre is 0.00004 in, and no more fits than before.
func TestALittleRoomIsNotNone(t *testing.T) {
	j := three()
	j.Cases[0].Inside.Height += 1000
	_, found := make1(t, j)
	assert.Contains(t, only(t, found, "room-left").Message, "the stack is 5 in high and leaves less than 0.001 in of 5 in")
	j.Cases[0].Inside.Height -= 2000
	_, found = make1(t, j)
	assert.Contains(t, only(t, found, "stack-too-high").Message, "less than 0.001 in more than the 5 in inside")
}

func TestStackTooHigh(t *testing.T) {
	for _, c := range []struct {
		name, message, hint string
		height              units.Length
	}{
		{"one swap exactly", "the stack is 5 in high, 1/2 in more than the 4 1/2 in inside",
			"make layer 1 of riders (pe-30) of 1/2 in instead of 1 in: that fits exactly", 4*inch + inch/2},
		{"two swaps", "the stack is 5 in high, 2 1/2 in more than the 2 1/2 in inside",
			"make layer 1 of riders (pe-30) of 1/4 in instead of 1 in and layer 1 of stores (pe-30) of 1/4 in instead of 2 in: that fits exactly", 2*inch + inch/2},
		{"none", "the stack is 5 in high, 4 in more than the 1 in inside",
			"take out a tray, or use a higher case: no two thinner stock sheets that hold the pieces as deep make it fit", inch},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := three()
			j.Cases[0].Inside.Height = c.height
			plan, found := make1(t, j)
			f := only(t, found, "stack-too-high")
			assert.Equal(t, c.message, f.Message)
			assert.Equal(t, c.hint, f.Hint)
			assert.Equal(t, c.height-5*inch, plan.Cases[0].Room)
		})
	}
}

// A thinner sheet is no way out where a depth that is written does not end in it.
func TestNoSheetIsThinnerThanItsPockets(t *testing.T) {
	tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Depth = mm(20) }))
	tray.Layers = []job.Layer{layer("pe-30", inch)}
	j := bench(tray)
	j.Cases = []job.Case{{Name: "Gull", Copies: 1, Stack: []string{"pad"}}}
	j.Cases[0].Inside.Length, j.Cases[0].Inside.Width, j.Cases[0].Inside.Height = mm(120), mm(80), inch/2
	_, found := make1(t, j)
	assert.Contains(t, only(t, found, "stack-too-high").Hint, "take out a tray, or use a higher case")
	j.Trays[0].Pockets[0].Depth = mm(10)
	_, found = make1(t, j)
	assert.Equal(t, "make layer 1 of pad (pe-30) of 12.7 mm instead of 25.4 mm: that fits exactly", only(t, found, "stack-too-high").Hint)
}

func TestRoomLeft(t *testing.T) {
	for _, c := range []struct {
		room units.Length
		hint string
	}{
		{inch / 4, "a sheet of 1/4 in of pe-30 fills it exactly"},
		{inch * 3 / 8, "a sheet of 1/4 in of pe-30 leaves 1/8 in"},
		{inch + inch/4, "sheets of 1 in of pe-30 and 1/4 in of pe-30 fill it exactly"},
		{inch / 8, "no stock sheet of its foams is as thin as that; let the lid press on the cover"},
	} {
		j := three()
		j.Cases[0].Inside.Height += c.room
		_, found := make1(t, j)
		assert.Equal(t, c.hint, only(t, found, "room-left").Hint)
	}
	j := three() // no lid presses on pieces
	j.Cases[0].Inside.Height += inch / 8
	j.Trays[0].Pockets = []job.Pocket{rect(20, 20, 30, 20)}
	_, found := make1(t, j)
	assert.Equal(t, "no stock sheet of its foams is as thin as that; lay soft scrap as thick as that on cover", only(t, found, "room-left").Hint)
}

// The lid meets a piece that stands out farther than there is room, and what may lie on a tray leaves room for those that do not.
func TestLidOnPieces(t *testing.T) {
	j := three()
	j.Roster = []job.Piece{{ID: "a", Count: 1, Length: mm(28), Width: mm(18), Height: mm(10), Pose: job.Upright}}
	j.Trays[0].Pockets = []job.Pocket{with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "a", mm(4) })}
	j.Cases[0].Inside.Height += mm(2)
	_, found := make1(t, j)
	f := only(t, found, "lid-on-pieces")
	assert.Equal(t, finding.Warning, f.Severity)
	assert.NotContains(t, rules(found), "room-left")
	j.Cases[0].Inside.Height += mm(5) // 7 mm, and 6 mm of piece
	_, found = make1(t, j)
	assert.NotContains(t, rules(found), "lid-on-pieces")
	assert.Contains(t, only(t, found, "room-left").Hint, "of it free, for pieces of cover stand out into it")
}

func TestCases(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*job.Job)
		want   string
	}{
		{"plain", func(*job.Job) {}, ""},
		{"unknown tray", func(j *job.Job) { j.Cases[0].Stack[3] = "store" }, "note:tray-in-no-case error:unknown-tray note:room-left"},
		{"no stack", func(j *job.Job) { j.Cases[0].Stack = nil }, "error:not-arranged"},
		{"other size", func(j *job.Job) { j.Trays[1].Length = mm(249) }, "error:tray-does-not-fit"},
		{"unused tray", func(j *job.Job) {
			extra := j.Trays[0]
			extra.ID = "spare"
			j.Trays = append(j.Trays, extra)
		}, "note:tray-in-no-case"},
		{"label for two cases", func(j *job.Job) {
			second := j.Cases[0]
			second.Name = "Reef Watch"
			j.Cases = append(j.Cases, second)
		}, "note:label-for-several-cases note:label-for-several-cases note:label-for-several-cases note:label-for-several-cases"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := three()
			c.change(j)
			_, found := make1(t, j)
			assert.Equal(t, c.want, rules(found), "%v", found)
		})
	}
}

func TestCopiesAndLabels(t *testing.T) {
	j := three()
	j.Cases[0].Copies = 2
	second := j.Cases[0]
	second.Name, second.Copies, second.Stack = "Reef Watch", 3, []string{"cover", "crew", "crew", "stores"}
	second.Inside.Height += inch
	j.Cases = append(j.Cases, second)
	plan, _ := make1(t, j)
	var copies []int
	for _, tray := range plan.Trays {
		copies = append(copies, tray.Copies)
	}
	assert.Equal(t, []int{5, 2, 8, 5}, copies)
	assert.Equal(t, "Tidewrack Gull Watch, Reef Watch crew", plan.Trays[2].Label)
	plan, _ = make1(t, bench(pad()))
	assert.Equal(t, 1, plan.Trays[0].Copies)
	assert.Equal(t, "Tidewrack pad", plan.Trays[0].Label)
}

// Foam that is left, and the pieces in it: one to each pocket first.
func TestWeights(t *testing.T) {
	j := three()
	j.Roster = []job.Piece{counted(piece("anchor", 1, 20, 20, 10), 5)}
	j.Roster[0].WeightG = 40
	place := func(x float64, d float64) job.Pocket {
		p := with(rect(x, 20, 20, 20), depth(d))
		p.Corner, p.Relief, p.For = 0, job.NoRelief, "anchor"
		return p
	}
	j.Trays[1].Pockets = []job.Pocket{place(20, 10)}
	j.Trays[3].Pockets = []job.Pocket{place(20, 25.4), place(60, 55)}
	plan, found := make1(t, j)
	require.False(t, found.Failed(), "%v", found)
	riders, stores := plan.Trays[1], plan.Trays[3]
	assert.InDelta(t, 250*190*25.4*(30+45.0/4)*1e-6-20*20*10*30e-6, riders.FoamG, 1e-6)
	assert.InDelta(t, 250*190*25.4*(60+45.0/4)*1e-6-400*(25.4*30+50.8*30+4.2*45)*1e-6, stores.FoamG, 1e-6)
	assert.InDelta(t, 40, riders.PiecesG, 0)
	assert.InDelta(t, 160, stores.PiecesG, 0)
	sum := 0.0
	for _, tray := range plan.Trays {
		sum += tray.FoamG + tray.PiecesG
	}
	assert.InDelta(t, sum, plan.Cases[0].WeightG, 1e-9)
}

// Two coins go one to each of two pockets, though five would go into the first.
func TestPiecesAreSpread(t *testing.T) {
	j := three()
	coin := counted(piece("coin", 1, 20, 20, 2), 2)
	coin.WeightG, coin.Shape = 8, job.Round
	j.Roster = []job.Piece{coin}
	p := with(round(20, 20, 20.5), depth(10))
	p.For = "coin"
	j.Trays[1].Pockets, j.Trays[2].Pockets = []job.Pocket{p}, []job.Pocket{p}
	plan, found := make1(t, j)
	assert.Empty(t, found)
	assert.InDelta(t, 8, plan.Trays[1].PiecesG, 0)
	assert.InDelta(t, 8, plan.Trays[2].PiecesG, 0)
	for _, tray := range plan.Trays[1:3] {
		assert.Equal(t, 1, tray.Pockets[0].Packed, "what the packing list says is what was weighed")
	}
}

// Where pockets overlap, foam is taken out once.
func TestWeightOfOverlaps(t *testing.T) {
	for _, c := range []struct {
		name    string
		second  job.Pocket
		removed float64
	}{
		{"same depth", with(rect(40, 30, 30, 20), sharp), 25.4 * (600 + 600 - 10*10)},
		{"a step", with(rect(40, 30, 30, 20), func(p *job.Pocket) { p.Corner, p.Depth = 0, mm(10) }), 25.4*600 + 10*(600-100)},
		{"inside", with(rect(25, 25, 10, 10), func(p *job.Pocket) { p.Corner, p.Depth = 0, mm(10) }), 25.4 * 600},
	} {
		plan, _ := make1(t, bench(pad(with(rect(20, 20, 30, 20), sharp), c.second)))
		whole := 120 * 80 * 25.4 * (30 + 45.0/4) * 1e-6
		assert.InDelta(t, whole-c.removed*30e-6, plan.Trays[0].FoamG, 1e-6, c.name)
	}
}

func TestHalvesInAStack(t *testing.T) {
	j := three()
	j.Trays[3].Halves = 2
	plan, found := make1(t, j)
	require.False(t, found.Failed(), "%v", found)
	assert.Equal(t, []int{0, 1, 2, 3}, plan.Cases[0].Stack)
	assert.Equal(t, 5*inch, plan.Cases[0].Height)
	assert.InDelta(t, 250*190*25.4*(4.25*30+0.75*45)*1e-6, plan.Cases[0].WeightG, 1e-6)
}

func TestHeavyAboveLight(t *testing.T) {
	j := three()
	j.Cases[0].Stack = []string{"cover", "stores", "riders", "crew"}
	_, found := make1(t, j)
	assert.Contains(t, only(t, found, "heavy-above-light").Message, "stores weighs 86 g and stands on riders, which weighs 50 g")
}

// A piece is counted in the cases that have a pocket for it.
func TestCountsPerCase(t *testing.T) {
	j := three()
	j.Roster = []job.Piece{counted(piece("kraken", 1, 20, 20, 20), 3), piece("gull", 1, 20, 20, 20)}
	j.Trays[1].Pockets = []job.Pocket{with(rect(20, 20, 20, 20), for_("kraken")), with(rect(60, 20, 20, 20), for_("kraken"))}
	j.Trays[2].Pockets = []job.Pocket{with(rect(20, 20, 20, 20), for_("gull"))}
	second := j.Cases[0]
	second.Name, second.Stack, second.Inside.Height = "Reef Watch", []string{"cover", "crew", "crew", "stores"}, 5*inch
	j.Cases = append(j.Cases, second)
	for i := range j.Trays {
		j.Trays[i].Label = ""
	}
	_, found := make1(t, j)
	assert.Equal(t, "warning:fewer-pockets-than-pieces note:more-pockets-than-pieces", rules(found), "%v", found)
	assert.Equal(t, "3 on the roster, 2 pockets for 2 in case Gull Watch", found[0].Message)
	assert.Equal(t, "piece kraken", found[0].Where)
	assert.Equal(t, "1 on the roster, 2 pockets in case Reef Watch", found[1].Message)
}

// A group that no pocket is for is one note; one piece of a group is a warning.
func TestForgottenPieces(t *testing.T) {
	gull, crab, eel, urchin := piece("gull", 1, 20, 20, 20), piece("crab", 1, 20, 20, 20), piece("eel", 1, 20, 20, 20), piece("urchin", 1, 20, 20, 20)
	gull.Group, crab.Group, eel.Group, urchin.Group = "gull", "gull", "reef", "reef"
	_, found := make1(t, bench(pad(with(rect(20, 20, 20, 20), for_("gull"))), gull, crab, eel, urchin))
	assert.Equal(t, "warning:piece-without-pocket note:group-without-pockets", rules(found))
	assert.Equal(t, "piece crab", found[0].Where)
	assert.Equal(t, "group reef", found[1].Where)
}

func TestManyPockets(t *testing.T) {
	_, found := make1(t, bench(pad(with(round(20, 20, 1), grid(math.MaxInt32, math.MaxInt32, 3, 3)))))
	assert.Equal(t, "error:too-many-pockets", rules(found))
}

func TestZeroJob(t *testing.T) {
	plan, found := Make(Input{Job: &job.Job{}})
	assert.NotNil(t, plan)
	assert.Equal(t, "error:process-not-built", rules(found))
}

// A tray is made as often as all cases need it, those that say no number once; one that no case stacks is made once.
func TestCopiesOfTrays(t *testing.T) {
	j := three()
	j.Cases[0].Copies, j.Cases[0].Stack = 3, []string{"cover", "cover", "crew"}
	other := j.Cases[0]
	other.Copies, other.Stack = 0, []string{"crew", "riders"}
	j.Cases = append(j.Cases, other)
	plan, _ := make1(t, j)
	var copies []int
	for _, t := range plan.Trays {
		copies = append(copies, t.Copies)
	}
	assert.Equal(t, []int{6, 1, 4, 1}, copies)
}
