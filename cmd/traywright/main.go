// Traywright turns measured pieces into foam trays: it checks a job, writes
// what a machine needs to cut it, and tries every program on virtual foam
// before it lets go of it.
//
// This folder is the only place that opens a file for writing, talks to a
// terminal or exits.
package main

import (
	"context"
	"io"
	"os"
	"runtime/debug"
	"slices"
)

// Exit codes of the contract.
const (
	exitDone    = 0
	exitRefused = 1 // the job is refused or a check failed
	exitUsage   = 2 // wrong usage, or an input that cannot be read
)

// memoryGoal is what the program keeps its memory under when it can, by
// collecting garbage more often: half a gigabyte is asked for, and a job of
// 10,000 pockets would otherwise take a little more.
const memoryGoal = 370 << 20

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryGoal)
	}
	os.Exit(withInterrupts(func(ctx context.Context) int { return run(ctx, os.Args, os.Stdin, os.Stdout, os.Stderr) }))
}

// run is main without the process around it, so that tests can call it.
func run(ctx context.Context, args []string, in io.Reader, out, talk io.Writer) int {
	s := newSession(in, out, talk)
	s.json = slices.Contains(args, "--"+jsonFlag.Name)
	app := newApp(s)
	ordered, err := flagsFirst(app, args)
	if err == nil {
		err = app.RunContext(ctx, ordered)
	}
	return s.exitCode(err)
}
