package read

import (
	"math"

	"traywright/geometry"
)

// Arcs in the planes of G18 (ZX) and G19 (YZ) stand upright: a round-nosed tool shapes
// something with them. They are followed as chords, all within uprightMM of the arc.

const (
	uprightMM  = 0.0005
	mostChords = 100_000
)

// turned is a place as the plane in force sees it: its two axes, and the third.
func (r *reader) turned(p Place) Place {
	if r.plane == 18 {
		return Place{p.Z, p.X, p.Y}
	}
	return Place{p.Y, p.Z, p.X}
}

// turnedBack is the place that turned made.
func (r *reader) turnedBack(p Place) Place {
	if r.plane == 18 {
		return Place{p.Y, p.Z, p.X}
	}
	return Place{p.Z, p.X, p.Y}
}

// uprightArc moves along an arc of G18 or G19, which ends at a place.
func (r *reader) uprightArc(b *block, to Place) *problem {
	need := AxisX | AxisZ
	if r.plane == 19 {
		need = AxisY | AxisZ
	}
	switch {
	case r.known&need != need:
		return problemf("start-unknown", "an arc starts at a place that the program has not said").do("go there with G0 first")
	case r.absolute:
		return unfollowed("G90.1 and an arc in the plane of G%d on one line are", r.plane).do("write I, J and K from the arc's start, with G91.1")
	}
	s := Step{Action: ArcCW, From: r.turned(r.at), To: r.turned(to)}
	if r.motion == 30 {
		s.Action = ArcCCW
	}
	if p := r.uprightCenter(&s, b); p != nil {
		return p
	}
	if p := r.setFeed(&s, b); p != nil {
		return p
	}
	radius, turn := s.From.XY().DistanceTo(s.Center), s.sweep()
	n := math.Ceil(math.Abs(turn) / (2 * math.Acos(1-uprightMM/max(radius, 10*uprightMM))))
	if n > mostChords {
		return problemf("out-of-range", "the arc is larger than any machine").do("look for a lost decimal point")
	}
	from := s.From.XY().Sub(s.Center)
	start := math.Atan2(from.Y, from.X)
	for i := 1.0; i <= n; i++ {
		sin, cos := math.Sincos(start + turn*i/n)
		on := s.Center.Add(geometry.Point{X: radius * cos, Y: radius * sin})
		place := r.turnedBack(Place{on.X, on.Y, s.From.Z + (s.To.Z-s.From.Z)*i/n})
		if i == n {
			place = to
		}
		r.arrive(Step{Line: b.line, Action: Straight, From: r.at, To: place, Unknown: allAxes &^ r.known, Named: need | b.axes(), FeedMMPerMin: s.FeedMMPerMin})
	}
	return nil
}

// uprightCenter finds the centre, as the plane sees it.
func (r *reader) uprightCenter(s *Step, b *block) *problem {
	axes, centre, other := "XZ", "KI", "J"
	if r.plane == 19 {
		axes, centre, other = "YZ", "JK", "I"
	}
	if b.hasAny(other) {
		return problemf("unused-word", "%s is no centre of an arc in the plane of G%d", other, r.plane).do("use %c and %c", centre[0], centre[1])
	}
	if b.has('R') {
		if !b.hasAny(axes) {
			return problemf("no-axis", "an arc with R needs %c or %c", axes[0], axes[1]).do("add them")
		}
		return r.arc(s, b)
	}
	flat := block{line: b.line}
	for i, letter := range []byte("IJ") {
		if b.has(centre[i]) {
			flat.present |= 1 << (letter - 'A')
			flat.value[letter-'A'] = b.word(centre[i])
		}
	}
	return r.arc(s, &flat)
}
