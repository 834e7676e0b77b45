package safety

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/profiles"
)

// nichromeOhmM is the resistivity of nichrome 80/20 (after a secondary text).
// At 400 C it is about 3 % more.
const nichromeOhmM = 1.08e-6

// Wire is a straight hot wire of nichrome 80/20.
type Wire struct {
	AWG     int     // gauge, 10 to 40
	LengthM float64 // between its clamps
}

// DiameterMM is the wire's diameter by ASTM B258: 0.127 mm x 92^((36-n)/39)
// (after a secondary text).
func (w Wire) DiameterMM() float64 { return 0.127 * math.Pow(92, float64(36-w.AWG)/39) }

// OhmsPerM is the cold wire's resistance per metre.
func (w Wire) OhmsPerM() float64 {
	d := w.DiameterMM() / 1000
	return nichromeOhmM / (math.Pi / 4 * d * d)
}

// Ohms is the cold wire's resistance.
func (w Wire) Ohms() float64 { return w.OhmsPerM() * w.LengthM }

// Supply is what feeds a hot wire. It is isolated from the mains, always.
type Supply struct {
	DC  bool
	Dry bool // normal dry conditions; false is everywhere else
}

// MostVolts is the voltage up to which a bare live part, which a hot wire is,
// may be within reach: 25 V AC or 60 V DC in normal dry conditions, 12 V AC or
// 30 V DC otherwise (BS 7671 414.4.5, after a secondary text; that IEC
// 60364-4-41 says the same is from memory).
func (s Supply) MostVolts() float64 {
	switch {
	case s.Dry && s.DC:
		return 60
	case s.Dry:
		return 25
	case s.DC:
		return 30
	}
	return 12
}

func (s Supply) String() string {
	kind, place := "AC", "not dry"
	if s.DC {
		kind = "DC"
	}
	if s.Dry {
		place = "dry"
	}
	return kind + ", " + place
}

// Heat is what a current makes of a wire.
type Heat struct {
	Ohms, Amps, Volts, WattsPerM float64
}

// The ranges that a hot wire is taken to be in.
const (
	leastAWG, mostAWG         = 10, 40
	leastLengthM, mostLengthM = 0.01, 10.0
	mostAmps                  = 50.0
)

// Check is an error for a gauge or a length that no hot wire has.
func (w Wire) Check() error {
	if w.AWG < leastAWG || w.AWG > mostAWG {
		return fmt.Errorf("AWG %d is no gauge for a hot wire: %d to %d", w.AWG, leastAWG, mostAWG)
	}
	if !(w.LengthM >= leastLengthM && w.LengthM <= mostLengthM) {
		return fmt.Errorf("a wire of %v m is none that this is for: %v to %v m", w.LengthM, leastLengthM, mostLengthM)
	}
	return nil
}

// Heat is the voltage and heat of a current through the wire, in A (rms where
// AC). It is an error, with the heat, when a bare wire may not have that voltage,
// and one without it for a gauge, length or current that no hot wire has.
func (w Wire) Heat(amps float64, s Supply) (Heat, error) { return w.heat(amps, amps*w.Ohms(), s) }

// HeatAtVolts is the current and heat that a voltage drives through the cold
// wire; the error is as Heat's.
func (w Wire) HeatAtVolts(volts float64, s Supply) (Heat, error) {
	return w.heat(volts/w.Ohms(), volts, s)
}

// HeatOf is the current and voltage that heat the wire by so many watts per
// metre; the error is as Heat's.
func (w Wire) HeatOf(wattsPerM float64, s Supply) (Heat, error) {
	return w.Heat(math.Sqrt(wattsPerM/w.OhmsPerM()), s)
}

func (w Wire) heat(amps, volts float64, s Supply) (Heat, error) {
	if err := w.Check(); err != nil {
		return Heat{}, err
	}
	h := Heat{Ohms: w.Ohms(), Amps: amps, Volts: volts, WattsPerM: amps * amps * w.OhmsPerM()}
	switch {
	case volts > s.MostVolts():
		return h, fmt.Errorf("%.1f V is more than the %.0f V that a bare wire may have (%v)", volts, s.MostVolts(), s)
	case !(amps > 0 && amps <= mostAmps):
		return Heat{}, fmt.Errorf("a current of %.4g A is none that this is for: above 0, at most %v A", amps, mostAmps)
	}
	return h, nil
}

