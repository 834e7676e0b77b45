// Package units holds lengths exactly, in whole nanometres, so that a
// sixty-fourth of an inch (396,875 nm) and a hundredth of a millimetre (10,000
// nm) are both exact and a stack of foam sums without rounding.
//
// One inch is 25.4 mm exactly.
package units

import (
	"fmt"
	"math"
)

// Length is an exact length in whole nanometres; the zero value is no length.
type Length int64

// InchMM is an inch in mm, exactly.
const InchMM = 25.4

const (
	oneMM   Length = 1_000_000
	oneInch Length = InchMM * 1_000_000

	sixtyFourth = oneInch / 64

	// Longest is the greatest length that is read: 100 m.
	Longest = 100_000 * oneMM
)

// Unit is what a bare number is in, and what lengths are printed in. The zero
// value is the millimetre.
type Unit uint8

const (
	Millimetre Unit = iota
	Inch
)

// String is mm or in.
func (u Unit) String() string {
	if u == Inch {
		return "in"
	}
	return "mm"
}

// MM is how many mm one of a unit is.
func (u Unit) MM() float64 {
	if u == Inch {
		return InchMM
	}
	return 1
}

// FromMM is mm as a Length, rounded to the nearest nanometre. NaN, infinities
// and lengths beyond 100 m are errors.
func FromMM(mm float64) (Length, error) {
	if math.IsNaN(mm) || math.Abs(mm) > Longest.MM() {
		return 0, fmt.Errorf("%v mm is no length between -100 m and 100 m", mm)
	}
	return Length(math.Round(mm * float64(oneMM))), nil
}

// Reckoned is FromMM of what sums of floats left of a length: a whole number of 64ths of an inch is just that, and any
// other as it is.
func Reckoned(mm float64) (Length, error) {
	const part, lost = InchMM / 64, 1e-4
	if whole := math.Round(mm/part) * part; math.Abs(mm-whole) < lost {
		mm = whole
	}
	return FromMM(mm)
}

// AtLeast is the length in mm that is printed where nothing may fall short of mm: rounded up, to a step of mm or to a
// thousandth of an inch. A whole number of 64ths of an inch stays that, as it does wherever else it is printed.
func AtLeast(mm, stepMM float64, u Unit) float64 { return stepped(mm, stepMM, u, math.Ceil, -1e-6) }

// AtMost is the one where nothing may go beyond mm: rounded down likewise.
func AtMost(mm, stepMM float64, u Unit) float64 { return stepped(mm, stepMM, u, math.Floor, 1e-6) }

func stepped(mm, stepMM float64, u Unit, round func(float64) float64, lost float64) float64 {
	if u == Inch {
		stepMM = InchMM / 1000
		if l, err := Reckoned(mm); err == nil && l%sixtyFourth == 0 {
			return l.MM()
		}
	}
	return round(mm/stepMM+lost) * stepMM
}

// MM is the length in millimetres, as near as a float64 can hold it.
func (l Length) MM() float64 { return float64(l) / float64(oneMM) }

// Down is the length rounded to a multiple of a step above 0, towards minus
// infinity.
func (l Length) Down(step Length) Length {
	r := l % step
	if r < 0 {
		r += step
	}
	return l - r
}

// Up is the length rounded to a multiple of a step above 0, towards plus
// infinity.
func (l Length) Up(step Length) Length { return -(-l).Down(step) }
