package proof_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
)

func TestZeroValues(t *testing.T) {
	for _, want := range []*proof.Wanted{nil, {}, {Cuts: []proof.WantedCut{{}}}} {
		r := proof.Run("", nil, proof.Setup{}, want)
		assert.False(t, r.OK)
		assert.Equal(t, "no-end", r.Findings[0].Rule)
		r = proof.Run("", []byte("M2"), proof.Setup{}, want)
		assert.True(t, r.OK)
		assert.Empty(t, r.Findings)
	}
}

func TestGoodRouterProgram(t *testing.T) {
	p, w := routerTray()
	r := proof.Run("stores/1-pe-30-20mm.ngc", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Empty(t, r.Findings)
	assert.True(t, r.OK)
	assert.Less(t, r.WorstOvercutMM, 3e-4)
	assert.Less(t, r.WorstUndercutMM, 3e-4)
}

func TestGoodLaserProgram(t *testing.T) {
	p, w := laserTray()
	r := proof.Run("stores/1-pe-30-20mm.ngc", text(t, p, laserMachine()), laserSetup(), &w)
	assert.Empty(t, r.Findings)
	assert.True(t, r.OK)
	assert.Less(t, r.WorstOvercutMM, 3e-4)
	assert.Less(t, r.WorstUndercutMM, 3e-4)
}
