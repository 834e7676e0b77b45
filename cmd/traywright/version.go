package main

import (
	"fmt"
	"runtime/debug"
)

// version is what the Go tools stamped into the program: the module's version,
// or the commit that it was built from, and what built it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown: built without module information"
	}
	return fmt.Sprintf("%s, built with %s", info.Main.Version, info.GoVersion)
}
