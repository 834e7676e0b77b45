package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

func benchWire() profiles.Machine {
	return profiles.Machine{
		ID: "test-wire", Process: profiles.HotWire, TravelMM: [3]profiles.Number{number(500), number(400)},
		RapidMMPerMin: number(1000), MaxFeedMMPerMin: number(600), AccelerationMMPerS2: number(100), ZZero: profiles.ZTop,
	}
}

func wireSheet(cuts ...plan.Cut) plan.Sheet {
	wire := profiles.Tool{ID: "wire", Number: 1, DiameterMM: number(0.4), LengthMM: number(300), TensionN: number(10)}
	recipe := profiles.Recipe{Foam: "pad", Machine: "test-wire", Tool: "wire", KerfMM: number(1), FeedMMPerMin: number(60), CurrentA: number(2), LeadInMM: number(20)}
	return sheetOf([]profiles.Recipe{recipe}, []float64{25.4}, wire, cuts)
}

func through(name string, shape geometry.Region) plan.Cut {
	return plan.Cut{Name: name, Shape: shape, Through: true}
}

// The wire's numbers (facts I, where each is derived and worked out).
func TestNumbersOfAWire(t *testing.T) {
	assert.InDelta(t, 2.352, StretchMM(600, 280), 1e-3)
	assert.InDelta(t, 23.0, SagMM(600, 2.352), 0.05)
	assert.InDelta(t, 2.25, LagMM(300, 300, 2, 10), 1e-9, "all of the wire in foam: q L^2 / (8 T)")
	assert.InDelta(t, 0.308, SlowdownS(4, 0.491, 10), 1e-3)
	// What melts in the time of a stop from v, k v wide a second, is laid around half a circle of radius k/2.
	v, a, k := 2.5, 100.0, 1.0
	assert.InDelta(t, k*v*SlowdownS(v, 0, a)/(math.Pi*k/2), CornerMM(v, a), 1e-12)
	assert.InDelta(t, mostCornerMM, CornerMM(MostFeed(a)/60, a), 1e-12)
}

// One way, as long as all contours and twice all slits; pockets come free before the tray, and what
// is come to from another pocket before that one.
func TestOneWayOfAWire(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cuts []plan.Cut
		want := 0.0
		for i := range rapid.IntRange(0, 7).Draw(t, "pockets") {
			at := geometry.Point{X: 30 + 44*float64(i%4), Y: 40 + 60*float64(i/4)}
			w, h := rapid.Float64Range(10, 36).Draw(t, "w"), rapid.Float64Range(10, 50).Draw(t, "h")
			cuts = append(cuts, through(string(rune('a'+i)), rectangle(at.X-w/2, at.Y-h/2, w, h, 3)))
		}
		p, err := made(wireSheet(cuts...), benchWire(), tol)
		require.NoError(t, err)
		at, length := p.Ops[0].Moves[0].To, 0.0
		for _, op := range p.Ops {
			require.Equal(t, Rapid, op.Moves[0].Kind)
			for _, m := range op.Moves {
				if m.Kind == Rapid {
					require.Equal(t, at, m.To, "no gap")
				}
				length += wayOf(at, m)
				at = m.To
			}
		}
		require.Equal(t, p.Ops[0].Moves[0].To, at, "back where it began")
		require.Less(t, at.X, -20.0)
		for i, d := range p.Drawn {
			want += d.Contour.Length() + 2*d.Slit.Length()
			require.Equal(t, i == len(p.Drawn)-1, d.Kind == Outline, "the tray last")
		}
		require.InDelta(t, want, length, 1e-6)
	})
}

// An island is cut before the plug in which it lies, from a slit in that plug.
func TestIslandUnderAWire(t *testing.T) {
	ring := rectangle(40, 40, 60, 60, 3).Contours()[0]
	island := rectangle(60, 60, 20, 20, 3).Contours()[0].Reverse()
	p, err := made(wireSheet(through("ring", geometry.NewRegion(ring, island))), benchWire(), tol)
	require.NoError(t, err)
	require.Len(t, p.Drawn, 3)
	assert.Less(t, p.Drawn[0].Contour.Area(), 0.0, "the island first")
	assert.Equal(t, Outline, p.Drawn[2].Kind)
}

func TestRefusedUnderAWire(t *testing.T) {
	fast := wireSheet(through("a", rectangle(50, 50, 30, 30, 3)))
	fast.Edge.Recipes[0].FeedMMPerMin.Value = 300
	_, err := made(fast, benchWire(), tol)
	require.ErrorContains(t, err, "at 300 mm/min the machine, which gains 100 mm/s2")
	blind := through("a", rectangle(50, 50, 30, 30, 3))
	blind.Through, blind.DepthMM = false, 10
	_, err = made(wireSheet(blind), benchWire(), tol)
	require.ErrorContains(t, err, "a wire cuts whole layers")
	_, err = made(wireSheet(through("a", rectangle(50, 50, 0.8, 30, 0))), benchWire(), tol)
	require.ErrorContains(t, err, "does not fit into it")
	assert.Equal(t, "current_a", wiring{}.Lacks(profiles.Recipe{KerfMM: number(1), FeedMMPerMin: number(1)}))
}

// 20 mm of foam in the middle of 300 mm of wire: q h (2 L - h) / (8 T) is 0.29 mm with 2 N a metre and 10 N, 29 mm with 20
// and 1. Its kerf of 1 mm is where it is told, three are where it is refused; and the tension of the hint does.
func TestAWireThatLags(t *testing.T) {
	m := profiles.Machine{Process: profiles.HotWire}
	r := profiles.Recipe{Foam: "xps-32", Tool: "wire", KerfMM: number(1)}
	wire := func(drag, tension float64) profiles.Tool {
		return profiles.Tool{LengthMM: number(300), DragNPerM: number(drag), TensionN: number(tension)}
	}
	for _, c := range []struct {
		drag, tension, foam float64
		want                string
	}{{2, 10, 20, ""}, {2, 10, 60, ""}, {2, 10, 120, "warning"}, {20, 10, 20, "warning"}, {20, 1, 20, "error"}, {21, 10, 20, "error"}, {20, 29, 20, ""}, {2, 0, 120, ""}} {
		got := ""
		for _, f := range CheckLag(r, wire(c.drag, c.tension), c.foam, m) {
			got = f.Severity.String()
		}
		assert.Equal(t, c.want, got, "%+v", c)
	}
	assert.Contains(t, CheckLag(r, wire(20, 1), 20, m)[0].Hint, "draw it with 29 N or more")
}
