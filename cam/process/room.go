package process

import "traywright/geometry"

// room is where the tool's centre may be: a region or, outside, all that a
// region leaves free.
type room struct {
	region  geometry.Region
	walls   geometry.Walls
	outside bool
}

func newRoom(r geometry.Region, outside bool) room {
	return room{r, geometry.NewWalls(r), outside}
}

// depth is how far p is from the wall: positive in the room, negative beyond.
// A disc of that radius about p lies in the room.
func (w room) depth(p geometry.Point) float64 {
	d := w.walls.DistanceTo(p, 0)
	if w.walls.Contains(p) == w.outside {
		return -d
	}
	return d
}

// holds reports whether the straight way from a to b stays in the room. It
// never says so wrongly by more than slack; it may refuse a way that runs along
// the wall.
//
// The distance to the wall changes by at most a mm per mm of way, so a piece of
// the way is in the room when its middle is at least half its length deep. A
// piece for which that does not tell is halved.
func (w room) holds(a, b geometry.Point) bool { return w.holdsSegment(geometry.Segment{A: a, B: b}) }

// holdsSegment reports the same of a line or an arc.
func (w room) holdsSegment(s geometry.Segment) bool {
	const (
		slack = 1e-7 // mm
		most  = 400  // pieces looked at
	)
	pieces := []geometry.Segment{s}
	for count := 0; len(pieces) > 0; count++ {
		p := pieces[len(pieces)-1]
		pieces = pieces[:len(pieces)-1]
		depth, reach := w.depth(p.At(0.5)), p.Length()/2
		switch {
		case depth >= reach-slack:
		case depth < -slack || count >= most:
			return false
		default:
			pieces = append(pieces, p.Part(0, 0.5), p.Part(0.5, 1))
		}
	}
	return true
}
