package main

import (
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// progressAfter is how long work may take before a bar appears.
const progressAfter = time.Second

// progress is a bar on the terminal for work that takes more than a second;
// nothing is shown when the talk does not go to a terminal.
type progress struct {
	mu      sync.Mutex
	talk    io.Writer // nil shows nothing
	title   string
	started time.Time
	bar     *progressbar.ProgressBar
}

func (s *session) newProgress(title string) *progress {
	p := &progress{title: title, started: time.Now()}
	if isTerminal(s.talk) && !s.quiet {
		p.talk = s.talk
	}
	return p
}

// step says that done of total parts are ready. It may be called from several
// goroutines.
func (p *progress) step(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.talk == nil || time.Since(p.started) < progressAfter {
		return
	}
	if p.bar == nil {
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.talk), progressbar.OptionSetDescription(p.title),
			progressbar.OptionSetWidth(30), progressbar.OptionClearOnFinish())
	}
	p.bar.Set(done)
}

// end takes the bar off the terminal.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar != nil {
		p.bar.Finish()
	}
	p.talk = nil // work that was given up may go on for a moment
}
