package read

import (
	"fmt"
	"math"
)

// note keeps the codes of a line, and which modes they say.
func (r *reader) note(b *block) {
	for _, code := range b.g {
		r.unsaid &^= modeOf[gGroups[code]]
		r.noteCode(code, gName, b.line)
	}
	for _, code := range b.m {
		r.noteCode(-1-code, mName, b.line)
	}
	if r.spin != Off && r.s > 0 && b.holds() {
		r.trace.Holds = append(r.trace.Holds, b.line)
	}
	if !b.hasG(640) {
		return
	}
	blend := Blend{b.line, math.Inf(1)}
	if b.has('P') { // Q: lines that stray by less become one (from memory)
		blend.MM = max(b.word('P'), b.word('Q')) * r.unit
	}
	if r.trace.Blend.Line == 0 || blend.MM > r.trace.Blend.MM {
		r.trace.Blend = blend
	}
}

// holds reports whether a line has one of the words of Trace.Holds.
func (b *block) holds() bool {
	for _, code := range b.g {
		if code == 40 || code == 610 || code == 611 || code == 640 || code >= 540 && code < 600 {
			return true
		}
	}
	for _, code := range b.m {
		if code >= 7 && code <= 9 || code >= 3 && code <= 5 && !b.hasAny("XYZ") {
			return true
		}
	}
	return b.has('S') && !b.hasAny("XYZ")
}

// noteCode keeps a code; M codes count down from -1.
func (r *reader) noteCode(code int, name func(int) string, line int) {
	if !r.seen[code] {
		r.seen[code] = true
		r.trace.Codes = append(r.trace.Codes, Code{name(code), line})
	}
}

func mName(code int) string { return fmt.Sprintf("M%d", -1-code) }
