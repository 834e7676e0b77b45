package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/profiles"
)

// A finding about the machine says who named it.
func TestMachineWhere(t *testing.T) {
	j := &job.Job{File: "job.yaml", MachinePosition: finding.Position{File: "job.yaml", Line: 3, Column: 10}}
	assert.Equal(t, "job.yaml:3:10", machineWhere(Request{Job: j}))
	assert.Equal(t, "--machine", machineWhere(Request{Job: j, Machine: "bench-knife"}))
	assert.Equal(t, "job.yaml", machineWhere(Request{Job: &job.Job{File: "job.yaml"}}))
}

// Of a foam's sheets the thickest is held against the rules, at its own place.
func TestAddUseKeepsTheThickest(t *testing.T) {
	use := func(mm float64, where string) safety.Use {
		return safety.Use{Foam: profiles.Foam{ID: "pe-30"}, DepthMM: mm, Where: where}
	}
	list := addUse(addUse(addUse(nil, use(10, "a")), use(25, "b")), use(12, "c"))
	assert.Equal(t, []safety.Use{use(25, "b")}, list)
}

// With stock, the program that a single layer is tried with is never written: what is wrong with it
// is told of the layer, and no line of it is named.
func TestNoProgramOfALayerIsNamed(t *testing.T) {
	w := &sheetWork{tray: &plan.Tray{ID: "a"}, sheet: &plan.Sheet{Number: 1}, name: "a/a-1-pe", ending: "ngc"}
	w.found = finding.List{{Rule: "x", Where: w.path() + ":12", Line: 12}, {Rule: "y", Where: "job.yaml:3"}}
	found := ofNoProgram([]*sheetWork{w})[0].found
	assert.Equal(t, "tray a, layer 1, before it is laid on a sheet", found[0].Where)
	assert.Zero(t, found[0].Line)
	assert.Equal(t, "job.yaml:3", found[1].Where)
}
