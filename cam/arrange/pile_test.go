package arrange

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
)

// coins are round, 25 mm across and 2 mm high, and lie in piles.
func coins(count, pile int) job.Piece {
	p := piece("coin", "purse", count, 25, 25, 2, job.Upright)
	p.Shape, p.Pile = job.Round, pile
	return p
}

// packedIn is how many of a piece lie in all pockets of a plan, and how deep these are, mm.
func packedIn(p *plan.Plan, id string) (packed int, depths []float64) {
	for _, t := range p.Trays {
		for _, k := range t.Pockets {
			if k.For == id {
				depth := k.Depth.MM()
				if k.Depth == t.Layers[0].Thickness { // what would be left of it is a skin
					depth = math.Floor(depth)
				}
				packed, depths = packed+k.Packed, append(depths, depth)
			}
		}
	}
	return packed, depths
}

// 20 coins in piles of 6: three of 12 mm and one of 4, in a tray and in a chosen one, which a laser cuts through its sheet.
func TestPiles(t *testing.T) {
	for _, machine := range []string{"bench-router", "bench-laser"} {
		for _, cased := range []bool{false, true} {
			j := bench(coins(20, 6))
			j.Machine = machine
			if cased {
				j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(2 * inch)}}
			} else {
				j.Trays = []job.Tray{tray("purse", "purse")}
			}
			r := run(t, j)
			require.NotNil(t, r.Job, "%v", r.Findings)
			p, found := planOf(t, r.Job)
			assert.False(t, found.Failed(), "%v", found)
			for _, f := range found {
				assert.NotContains(t, []string{"fewer-pockets-than-pieces", "more-pockets-than-pieces", "piece-stands-proud", "piece-just-proud"}, f.Rule)
			}
			packed, depths := packedIn(p, "coin")
			assert.Equal(t, 20, packed)
			assert.Len(t, depths, 4)
			if machine == "bench-router" {
				assert.ElementsMatch(t, []float64{12, 12, 12, 4}, depths)
				require.Len(t, r.Kinds, 2)
				assert.Contains(t, r.Kinds[0].Why, "diameter 25 mm, easy in pe-30 adds 1.5 mm; 6 on each other are 12 mm deep, to 12")
				assert.Equal(t, []int{18, 6, 2, 2}, []int{r.Kinds[0].Count, r.Kinds[0].Pile, r.Kinds[1].Count, r.Kinds[1].Pile})
			}
			assert.InDelta(t, 250, r.Trays[0].WeightG, 50, "20 coins of 10 g, and foam")
		}
	}
}

// Piles that are to stand out have places for all of them, the lower pile too.
func TestPilesThatStandOut(t *testing.T) {
	for _, cased := range []bool{false, true} {
		j := bench(coins(23, 6))
		one := tray("purse", "coin")
		one.Habits.Access = job.LiftAccess
		j.Trays = []job.Tray{one}
		if cased {
			j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(2 * inch), Stack: []string{"purse"}}}
		}
		r := run(t, j)
		require.NotNil(t, r.Job, "%v", r.Findings)
		p, found := planOf(t, r.Job)
		for _, f := range found {
			assert.NotContains(t, []string{"fewer-pockets-than-pieces", "more-pockets-than-pieces", "piece-stands-proud"}, f.Rule)
		}
		packed, depths := packedIn(p, "coin")
		assert.Equal(t, 23, packed)
		assert.ElementsMatch(t, []float64{7, 7, 7, 5}, depths)
	}
}

// What a hand has placed for a pile counts its pieces.
func TestPilesBesideAPlacedOne(t *testing.T) {
	j := bench(coins(20, 6))
	one := tray("purse", "coin")
	one.Pockets = []job.Pocket{{For: "coin", X: 20 * mm, Y: 20 * mm, Shape: job.RoundShape, Diameter: 27 * mm, Depth: 8 * mm, Columns: 2, Rows: 1, PitchX: 40 * mm}}
	j.Trays = []job.Tray{one}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	p, _ := planOf(t, r.Job)
	packed, depths := packedIn(p, "coin")
	assert.Equal(t, 20, packed)
	assert.ElementsMatch(t, []float64{8, 8, 12, 12}, depths, "twice 4, then 6 and 6")
}

// A pile that becomes higher or lower stays where it is.
func TestPilesStay(t *testing.T) {
	for _, c := range []struct {
		count, pockets int
		depths         []float64
	}{{21, 4, []float64{12, 12, 12, 6}}, {15, 3, []float64{12, 12, 6}}, {18, 3, []float64{12, 12, 12}}, {26, 5, []float64{12, 12, 12, 12, 4}}} {
		for _, cased := range []bool{false, true} {
			j := bench(coins(20, 6), piece("raft", "g", 3, 40, 30, 12, job.Upright))
			j.Trays = []job.Tray{tray("purse", "coin", "raft")}
			if cased {
				j.Trays, j.Cases = nil, []job.Case{{Name: "Reef", Copies: 1, Inside: inside(2 * inch)}}
			}
			first := run(t, j)
			require.NotNil(t, first.Job)
			more := copyOf(j)
			more.Roster[0].Count = c.count
			then := run(t, more, func(in *Input) { in.Previous = first.Job })
			require.NotNil(t, then.Job)
			assert.Zero(t, then.Moved.Pockets, "%d", c.count)
			p, _ := planOf(t, then.Job)
			packed, depths := packedIn(p, "coin")
			assert.Equal(t, c.count, packed)
			assert.ElementsMatch(t, c.depths, depths, "%d", c.count)
		}
	}
}

// Where a pile is too high, the hint names one that is not.
func TestPileTooHigh(t *testing.T) {
	held := bench(coins(40, 20))
	held.Trays = []job.Tray{tray("purse", "coin")}
	cased := bench(coins(400, 80))
	cased.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(8 * inch)}}
	for _, c := range []struct {
		j    *job.Job
		says string
		pile int
	}{{held, "or write `pile: 12` for coin in the roster", 12}, {cased, "or write `pile: 50` for coin in the roster", 50}} {
		r := run(t, c.j)
		require.Nil(t, r.Job)
		f := r.Findings[slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.Severity == finding.Error })]
		assert.Contains(t, f.Hint, c.says)
		c.j.Roster[0].Pile = c.pile
		r = run(t, c.j)
		require.NotNil(t, r.Job, "%v", r.Findings)
	}
}
