package read

import "traywright/cam/finding"

// Tool lengths. G43 adds one from the machine's table, so that Z is where the tool's tip
// is; how long the tool is this file does not say. It is taken to be right: then it
// shifts nothing. What would shift something is refused: a length that comes or goes
// after something has been cut, and a cut without it.

// length is the tool length offset in force.
type length struct {
	on   bool
	h    int  // of G43; 0 is the tool in the spindle
	lost bool // G49 or a change of tools came after G43: where Z is, only the machine knows
}

// lengthOffset is G43 and G49.
func (r *reader) lengthOffset(b *block) *problem {
	if b.hasG(490) && r.length.on {
		r.length = length{lost: true}
		r.known &^= AxisZ
	}
	if !b.hasG(430) {
		return nil
	}
	h, ok := whole(b.word('H'))
	if !ok || h < 0 {
		return problemf("out-of-range", "H%v is not a tool's number", b.word('H')).do("write the tool's number")
	}
	if h == r.inSpindle() {
		h = 0
	}
	next := length{on: true, h: h}
	if next == r.length {
		return nil
	}
	if r.cutting && !r.length.lost {
		return unfollowed("G43 brings in a tool's length after something has been cut without it, and how long the tool is only the machine knows").do("write G43 before the first cut, and behind every change of tools")
	}
	r.once(b.line, problemf("length-assumed", "G43 adds a length out of the machine's tool table; it is taken to be right, so that Z is where the tool's tip is").
		do("measure the tool into the table before you start"), finding.Note)
	if b.has('H') && h != 0 && r.hasTool {
		r.warn(b.line, problemf("other-length", "G43 takes the length of tool %d while T%d is in the spindle", h, r.inSpindle()).do("write H%d, unless the machine's table is meant so", r.inSpindle()))
	}
	r.length = next
	r.known &^= AxisZ
	return nil
}

// inSpindle is the tool that the program has put there, 0 for none.
func (r *reader) inSpindle() int {
	if r.usesM6 {
		return r.loaded
	}
	return r.selected
}

// changeLength is a change of tools: the next one's tip is elsewhere until G43 and Z
// have said where.
func (r *reader) changeLength() {
	if r.length.on {
		r.known &^= AxisZ
		r.length = length{lost: true}
	}
}

// withoutLength is a move of Z after a tool's length was lost: a lift to wherever the
// spindle then is, and no cut.
func (r *reader) withoutLength(b *block) *problem {
	if r.motion != 0 {
		return unfollowed("after G49 or a change of tools, and without a new G43, Z is not where this tool's tip is, and how long the tool is only the machine knows").do("write G43 before the move")
	}
	flat := *b
	flat.take('Z')
	if axes := flat.axes(); axes != 0 {
		to, p := r.target(&flat)
		if p != nil {
			return p
		}
		r.arrive(Step{Line: b.line, Action: Traverse, From: r.at, To: to, Unknown: allAxes &^ r.known, Named: axes})
	}
	r.toMachine(Step{Line: b.line, Action: Traverse, Machine: AxisZ, Home: true})
	return nil
}
