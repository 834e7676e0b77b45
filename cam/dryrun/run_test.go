package dryrun_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/dryrun"
)

func TestGoodRouterProgram(t *testing.T) {
	p, w := routerTray()
	r := dryrun.Run("stores/1-pe-30-20mm.ngc", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Empty(t, r.Findings)
	assert.True(t, r.OK)
	assert.Less(t, r.WorstOvercutMM, 3e-4)
	assert.Less(t, r.WorstUndercutMM, 3e-4)
	t.Log(r.WorstOvercutMM, r.WorstUndercutMM, r.Seconds, r.LowerBoundSeconds, r.RemovedMM3)
}

func TestGoodLaserProgram(t *testing.T) {
	p, w := laserTray()
	r := dryrun.Run("stores/1-pe-30-20mm.ngc", text(t, p, laserMachine()), laserSetup(), &w)
	assert.Empty(t, r.Findings)
	assert.True(t, r.OK)
	assert.Less(t, r.WorstOvercutMM, 3e-4)
	assert.Less(t, r.WorstUndercutMM, 3e-4)
	t.Log(r.WorstOvercutMM, r.WorstUndercutMM, r.Seconds, r.LowerBoundSeconds, r.RemovedMM3)
}
