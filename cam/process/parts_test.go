package process

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

func pt(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

// A hand draws its marks with a pen, each from its own beginning at the foam's top, and cuts holes before they are asked for as far as they go through.
func TestMarksOfAHand(t *testing.T) {
	line := geometry.NewPath(geometry.Vertex{Point: pt(10, 20)}, geometry.Vertex{Point: pt(30, 20)}, geometry.Vertex{Point: pt(30, 50)})
	h := &hand{sheet: plan.Sheet{Marking: plan.Cut{Name: "marks", KerfMM: []float64{0.5}}}, tol: tol}
	op, err := h.marks([]geometry.Path{line, line.Reverse()})
	require.NoError(t, err)
	assert.Equal(t, []any{Mark, "marks", 0.5, 1}, []any{op.Kind, op.Name, op.KerfMM, op.Passes})
	var ways []string
	for _, m := range op.Moves {
		ways = append(ways, fmt.Sprint(m.Kind, m.To.X, m.To.Y, m.To.Z))
	}
	assert.Equal(t, []string{"0 10 20 0", "1 30 20 0", "1 30 50 0", "1 30 20 0", "1 10 20 0"}, ways[:5], "the pen stays where it is")
	h.sheet.Marking.KerfMM = nil
	_, err = h.marks([]geometry.Path{line})
	assert.ErrorContains(t, err, "no passes")
	for _, c := range []cutter{h, &hotWire{}} {
		_, err = c.pocket(plan.Cut{Name: "keg", KerfMM: []float64{1}}, pt(0, 0))
		assert.ErrorContains(t, err, "keg")
	}
}

// The part of a way of 10 and 20 mm round a corner, and a place of it that still has a direction.
func TestPartOfAWay(t *testing.T) {
	way := []geometry.Segment{{A: pt(0, 0), B: pt(10, 0)}, {A: pt(10, 0), B: pt(10, 20)}}
	assert.Equal(t, 30.0, wayLength(way))
	for _, c := range []struct {
		from, to float64
		want     []geometry.Segment
	}{
		{0, 30, way}, {2, 8, []geometry.Segment{{A: pt(2, 0), B: pt(8, 0)}}}, {4, 15, []geometry.Segment{{A: pt(4, 0), B: pt(10, 0)}, {A: pt(10, 0), B: pt(10, 5)}}}, {12, 15, []geometry.Segment{{A: pt(10, 2), B: pt(10, 5)}}},
		{4, 4, []geometry.Segment{{A: pt(4, 0), B: pt(4+placeMM, 0)}}}, {15, 15, []geometry.Segment{{A: pt(10, 5), B: pt(10, 5+placeMM)}}}, {31, 31, nil},
	} {
		got := partOf(way, c.from, c.to)
		require.Len(t, got, len(c.want), "%+v", c)
		for i, s := range got {
			assert.InDelta(t, 0, s.A.DistanceTo(c.want[i].A)+s.B.DistanceTo(c.want[i].B), 1e-9, "%+v", c)
		}
	}
}

// What follows on a corner is one joint with it: open where either is, and waste alone where all of what is open is.
func TestJoints(t *testing.T) {
	for _, c := range []struct{ a, b, want joint }{
		{joint{}, joint{}, joint{}}, {joint{true, true}, joint{}, joint{true, true}}, {joint{}, joint{true, false}, joint{true, false}}, {joint{true, true}, joint{true, false}, joint{true, false}},
		{joint{true, true}, joint{true, true}, joint{true, true}}, {joint{true, false}, joint{true, false}, joint{true, false}},
	} {
		assert.Equal(t, c.want, c.a.and(c.b), "%+v", c)
	}
}

// A piece balances in its middle: two thirds down a triangle, and where it begins when it has no area.
func TestWhereAPieceBalances(t *testing.T) {
	assert.Equal(t, pt(4, 2), middleOf([]geometry.Point{pt(0, 0), pt(6, 0), pt(6, 6)}))
	assert.Equal(t, pt(12, 6), middleOf([]geometry.Point{pt(10, 5), pt(14, 5), pt(14, 7), pt(10, 7)}))
	assert.Equal(t, pt(3, 3), middleOf([]geometry.Point{pt(3, 3), pt(5, 5), pt(4, 4)}))
	assert.InDelta(t, 4, narrowest([]geometry.Point{pt(0, 0), pt(9, 0), pt(9, 4), pt(0, 4)}), 1e-9)
	assert.Zero(t, track{}.length())
}

// The outline that lies firmest is the last where nothing holds what comes free.
func TestTheLargestRimComesLast(t *testing.T) {
	rims := []geometry.Contour{boxAt(0, 0, 90, 90), boxAt(100, 0, 10, 10), boxAt(200, 0, 10, 10)}
	for name, c := range map[string]struct {
		hold plan.Hold
		last bool
	}{"loose": {plan.Hold{}, true}, "on a skin": {plan.Hold{SkinMM: 1}, false}, "on tabs": {plan.Hold{Tabs: 3}, false}} {
		order := orderRims(pt(0, 0), rims, c.hold)
		require.Len(t, order, 3)
		assert.Equal(t, c.last, order[2].Bounds().Width() == 90, name)
		assert.Equal(t, !c.last, order[0].Bounds().Width() == 90, "%s: it is the nearest", name)
	}
}

// A wire begins its way in before the tray, and 10 mm (plan.BesideMM) before the foam where that is known, in the middle of the side that it comes to.
func TestWhereAWireBegins(t *testing.T) {
	h := &hotWire{sheet: plan.Sheet{Edge: plan.Cut{Recipes: []profiles.Recipe{{LeadInMM: number(20)}}}}}
	contours := []geometry.Contour{boxAt(50, 0, 30, 30), boxAt(5, 10, 30, 40)}
	from, to, first := h.start(contours)
	assert.Equal(t, []any{pt(-15, 30), pt(5, 30), 1}, []any{from, to, first})
	h.sheet.Foam = geometry.Box{Min: pt(-8, -8), Max: pt(200, 90)}
	from, to, _ = h.start(contours)
	assert.Equal(t, []geometry.Point{pt(-18, 30), pt(5, 30)}, []geometry.Point{from, to})
	h.sheet.Foam = geometry.Box{Min: pt(-8, -8), Max: pt(-7.5, 90)}
	from, _, _ = h.start(contours)
	assert.Equal(t, -18.0, from.X)
}

// A blade of 6 mm that may gouge 0.1 mm goes round what hypot(r, 3) - r says, half its chord aside; where its waste is, round half its chord. What a
// hint asks for does, to a hundredth of a mm.
func TestCurvesTooTightForABlade(t *testing.T) {
	arc := func(r, bulge float64) geometry.Segment {
		return geometry.Segment{A: pt(r, 0), B: pt(0, r), Bulge: bulge}
	}
	b := &steering{name: "keg", kerf: 1, tool: profiles.Tool{ChordMM: number(6), GougeMM: number(0.1)}, half: 3}
	inside := (3*3 - 0.1*0.1) / (2 * 0.1) // of hypot(r, 3) - r = 0.1
	assert.NoError(t, b.tight(arc(inside+0.001, math.Tan(math.Pi/8))))
	err := b.tight(arc(inside-0.01, math.Tan(math.Pi/8)))
	assert.ErrorContains(t, err, fmt.Sprintf("give it a radius of %.2f mm or more", math.Ceil((inside+0.5)*100)/100))
	assert.ErrorContains(t, err, "an upright blade of at most 5.99 mm")
	assert.NoError(t, b.tight(arc(3.001, -math.Tan(math.Pi/8))))
	err = b.tight(arc(2.99, -math.Tan(math.Pi/8)))
	assert.ErrorContains(t, err, "outside curve of radius 2.49 mm")
	assert.ErrorContains(t, err, "give it a radius of 2.50 mm or more, or a sharp corner; or take a blade of at most 5.98 mm")
}
