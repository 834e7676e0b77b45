package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
)

// How many findings are shown of one kind. A file that is wrong throughout is
// wrong for one reason, and a person reads a page.
const (
	mostUnread = 20
	mostWrong  = 100
)

// log collects what is wrong: texts that could not be read into a value, and
// values that make no job.
type log struct {
	file          string // the job's, whose findings come first
	unread, wrong []entry
	suggested     int // names looked for
}

type entry struct {
	at Position
	finding.Finding
}

// cannotRead reports a text that is no value.
func (l *log) cannotRead(at Position, rule, message, hint string) {
	l.unread = append(l.unread, newEntry(at, finding.Error, rule, message, hint))
}

// fail reports a value that makes no job.
func (l *log) fail(at Position, rule, message, hint string) {
	l.wrong = append(l.wrong, newEntry(at, finding.Error, rule, message, hint))
}

// warn reports a value that somebody should look at.
func (l *log) warn(at Position, rule, message, hint string) {
	l.wrong = append(l.wrong, newEntry(at, finding.Warning, rule, message, hint))
}

func newEntry(at Position, s finding.Severity, rule, message, hint string) entry {
	return entry{at, finding.Finding{Severity: s, Rule: rule, Where: at.String(), Message: message, Hint: hint}}
}

// result is what Load returns beside the job.
func (l *log) result() (finding.List, error) {
	if len(l.unread) > 0 {
		return nil, &ReadError{l.list(l.unread, mostUnread)}
	}
	return l.list(l.wrong, mostWrong), nil
}

// list puts entries in the order of the files. A default that is wrong is
// reported once, however many trays take it; beyond the most, only errors are
// kept in preference to warnings, and the rest is counted.
func (l *log) list(entries []entry, most int) finding.List {
	slices.SortStableFunc(entries, func(a, b entry) int {
		return cmp.Or(l.compareFiles(a.at.File, b.at.File), cmp.Compare(a.at.Line, b.at.Line), cmp.Compare(a.at.Column, b.at.Column),
			cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
	entries = slices.Compact(entries)
	left := len(entries) - most
	if left > 0 {
		slices.SortStableFunc(entries, func(a, b entry) int { return cmp.Compare(a.Severity, b.Severity) })
		entries = entries[:most]
	}
	list := make(finding.List, len(entries))
	for i, e := range entries {
		list[i] = e.Finding
	}
	if left > 0 {
		list = append(list, finding.Finding{
			Severity: list[0].Severity, Rule: "more-findings", Where: l.file,
			Message: fmt.Sprintf("%d more findings are not shown", left), Hint: "correct these first",
		})
	}
	return list
}

func (l *log) compareFiles(a, b string) int {
	switch {
	case a == b:
		return 0
	case a == l.file:
		return -1
	case b == l.file:
		return 1
	}
	return cmp.Compare(a, b)
}

// Bounds of suggesting: names looked for in all, far more than are shown, and
// names in a hint.
const (
	mostSuggested = 1000
	mostListed    = 20
)

// suggest names the nearest of the known names, or some of them where none is
// near.
func (l *log) suggest(name string, known []string) string {
	if l.suggested++; l.suggested > mostSuggested {
		return "correct the name"
	}
	if ask := finding.DidYouMean(name, known); ask != "" {
		return ask
	}
	switch n := len(known); {
	case n == 0:
		return "there are none"
	case n > mostListed:
		return "known are " + strings.Join(known[:mostListed], ", ") + ", ..."
	}
	return "known are " + strings.Join(known, ", ")
}
