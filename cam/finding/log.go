package finding

import (
	"cmp"
	"fmt"
	"slices"
)

// Position is a place in one of the user's files; lines and columns count from 1.
type Position struct {
	File         string
	Line, Column int
}

// String is FILE:LINE:COLUMN, without the parts that are not known.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Start is the first place of a file.
func Start(file string) Position { return Position{File: file, Line: 1, Column: 1} }

// How many findings are shown of one kind. A file that is wrong throughout is
// wrong for one reason, and a person reads a page.
const (
	mostUnread = 20
	mostWrong  = 100
)

// Log collects what is wrong with the user's files while they are read: texts
// that are no value, and values that cannot be. The zero Log is ready.
type Log struct {
	First  string // the file whose findings come first; others follow by name
	placed []placed
	unread int
	looked int // names looked for
}

type placed struct {
	at Position
	Finding
}

// CannotRead reports a text that is no value.
func (l *Log) CannotRead(at Position, rule, message, hint string) {
	l.unread++
	l.add(at, Finding{Unread: true, Rule: rule, Message: message, Hint: hint})
}

// Fail reports a value that cannot be.
func (l *Log) Fail(at Position, rule, message, hint string) {
	l.add(at, Finding{Rule: rule, Message: message, Hint: hint})
}

// Warn reports a value that somebody should look at.
func (l *Log) Warn(at Position, rule, message, hint string) {
	l.add(at, Finding{Severity: Warning, Rule: rule, Message: message, Hint: hint})
}

func (l *Log) add(at Position, f Finding) {
	f.Where = at.String()
	l.placed = append(l.placed, placed{at, f})
}

// Len is how many findings there are, to tell whether there are new ones.
func (l *Log) Len() int { return len(l.placed) }

// Unread is how many texts were no value.
func (l *Log) Unread() int { return l.unread }

// All is everything, in the order of the files, each thing once.
func (l *Log) All() List { return l.list(l.placed, mostWrong) }

// Result is what there is to say, in the order of the files, each thing once. As
// long as texts cannot be read into values, nothing else is sure: they are the
// error, a List, and there are no findings beside it.
func (l *Log) Result() (List, error) {
	if l.unread == 0 {
		return l.All(), nil
	}
	texts := slices.DeleteFunc(slices.Clone(l.placed), func(p placed) bool { return !p.Unread })
	return nil, l.list(texts, mostUnread)
}

// mostLooked bounds how many names are looked for: far more than are shown.
const mostLooked = 1000

// DidYouMean is DidYouMean for the hint of a finding. In a file that is wrong
// throughout it stops looking, and only asks to correct the name.
func (l *Log) DidYouMean(name string, known []string) string {
	if l.looked++; l.looked > mostLooked {
		return "correct the name"
	}
	return DidYouMean(name, known)
}

// list keeps errors in preference to warnings where there are more than the
// most, and counts the rest.
func (l *Log) list(all []placed, most int) List {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b placed) int {
		return cmp.Or(l.compareFiles(a.at.File, b.at.File), cmp.Compare(a.at.Line, b.at.Line), cmp.Compare(a.at.Column, b.at.Column),
			cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
	all = slices.Compact(all)
	left := len(all) - most
	file := l.First
	if left > 0 {
		file = cmp.Or(file, all[0].at.File)
		slices.SortStableFunc(all, func(a, b placed) int { return cmp.Compare(a.Severity, b.Severity) })
		all = all[:most]
	}
	list := make(List, len(all))
	for i, p := range all {
		list[i] = p.Finding
	}
	if left > 0 {
		list = append(list, Finding{
			Severity: list[0].Severity, Unread: list[0].Unread, Rule: "more-findings", Where: file,
			Message: fmt.Sprintf("%d more findings are not shown", left), Hint: "correct these first",
		})
	}
	return list
}

func (l *Log) compareFiles(a, b string) int {
	switch {
	case a == b:
		return 0
	case a == l.First:
		return -1
	case b == l.First:
		return 1
	}
	return cmp.Compare(a, b)
}
