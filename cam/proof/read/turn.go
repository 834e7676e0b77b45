package read

import "math"

// turns reports whether the line's A word is one that is followed: it turns a blade, in the
// program's own coordinates, in G0 to G3.
func (r *reader) turns(b *block) bool {
	motion, written := b.motion()
	if !written {
		motion = r.motion
	}
	for _, code := range []int{280, 300, 530, 920} {
		if b.hasG(code) {
			return false
		}
	}
	arc := motion == 20 || motion == 30
	return r.opt.Turns && (motion == 0 || motion == 10 || arc && r.plane == 17)
}

// turnAndMove takes the A axis to its word, if there is one, and all else where it goes. Where
// nothing else does, that is a step of its own.
func (r *reader) turnAndMove(b *block) *problem {
	if !b.has('A') {
		return r.move(b)
	}
	to := b.word('A')
	if r.incremental {
		if !r.turnSaid {
			return problemf("start-unknown", "the program turns its blade by an increment before it has said where it points").do("write G90 and A first")
		}
		to += r.turn
	}
	if r.trace.Turns == nil {
		r.trace.Turns = make([]float64, len(r.trace.Steps), cap(r.trace.Steps))
	}
	r.turnSaid = true
	was := r.turn
	r.turn = to
	if b.hasAny("XYZIJK") {
		return r.move(b)
	}
	if code, written := b.motion(); written {
		r.setMotion(code)
	}
	return r.turnAlone(b, math.Abs(to-was))
}

// turnAlone is the step of a line that turns the blade in its place.
func (r *reader) turnAlone(b *block, by float64) *problem {
	s := Step{Line: b.line, Action: Turn}
	switch {
	case r.motion != 0 && r.motion != 10:
		return problemf("no-axis", "an arc needs X or Y").do("add them, or write G1 to turn the blade alone")
	case r.motion == 0:
	case r.feed == 0:
		return problemf("no-feed", "the turn has no feed").do("add F, in degrees a minute")
	case r.inverse && !b.has('F'):
		return problemf("no-feed", "in G93 every G1, G2 and G3 line needs its own F").do("add it, or write G94")
	case r.inverse:
		s.FeedMMPerMin = by * r.feed
	default:
		s.FeedMMPerMin = r.feed
	}
	r.add(s)
	return nil
}
