package safety

import (
	"fmt"
	"math"
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

// Heat is the voltage and heat of a current through the wire, in A (rms where
// AC). It is an error when the voltage is more than a bare wire may have, and
// when gauge, length or current are none that a hot wire has.
func (w Wire) Heat(amps float64, s Supply) (Heat, error) {
	switch {
	case w.AWG < 10 || w.AWG > 40:
		return Heat{}, fmt.Errorf("AWG %d is no gauge for a hot wire: 10 to 40", w.AWG)
	case !(w.LengthM >= 0.01 && w.LengthM <= 10):
		return Heat{}, fmt.Errorf("a wire of %v m is none that this is for: 0.01 to 10 m", w.LengthM)
	case !(amps > 0 && amps <= 50):
		return Heat{}, fmt.Errorf("a current of %v A is none that this is for: above 0, at most 50 A", amps)
	}
	h := Heat{Ohms: w.Ohms(), Amps: amps, Volts: amps * w.Ohms(), WattsPerM: amps * amps * w.OhmsPerM()}
	if most := s.MostVolts(); h.Volts > most {
		return h, fmt.Errorf("%.1f V is more than the %.0f V that a bare wire may have (%v): take a shorter or a thicker wire", h.Volts, most, s)
	}
	return h, nil
}
