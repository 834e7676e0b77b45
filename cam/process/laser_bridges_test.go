package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
)

func bridgedSheet(shapes ...geometry.Region) plan.Sheet {
	var cuts []plan.Cut
	for _, shape := range shapes {
		cuts = append(cuts, plan.Cut{Name: "hole", Shape: shape, Through: true})
	}
	s := laserSheet(cuts...)
	s.Bridged = true
	return s
}

// The piece's narrowest width is worked out by hand: a rectangle's is its shorter side, a
// circle's its diameter, a triangle's its least height, an angle's that of its hull; what falls
// out of a hole is a kerf of 0.3 mm smaller on each side.
func TestWhatTips(t *testing.T) {
	at := func(points ...geometry.Point) geometry.Region {
		var list []geometry.Vertex
		for _, p := range points {
			list = append(list, geometry.Vertex{Point: p})
		}
		return geometry.NewRegion(geometry.NewContour(list...))
	}
	turned := rectangle(0, 0, 12.5, 60, 0).Transform(geometry.Rotate(0.4, geometry.Point{})).Transform(geometry.Translate(60, 40))
	for name, c := range map[string]struct {
		shape geometry.Region
		tips  bool // in foam of 12 mm
	}{
		"narrow":          {rectangle(10, 10, 12.5, 60, 0), true},
		"narrow, turned":  {turned, true},
		"square":          {rectangle(10, 10, 12.7, 12.7, 2), false},
		"small coin":      {round(40, 40, 12.5), true},
		"coin":            {round(40, 40, 12.8), false},
		"triangle":        {at(geometry.Point{X: 10, Y: 10}, geometry.Point{X: 40, Y: 10}, geometry.Point{X: 25, Y: 21}), true},
		"angle of strips": {at(geometry.Point{X: 10, Y: 10}, geometry.Point{X: 50, Y: 10}, geometry.Point{X: 50, Y: 15}, geometry.Point{X: 15, Y: 15}, geometry.Point{X: 15, Y: 50}, geometry.Point{X: 10, Y: 50}), false},
	} {
		whole, err := completed(bridgedSheet(c.shape), benchLaser())
		require.NoError(t, err, name)
		want := 0
		if c.tips {
			want = 2
		}
		assert.Len(t, whole.Cuts[0].Hold.Bridges, want, name)
		assert.Empty(t, whole.Edge.Hold.Bridges, name)
		sheet := bridgedSheet(c.shape)
		sheet.Bridged = false
		whole, err = completed(sheet, benchLaser())
		require.NoError(t, err, name)
		assert.Equal(t, want/2, whole.Cuts[0].Hold.Tips, name)
		assert.Empty(t, whole.Cuts[0].Hold.Bridges, name)
	}
	thin := bridgedSheet(round(40, 40, 12))
	for i := range thin.Cuts[0].Recipes {
		r := &thin.Cuts[0].Recipes[i]
		r.TabWidthMM.Value, r.KerfOffMM.Value = 0.1, 0.2
	}
	whole, err := completed(thin, benchLaser())
	require.NoError(t, err)
	assert.InDelta(t, 0.7, whole.Cuts[0].Hold.BridgeMM, 1e-9, "half a mm stays of it at a kerf that is 0.2 mm wider")
	whole, err = completed(routerSheet(12, plan.Cut{Name: "hole", Shape: rectangle(10, 10, 6, 60, 2), Through: true}), benchRouter())
	require.NoError(t, err)
	assert.Empty(t, whole.Cuts[0].Hold, "a cutter has its own way")
}

// Every kerf ends half a bridge from the bridge's middle, in each pass; all the rest of the
// path is cut, and none of it is drawn twice.
func TestBridgedPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide := rapid.Float64Range(4, 11.5).Draw(t, "wide")
		long := rapid.Float64Range(wide, 80).Draw(t, "long")
		shape := rectangle(10, 10, wide, long, wide*rapid.Float64Range(0, 0.49).Draw(t, "corner"))
		sheet, err := completed(bridgedSheet(shape, rectangle(60, 10, 60, 60, 3)), withZ(benchLaser(), rapid.SampledFrom([]float64{0, 8}).Draw(t, "z")))
		require.NoError(t, err)
		p, err := Make(sheet, benchLaser(), tol)
		require.NoError(t, err)
		held := 0
		for i, op := range p.Ops[:2] {
			path, err := geometry.Offset(sheet.Cuts[0].Shape, -0.15, tol)
			require.NoError(t, err)
			if op.Moves[0].To.X > 40 {
				continue // the wide one
			}
			held = i + 1
			hold := sheet.Cuts[0].Hold
			require.Len(t, hold.Bridges, 2)
			want := 2 * (path.Length() - 2*(hold.BridgeMM+0.3))
			require.InDelta(t, want, litLength(op, shape), 1e-6)
			for _, bridge := range hold.Bridges {
				require.InDelta(t, 0, edgeDistance(shape, bridge), 1e-9)
				at := op.Moves[0].To
				for _, m := range op.Moves {
					for u := 0.0; m.Kind != Rapid && u <= 1; u += 0.02 {
						require.Greater(t, onWay(at, m, u).DistanceTo(bridge)-0.15, 0.44*hold.BridgeMM, "foam is left of it")
					}
					at = m.To
				}
			}
		}
		require.NotZero(t, held)
		drawn, open := 0.0, 0
		for _, d := range p.Drawn {
			if len(d.Path.Vertices()) > 0 {
				drawn, open = drawn+d.Path.Length(), open+1
			}
		}
		path, err := geometry.Offset(shape, -0.15, tol)
		require.NoError(t, err)
		require.Equal(t, 2, open)
		require.InDelta(t, path.Length()-2*1.3, drawn, 1e-6)
	})
}

