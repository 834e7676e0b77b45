package lettering

import (
	"fmt"
	"math"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func ring(outer, inner float64) geometry.Region {
	return geometry.NewRegion(geometry.Circle(geometry.Point{}, outer), geometry.Circle(geometry.Point{}, inner).Reverse())
}

// checkStencil asks what a stencil promises: the sheet around the cut is in one piece, no
// part of a strip is cut, and nothing is cut that was not in the region.
func checkStencil(t require.TestingT, region, result geometry.Region, bridges []Bridge, width float64) {
	require.NoError(t, result.Validate(joinMM))
	frame := geometry.NewRegion(geometry.Rectangle(region.Bounds().Grow(5), 0))
	sheet, err := geometry.Difference(frame, result, joinMM)
	require.NoError(t, err)
	require.Len(t, sheet.Pieces(), 1, "the sheet falls apart")
	strips := 0.0
	for _, b := range bridges {
		strip := geometry.NewRegion(b.strip())
		require.InDelta(t, width, b.WidthMM, 1e-12)
		require.InDelta(t, width*b.From.DistanceTo(b.To), strip.Area(), 1e-9)
		strips += strip.Area()
		kept, err := geometry.Difference(strip, result, joinMM)
		require.NoError(t, err)
		require.InDelta(t, strip.Area(), kept.Area(), 1e-4, "a bridge is thinner than asked")
		require.False(t, region.Contains(b.From) || region.Contains(b.To), "a bridge ends in the cut")
	}
	more, err := geometry.Difference(result, region, joinMM)
	require.NoError(t, err)
	require.InDelta(t, 0, more.Area(), 1e-4)
	require.LessOrEqual(t, region.Area()-result.Area(), strips+1e-4)
}

// checkEnds asks that a bridge meets the sheet with its whole width at both ends.
func checkEnds(t *testing.T, result geometry.Region, bridges []Bridge, what string) {
	for _, b := range bridges {
		corners := b.strip().Vertices()
		for _, end := range []geometry.Segment{{A: corners[0].Point, B: corners[3].Point}, {A: corners[1].Point, B: corners[2].Point}} {
			for i := range 11 {
				p := end.At(0.02 + 0.096*float64(i))
				assert.False(t, result.Contains(p), "%s: the bridge %v ends in the cut at %v", what, b, p)
			}
		}
	}
}

// Every letter with an island, of every shipped face.
func TestStencilOfAllLetters(t *testing.T) {
	step := 1
	if testing.Short() {
		step = 11
	}
	for _, name := range Names()[1:] {
		face := shippedFace(t, name)
		seen := 0
		for r := '!'; r < 0x17f; r += rune(step) {
			if unicode.IsSpace(r) || checkCharacter(r, 0) != nil || !face.source.has(r) {
				continue
			}
			line, err := face.Set(string(r), Setting{HeightMM: 20})
			require.NoError(t, err)
			region := line.Letters[0].Region
			if len(holes(region)) == 0 {
				continue
			}
			seen++
			widths := []float64{0.5, 1.2}
			if seen%3 != 0 {
				widths = widths[:1]
			}
			for _, width := range widths {
				result, bridges, err := Stencil(region, StencilOptions{BridgeMM: width}, joinMM)
				require.NoError(t, err, "%s %c", name, r)
				checkStencil(t, region, result, bridges, width)
				if width == 0.5 {
					checkEnds(t, result, bridges, name+" "+string(r))
				}
				assert.Less(t, region.Area()-result.Area(), 0.45*region.Area(), "%s %c", name, r)
			}
		}
		assert.Greater(t, seen, 80/step-3, name)
	}
}

// A disc in a ring hangs on two bridges, upright, as long as the ring is wide and a
// little more on both ends; with one asked for, on one.
func TestStencilOfARing(t *testing.T) {
	result, bridges, err := Stencil(ring(10, 6), StencilOptions{BridgeMM: 1}, joinMM)
	require.NoError(t, err)
	require.Len(t, bridges, 2)
	assert.Len(t, result.Contours(), 2)
	for _, b := range bridges {
		assert.InDelta(t, 0, b.From.X, 1e-9)
		assert.InDelta(t, 0, b.To.X, 1e-9)
	}
	assert.Negative(t, bridges[0].From.Y*bridges[1].From.Y, "above and below")
	// Half a bridge's width off the middle both circles are lower than on it.
	segment := func(r float64) float64 { return r*r*math.Asin(0.5/r) + 0.5*math.Sqrt(r*r-0.25) }
	assert.InDelta(t, 2*(segment(10)-segment(6)), ring(10, 6).Area()-result.Area(), 1e-9)

	_, bridges, err = Stencil(ring(10, 6), StencilOptions{BridgeMM: 1, PerIsland: 1}, joinMM)
	require.NoError(t, err)
	assert.Len(t, bridges, 1)
	_, bridges, err = Stencil(ring(10, 0.9), StencilOptions{BridgeMM: 1}, joinMM)
	require.NoError(t, err)
	assert.Len(t, bridges, 1, "an island narrower than two bridges")
}

// Rings in rings, and holes side by side.
func TestStencilOfNestedIslands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.Float64Range(0.3, 2).Draw(t, "width")
		region := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 60, Y: 40}}, 3))
		for i := range rapid.IntRange(1, 5).Draw(t, "holes") {
			at := geometry.Point{X: rapid.Float64Range(8, 52).Draw(t, "x"), Y: rapid.Float64Range(8, 32).Draw(t, "y")}
			hole := geometry.Rectangle(geometry.Box{Min: at.Sub(geometry.Point{X: 5, Y: 4}), Max: at.Add(geometry.Point{X: 5, Y: 4})}, float64(i%3))
			hole = hole.Transform(geometry.Rotate(rapid.Float64Range(0, 3).Draw(t, "turn"), at))
			less, err := geometry.Difference(region, geometry.NewRegion(hole), joinMM)
			require.NoError(t, err)
			island := ring(rapid.Float64Range(1.5, 3).Draw(t, "outer"), 1).Transform(geometry.Translate(at.X, at.Y))
			region, err = geometry.Union(joinMM, less, island)
			require.NoError(t, err)
		}
		result, bridges, err := Stencil(region, StencilOptions{BridgeMM: width, PerIsland: rapid.IntRange(0, 2).Draw(t, "each")}, joinMM)
		require.NoError(t, err)
		checkStencil(t, region, result, bridges, width)
	})
}

