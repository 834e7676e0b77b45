package main

import (
	"cmp"
	"fmt"
	"runtime/debug"
)

// release is the number of a release, which .ci/release writes; "" of what is built otherwise.
var release string

// version is what the Go tools stamped into the program: the module's version,
// or the commit that it was built from, and what built it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown: built without module information"
	}
	return fmt.Sprintf("%s, built with %s", cmp.Or(release, info.Main.Version), info.GoVersion)
}
