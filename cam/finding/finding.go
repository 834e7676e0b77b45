// Package finding is the one shape of anything wrong or worth knowing: its rule,
// its place and what to do about it. It tells inputs that cannot be read from
// those that are wrong, and names what was probably meant.
package finding

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Severity says what a finding does to the job. The zero value is Error, so a
// finding whose author forgot to say is never taken lightly.
type Severity uint8

const (
	Error   Severity = iota // the job is refused; nothing is written
	Warning                 // the job goes on; the person should look
	Note                    // worth knowing
)

var severityNames = [...]string{Error: "error", Warning: "warning", Note: "note"}

func (s Severity) String() string {
	if int(s) < len(severityNames) {
		return severityNames[s]
	}
	return fmt.Sprintf("severity %d", uint8(s))
}

// MarshalText writes the severity as error, warning or note.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads error, warning or note; anything else is an error.
func (s *Severity) UnmarshalText(text []byte) error {
	for i, name := range severityNames {
		if name == string(text) {
			*s = Severity(i)
			return nil
		}
	}
	return fmt.Errorf("severity %q is not error, warning or note", text)
}

// Finding is one thing wrong or worth knowing.
type Finding struct {
	Severity Severity `json:"severity" means:"how bad it is" one:"error|warning|note"`
	Rule     string   `json:"rule" means:"short stable name, kebab-case: \"wall-too-thin\""`
	Where    string   `json:"where" means:"FILE:LINE:COLUMN where there is one, else \"tray crew, pocket 3 (kraken)\""`
	Message  string   `json:"message" means:"what is wrong, one line"`
	Hint     string   `json:"hint" means:"what to do, one line"`
	Boxed    bool     `json:"-"` // a cut sheet has a box to tick for it, and does not list it again
	Line     int      `json:"-"` // of the program that Where names; 0 where the finding is not about a line of one
	More     int      `json:"-"` // how many more like it there are, that nobody lists
	// Unread says that it is about an input that cannot be read into values, or that
	// names what nobody knows. A run that it ends has exit code 2, not 1.
	Unread bool `json:"-"`
}

// Text is the message, and how many more there are like it.
func (f Finding) Text() string {
	if f.More == 0 {
		return f.Message
	}
	return fmt.Sprintf("%s (and %d more like it)", f.Message, f.More)
}

// String is the finding as the terminal shows it: one line, and a hint line
// where there is a hint.
func (f Finding) String() string {
	s := f.Severity.String() + ": "
	if f.Where != "" {
		s += f.Where + ": "
	}
	s += f.Text()
	if f.Hint != "" {
		s += "\nhint: " + f.Hint
	}
	return s
}

// MarshalJSON writes severity, rule, where, message and hint, the message with
// how many more there are like it.
func (f Finding) MarshalJSON() ([]byte, error) {
	type plain Finding
	f.Message = f.Text()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // whoever encodes the whole decides
	err := e.Encode(plain(f))
	return b.Bytes(), err
}

// Quote shows a text of the user's in a message: quoted, and not too long.
func Quote(text string) string {
	if r := []rune(text); len(r) > 60 {
		text = string(r[:60]) + "..."
	}
	return fmt.Sprintf("%q", text)
}

// List is a set of findings in the order they were found. It is the error, too, of
// what cannot be done because of them; see Err.
type List []Finding

// Error is the findings, one a line, with their hints.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, f := range l {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// Err is the list as an error; nil when no finding is one.
func (l List) Err() error {
	if !l.Failed() {
		return nil
	}
	return l
}

// Failed reports whether any finding refuses the job.
func (l List) Failed() bool {
	for _, f := range l {
		if f.Severity == Error {
			return true
		}
	}
	return false
}

// Unread reports whether what refuses the job is an input that cannot be read or
// a name that nobody knows: see Finding.Unread.
func (l List) Unread() bool {
	for _, f := range l {
		if f.Severity == Error && f.Unread {
			return true
		}
	}
	return false
}

// AsUnread is the list where all that it is about counts as an input that cannot be
// read: half of what somebody wrote is not what they wrote.
func (l List) AsUnread() List {
	list := slices.Clone(l)
	for i := range list {
		list[i].Unread = true
	}
	return list
}

// Folded is the list as a person reads it: errors first, then warnings, then
// notes, each in the order found. Findings of one rule about lines of one program
// become the first of them, which says how many more there are; and so do those that say
// the same and whose remedy is the same.
func (l List) Folded() List {
	var list List
	first := map[Finding]int{}
	for _, f := range l.bySeverity() {
		key, folds := f.alike()
		if i, again := first[key]; again && folds {
			list[i].More += 1 + f.More
			continue
		}
		first[key] = len(list)
		list = append(list, f)
	}
	return list
}

// positioned is where a file says something, before whatever of the job that makes.
var positioned = regexp.MustCompile(`^.*?:\d+:\d+: `)

// alike is what is the same of findings that are folded, and whether this one may be: an error of a job only
// into one of the same place in a file, for each other place has to be mended as well.
func (f Finding) alike() (key Finding, folds bool) {
	if f.Line > 0 {
		file, _ := strings.CutSuffix(f.Where, fmt.Sprintf(":%d", f.Line))
		return Finding{Severity: f.Severity, Rule: f.Rule, Where: file}, true
	}
	key = Finding{Severity: f.Severity, Rule: f.Rule, Message: f.Message, Hint: f.Hint, Line: -1}
	if f.Severity == Error {
		key.Where = positioned.FindString(f.Where)
		return key, key.Where != ""
	}
	return key, f.Message != ""
}

func (l List) bySeverity() List {
	sorted := slices.Clone(l)
	slices.SortStableFunc(sorted, func(a, b Finding) int { return int(a.Severity) - int(b.Severity) })
	return sorted
}

// MarshalJSON writes an empty list as [], never null.
func (l List) MarshalJSON() ([]byte, error) {
	if l == nil {
		return []byte("[]"), nil
	}
	return json.Marshal([]Finding(l))
}
