package job

import (
	"fmt"
	"math"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// values reads lengths and counts in the job's units.
type values struct{ unit units.Unit }

// length takes a value as a length; an absent one is 0.
func (u values) length(v strict.Value) units.Length {
	if !v.Present() {
		return 0
	}
	text := v.Scalar()
	if text == "" {
		return 0 // Scalar has reported it
	}
	l, err := units.Parse(text, u.unit)
	if err != nil {
		v.Fail(splitAdvice(err))
	}
	return l
}

// splitAdvice parts what is wrong with a length from what to write instead.
func splitAdvice(err error) (reason, hint string) {
	reason, advice, ok := strings.Cut(err.Error(), ": write ")
	if !ok {
		return reason, "write a length such as 31, 31 mm, 1.25 in or 1 1/4 in"
	}
	return reason, "write " + advice
}

// lengths takes a value as a list of n lengths; names say what they are.
func (u values) lengths(v strict.Value, names string, n int) []units.Length {
	out := make([]units.Length, n)
	if !v.Present() {
		return out
	}
	list := v.List()
	if v.IsList() && len(list) != n {
		v.Fail(fmt.Sprintf("has %d values and takes %d", len(list), n), "write "+names)
		return out
	}
	for i, item := range list {
		out[i] = u.length(item)
	}
	return out
}

// count takes a value as a whole number of at least 0.
func (u values) count(v strict.Value, otherwise int) int {
	if !v.Present() {
		return otherwise
	}
	const most = 1e9
	n := v.Number(-most, most)
	if n != math.Trunc(n) {
		v.Fail(fmt.Sprintf("%v is not a whole number", n), "")
	}
	return int(n)
}
