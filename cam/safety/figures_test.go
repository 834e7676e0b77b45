package safety

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/profiles"
)

// EN 207, continuous beam of 1 mm (the formula after a secondary text; these
// values derived from it by hand).
func TestLB(t *testing.T) {
	cases := []struct {
		powerW, nm float64
		want       int
	}{
		{40, 10600, 5}, {80, 10600, 6}, {5, 450, 6}, {20, 450, 7}, {0.001, 450, 3}, {1e-9, 10600, 1},
	}
	for _, c := range cases {
		n, err := LB(c.powerW, c.nm)
		require.NoError(t, err)
		assert.Equal(t, c.want, n, c)
	}
	for _, bad := range [][2]float64{{0, 450}, {-1, 450}, {math.NaN(), 450}, {5, 266}, {5, math.NaN()}, {5, math.Inf(1)}, {1e8, 450}, {math.Inf(1), 450}} {
		_, err := LB(bad[0], bad[1])
		assert.Error(t, err, bad)
	}
}

// A stronger beam never gets by with less.
func TestLBGrowsWithPower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nm := rapid.Float64Range(315, 12000).Draw(t, "nm")
		p := rapid.Float64Range(1e-6, 1000).Draw(t, "p")
		a, errA := LB(p, nm)
		b, errB := LB(p*rapid.Float64Range(1, 100).Draw(t, "more"), nm)
		if errA == nil && errB == nil {
			assert.LessOrEqual(t, a, b)
		}
	})
}

// AWG diameters by ASTM B258 (formula after a secondary text) and resistance at
// 1.08e-6 ohm m (after a secondary text; ohms per metre derived).
func TestWire(t *testing.T) {
	cases := []struct {
		awg       int
		mm, ohmsM float64
	}{
		{20, 0.8118, 2.086}, {22, 0.6438, 3.318}, {24, 0.5106, 5.275}, {26, 0.4049, 8.388}, {28, 0.3211, 13.34}, {30, 0.2546, 21.21}, {32, 0.2019, 33.72},
	}
	for _, c := range cases {
		w := Wire{AWG: c.awg, LengthM: 1}
		assert.InDelta(t, c.mm, w.DiameterMM(), 0.00006, c.awg)
		assert.InEpsilon(t, c.ohmsM, w.OhmsPerM(), 0.0005, c.awg)
	}
	assert.InDelta(t, 4.194, Wire{AWG: 26, LengthM: 0.5}.Ohms(), 0.001)
}

// SAFETY.md prints what the code computes.
func TestSafetyDocumentHasTheWires(t *testing.T) {
	data, err := os.ReadFile("../../SAFETY.md")
	require.NoError(t, err)
	for awg := 20; awg <= 32; awg += 2 {
		w := Wire{AWG: awg, LengthM: 1}
		assert.Contains(t, string(data), fmt.Sprintf("| %d | %.4f | %.4g |", awg, w.DiameterMM(), w.OhmsPerM()))
	}
}

// Half a metre of AWG 26 at 2 A, the current for about 300 C in still air
// (after a secondary text): U = I R, P/l = I2 R/l.
func TestHeat(t *testing.T) {
	h, err := Wire{AWG: 26, LengthM: 0.5}.Heat(2, Supply{Dry: true})
	require.NoError(t, err)
	assert.InDelta(t, 8.388, h.Volts, 0.005)
	assert.InDelta(t, 33.55, h.WattsPerM, 0.02)
	assert.Equal(t, 2.0, h.Amps)
}

// 25 V AC, 60 V DC dry; 12, 30 V otherwise (BS 7671 414.4.5, after a secondary
// text).
func TestVoltageLimits(t *testing.T) {
	w := Wire{AWG: 26, LengthM: 1}
	cases := []struct {
		supply Supply
		most   float64
	}{
		{Supply{Dry: true}, 25}, {Supply{Dry: true, DC: true}, 60}, {Supply{}, 12}, {Supply{DC: true}, 30},
	}
	for _, c := range cases {
		_, err := w.Heat(c.most/w.Ohms()*0.9999, c.supply)
		assert.NoError(t, err, c.supply)
		_, err = w.Heat(c.most/w.Ohms()*1.0001, c.supply)
		assert.ErrorContains(t, err, "a bare wire may have ("+c.supply.String()+")")
	}
}

func TestNoSuchWire(t *testing.T) {
	for _, w := range []Wire{{}, {AWG: 9, LengthM: 1}, {AWG: 41, LengthM: 1}, {AWG: 26}, {AWG: 26, LengthM: -1}, {AWG: 26, LengthM: math.NaN()}, {AWG: 26, LengthM: math.Inf(1)}} {
		_, err := w.Heat(1, Supply{})
		assert.Error(t, err, w)
	}
	for _, amps := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := Wire{AWG: 20, LengthM: 0.1}.Heat(amps, Supply{})
		assert.Error(t, err, amps)
	}
}

// Cautions are those of the foam and the process, and no others.
func TestCautions(t *testing.T) {
	cases := []struct {
		kind      string
		process   profiles.Process
		has, hasn []string
	}{
		{"pe", profiles.Laser, []string{"outdoors", "unattended", "Air assist", "extraction off", "D LB5 or more at 10600 nm; check with your laser safety officer", "painted"}, []string{"hearing", "gloves", "solvent", "25 V", "blade"}},
		{"pe", profiles.Router, []string{"hearing", "dust", "gloves", "held down", "cured", "unattended"}, []string{"EN 207", "solvent", "extinguisher", "dust mask"}},
		{"xps", profiles.HotWire, []string{"25 V AC or 60 V DC", "HBCD", "solvent", "outdoors", "burns"}, []string{"gloves", "EN 207", "Air assist"}},
		{"eps", profiles.Router, []string{"clings", "solvent"}, []string{"HBCD"}},
		{"melamine", profiles.Router, []string{"dust mask"}, []string{"solvent"}},
		{"eva", profiles.Knife, []string{"blade"}, []string{"outdoors", "hearing"}},
	}
	for _, c := range cases {
		all := strings.Join(Cautions(ofKind(t, c.kind), bench(t, c.process), nil), "\n")
		for _, want := range c.has {
			assert.Contains(t, all, want, "%s %s", c.kind, c.process)
		}
		for _, no := range c.hasn {
			assert.NotContains(t, all, no, "%s %s", c.kind, c.process)
		}
	}
}

// They stand in program headers: printable ASCII, short, no brackets that a
// comment would end at but those that are closed.
func TestCautionsFitIntoAHeader(t *testing.T) {
	for kind := range decided {
		for _, p := range profiles.Processes() {
			list := Cautions(ofKind(t, kind), bench(t, p), nil)
			assert.LessOrEqual(t, len(list), 9)
			for _, text := range list {
				assert.LessOrEqual(t, len(text), 120, text)
				assert.Regexp(t, `^[ -~]+[.]$`, text)
			}
		}
	}
}

func TestTheOwnersConditionIsTheFirstCaution(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser)}
	assert.Equal(t, "Only when (a.yaml:3 of o): extraction running.", Cautions(u.Foam, u.Machine, permits(permit(u)))[0])
	m := u.Machine
	m.PowerW.Value = 0
	list := Cautions(u.Foam, m, nil)
	assert.Contains(t, list[len(list)-1], "ask your laser safety officer")
}
