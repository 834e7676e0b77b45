package main

import (
	"errors"
	"math"
	"os"

	"golang.org/x/sys/windows"
)

// exchange is not a thing that the system has.
func exchange(a, b string) error {
	return &os.LinkError{Op: "exchange", Old: a, New: b, Err: errors.ErrUnsupported}
}

// lock takes an open file for this process alone, for as long as it is open. Its
// last byte that can be is what is locked: the others have to be read.
func lock(f *os.File) bool {
	const flags = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	last := windows.Overlapped{Offset: math.MaxUint32, OffsetHigh: math.MaxInt32}
	return windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &last) == nil
}
