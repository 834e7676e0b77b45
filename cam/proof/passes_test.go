package proof

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
)

// A beam that goes to and fro in one place a hundred thousand times is counted, which
// takes an hour where each pass is held against each other.
func TestManyPasses(t *testing.T) {
	const n = 100_000
	d := run{}
	a, b := Point{geometry.Point{X: 7, Y: 7}, 0}, Point{geometry.Point{X: 7.1, Y: 7}, 0}
	for range n / 4 {
		d.result.Motions = append(d.result.Motions, Motion{From: a, To: b}, Motion{From: b, To: a},
			Motion{Arc: true, CCW: true, From: a, To: b, Center: a.Add(b.Point).Scale(0.5)},
			Motion{Arc: true, From: b, To: a, Center: a.Add(b.Point).Scale(0.5)})
	}
	passes := d.layPasses(func(i int) float64 { return float64(1 + i/2%2) }) // 1 mm along the line, 2 on the arc
	for _, i := range []int{0, 1, 2, 3, n / 2, n - 1} {
		on, each := i/4*2+i%2, 1+i/2%2
		assert.Equal(t, laid{on + 1, on + 1, float64((on + 1) * each), float64(n / 2 * each), 0, passes[i].after, passes[i].at}, passes[i], "motion %d", i)
	}
}
