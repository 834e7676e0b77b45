package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// The owner's limits on a program of which not all is known: the strictest of all that may hold, of one for another foam or machine nothing.
func TestLimitsOfAProgram(t *testing.T) {
	rules := []Rules{{Limits: []Limits{
		{Foam: "pe-30", FeedMMPerMin: 900, DepthMM: 20}, {Foam: "eva-90", FeedMMPerMin: 500}, {Machine: "mill", FeedMMPerMin: 1200, PowerPercent: 80}, {Machine: "beam", PowerPercent: 40}, {Process: profiles.Laser, DepthMM: 9},
	}}}
	mill, beam := profiles.Machine{ID: "mill", Process: profiles.Router}, profiles.Machine{ID: "beam", Process: profiles.Laser}
	foams := func(ids ...string) (list []profiles.Foam) {
		for _, id := range ids {
			list = append(list, profiles.Foam{ID: id})
		}
		return list
	}
	for _, c := range []struct {
		foams []profiles.Foam
		m     profiles.Machine
		want  [3]float64 // feed, power, depth
	}{
		{foams("pe-30"), mill, [3]float64{900, 80, 20}}, {foams("pe-45"), mill, [3]float64{1200, 80, 0}}, {foams("pe-45", "eva-90"), mill, [3]float64{500, 80, 0}}, {nil, mill, [3]float64{500, 80, 20}},
		{foams("pe-30"), beam, [3]float64{900, 40, 9}}, {foams("pe-45"), profiles.Machine{Process: profiles.Router}, [3]float64{1200, 40, 0}}, {nil, profiles.Machine{Process: profiles.Laser}, [3]float64{500, 40, 9}},
	} {
		l := ProgramLimits(c.foams, c.m, rules)
		assert.Equal(t, c.want, [3]float64{l.FeedMMPerMin, l.PowerPercent, l.DepthMM}, "%+v", c)
	}
	assert.Equal(t, Limits{}, ProgramLimits(nil, mill, nil))
}

// What would name what has been left unnamed.
func TestWhatIsNotNamed(t *testing.T) {
	foam, mill := profiles.Foam{ID: "pe-30"}, profiles.Machine{ID: "mill"}
	for want, u := range map[string]Use{
		"": {Foam: foam, Machine: mill}, "if it is known, say which it is with --foam NAME": {Machine: mill}, "say which machine it is for with --machine NAME": {Foam: foam},
		"if they are known, say which they are, with --foam NAME and --machine NAME": {},
	} {
		assert.Equal(t, want, u.unnamed())
	}
	for p, want := range map[profiles.Process]string{profiles.HotWire: "a hot wire", "": "an unknown process", profiles.Laser: "a laser"} {
		assert.Equal(t, want, theProcess(p))
	}
}

// How much hotter than a room a current makes a wire of gauge 26: by the next hotter column of its table.
func TestWiresInStillAir(t *testing.T) {
	for amps, want := range map[float64]float64{0: 180, 1.61: 180, 1.62: 280, 2: 280, 2.01: 380, 2.48: 380, 2.49: 0} {
		hot, ok := Wire{AWG: 26}.StillAirK(amps)
		assert.Equal(t, []any{want, want > 0}, []any{hot, ok}, amps)
	}
	_, ok := Wire{AWG: 30}.StillAirK(0.1)
	assert.False(t, ok)
}
