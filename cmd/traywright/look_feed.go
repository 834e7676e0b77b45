package main

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
)

// lookFeed keeps what the page shows: it reads the job anew whenever a file changes, plans it
// at once, and tries its programs when it is left alone.
type lookFeed struct {
	s          *session
	c          *cli.Context
	path       string
	watch      lookWatch
	work       sync.Mutex // held while the job is read, planned and changed
	texts      lookTexts  // as last read
	planned    *plan.Plan // of it; nil while it is refused
	steps      []lookStep // back to what it was
	made       []byte     // the page of that plan
	memory     cam.Memory // of what was planned before
	stopTrying func()
	ahead      *drafted // of what the files were when the watch last looked; nil for nothing

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
	Sum      string           `json:"sum"`            // of the job's text, which an edit has to name
	Steps    int              `json:"steps"`          // that can be taken back
	Loose    []lookLoose      `json:"loose"`          // pieces that no tray holds
	Job      string           `json:"job"`            // as a shell takes its path
	Page     string           `json:"page,omitempty"` // where it is another than the last
}

// tryAfter is how long a job is left alone until its programs are tried.
const tryAfter = 500 * time.Millisecond

func newLookFeed(s *session, c *cli.Context, path string) *lookFeed {
	beside := c.StringSlice(rulesFlag.Name)
	if dir := c.String(profilesFlag.Name); dir != "" {
		beside = append(beside, dir)
	}
	return &lookFeed{s: s, c: c, path: path, watch: lookWatch{job: path, beside: beside}, fresh: make(chan struct{}), stopTrying: func() {}}
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
	return f.again(f.c.Context)
}

// run feeds the page until the run is over.
func (f *lookFeed) run(ctx context.Context) {
	for f.watch.next(ctx, f.read, func() { f.ahead = f.draftNow(ctx) }) {
		f.again(ctx)
	}
}

// draftNow plans what the files are now.
func (f *lookFeed) draftNow(ctx context.Context) *drafted {
	texts := readTexts(f.path)
	d, err := f.draft(ctx, texts)
	d.texts, d.err = texts, err
	return &d
}

// read are the texts as they were last read.
func (f *lookFeed) read() lookTexts {
	f.work.Lock()
	defer f.work.Unlock()
	return f.texts
}

// again reads and plans the job anew.
func (f *lookFeed) again(ctx context.Context) error {
	f.work.Lock()
	defer f.work.Unlock()
	was, d := f.texts, f.ahead
	if f.ahead = nil; d == nil || !readTexts(f.path).equal(d.texts) { // a step of the page's own has come between
		d = f.draftNow(ctx)
	}
	f.texts = d.texts
	if d.err != nil {
		return d.err
	}
	if f.planned != nil && !d.found.Failed() && f.texts.equal(was) && bytes.Equal(d.page(), f.made) {
		return nil // an edit of the page's own, which it shows already
	}
	return f.show(ctx, *d)
}

// drafted is what comes of a job's text.
type drafted struct {
	texts   lookTexts
	err     error
	request cam.Request
	result  cam.Result
	found   finding.List
}

// page is what is shown of it; nil for nothing.
func (d drafted) page() []byte {
	if len(d.result.Files) == 0 {
		return nil
	}
	return d.result.Files[0].Data
}

// draft plans texts as the job's, with all that hangs off it. The error is for what no file says.
func (f *lookFeed) draft(ctx context.Context, texts lookTexts) (d drafted, err error) {
	quiet := *f.s
	quiet.quiet, quiet.heard, quiet.draft = true, &d.found, texts
	var unread finding.List
	d.request, err = quiet.request(f.c, f.path)
	if errors.As(err, &unread) {
		d.found = append(d.found, unread...)
		return d, nil
	}
	d.request.Memory = &f.memory
	if err == nil {
		d.result, err = until(ctx, func() (cam.Result, error) { return cam.Look(ctx, d.request, false) })
		d.found = append(d.found, d.result.Report.Findings.Folded()...)
	}
	return d, err
}

// show makes a draft what is shown, and has its programs tried where it may be cut.
func (f *lookFeed) show(ctx context.Context, d drafted) error {
	f.stopTrying()
	f.planned = nil
	f.publish(d, true)
	if d.found.Failed() {
		return nil
	}
	f.planned, f.made = d.result.Plan, d.page()
	trying, stop := context.WithCancel(ctx)
	f.stopTrying = stop
	go f.try(trying, d)
	return nil
}

// try tries the programs of a job that is left alone.
func (f *lookFeed) try(ctx context.Context, d drafted) {
	if !pause(ctx, tryAfter) {
		return
	}
	result, err := cam.Look(ctx, d.request, true)
	if err != nil {
		return
	}
	f.work.Lock()
	defer f.work.Unlock()
	if ctx.Err() == nil { // else another draft has come meanwhile
		d.result, d.found = result, result.Report.Findings.Folded()
		f.publish(d, false)
	}
}

// publish makes a state the one that is told. Of a refused job the page stays what it was, as
// long as that was good.
func (f *lookFeed) publish(d drafted, planned bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	failed := d.found.Failed()
	state := lookState{Loose: looseOf(d.result.Plan), Job: asTyped(f.path), Version: f.now.Version + 1, Refused: failed, Findings: slices.Concat(finding.List{}, d.found), Wrong: d.result.Wrong(), Sum: f.texts.sum(), Steps: len(f.steps)}
	if made := d.page(); made != nil && (!failed || !f.shown && planned) {
		f.good, f.since, f.shown = made, state.Version, !failed
	}
	state.Shown = f.shown
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
