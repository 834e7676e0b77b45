package drawing

import (
	"context"
	"strconv"

	"traywright/cam/finding"
)

// rule is that of every finding about a drawing.
const rule = "outline"

// fault is what is wrong with a drawing and what to do about it, as an error:
// a finding.List of one. Line is the file's, 0 when it is not about one line.
// Where is left to the caller, who knows the file's name.
func fault(line int, message, hint string) error {
	return finding.List{{Rule: rule, Line: line, Message: message, Hint: hint}}
}

const alone = "keep the outline alone in the file"

// quote shortens a text from the file for a message.
func quote(s string) string {
	if len(s) > 40 {
		s = s[:40] + "..."
	}
	return strconv.Quote(s)
}

// pulse asks now and then whether the work is to be stopped: asking each time
// would cost more than what is done in between.
type pulse struct {
	ctx   context.Context
	steps int
}

// stopped is the context's error once it has one; it is found out within 1024 steps.
func (p *pulse) stopped() error {
	if p.steps++; p.steps%1024 != 0 {
		return nil
	}
	return p.ctx.Err()
}
