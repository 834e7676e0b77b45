package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// What a pocket takes of a pile, by its depth: as many as do not stand out, or all of them where foam above gives
// what they do; and the dry run may cut it no shallower than that.
func TestPilesInAPocket(t *testing.T) {
	for _, c := range []struct {
		depth, height float64
		pile, count   int
		holds         int
		higher        float64 // how much shallower it may be
		rule          string
	}{
		{12, 2, 6, 6, 6, 0.5, ""},
		{12.3, 2, 6, 30, 6, 0.8, "warning:fewer-pockets-than-pieces"},
		{11.7, 2, 6, 6, 6, 0.2, "note:piece-just-proud"},
		{11.4, 2, 6, 6, 5, 1.9, "warning:fewer-pockets-than-pieces"},
		{20, 2, 6, 6, 6, 8.5, ""},
		{20, 2, 1, 6, 1, 18.5, "warning:fewer-pockets-than-pieces"},
		{20, 2, 0, 10, 10, 18.5, ""},
		{1, 2, 6, 6, 1, math.Inf(1), "warning:piece-stands-proud warning:fewer-pockets-than-pieces"},
		{3, 0.3, 60, 10, 10, 0.5, ""},
		{3, 0.3, 60, 60, 10, 0.5, "warning:fewer-pockets-than-pieces"},
	} {
		coin := piece("coin", c.count, 25, 25, c.height)
		coin.Shape, coin.Pose, coin.Pile = job.Round, job.Upright, c.pile
		p := round(20, 20, 25)
		p.For, p.Depth = "coin", mm(c.depth)
		made, found := make1(t, bench(pad(p), coin))
		k := made.Trays[0].Pockets[0]
		assert.Equal(t, c.holds, k.Holds, "%+v", c)
		assert.Equal(t, c.higher, math.Round(k.Play.HigherMM*1e9)/1e9, "%+v", c)
		assert.Equal(t, c.rule, rules(found), "%+v", c)
	}
}

// With `access: lift` a pocket takes as many of a pile as stand out as far as is planned, of a lower one too.
func TestPilesThatStandOut(t *testing.T) {
	for depth, holds := range map[float64]int{7: 6, 5: 5, 3: 4} {
		coin := piece("coin", 6, 25, 25, 2)
		coin.Shape, coin.Pose, coin.Pile = job.Round, job.Upright, 6
		p := round(20, 20, 25)
		p.For, p.Depth, p.Access = "coin", mm(depth), job.LiftAccess
		made, _ := make1(t, bench(pad(p), coin))
		assert.Equal(t, holds, made.Trays[0].Pockets[0].Holds, "%v", depth)
	}
}

// What is said of too few pockets for piles is true when it is done.
func TestHintOfPiles(t *testing.T) {
	coin := piece("coin", 12, 25, 25, 2.2)
	coin.Shape, coin.Pose, coin.Pile = job.Round, job.Upright, 6
	p := round(20, 20, 25)
	p.For, p.Depth, p.Columns, p.PitchX = "coin", mm(8), 2, mm(40)
	_, found := make1(t, bench(pad(p), coin))
	f := only(t, found, "fewer-pockets-than-pieces")
	assert.Equal(t, "12 on the roster, 2 pockets for 6", f.Message)
	assert.Equal(t, "add pockets, make those of a pile of 6 13.2 mm deep, or correct the count", f.Hint)
	p.Depth = mm(13.2)
	_, found = make1(t, bench(pad(p), coin))
	assert.Empty(t, found)
	p.Columns = 3
	p.PitchX = mm(36)
	_, found = make1(t, bench(pad(p), coin))
	assert.Equal(t, "12 on the roster, 3 pockets for 18", only(t, found, "more-pockets-than-pieces").Message)
}
