package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// noteInterval says between what heights a stack of measured sheets is, and what that makes of the room above
// it. What the sheets may be off by is added up, for those of one kind are cut from one sheet. A stack of
// labels alone says nothing: nobody has looked at its foam.
func (m *maker) noteInterval(c *job.Case, result Case, stack []*board, at place) {
	low, high := 0.0, 0.0
	measured := false
	var labels []string
	for _, b := range stack {
		for _, l := range b.Layers {
			less, more := l.MayBeOff()
			low, high = low+less, high+more
			measured = measured || l.Measured()
			if name := job.MeasuredFlag(l.Foam.ID, l.Thickness, m.unit); !l.Measured() && !slices.Contains(labels, name) {
				labels = append(labels, name)
			}
		}
	}
	if !measured {
		return
	}
	least, most := result.Height+nearest(low), result.Height+nearest(high)
	text := fmt.Sprintf("as its sheets may be off the stack is %s to %s high, and %s", m.length(least), m.length(most), m.roomBetween(c.Inside.Height-most, c.Inside.Height-least))
	hint := "before you glue, lay the sheets into the case and close it"
	if len(labels) > 0 {
		hint = "measure what has only its label, and give " + strings.Join(labels, " ") + "; " + hint
	}
	if most > c.Inside.Height && least <= c.Inside.Height && result.Room >= 0 {
		m.log.warn(at, "stack-may-be-too-high", text, hint)
		return
	}
	m.log.note(at, "stack-interval", text, hint)
}

// nearest is so many mm as whole nanometres.
func nearest(mm float64) units.Length { return units.Length(math.Round(mm * 1e6)) }

// roomBetween says what is left of a case, at least and at most.
func (m *maker) roomBetween(least, most units.Length) string {
	switch {
	case most < 0:
		return m.some(-most) + " to " + m.some(-least) + " too high"
	case least < 0:
		return "from " + m.some(-least) + " too high to " + m.room(most)
	}
	return "leaves " + m.some(least) + " to " + m.some(most)
}

func (m *maker) room(l units.Length) string {
	if l == 0 {
		return "none left"
	}
	return m.some(l) + " left"
}
