package process

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
)

// Of a pocket that a larger tool has roughed, the finishing takes all that is left, on points of
// a grid; straight down it goes only where no foam is; and where the larger tool has been nearly
// everywhere it is a good deal shorter than clearing all.
func TestFinishingTakesAllThatRoughingLeaves(t *testing.T) {
	const kerf, beside = 3.175, 0.5
	r := rand.New(rand.NewPCG(7, 16))
	for name, shape := range shapes(t) {
		for _, rough := range []float64{6, 10, 20} {
			middle, err := geometry.Offset(shape, -beside-rough/2, tol)
			require.NoError(t, err)
			roughed, err := geometry.Offset(middle, rough/2, tol)
			require.NoError(t, err)
			if roughed.Empty() {
				continue
			}
			whole, rest := lengthOf(t, shape, geometry.Region{}), opNamed(t, roughSheet(t, shape, roughed), "it")
			free, err := geometry.Offset(roughed, -kerf/2+1e-6, tol)
			require.NoError(t, err)
			floor := 0.0
			each(rest, func(from Point, m Move) {
				if m.Kind != Rapid && from.Point == m.To.Point && m.To.Z < floor {
					assert.True(t, free.Contains(m.To.Point), "%s, %g: straight down into foam at %v", name, rough, m.To)
				}
				if m.Kind == Rapid {
					assert.GreaterOrEqual(t, m.To.Z, floor, "%s, %g: a rapid into what only another program has cut", name, rough)
				}
				floor = min(floor, m.To.Z)
			})
			box := shape.Bounds()
			for range 400 {
				p := geometry.Point{X: box.Min.X + box.Width()*r.Float64(), Y: box.Min.Y + box.Height()*r.Float64()}
				if !shape.Contains(p) || roughed.Contains(p) {
					continue
				}
				near := 2 * kerf
				each(rest, func(from Point, m Move) {
					if m.Kind != Rapid && m.To.Z < -10.999 {
						near = min(near, away(p, from, m))
					}
				})
				assert.LessOrEqual(t, near, kerf/2+1e-6, "%s, %g: %v stays", name, rough, p)
			}
			if name == "rectangle" && rough == 6 {
				assert.Less(t, measured(rest), whole/2)
			}
		}
	}
}

func roughSheet(t *testing.T, shape, roughed geometry.Region) Program {
	sheet := routerSheet(25.4, plan.Cut{Name: "it", Shape: shape, DepthMM: 11, Roughed: roughed})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	return p
}

func lengthOf(t *testing.T, shape, roughed geometry.Region) float64 {
	return measured(opNamed(t, roughSheet(t, shape, roughed), "it"))
}

func measured(op Op) float64 { return Measure(Program{Ops: []Op{op}}).CutLengthMM }
