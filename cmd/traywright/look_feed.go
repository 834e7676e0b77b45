package main

import (
	"context"
	"errors"
	"sync"
	"time"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/page"
)

// lookFeed keeps what the page shows: it reads the job anew whenever a file changes, plans it
// at once, and tries its programs when it is left alone.
type lookFeed struct {
	s     *session
	c     *cli.Context
	path  string
	watch lookWatch
	text  []byte       // the job's, as last read
	next  *cam.Request // whose programs are to be tried; nil for none

	mu    sync.Mutex
	now   lookState
	good  []byte        // the last page that nothing refuses; before there is one, whatever there is
	since int           // the version that brought it
	shown bool          // good is one
	fresh chan struct{} // closed by the next state
}

// lookState is what the page is told: see live.mjs.
type lookState struct {
	Version  int              `json:"version"`
	Refused  bool             `json:"refused"`
	Shown    bool             `json:"shown"` // a good state lies behind a refused one
	Findings finding.List     `json:"findings"`
	Wrong    []page.LookWrong `json:"wrong"`
	Page     string           `json:"page,omitempty"` // where it is another than the last
}

// tryAfter is how long a job is left alone until its programs are tried.
const tryAfter = 500 * time.Millisecond

func newLookFeed(s *session, c *cli.Context, path string) *lookFeed {
	beside := c.StringSlice(rulesFlag.Name)
	if dir := c.String(profilesFlag.Name); dir != "" {
		beside = append(beside, dir)
	}
	return &lookFeed{s: s, c: c, path: path, watch: lookWatch{job: path, beside: beside}, fresh: make(chan struct{})}
}

// begin reads the job for the first time. The error is for a command line that is wrong, or a
// job that is not there.
func (f *lookFeed) begin() error {
	if _, err := readPlain(f.path); err != nil {
		return cannotRead(f.path, err)
	}
	nothing, err := cam.LookAtNothing(f.path)
	if err != nil {
		return err
	}
	f.good = nothing
	f.watch.changed()
	return f.plan(f.c.Context)
}

// run feeds the page until the run is over.
func (f *lookFeed) run(ctx context.Context) {
	for ctx.Err() == nil {
		trying, stop := context.WithCancel(ctx)
		if f.next != nil {
			go f.try(trying, *f.next)
		}
		changed := f.watch.next(ctx, f.text)
		stop()
		if changed {
			f.plan(ctx)
		}
	}
}

// read is the job with all that hangs off it, and what was told on the way.
func (f *lookFeed) read() (cam.Request, finding.List, error) {
	heard := finding.List{}
	quiet := *f.s
	quiet.quiet, quiet.heard = true, &heard
	request, err := quiet.request(f.c, f.path)
	return request, heard, err
}

// plan reads and plans the job, and shows what came of it. The error is for what no file says.
func (f *lookFeed) plan(ctx context.Context) error {
	f.text, f.next = readJobText(f.path), nil
	request, heard, err := f.read()
	var found finding.List
	if errors.As(err, &found) {
		f.publish(ctx, lookState{Refused: true, Findings: append(heard, found...)}, nil)
		return nil
	}
	if err != nil {
		return err
	}
	result, err := until(ctx, func() (cam.Result, error) { return cam.Look(ctx, request, false) })
	if err != nil {
		return err
	}
	f.show(ctx, result, heard)
	if !result.Report.Findings.Failed() {
		f.next = &request
	}
	return nil
}

// try tries the programs of a job that is left alone.
func (f *lookFeed) try(ctx context.Context, request cam.Request) {
	if !pause(ctx, tryAfter) {
		return
	}
	if result, err := cam.Look(ctx, request, true); err == nil {
		f.show(ctx, result, nil)
	}
}

// show publishes a result.
func (f *lookFeed) show(ctx context.Context, result cam.Result, heard finding.List) {
	state := lookState{Refused: result.Report.Findings.Failed(), Findings: append(heard, result.Report.Findings.Folded()...), Wrong: result.Wrong()}
	var made []byte
	for _, file := range result.Files {
		made = file.Data
	}
	f.publish(ctx, state, made)
}

// publish makes a state the one that is shown, unless it has been overtaken. Of a refused job
// the page stays what it was, as long as that was good.
func (f *lookFeed) publish(ctx context.Context, state lookState, made []byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if ctx.Err() != nil {
		return
	}
	state.Version = f.now.Version + 1
	if made != nil && (!state.Refused || !f.shown) {
		f.good, f.since, f.shown = made, state.Version, !state.Refused
	}
	state.Shown = f.shown
	if state.Findings == nil {
		state.Findings = finding.List{}
	}
	if state.Wrong == nil {
		state.Wrong = []page.LookWrong{}
	}
	f.now = state
	close(f.fresh)
	f.fresh = make(chan struct{})
}

// page is the last good page.
func (f *lookFeed) page() []byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.good
}

// after is the first state behind the one that was seen, waited for no longer than that.
func (f *lookFeed) after(ctx context.Context, seen int, wait time.Duration) lookState {
	ctx, stop := context.WithTimeout(ctx, wait)
	defer stop()
	for {
		f.mu.Lock()
		now, fresh := f.now, f.fresh
		if f.since > seen {
			now.Page = string(f.good)
		}
		f.mu.Unlock()
		if now.Version != seen {
			return now
		}
		select {
		case <-ctx.Done():
			return now
		case <-fresh:
		}
	}
}
