package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A sheet as large as a hint asks for holds what it is for, however the sums are rounded.
func TestAskedSizeHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(10, 500)
		size := [2]float64{length.Draw(t, "x"), length.Draw(t, "y")}
		r := room{gap: rapid.Float64Range(0, 20).Draw(t, "gap"), margin: rapid.Float64Range(0, 50).Draw(t, "margin"), grain: true}
		k := kind{panel: [2]float64{r.around(size[0]), r.around(size[1])}}
		assert.Equal(t, 1, k.holds(size, r))
	})
	r := room{margin: 26.1} // the sum of what are exact in inches is no multiple of the layout's step
	assert.Equal(t, 1, kind{panel: [2]float64{r.around(304.8), r.around(226.7987)}}.holds([2]float64{304.8, 226.7987}, r))
}