// A beam that leans 3 degrees takes 12 mm x tan 3 from either side of a bridge at the face,
// so half way down it is 1 mm wide when it is that much wider below (arithmetic). A crumb
// that has no room for two is left to fall.
func TestBridgeWidths(t *testing.T) {
	r := laserRecipe()
	r.TaperDegrees.Value = 3
	piece := round(40, 40, 8).Contours()[0]
	places, width, asked := beaming{}.Bridges(piece, r, 12)
	assert.Len(t, places, 2)
	assert.Equal(t, 2, asked)
	assert.InDelta(t, 1+12*math.Tan(3*math.Pi/180), width, 1e-12)
	r.TaperDegrees.Value, r.TabCount.Value, r.TabWidthMM.Value = 0, 3, 0.5
	places, width, asked = beaming{}.Bridges(piece, r, 12)
	assert.Len(t, places, 3, "a recipe may say otherwise")
	assert.Equal(t, 3, asked)
	assert.InDelta(t, 0.5, width, 1e-12)
	places, _, asked = beaming{}.Bridges(round(40, 40, 0.9).Contours()[0], laserRecipe(), 12)
	assert.Empty(t, places)
	assert.Equal(t, 2, asked)
	places, _, asked = beaming{}.Bridges(round(40, 40, 2.5).Contours()[0], laserRecipe(), 12)
	assert.Len(t, places, 1, "7.85 mm round, and each takes 5.2 mm")
	assert.Equal(t, 2, asked)
	places, _, asked = beaming{}.Bridges(round(40, 40, 20).Contours()[0], laserRecipe(), 12)
	assert.Empty(t, places, "it does not tip")
	assert.Zero(t, asked)
}

// A long piece with straight parts at one end only, the rest of its edge a zigzag too short for a bridge: its middle lies
// between its two bridges all the same, wherever its edge begins, no farther aside than a quarter of its width.
func TestTheMiddleLiesBetweenTheBridges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		high, teeth := rapid.Float64Range(5, 10).Draw(t, "high"), rapid.IntRange(8, 40).Draw(t, "teeth")
		var edge []geometry.Vertex
		at := func(x, y float64) { edge = append(edge, geometry.Vertex{Point: geometry.Point{X: x, Y: y}}) }
		at(0, 0)
		at(16, 0) // the straight end
		for i := range teeth {
			at(16+2*float64(i)+1, 1)
			at(16+2*float64(i)+2, 0)
		}
		at(16+2*float64(teeth), high)
		for i := range teeth {
			at(16+2*float64(teeth-i)-1, high-1)
			at(16+2*float64(teeth-i)-2, high)
		}
		at(0, high)
		n := rapid.IntRange(0, len(edge)-1).Draw(t, "begins")
		piece := geometry.NewContour(append(append([]geometry.Vertex{}, edge[n:]...), edge[:n]...)...)
		r := laserRecipe()
		r.TabCount.Value = float64(rapid.IntRange(2, 4).Draw(t, "count"))
		places, _, asked := beaming{}.Bridges(piece, r, 12)
		require.Len(t, places, asked)
		middle := middleOf(edgeOf(piece))
		require.InDelta(t, (16+2*float64(teeth))/2, middle.X, 2)
		require.InDelta(t, high/2, middle.Y, 0.5)
		low, far := math.Inf(1), math.Inf(-1)
		for _, p := range places {
			low, far = math.Min(low, p.X), math.Max(far, p.X)
		}
		require.LessOrEqual(t, low, middle.X+high/4)
		require.GreaterOrEqual(t, far, middle.X-high/4)
	})
}
