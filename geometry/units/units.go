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
