package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
)

func TestOperationsAreRunsOfOneName(t *testing.T) {
	r, _ := trayResult()
	ops := operations(r.Motions, r.Field)
	assert.Len(t, ops, 26)
	assert.Equal(t, "logbook", ops[0].piece())
	assert.Equal(t, geometry.Point{X: 52, Y: 73.6}, ops[0].start)
	assert.InDelta(t, 10, ops[0].depthMM, 0.01)
	assert.InDelta(t, 25, ops[25].depthMM, 0.01, "the outline's skin of 0.4 mm stays")
}

func TestPieceIsWhatStandsInBrackets(t *testing.T) {
	for name, want := range map[string]string{
		"pocket 3 (kraken)":          "kraken",
		"pocket 3 <kraken>":          "kraken", // as a program's comment has it
		"pocket 1 (dice (blue)) 1,1": "dice (blue)", "pocket 2 <dice <blue>> 1,2": "dice (blue)",
		"outline":  "outline",
		"odd (":    "odd (",
		"empty ()": "empty ()",
		"":         "",
	} {
		assert.Equal(t, want, operation{name: name}.piece(), "%q", name)
	}
}

func TestAlikeOperationsAreOneLine(t *testing.T) {
	r, _ := trayResult()
	list := groups(operations(r.Motions, r.Field))
	assert.Len(t, list, 9)
	assert.Equal(t, 6, list[5].first)
	assert.Equal(t, 17, list[5].last)
	assert.Equal(t, "coin", list[5].piece)
}

func TestFlagsStandWhereTheLineEnds(t *testing.T) {
	at := func(line int, x float64) proof.Motion {
		return proof.Motion{Line: line, To: proof.Point{Point: geometry.Point{X: x}}}
	}
	motions := []proof.Motion{at(3, 1), at(5, 2), at(5, 3), at(9, math.NaN())}
	for line, want := range map[int]float64{3: 1, 4: 1, 5: 3, 7: 3, 9: 3, 1000: 3} {
		p, ok := placeOf(line, motions)
		assert.True(t, ok)
		assert.Equal(t, want, p.X, "line %d", line)
	}
	_, ok := placeOf(2, motions)
	assert.False(t, ok, "before anything moves")
}

// A quarter circle about the origin; and the whole one that NISTIR 6556 3.5.3.2
// makes of an arc that ends where it starts.
func TestTraceOfArcs(t *testing.T) {
	quarter := proof.Motion{Arc: true, CCW: true, From: proof.Point{Point: geometry.Point{X: 10}}, To: proof.Point{Point: geometry.Point{Y: 10}}}
	length := func(m proof.Motion) float64 {
		points, sum := trace(m, 10), 0.0
		for i := 1; i < len(points); i++ {
			sum += points[i].DistanceTo(points[i-1])
		}
		return sum
	}
	assert.InDelta(t, 5*math.Pi, length(quarter), 0.05)
	quarter.CCW = false
	assert.InDelta(t, 15*math.Pi, length(quarter), 0.1, "the other way round")
	quarter.To = quarter.From
	assert.InDelta(t, 20*math.Pi, length(quarter), 0.1)
}

// A shallow pocket that a deeper one of the same piece cuts into keeps its own
// depth, and its own line.
func TestSteppedPocketsKeepTheirDepths(t *testing.T) {
	move := func(op string, z float64) proof.Motion {
		at := proof.Point{Point: geometry.Point{X: 5, Y: 5}, Z: z}
		return proof.Motion{From: at, To: at, On: true, Tool: 1, Op: op, Feed: 100}
	}
	field := proof.Field{CellMM: 1, Columns: 10, Rows: 10, DepthMM: make([]float32, 100)}
	for i := range field.DepthMM {
		field.DepthMM[i] = 12
	}
	list := groups(operations([]proof.Motion{move("pocket 1 (die)", -5), move("pocket 2 (die)", -12)}, field))
	assert.Equal(t, []group{{1, 1, "die", 1, 5}, {2, 2, "die", 1, 12}}, list)
}

// An operation is called by the roster's name of its piece, on pictures and in the order of work; by its id
// where the letters lack the name.
func TestOperationsAreCalledByTheRoster(t *testing.T) {
	p := &plan.Plan{Job: &job.Job{Roster: []job.Piece{{ID: "die", Name: "Die of bone"}, {ID: "fan", Name: "\U00012000"}, {ID: "keg"}}}}
	var ops []proof.Motion
	for i, name := range []string{"pocket 1 <die>", "pocket 2 <fan>", "pocket 3 <keg>", plan.RoughingOf + "pocket 1 <die>", "fit 2 <die, keg>", strings.ToLower("pocket 7 (Ναύτης)"), "outline"} {
		ops = append(ops, proof.Motion{Op: name, On: true, From: proof.Point{Point: geometry.Point{X: float64(10 * i)}, Z: -5}, To: proof.Point{Point: geometry.Point{X: float64(10*i + 5)}, Z: -5}})
	}
	o := PictureOptions{Job: p, Spell: strings.ToLower, Wanted: &proof.Wanted{Cuts: []proof.WantedCut{{Name: "pocket 7 (Ναύτης)"}}}}
	var said []string
	for _, g := range newSheet(setter(t), proof.Result{Motions: ops}, o).groups {
		said = append(said, g.piece)
	}
	assert.Equal(t, []string{"Die of bone", "fan", "keg", "Die of bone, roughed", "Die of bone, keg", "Ναύτης", "outline"}, said)
	assert.Equal(t, "\U00012000", newSheet(nil, proof.Result{Motions: ops}, o).groups[1].piece, "as written")
}

// What an earlier program engraved is in the foam of this one's picture, and in its legend.
func TestLegendHasTheMarksOfAnEarlierProgram(t *testing.T) {
	s := sheet{r: proof.Result{Field: proof.Field{DepthMM: []float32{0, 1.5, 28.7}}}, shades: newShades(56, 30)}
	assert.Empty(t, s.depthsBefore())
	s.o.Wanted = &proof.Wanted{MarkDepthMM: 1.5}
	assert.Equal(t, []float64{1.5}, s.depthsBefore())
	s.r.Field.DepthMM[1] = 0
	assert.Empty(t, s.depthsBefore())
}
