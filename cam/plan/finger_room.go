package plan

import (
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// mostFingerPairs is how many pairs of pockets are looked at for one hint.
const mostFingerPairs = 1_000_000

// fingerRoom is a pocket with notches that a finger gets into, and what it has to keep away from.
type fingerRoom struct {
	m          *maker
	b          *board
	h          hole
	wall, edge float64 // that the job asks for or the foam should keep, mm
	others     []geometry.Region
}

// roomForFinger reports whether a pocket, with all of its grid, has room for notches of a finger's size at these sides
// where it is, or, wider, with another pitch, which it says in words that follow the others.
func (m *maker) roomForFinger(b *board, h *hole, sides job.Side, wider bool) (pitch string, ok bool) {
	key := h.patternKey
	key.notch, key.notchWidth, key.notchReach = sides, m.typed(m.above(notchWidthMM)), m.typed(m.above(notchReachMM))
	made, err := m.pattern(key)
	if err != nil {
		return "", false
	}
	r := fingerRoom{m: m, b: b, h: *h, wall: b.wallMM(h.Depth), edge: b.edgeMM(h.Depth)}
	r.h.pattern = made
	for _, g := range b.holes {
		if g.source != h.source {
			r.others = append(r.others, g.Design)
		}
	}
	for _, k := range b.marks {
		r.others = append(r.others, geometry.NewRegion(geometry.Rectangle(k.Box, 0)))
	}
	p := h.source
	if !wider {
		return "", r.holds(p.PitchX, p.PitchY)
	}
	box := made.bare.Bounds()
	x, y := p.PitchX, p.PitchY
	if p.Columns > 1 {
		x = max(x, m.typed(m.above(box.Width()+r.wall)))
	}
	if p.Rows > 1 {
		y = max(y, m.typed(m.above(box.Height()+r.wall)))
	}
	for _, to := range [...][2]units.Length{{x, p.PitchY}, {p.PitchX, y}, {x, y}} {
		if to != [2]units.Length{p.PitchX, p.PitchY} && r.holds(to[0], to[1]) {
			return ", and `pitch: [" + to[0].Exact(m.unit) + ", " + to[1].Exact(m.unit) + "]` for its grid", true
		}
	}
	return "", false
}

// typed is a length as a person types what was printed; 0 where that is none.
func (m *maker) typed(printed string) units.Length {
	l, _ := units.Parse(printed, m.unit)
	return l
}

// holds reports whether all pockets of the grid keep their distances at a pitch.
func (r fingerRoom) holds(pitchX, pitchY units.Length) bool {
	p := *r.h.source
	p.PitchX, p.PitchY, r.h.source = pitchX, pitchY, &p
	columns, rows := max(p.Columns, 1), max(p.Rows, 1)
	if columns*rows*max(len(r.others), 1) > mostFingerPairs {
		return false
	}
	if slices.ContainsFunc(r.h.grid(), func(h *hole) bool { return !r.holdsAt(h.Design) }) {
		return false
	}
	for _, next := range [...][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}} {
		by := geometry.Translate(float64(next[0])*pitchX.MM(), float64(next[1])*pitchY.MM())
		if next[0] < columns && next[1] < rows && (next[1] == 0 || rows > 1) && !r.apart(r.h.bare, r.h.bare.Transform(by)) {
			return false
		}
	}
	return true
}

// holdsAt looks at one of them against the rim and all else.
func (r fingerRoom) holdsAt(shape geometry.Region) bool {
	return r.m.keepsEdge(r.b, shape, r.edge) && !slices.ContainsFunc(r.others, func(other geometry.Region) bool { return !r.apart(shape, other) })
}

// apart reports whether there is a wall between two regions.
func (r fingerRoom) apart(a, b geometry.Region) bool {
	least := r.wall - r.m.slackMM()
	if !touch(a.Bounds().Grow(math.Max(0, least)), b.Bounds()) {
		return true
	}
	return !meets(a, b, r.m.slackMM()) && !nearer(geometry.NewWalls(a), b, least)
}
