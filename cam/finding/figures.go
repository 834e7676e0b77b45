package finding

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Duration is seconds as a person reads them, in a program's comments as on every page. They
// are rounded as the report has them first, to a tenth, so that no page says another second; from an hour on to minutes.
func Duration(seconds float64) string {
	if !(seconds >= 0 && seconds < 1e8) {
		return "not known"
	}
	s := int(toWhole(seconds))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	}
	minutes := (s + 30) / 60
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}

// About is seconds that are estimated only, to the minute.
func About(seconds float64) string {
	return strings.TrimSuffix(Duration(60*math.Ceil(seconds/60)), " 00 s")
}

// Grams is a weight, rounded as Duration rounds.
func Grams(g float64) string {
	if !(math.Abs(g) < 1e12) {
		return "not known"
	}
	return fmt.Sprintf("%.0f g", toWhole(g))
}

// toWhole is a number without decimals, by way of the tenth that the report has of it.
func toWhole(v float64) float64 { return math.Round(Tenth(v)) }

// Tenth is a number as the report has it: what is added up of such is its sum as well.
func Tenth(v float64) float64 { return math.Round(v*10) / 10 }

// Counted is a number of things, with the noun's ending.
func Counted(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case strings.HasSuffix(noun, "s"):
		noun += "e"
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
