package drawing

import (
	"fmt"
	"strconv"
)

// Error is what is wrong with a drawing, where, and what to do about it.
type Error struct {
	Line          int // of the file; 0 when it is not about one line
	Message, Hint string
}

func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Message
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Message)
}

func fault(line int, message, hint string) error {
	return &Error{Line: line, Message: message, Hint: hint}
}

// quote shortens a text from the file for a message.
func quote(s string) string {
	if len(s) > 40 {
		s = s[:40] + "..."
	}
	return strconv.Quote(s)
}