// mostAmps is the most that any supply may give a bare wire, to a hundredth below, and no more than it
// is known to bear.
func (w Wire) mostAmps() float64 {
	most := math.Floor(100*Supply{DC: true, Dry: true}.MostVolts()/w.Ohms()) / 100
	if all, known := w.StillAirAmps(); known {
		most = math.Min(most, all[len(all)-1])
	}
	return most
}

// StillAirC are the temperatures in C that StillAirAmps has currents for.
func StillAirC() [3]int { return [3]int{200, 300, 400} }

// StillAirAmps are the currents that heat a straight nichrome wire in still air
// to about the temperatures of StillAirC: one maker's figures, after a secondary
// text, the conditions not stated; false for a gauge that it has none for. In
// foam the wire runs cooler.
func (w Wire) StillAirAmps() ([3]float64, bool) {
	switch w.AWG {
	case 24:
		return [3]float64{2.16, 2.75, 3.40}, true
	case 26:
		return [3]float64{1.61, 2.00, 2.48}, true
	case 28:
		return [3]float64{1.21, 1.53, 1.84}, true
	}
	return [3]float64{}, false
}

// WireOf is a machine's wire by its diameter and length; false where no gauge is within 2 % of
// that, or nobody has said how long it is.
func WireOf(t profiles.Tool) (Wire, bool) {
	for awg := leastAWG; awg <= mostAWG; awg++ {
		w := Wire{AWG: awg, LengthM: t.LengthMM.Value / 1000}
		if d := w.DiameterMM(); math.Abs(t.DiameterMM.Value-d) <= 0.02*d {
			return w, w.Check() == nil
		}
	}
	return Wire{}, false
}

// StillAirK is how much hotter than a room of 20 C a current makes the wire in still air, by the
// table of StillAirAmps, the next hotter column; false beyond it.
func (w Wire) StillAirK(amps float64) (float64, bool) {
	all, known := w.StillAirAmps()
	for i, most := range all {
		if known && amps <= most {
			return float64(StillAirC()[i] - 20), true
		}
	}
	return 0, false
}

// MostOverheated is how many times the last current whose temperature is known
// is refused. Twice the current is four times the heat. Our own decision.
const MostOverheated = 2

// CheckWire holds the current of a machine's recipe against what its wire and a bare live part
// may have. Where the wire is not known by gauge and length, nobody can say.
func CheckWire(r profiles.Recipe, t profiles.Tool, m profiles.Machine) finding.List {
	if !m.Process.Traits().Wire || r.CurrentA.Value <= 0 {
		return nil
	}
	add := func(s finding.Severity, rule, message, hint string) finding.List {
		return finding.List{{Severity: s, Rule: rule, Where: fmt.Sprintf("recipe for %s with %s", r.Foam, r.Tool), Message: message, Hint: hint}}
	}
	w, ok := WireOf(t)
	if !ok {
		return add(finding.Warning, "wire-unknown", fmt.Sprintf("%.4g A go through a wire of %.4g mm whose gauge or length nobody has said, so that its voltage and heat are not known", r.CurrentA.Value, t.DiameterMM.Value),
			"write length_mm, and a diameter_mm of a gauge, into the tool of "+m.ID+"; `traywright hotwire` does the sum for a wire")
	}
	if _, err := w.Heat(r.CurrentA.Value, Supply{DC: true, Dry: true}); err != nil {
		return add(finding.Error, "wire-voltage", fmt.Sprintf("%.4g A through %.4g m of AWG %d: %v", r.CurrentA.Value, w.LengthM, w.AWG, err), fmt.Sprintf("set current_a to %.4g or less, or take a shorter or thicker wire", w.mostAmps()))
	}
	if all, known := w.StillAirAmps(); known && r.CurrentA.Value > all[len(all)-1] {
		severity, last := finding.Warning, all[len(all)-1]
		if r.CurrentA.Value > MostOverheated*last {
			severity = finding.Error
		}
		return add(severity, "wire-too-hot", fmt.Sprintf("%.4g A make AWG %d hotter than %d C in still air: nothing is known beyond it, and a wire that glows sags, breaks and sets foam on fire", r.CurrentA.Value, w.AWG, StillAirC()[2]), fmt.Sprintf("set current_a to %.4g or less", last))
	}
	if _, err := w.Heat(r.CurrentA.Value, Supply{}); err != nil {
		return add(finding.Warning, "wire-supply", fmt.Sprintf("%.4g A take %.3g V, more than a bare wire may have everywhere: it needs an isolated supply, and a dry room", r.CurrentA.Value, r.CurrentA.Value*w.Ohms()), "`traywright hotwire` says which supply may give how much")
	}
	return nil
}
