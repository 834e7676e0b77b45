package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/profiles"
)

// A sheet as large as a hint asks for holds what it is for, however the sums are rounded.
func TestAskedSizeHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(10, 500)
		size := [2]float64{length.Draw(t, "x"), length.Draw(t, "y")}
		r := room{gap: rapid.Float64Range(0, 20).Draw(t, "gap"), margin: rapid.Float64Range(0, 50).Draw(t, "margin"), grain: true}
		assert.True(t, endless().holds(sheetOf(r.around(size[0]), r.around(size[1])), size, r))
		assert.False(t, endless().holds(sheetOf(r.around(size[0])-0.2, r.around(size[1])), size, r))
	})
	r := room{margin: 26.1} // the sum of what are exact in inches is no multiple of the layout's step
	assert.True(t, endless().holds(sheetOf(r.around(304.8), r.around(226.7987)), [2]float64{304.8, 226.7987}, r))
}

func sheetOf(x, y float64) kind { return kind{size: [2]int64{whole(x), whole(y)}} }

// endless is a layer's machine that reaches everything.
func endless() *layer {
	return &layer{Input: Input{Plan: &plan.Plan{Job: &job.Job{}, Machine: profiles.Machine{Process: "router"}}}}
}
