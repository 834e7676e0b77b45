package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// Three pads and a cover of four sheets that were measured, to 0.2 mm each from 10 to 100 mm and to 0.1 mm below (ISO 1923),
// and three bases that have their labels: what each may be off by is added up. Worked out by hand.
func TestStackOfMeasuredSheets(t *testing.T) {
	measure := func(j *job.Job) *job.Job {
		for i := range j.Trays {
			l := &j.Trays[i].Layers[0]
			l.Measured = l.Thickness - mm(0.2)
		}
		return j
	}
	j := measure(three())
	_, found := make1(t, j)
	f := only(t, found, "stack-may-be-too-high")
	bases := j.Trays[1].Layers[1]
	assert.Equal(t, "pe-45", bases.Foam)
	// 127 - 4 x 0.2 = 126.2 mm; 3 x 0.2 + 0.1 measured, and 3 x 0.5 mm of the label: 2.2 mm either way.
	assert.Contains(t, f.Message, "4.882 in to 5.055 in high")
	assert.Contains(t, f.Hint, `measure what has only its label, and give --measured "pe-45/1/4 in=LENGTH"`)

	for i := range j.Trays {
		for k := range j.Trays[i].Layers {
			l := &j.Trays[i].Layers[k]
			l.Measured = l.Thickness - mm(0.4)
		}
	}
	// 127 - 7 x 0.4 = 124.2 mm, and 3 x 0.2 + 4 x 0.1 = 1 mm either way.
	_, found = make1(t, j)
	f = only(t, found, "stack-interval")
	assert.Contains(t, f.Message, "4.85 in to 4.929 in high, and leaves 0.071 in to 0.15 in")
	assert.NotContains(t, f.Hint, "--measured")
	_, found = make1(t, three())
	assert.NotContains(t, rules(found), "stack", "labels alone say nothing")
}
