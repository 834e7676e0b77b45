package safety

import (
	"fmt"
	"math"
	"os"
	"slices"
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
		n, err := lb(c.powerW, c.nm)
		require.NoError(t, err)
		assert.Equal(t, c.want, n, c)
	}
	for _, bad := range [][2]float64{{0, 450}, {-1, 450}, {math.NaN(), 450}, {5, 266}, {5, math.NaN()}, {5, math.Inf(1)}, {1e8, 450}, {math.Inf(1), 450}} {
		_, err := lb(bad[0], bad[1])
		assert.Error(t, err, bad)
	}
}

// A stronger beam never gets by with less.
func TestLBGrowsWithPower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nm := rapid.Float64Range(315, 12000).Draw(t, "nm")
		p := rapid.Float64Range(1e-6, 1000).Draw(t, "p")
		a, errA := lb(p, nm)
		b, errB := lb(p*rapid.Float64Range(1, 100).Draw(t, "more"), nm)
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

// One wire, asked three ways.
func TestHeatThreeWays(t *testing.T) {
	w, s := Wire{AWG: 26, LengthM: 0.5}, Supply{Dry: true}
	want, err := w.Heat(2, s)
	require.NoError(t, err)
	for _, ask := range []func() (Heat, error){
		func() (Heat, error) { return w.HeatAtVolts(want.Volts, s) },
		func() (Heat, error) { return w.HeatOf(want.WattsPerM, s) },
	} {
		got, err := ask()
		require.NoError(t, err)
		assert.InDelta(t, want.Amps, got.Amps, 1e-12)
		assert.InDelta(t, want.Volts, got.Volts, 1e-12)
		assert.InDelta(t, want.WattsPerM, got.WattsPerM, 1e-10)
	}
	_, err = w.HeatAtVolts(25, s)
	assert.NoError(t, err, "the limit itself is allowed")
	_, err = w.HeatOf(math.NaN(), s)
	assert.Error(t, err)
}

