package read

// Where the program's zero is: work offsets, and G92.

// chooseSystem is G54 to G59.3. Before anything has moved it names the frame.
func (r *reader) chooseSystem(b *block) *problem {
	for _, code := range b.g {
		if gGroups[code] != gGroups[540] {
			continue
		}
		next := systemNumber(code)
		if r.frame != 0 && next != r.frame && !r.bothKnown(next, r.frame) {
			return unfollowed("%s is a second zero beside %s, and how far one lies from the other only the machine knows", gName(code), systemName(r.frame)).do("have one program written for each zero")
		}
		r.system = next
	}
	return nil
}

// systemNumber is 1 for G54 (540) to 9 for G59.3 (593).
func systemNumber(code int) int {
	if code <= 590 {
		return (code-540)/10 + 1
	}
	return 6 + code - 590
}

// systemName is the word of a work offset.
func systemName(system int) string {
	if system <= 6 {
		return gName(530 + 10*system)
	}
	return gName(584 + system)
}

func (r *reader) bothKnown(a, b int) bool {
	_, okA := r.opt.Offsets[a]
	_, okB := r.opt.Offsets[b]
	return okA && okB
}

// origin is where the program's zero lies in the frame.
func (r *reader) origin() Place {
	o := r.shift
	if r.frame != 0 && r.system != r.frame {
		from, to := r.opt.Offsets[r.frame], r.opt.Offsets[r.system]
		o.X += to.X - from.X
		o.Y += to.Y - from.Y
		o.Z += to.Z - from.Z
	}
	return o
}

// place fixes the frame at the first thing that has a place.
func (r *reader) place() {
	if r.frame == 0 {
		r.frame = r.system
	}
}

// axisWord is an axis and its place in a Place.
type axisWord struct {
	letter byte
	axis   Axes
	of     func(*Place) *float64
}

var axisWords = [3]axisWord{
	{'X', AxisX, func(p *Place) *float64 { return &p.X }},
	{'Y', AxisY, func(p *Place) *float64 { return &p.Y }},
	{'Z', AxisZ, func(p *Place) *float64 { return &p.Z }},
}

// offsets is G92 and its relatives.
func (r *reader) offsets(b *block) *problem {
	switch {
	case b.hasG(920):
		return r.setShift(b)
	case b.hasG(921):
		r.shift, r.savedShift = Place{}, Place{}
	case b.hasG(922):
		r.savedShift, r.shift = r.shift, Place{}
	case b.hasG(923):
		r.shift = r.savedShift
	}
	return nil
}

// setShift is G92: the place where the machine is gets the coordinates
// written. For an axis whose place is not known yet that says where it is.
func (r *reader) setShift(b *block) *problem {
	if !b.hasAny("XYZ") {
		return problemf("no-axis", "G92 has no axis word").do("add the coordinates that this place shall have, or remove G92")
	}
	if motion, written := b.motion(); written && motion != 800 {
		return problemf("axis-words-twice", "G92 and %s both want the axis words", gName(motion)).do("split the line")
	}
	r.place()
	origin := r.origin()
	for _, w := range axisWords {
		if !b.has(w.letter) {
			continue
		}
		v := b.word(w.letter) * r.unit
		b.take(w.letter)
		if r.known&w.axis == 0 {
			*w.of(&r.at) = v + *w.of(&origin)
			r.known |= w.axis
			continue
		}
		*w.of(&r.shift) += *w.of(&r.at) - v - *w.of(&origin)
	}
	return nil
}
