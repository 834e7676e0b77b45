package proof_test

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/proof"
	"traywright/profiles"
)

// clock runs cutting moves at v mm/s on a machine with acceleration a and
// junction deviation e.
func clock(v, a, e float64, moves string) proof.Result {
	m := profiles.Machine{Process: profiles.Router, AccelerationMMPerS2: number(a), CornerMM: number(e), RapidMMPerMin: number(60 * v)}
	return proof.Run("", []byte(fmt.Sprintf("G21 G90 F%.6f\nG0 X0 Y0 Z1\n%s\nM2\n", 60*v, moves)), proof.Setup{Machine: m}, nil)
}

// A move from rest to rest: T = d/v + v/a, or 2 sqrt(d/a) if it never reaches v
// (the triangular case after a secondary text, the rest derived: v t - area).
func TestTimeOfOneMove(t *testing.T) {
	for _, c := range []struct{ d, v, a, want float64 }{
		{100, 50, 500, 2.1},
		{5, 50, 500, 0.2},
		{1, 50, 500, 0.0894427},
		{300, 100, 1000, 3.1},
	} {
		r := clock(c.v, c.a, 0, fmt.Sprintf("G1 X%v", c.d))
		assert.InDelta(t, c.want, r.Seconds, 1e-6, "%v", c)
		assert.InDelta(t, c.d/c.v, r.LowerBoundSeconds, 1e-9)
		assert.InDelta(t, r.Seconds, r.CutSeconds, 1e-12)
	}
}

func TestTimeAtCorners(t *testing.T) {
	// Straight on: two moves are one.
	assert.InDelta(t, 2.1, clock(50, 500, 0, "G1 X30\nX100").Seconds, 1e-6)
	// Back the way it came: from rest to rest twice.
	assert.InDelta(t, 4.2, clock(50, 500, 0.05, "G1 X100\nX0").Seconds, 1e-6)
	// A square corner and no deviation: likewise.
	assert.InDelta(t, 4.2, clock(50, 500, 0, "G1 X100\nY100").Seconds, 1e-6)
	// A square corner with deviation e: r = e sin 45 / (1 - sin 45) = 2.41421 e,
	// v = sqrt(a r). Each move is d/v + (v-vc)^2/(2 a v) + v/(2a).
	vc := math.Sqrt(500 * 0.05 * (1 + math.Sqrt2))
	each := 2 + (50-vc)*(50-vc)/(2*500*50) + 50.0/(2*500)
	assert.InDelta(t, 2*each, clock(50, 500, 0.05, "G1 X100\nY100").Seconds, 1e-6)
	// A wait in between makes the machine stand.
	r := clock(50, 500, 0, "G1 X50\nG4 P1\nX100")
	assert.InDelta(t, 2*(1+0.1)+1, r.Seconds, 1e-6)
	// A circle of radius 1: v <= sqrt(a r) = sqrt(500) mm/s; the way to it is straight up its tangent.
	v := math.Sqrt(500)
	assert.InDelta(t, 2*math.Pi/v+v/500, clock(50, 500, 0, "G3 X0 Y0 J1").Seconds, 1e-6)
}

// Each move ends when the clock has come to it, the waits before it counted; one that goes
// nowhere ends with the one before.
func TestEveryMoveHasItsEnd(t *testing.T) {
	r := clock(50, 500, 0, "G1 X50\nG4 P1\nX100\nX100")
	var ends []float64
	for _, m := range r.Motions {
		ends = append(ends, math.Round(m.EndS*1e6)/1e6)
	}
	assert.Equal(t, []float64{0, 1.1, 3.2, 3.2}, ends)
}

func TestTimeIsSplit(t *testing.T) {
	m := routerMachine()
	m.AccelerationMMPerS2 = number(0) // length over speed
	r := proof.Run("", []byte("G21 G90\nG0 Z5\nG0 X0 Y0\nM3 S1000\nG4 P2\nG1 Z-5 F300\nG1 X60 F1200\nG0 Z5\nM5\nM2"), proof.Setup{Machine: m}, nil)
	require.Empty(t, r.Findings)
	assert.InDelta(t, 2, r.PlungeSeconds, 1e-9)
	assert.InDelta(t, 3, r.CutSeconds, 1e-9)
	assert.InDelta(t, 10.0/5000*60, r.RapidSeconds, 1e-9)
	assert.InDelta(t, 2+2+3+0.12, r.Seconds, 1e-9)
	assert.InDelta(t, 5.12, r.OnSeconds, 1e-9)
	assert.InDelta(t, 70, r.CutMM, 1e-9)
}

// The time of a body alone is the time that a run finds in the whole program.
func TestTimeAlone(t *testing.T) {
	p, w := routerTray()
	program := text(t, p, routerMachine())
	r := proof.Run("", program, routerSetup(), &w)
	body := program[bytes.Index(program, []byte("G21\n")):]
	seconds, least := proof.Time(body, routerMachine())
	assert.Equal(t, r.Seconds, seconds)
	assert.Equal(t, r.LowerBoundSeconds, least)
	assert.Greater(t, seconds, least)
}

// Cut into pieces, a line takes the time of the whole: the clock looks ahead, and
// back. The feed of a helix is along the helix (NISTIR 6556 2.1.2.6).
func TestTimeOfPiecesAndHelices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := 0.0
		moves := ""
		for range rapid.IntRange(1, 12).Draw(t, "pieces") {
			x += float64(rapid.IntRange(1, 4000).Draw(t, "hundredths")) / 100
			moves += fmt.Sprintf("G1 X%.2f\n", x)
		}
		assert.InDelta(t, clock(50, 500, 0, fmt.Sprintf("G1 X%.2f", x)).Seconds, clock(50, 500, 0, moves).Seconds, 1e-6)
	})
	r := clock(10, 0, 0, "G2 X0 Y0 Z-6 I-5")
	assert.InDelta(t, math.Hypot(2*math.Pi*5, 7), r.CutMM, 1e-9)
	assert.InDelta(t, r.CutMM/10, r.LowerBoundSeconds, 1e-9)
	assert.Equal(t, r.LowerBoundSeconds, r.CutSeconds, "no acceleration is known")
}

// A machine's scale changes the foam and not how long its controller takes.
func TestTimeIsTheMachinesOwn(t *testing.T) {
	p, _ := routerTray()
	program, s := text(t, p, routerMachine()), routerSetup()
	want := proof.Run("", program, s, nil)
	s.Machine.ScaleX, s.Machine.ScaleY = number(0.98), number(1.01)
	got := proof.Run("", program, s, nil)
	assert.Equal(t, want.Seconds, got.Seconds)
	assert.Equal(t, want.CutMM, got.CutMM)
	assert.NotEqual(t, want.RemovedMM3, got.RemovedMM3)
}

// No program is faster than its feeds, and more deviation never makes it slower.
func TestTimeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-100, 100)
		moves := "G1 X1"
		for range rapid.IntRange(1, 30).Draw(t, "moves") {
			moves += fmt.Sprintf("\nX%.4f Y%.4f", c.Draw(t, "x"), c.Draw(t, "y"))
		}
		sharp, round := clock(80, 700, 0, moves), clock(80, 700, 0.1, moves)
		require.GreaterOrEqual(t, round.Seconds, round.LowerBoundSeconds)
		require.LessOrEqual(t, round.Seconds, sharp.Seconds+1e-9)
		require.LessOrEqual(t, clock(80, 1400, 0.1, moves).Seconds, round.Seconds+1e-9, "nor does more acceleration")
	})
}
