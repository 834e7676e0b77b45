package strict

import (
	"slices"
	"strings"
)

// IsDevice reports whether a name, in small letters, is one that Windows keeps for
// a device: no file and no folder can have it there, whatever ending follows.
// Source: Microsoft, "Naming Files, Paths, and Namespaces", from memory.
func IsDevice(name string) bool {
	name, _, _ = strings.Cut(name, ".")
	if number, ok := cutEither(name, "com", "lpt"); ok {
		return len(number) == 1 && number[0] >= '0' && number[0] <= '9'
	}
	return slices.Contains([]string{"con", "prn", "aux", "nul"}, name)
}

func cutEither(name, a, b string) (rest string, ok bool) {
	if rest, ok = strings.CutPrefix(name, a); ok {
		return rest, true
	}
	return strings.CutPrefix(name, b)
}
