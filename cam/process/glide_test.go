package process

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// From one lap to the next of a cleared pocket, and onto its wall, a glide touches both ways and itself, keeps in the room, and
// turns no sharper than half the tool; many laps have one, and then there is no straight way.
func TestGlidesTouchBothLaps(t *testing.T) {
	const kerf = 3.175
	r := rand.New(rand.NewPCG(16, 30))
	glides, visits := 0, 0
	for range 60 {
		shape := rectangle(0, 0, 8+60*r.Float64(), 8+60*r.Float64(), 4*r.Float64())
		c, err := planClearing(shape, geometry.Region{}, clearingWidths{wall: kerf, kerf: kerf, sure: kerf * (0.9 + 0.1*r.Float64()), step: kerf * (0.2 + 0.5*r.Float64()), finish: 0.1 + 0.6*r.Float64()}, tol)
		require.NoError(t, err)
		for i, v := range c.visits[1:] {
			visits++
			if v.glide.no() {
				continue
			}
			glides++
			last, g := c.visits[i], v.glide
			assert.Equal(t, last.end(), g[0].A)
			assert.Equal(t, v.begin(), g[1].B)
			for _, bend := range [][2]geometry.Point{{last.leaving(), g[0].Tangent(0)}, {g[0].Tangent(1), g[1].Tangent(0)}, {g[1].Tangent(1), v.heading()}} {
				assert.InDelta(t, 1, bend[0].Dot(bend[1]), 1e-9, "it turns from %v to %v", bend[0], bend[1])
			}
			for k := range 201 {
				p := g[k%2].At(float64(k) / 200)
				assert.True(t, c.room.depth(p) > -1e-6, "outside at %v", p)
			}
			assert.GreaterOrEqual(t, g.tightest(), kerf/4*0.9)
		}
	}
	assert.Greater(t, glides, visits/2)
}

// Where a lap is shorter than a circle of the tool's radius, the circle takes what it would: no foam is left in the middle of
// round and nearly round pockets, of any size and for kerfs that are surer or less.
func TestRoundLapsLeaveNothingInTheMiddle(t *testing.T) {
	const kerf = 3.175
	r := rand.New(rand.NewPCG(16, 31))
	rounded := 0
	for range 200 {
		length := 3.3 + 12*r.Float64()
		shape := rectangle(0, 0, length, length+r.Float64(), 1.6+(length/2-1.6)*r.Float64())
		sure := kerf * (0.8 + 0.2*r.Float64())
		w := clearingWidths{wall: kerf, kerf: kerf, sure: sure, step: kerf * (0.2 + 0.6*r.Float64()), finish: 0.6 * r.Float64()}
		c, err := planClearing(shape, geometry.Region{}, w, tol)
		require.NoError(t, err)
		if first := c.visits[0].contour; first.Len() == 2 || first.Len() == 3 {
			rounded++
		}
		for range 200 {
			p := geometry.Point{X: length * r.Float64(), Y: length * r.Float64()}
			near := math.Inf(1)
			for _, v := range c.visits {
				near = min(near, nearestOn(v.contour, p).distance)
			}
			if edge := edgeDistance(shape, p); shape.Contains(p) && edge > kerf/2 {
				assert.LessOrEqual(t, near, sure/2+1e-6, "%v stays of %v, %v", p, shape.Bounds(), w)
			}
		}
	}
	assert.Greater(t, rounded, 20)
}

// Straight down between laps it goes only where earlier laps have cleared all that is under the tool: not into a chamber that
// the tool's middle reaches and no clearing lap does, behind a narrow waist, whatever is left for the wall.
func TestStraightDownOnlyWhereLapsHaveBeen(t *testing.T) {
	const kerf = 6
	r := rand.New(rand.NewPCG(16, 32))
	seen, lifted := 0, 0
	for range 150 {
		waist, side := kerf+6*r.Float64()-1, kerf+10*r.Float64()
		shape, err := geometry.Union(tol, rectangle(0, 0, 60, 50, 4), rectangle(59, 25-waist/2, 12, waist, 0), rectangle(70, 25-side/2, side, side, 1))
		require.NoError(t, err)
		sure := kerf * (0.9 + 0.1*r.Float64())
		c, err := planClearing(shape, geometry.Region{}, clearingWidths{wall: kerf, kerf: kerf, sure: sure, step: kerf * (0.2 + 0.4*r.Float64()), finish: []float64{0, 0.5 * r.Float64()}[r.IntN(2)]}, tol)
		require.NoError(t, err)
		for i, v := range c.visits {
			if v.lift {
				lifted++
			}
			if !v.lift || !c.open(v) {
				continue
			}
			seen++
			for range 60 {
				sin, cos := math.Sincos(7 * r.Float64())
				p := v.from().Add(geometry.Point{X: cos, Y: sin}.Scale(sure / 2 * r.Float64()))
				near := math.Inf(1)
				for _, before := range c.visits[:i] {
					near = min(near, nearestOn(before.contour, p).distance)
				}
				assert.LessOrEqual(t, near, sure/2+1e-6, "straight down into foam at %v", p)
			}
		}
	}
	assert.Greater(t, seen, 10)
	assert.Greater(t, lifted, 100)
}
