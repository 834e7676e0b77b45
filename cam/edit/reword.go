package edit

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"traywright/geometry/units"
)

// written takes a length apart as somebody wrote it: sign, number, and the unit with the space
// before it.
var written = regexp.MustCompile(`^\s*([+-]?)([0-9./⁄¼½¾⅓⅔⅛⅜⅝⅞ -]*[0-9./¼½¾⅓⅔⅛⅜⅝⅞])(\s*[a-zA-Z"″”]*\.?)\s*$`)

// reword writes another length as an old one is written: in its unit, as a fraction where that
// is one and a sixty-fourth is exact, else with a decimal point.
func reword(old string, bare units.Unit, l units.Length) (string, error) {
	m := written.FindStringSubmatch(old)
	if m == nil {
		return "", errors.New("is not written as a length")
	}
	one, err := units.Parse("1"+m[3], bare)
	if err != nil {
		return "", err
	}
	sign, size := "", l
	if l < 0 {
		sign, size = "-", -l
	}
	number := new(big.Rat).SetFrac64(int64(size), int64(one))
	text := ""
	if strings.ContainsAny(m[2], "/⁄¼½¾⅓⅔⅛⅜⅝⅞") {
		text = fraction(number, strings.Contains(m[2], "-"))
	}
	for digits := 0; text == "" && digits <= 9; digits++ {
		if back, err := units.Parse(number.FloatString(digits)+m[3], bare); err == nil && back == size {
			text = number.FloatString(digits)
		}
	}
	text = sign + text + m[3]
	if back, err := units.Parse(text, bare); err != nil || back != l {
		return "", errors.New("cannot be written so exactly")
	}
	return text, nil
}

// fraction is a number of sixty-fourths, as short as it can be; "" for another. The timber
// trade joins whole and part by a hyphen.
func fraction(number *big.Rat, hyphen bool) string {
	if new(big.Int).Mod(big.NewInt(64), number.Denom()).Sign() != 0 {
		return ""
	}
	whole, rest := new(big.Int).QuoRem(number.Num(), number.Denom(), new(big.Int))
	join := " "
	if hyphen {
		join = "-"
	}
	switch {
	case rest.Sign() == 0:
		return whole.String()
	case whole.Sign() == 0:
		return fmt.Sprintf("%s/%s", rest, number.Denom())
	}
	return fmt.Sprintf("%s%s%s/%s", whole, join, rest, number.Denom())
}

// step is the unit's grid that a length moves on: half a millimetre, or a sixteenth of an inch.
// Judged, no source: what a hand places by eye, and can read off a rule.
func step(old string, bare units.Unit) units.Length {
	const halfMM, sixteenth = 500_000, 1_587_500
	if m := written.FindStringSubmatch(old); m != nil {
		if one, err := units.Parse("1"+m[3], bare); err == nil && one == 16*sixteenth {
			return sixteenth
		}
	}
	return halfMM
}
