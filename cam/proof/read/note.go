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

// noteCode keeps a code; M codes count down from -1.
func (r *reader) noteCode(code int, name func(int) string, line int) {
	if !r.seen[code] {
		r.seen[code] = true
		r.trace.Codes = append(r.trace.Codes, Code{name(code), line})
	}
}

func mName(code int) string { return fmt.Sprintf("M%d", -1-code) }
