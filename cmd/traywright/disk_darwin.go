package main

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange gives each of two names what the other has, in one step.
func exchange(a, b string) error {
	err := unix.RenamexNp(a, b, unix.RENAME_SWAP)
	if err == nil {
		return nil
	}
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) { // the file system
		err = errors.ErrUnsupported
	}
	return &os.LinkError{Op: "exchange", Old: a, New: b, Err: err}
}

// lock takes an open file for this process alone, for as long as it is open.
func lock(f *os.File) bool { return unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB) == nil }
