package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// withInterrupts runs the program with a context that the first interrupt ends. The
// second ends the program itself, there and then.
func withInterrupts(program func(context.Context) int) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	return program(ctx)
}

// errStopped ends a run that the user interrupted.
var errStopped = errors.New("stopped; nothing was written")

// until waits for work that touches nothing outside memory, but no longer than until
// the user interrupts: then what it comes to is of no use to anybody, and it ends with
// the program.
func until[T any](ctx context.Context, work func() (T, error)) (T, error) {
	return untilSoon(ctx, 0, work)
}

// untilSoon is until for work that heeds the interrupt and comes to something: it is waited for
// that much longer.
func untilSoon[T any](ctx context.Context, longer time.Duration, work func() (T, error)) (T, error) {
	type answer struct {
		value T
		err   error
	}
	done := make(chan answer, 1)
	go func() {
		value, err := work()
		done <- answer{value, err}
	}()
	select {
	case a := <-done:
		return a.value, a.err
	case <-ctx.Done():
	}
	select {
	case a := <-done:
		return a.value, a.err
	case <-time.After(longer):
		var none T
		return none, errStopped
	}
}

// stopped says that the user ended the run, when that is what happened.
func stopped(err error) error {
	if errors.Is(err, context.Canceled) {
		return errStopped
	}
	return err
}
