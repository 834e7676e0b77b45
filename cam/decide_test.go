package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
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
