package job_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// How a command reads a job: text that is none ends it with exit code 2, a job
// that is wrong with 1.
func ExampleLoad() {
	exit := func(text string) int {
		_, found, err := job.Load(folder("job.yaml", text), "job.yaml")
		errors.As(err, &found)
		for _, f := range found {
			fmt.Println(f)
		}
		switch {
		case err != nil:
			return 2
		case found.Failed():
			return 1
		}
		return 0
	}
	fmt.Println(exit("trais: []\n"))
	fmt.Println(exit("trays:\n  - {id: crew, size: [-100, 80], layers: [{foam: pe-30, thickness: 1 in}]}\n"))
	fmt.Println(exit("trays:\n  - {id: crew, size: [100, 80], layers: [{foam: pe-30, thickness: 1 in}]}\n"))
	// Output:
	// error: job.yaml:1:1: a job has no key "trais"
	// hint: did you mean trays?
	// 2
	// error: job.yaml:2:23: the length of `size` is -100 mm
	// hint: give a length above 0
	// 1
	// 0
}

func ExampleStarter() {
	j, found, err := job.Load(job.Starter(units.Millimetre), "job.yaml")
	fmt.Println(j.Game, len(j.Trays), len(found), err)
	// Output: Tidewrack 3 0 <nil>
}

// The sample is a job whose trays fill their case exactly.
func TestStarterFillsItsCase(t *testing.T) {
	for _, unit := range []units.Unit{units.Millimetre, units.Inch} {
		fillsItsCase(t, mustLoad(t, job.Starter(unit)))
	}
}

func fillsItsCase(t *testing.T, j *job.Job) {
	height := map[string]units.Length{}
	for _, tray := range j.Trays {
		for _, l := range tray.Layers {
			height[tray.ID] += l.Thickness
		}
	}
	for _, c := range j.Cases {
		var sum units.Length
		for _, id := range c.Stack {
			sum += height[id]
		}
		assert.Equal(t, c.Inside.Height, sum)
	}
}
