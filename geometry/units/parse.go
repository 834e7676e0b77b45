package units

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"unicode"
)

// The two ways a length is written: a fraction with or without a whole number
// before it (1/4, 1 1/4, and 1-1/4 as the timber trade writes it), and a
// decimal number. A unit, or none, stands behind either.
var (
	fraction = regexp.MustCompile(`^([+-]?)(?:(\d+)(?: +|-))?(\d+) ?/ ?(\d+)([^\d.,]*)$`)
	decimal  = regexp.MustCompile(`^([+-]?)(\d+\.?\d*|\.\d+)([^\d.,]*)$`)
	exponent = regexp.MustCompile(`^[+-]?[\d.]+[eE][+-]?\d+`)
)

// maxText bounds what Parse looks at, in bytes; no length takes more to write.
const maxText = 64

// Parse reads a length such as `31`, `31 mm`, `1.25 in`, `1 1/4 in`, `1-1/4"`
// or `-2 cm`. A number without a unit is in bare; the units are mm, cm, m, in
// (inch, inches, ") in small letters or capitals. A sign holds for the whole
// and the fraction together.
//
// The arithmetic is exact. Only a text that is finer than a nanometre is
// rounded, to the nearest one, halves away from zero. It is an error when the
// text is no length, looks like a date that a spreadsheet made of a fraction, has a decimal comma or an exponent, names an unknown unit,
// or is beyond 100 m either way.
func Parse(text string, bare Unit) (Length, error) {
	t := tidy(text)
	if t == "" {
		return 0, errors.New("a length is missing")
	}
	if len(t) > maxText {
		return 0, fmt.Errorf("a length is written in at most %d characters", maxText)
	}
	if err := Dated(t); err != nil {
		return 0, fmt.Errorf("%q %w", t, err)
	}
	sign, number, unit, err := split(t)
	if err != nil {
		return 0, fmt.Errorf("%q %w", t, err)
	}
	scale, err := scaleOf(unit, bare)
	if err != nil {
		return 0, fmt.Errorf("%q %w", t, err)
	}
	l, err := rounded(number.Mul(number, scale))
	if err != nil {
		return 0, fmt.Errorf("%q %w", t, err)
	}
	if sign == "-" {
		return -l, nil
	}
	return l, nil
}

// tidy makes every white space a plain one, as spreadsheets put no-break spaces
// between number and unit, and a typographic minus a hyphen.
//
// A fraction in one letter, as word processors make it, becomes three, and a unit that
// is written as an abbreviation loses its point.
func tidy(text string) string {
	t := strings.TrimSpace(vulgar.Replace(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == '\u2212':
			return '-'
		}
		return r
	}, text)))
	if short, ok := strings.CutSuffix(t, "."); ok && strings.HasSuffix(strings.ToLower(short), "in") {
		return short
	}
	return t
}

// vulgar are fractions in one letter.
var vulgar = strings.NewReplacer("\u2044", "/", "\u00bc", " 1/4", "\u00bd", " 1/2", "\u00be", " 3/4", "\u2153", " 1/3", "\u2154", " 2/3",
	"\u215b", " 1/8", "\u215c", " 3/8", "\u215d", " 5/8", "\u215e", " 7/8")

// split takes a length apart; the number has no sign.
func split(t string) (sign string, number *big.Rat, unit string, err error) {
	if m := decimal.FindStringSubmatch(t); m != nil {
		number, _ = new(big.Rat).SetString(m[2])
		return m[1], number, strings.TrimSpace(m[3]), nil
	}
	m := fraction.FindStringSubmatch(t)
	if m == nil {
		return "", nil, "", reason(t)
	}
	whole, over, under := natural(m[2]), natural(m[3]), natural(m[4])
	if under.Sign() == 0 {
		return "", nil, "", errors.New("divides by zero")
	}
	return m[1], whole.Add(whole, over.Quo(over, under)), strings.TrimSpace(m[5]), nil
}

// natural is the value of decimal digits; none are 0.
func natural(digits string) *big.Rat {
	n, _ := new(big.Int).SetString("0"+digits, 10)
	return new(big.Rat).SetInt(n)
}

// reason says why a text is no length, where a likely mistake is to be seen.
func reason(t string) error {
	switch {
	case exponent.MatchString(t):
		return errors.New("has an exponent: write the number out")
	case strings.Contains(t, ","):
		return errors.New("has a comma: write a decimal point, and nothing between thousands")
	}
	return errors.New("is no length: write 31, 31 mm, 1.25 in or 1 1/4 in")
}

// scaleOf is a unit in nanometres.
func scaleOf(unit string, bare Unit) (*big.Rat, error) {
	if unit == "" {
		unit = bare.String()
	}
	var scale Length
	switch strings.ToLower(unit) {
	case "mm":
		scale = oneMM
	case "cm":
		scale = 10 * oneMM
	case "m":
		scale = 1000 * oneMM
	case "in", "inch", "inches", `"`, "″", "”":
		scale = oneInch
	default:
		return nil, fmt.Errorf(`has an unknown unit %q: write mm, cm, m, in or "`, unit)
	}
	return big.NewRat(int64(scale), 1), nil
}

// rounded is a number of nanometres, not negative, as a Length.
func rounded(nm *big.Rat) (Length, error) {
	if nm.Cmp(big.NewRat(int64(Longest), 1)) > 0 {
		return 0, errors.New("is longer than 100 m")
	}
	half := nm.Add(nm, big.NewRat(1, 2))
	return Length(new(big.Int).Quo(half.Num(), half.Denom()).Int64()), nil
}
