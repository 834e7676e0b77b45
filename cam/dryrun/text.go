package dryrun

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/geometry"
)

// mm prints a number for a person: at most three decimals, no zeros behind.
func mm(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// place prints a place for a person.
func place(p geometry.Point) string { return fmt.Sprintf("X %s Y %s", mm(p.X), mm(p.Y)) }