// One maker's currents for about 300 C in still air, after a secondary text:
// watts per length grow with the diameter.
func TestStillAir(t *testing.T) {
	last := math.Inf(1)
	for awg, amps := range map[int][3]float64{24: {2.16, 2.75, 3.40}, 26: {1.61, 2.00, 2.48}, 28: {1.21, 1.53, 1.84}} {
		got, known := Wire{AWG: awg}.StillAirAmps()
		assert.True(t, known)
		assert.Equal(t, amps, got)
	}
	for _, awg := range []int{24, 26, 28} {
		w := Wire{AWG: awg, LengthM: 1}
		amps, _ := w.StillAirAmps()
		watts := amps[1] * amps[1] * w.OhmsPerM()
		assert.Less(t, watts, last)
		last = watts
	}
	_, known := Wire{AWG: 22}.StillAirAmps()
	assert.False(t, known)
	assert.Equal(t, [3]int{200, 300, 400}, StillAirC())
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

// Every caution, and where it stands: written from what the sources say of the
// processes, and not from the code. A phrase that is not expected must not be there.
func TestEveryCautionOnlyWhereItApplies(t *testing.T) {
	L, W, R, K, H := profiles.Laser, profiles.HotWire, profiles.Router, profiles.Knife, profiles.Hand
	cautions := []struct {
		phrase    string
		processes []profiles.Process
		kinds     string // "" for all
		block     bool
	}{
		{"never run it unattended", []profiles.Process{L, W, R, K}, "", false},
		{"Extraction running and ducted outdoors", []profiles.Process{L, W}, "", false},
		{"Air assist on", []profiles.Process{L}, "", false},
		{"CO2 extinguisher at hand", []profiles.Process{L}, "", false},
		{"xtinguisher at hand", []profiles.Process{L, W}, "", false},
		{"extraction off", []profiles.Process{L, W}, "", false},
		{"EN 207, D LB5 or more at 10600 nm, for seconds only; ask your laser safety officer", []profiles.Process{L}, "", false},
		{"nothing that burns or mirrors", []profiles.Process{L}, "", false},
		{"Lid shut, if it has one; else a screen, and eyewear for all in sight", []profiles.Process{L}, "", false},
		{"25 V AC or 60 V DC", []profiles.Process{W}, "", false},
		{"burns skin", []profiles.Process{W}, "", false},
		{"hearing protection", []profiles.Process{R}, "", false},
		{"dust collected", []profiles.Process{R}, "", false},
		{"dust mask", []profiles.Process{R}, "melamine pu pvc phenolic pmi fr antistatic conductive filled unknown", false},
		{"dust clings", []profiles.Process{R}, "xps eps", false},
		{"dust conducts", []profiles.Process{R}, "conductive", false},
		{"held down", []profiles.Process{R, K}, "", false},
		{"No gloves", []profiles.Process{R}, "", false},
		{"HBCD", []profiles.Process{W}, "xps eps", false},
		{"No solvent glue", []profiles.Process{L, W, R, K, H}, "xps eps", false},
		{"Glue cured", []profiles.Process{L, W, R, K, H}, "", true},
		{"blade", []profiles.Process{K, H}, "", false},
		{"cut-resistant glove", []profiles.Process{H}, "", false},
		{"fine dust: wear a mask", []profiles.Process{H}, "melamine phenolic", false},
		{"before painted pieces go in", []profiles.Process{L, W, R, K, H}, "", false},
	}
	for _, kind := range catalog(t).Kinds() {
		for _, process := range profiles.Processes() {
			for _, block := range []bool{false, true} {
				u := Use{Foam: ofKind(t, kind), Machine: bench(t, process), Block: block}
				all := strings.Join(Cautions([]Use{u}, nil), "\n")
				for _, c := range cautions {
					want := slices.Contains(c.processes, process) && (c.kinds == "" || slices.Contains(strings.Fields(c.kinds), kind)) && (block || !c.block)
					assert.Equal(t, want, strings.Contains(all, c.phrase), "%q: %s under %s, block %v", c.phrase, kind, process, block)
				}
			}
		}
	}
}

// What heat can light has lines for that, with the extraction off before the
// extinguisher (universities' laser rules) and a way out; a knife has none.
func TestIfItBurns(t *testing.T) {
	for _, p := range []profiles.Process{profiles.Laser, profiles.HotWire} {
		all := strings.Join(IfItBurns(p), " ")
		assert.Regexp(t, "Extraction off.*extinguisher.*call the fire service", all)
	}
	assert.Regexp(t, "dust collector off.*call the fire service", strings.Join(IfItBurns(profiles.Router), " "))
	assert.Empty(t, IfItBurns(profiles.Knife))
}

// SAFETY.md has what stands on the cut sheets.
func TestSafetyDocumentSaysWhatToDoInAFire(t *testing.T) {
	data, err := os.ReadFile("../../SAFETY.md")
	require.NoError(t, err)
	text := strings.Join(strings.Fields(string(data)), " ")
	for _, p := range profiles.Processes() {
		for _, line := range IfItBurns(p) {
			assert.True(t, strings.Contains(text, line), line)
		}
	}
	_, first, _ := strings.Cut(text, " ## ")
	assert.True(t, strings.HasPrefix(first, "If it burns "), "it comes before all but who is to be asked")
	assert.Less(t, strings.Index(text, " ## Laser "), strings.Index(text, " ## The table "), "chemistry comes last")
}

// They stand in program headers: printable ASCII, short, no brackets that a
// comment would end at but those that are closed.
func TestCautionsFitIntoAHeader(t *testing.T) {
	for kind := range decided {
		for _, p := range profiles.Processes() {
			list := Cautions([]Use{{Foam: ofKind(t, kind), Machine: bench(t, p), Block: true}}, nil)
			assert.LessOrEqual(t, len(list), 10)
			for _, text := range list {
				assert.LessOrEqual(t, len(text), 120, text)
				assert.Regexp(t, `^[ -~]+[.]$`, text)
			}
		}
	}
}

func TestTheOwnersConditionIsTheFirstCaution(t *testing.T) {
	u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser)}
	assert.Equal(t, u.Foam.ID+": only when (a.yaml:3 of o): extraction running.", Cautions([]Use{u, u}, permits(permit(u)))[0])
	u.Machine.PowerW.Value = 0
	list := Cautions([]Use{u}, nil)
	assert.Contains(t, list[len(list)-1], "ask your laser safety officer")
	assert.Empty(t, Eyewear(u.Machine))
}

// Two foams on one machine share their cautions.
func TestEachCautionOnce(t *testing.T) {
	m := bench(t, profiles.Router)
	list := Cautions([]Use{{Foam: ofKind(t, "pe"), Machine: m}, {Foam: ofKind(t, "xps"), Machine: m}, {Foam: ofKind(t, "pu"), Machine: m}}, nil)
	once := slices.Clone(list)
	slices.Sort(once)
	assert.Len(t, slices.Compact(once), len(list))
	assert.Subset(t, list, []string{"Its dust clings and burns: no sparks, earth the hose.", "Fine dust: wear a dust mask."})
}

// EN 207 after a secondary text: 40 W on 1 mm is 5.1e7 W/m2, whose logarithm is
// 7.7 (derived by hand).
func TestEyewearShowsItsFormula(t *testing.T) {
	assert.Equal(t, "40 W on 1 mm is 10^7.7 W/m2; 7.7 - 3, rounded up, gives LB5 (EN 207 for a continuous beam, after a secondary text). "+
		"Such a filter stands a direct beam for 5 s, no more: it is for turning away in, not for looking (EN 207:2017, after a secondary text). "+
		"ISO 19818-1:2021, which is EN ISO 19818-1 too, has largely taken its place, with categories of its own (after a secondary text). A first guess: check with your laser safety officer.", Eyewear(bench(t, profiles.Laser)))
}
