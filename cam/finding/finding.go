// Package finding holds what every stage of the pipeline reports: one thing
// wrong or worth knowing, with its rule, its place and what to do about it.
package finding

import (
	"encoding/json"
	"fmt"
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
	Severity Severity `json:"severity"`
	Rule     string   `json:"rule"`    // short stable name, kebab-case: "wall-too-thin"
	Where    string   `json:"where"`   // FILE:LINE:COLUMN where there is one, else "tray crew, pocket 3 (kraken)"
	Message  string   `json:"message"` // what is wrong, one line
	Hint     string   `json:"hint"`    // what to do, one line
}

// String is the finding as the terminal shows it: one line, and a hint line
// where there is a hint.
func (f Finding) String() string {
	s := f.Severity.String() + ": "
	if f.Where != "" {
		s += f.Where + ": "
	}
	s += f.Message
	if f.Hint != "" {
		s += "\nhint: " + f.Hint
	}
	return s
}

// List is a set of findings in the order they were found.
type List []Finding

// Failed reports whether any finding refuses the job.
func (l List) Failed() bool {
	for _, f := range l {
		if f.Severity == Error {
			return true
		}
	}
	return false
}

// MarshalJSON writes an empty list as [], never null.
func (l List) MarshalJSON() ([]byte, error) {
	if l == nil {
		return []byte("[]"), nil
	}
	return json.Marshal([]Finding(l))
}