func TestStencilLeavesWholeShapesAlone(t *testing.T) {
	for _, r := range []geometry.Region{{}, geometry.NewRegion(geometry.Circle(geometry.Point{}, 3))} {
		result, bridges, err := Stencil(r, StencilOptions{BridgeMM: 1}, joinMM)
		require.NoError(t, err)
		assert.Empty(t, bridges)
		assert.Equal(t, r, result)
	}
}

func TestStencilRefuses(t *testing.T) {
	twisted := geometry.NewRegion(geometry.Polygon(geometry.Point{}, geometry.Point{X: 4, Y: 4}, geometry.Point{X: 4}, geometry.Point{Y: 4}))
	for _, c := range []struct {
		region geometry.Region
		o      StencilOptions
		rule   Rule
	}{
		{ring(5, 3), StencilOptions{}, ruleSetting},
		{ring(5, 3), StencilOptions{BridgeMM: math.NaN()}, ruleSetting},
		{ring(5, 3), StencilOptions{BridgeMM: math.Inf(1)}, ruleSetting},
		{ring(5, 3), StencilOptions{BridgeMM: 1, PerIsland: 3}, ruleSetting},
		{twisted, StencilOptions{BridgeMM: 1}, ruleShape},
	} {
		_, _, err := Stencil(c.region, c.o, joinMM)
		fault := new(Fault)
		require.ErrorAs(t, err, &fault, fmt.Sprint(c.o))
		assert.Equal(t, c.rule, fault.Rule)
	}
}

// The bridges of a letter turn with it on an arc.
func TestBridgesOnAnArc(t *testing.T) {
	line := mustSet(t, "go-bold", "OOO", Setting{HeightMM: 20, Align: Center, ArcRadiusMM: 50, BridgeMM: 1.5})
	for _, letter := range line.Letters {
		require.Len(t, letter.Bridges, 2)
		assert.Empty(t, holes(letter.Region))
		for _, b := range letter.Bridges {
			along := b.To.Sub(b.From)
			radial := b.From.Sub(geometry.Point{Y: -50})
			assert.InDelta(t, 0, along.Cross(radial)/along.Norm()/radial.Norm(), 0.02)
		}
	}
}
