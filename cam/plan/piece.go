package plan

import (
	"math"

	"traywright/cam/job"
)

// footprint is a piece as it lies in a pocket, in mm: length and width seen
// from above, and the depth that it needs.
type footprint struct {
	length, width, depth float64
	round                bool // seen from above
	how                  string
}

// How a piece lies, in words; beside them "on end".
const (
	AsMeasured = "as measured"
	onSide     = "on its side"
)

// footprintOf is how the roster wants the piece to lie. Of a piece that may lie
// in any pose it is the one it was measured in.
func footprintOf(p *job.Piece) footprint {
	l, w, h := p.Length.MM(), p.Width.MM(), p.Height.MM()
	if p.Pose == job.Lying {
		return footprint{length: l, width: h, depth: w, how: onSide}
	}
	return footprint{length: l, width: w, depth: h, round: p.Shape == job.Round, how: AsMeasured}
}

// poses are all ways in which the piece may lie in a pocket of a given shape.
// Seen from above it may be turned by a quarter.
func poses(p *job.Piece) []footprint {
	list := []footprint{footprintOf(p)}
	if p.Pose == job.AnyPose {
		l, w, h := p.Length.MM(), p.Width.MM(), p.Height.MM()
		list = append(list, footprint{length: l, width: h, depth: w, how: onSide}, footprint{length: w, width: h, depth: l, how: "on end"})
	}
	for _, f := range list {
		list = append(list, footprint{length: f.width, width: f.length, depth: f.depth, round: f.round, how: f.how})
	}
	return list
}

// seat is how pieces of one kind sit in a pocket: so many along it, across it
// and on one another, with so much play, mm, left along and across.
type seat struct {
	along, across, layers int
	playX, playY          float64
	proud                 float64 // how far they stand out of the pocket, mm
	rest                  float64 // of the pocket's depth above all of them, mm
	how                   string
	high                  float64 // of one, mm
}

func (s seat) count() int { return s.along * s.across * s.layers }

// restOver is what of the pocket's depth is left, mm, above so many of them, or above one where nothing is in it.
func (s seat) restOver(packed int) float64 {
	a := s.along * s.across
	return s.rest + float64(max(0, s.layers-max(1, (packed+a-1)/a)))*s.high
}

// better prefers what does not stand proud, then more pieces, then less play, then as much of it either way.
func (s seat) better(t seat, slack float64) bool {
	if sp, tp := s.proud > slack, t.proud > slack; sp != tp {
		return tp
	}
	if s.count() != t.count() {
		return s.count() > t.count()
	}
	if sp, tp := s.playX+s.playY, t.playX+t.playY; math.Abs(sp-tp) > slack {
		return sp < tp
	}
	return math.Min(s.playX, s.playY) > math.Min(t.playX, t.playY)+slack
}

// seatIn finds the best way to seat pieces in a pocket. Give is
// how much smaller than its piece, in each direction, a pocket may be in that
// foam, and stands how far a pile may stand out, mm. False where the piece does not go in; a pose other than the measured
// one counts only where the pocket is deep enough for it.
func seatIn(p *job.Piece, f form, depth, give, stands, slack float64) (seat, bool) {
	var best seat
	found := false
	measured := footprintOf(p)
	for _, foot := range poses(p) {
		s, ok := foot.seat(f, p.Count, depth, give+slack)
		if p.Pile > 0 {
			s.pile(min(p.Pile, p.Count), foot.depth, depth, stands)
		}
		if foot.depth != measured.depth && s.proud > slack {
			continue
		}
		if ok && (!found || s.better(best, slack)) {
			best, found = s, true
		}
	}
	return best, found
}

func (foot footprint) seat(f form, most int, depth, give float64) (seat, bool) {
	if !(foot.length > 0 && foot.width > 0 && foot.depth > 0) {
		return seat{}, false
	}
	s := seat{along: 1, across: 1, layers: 1, how: foot.how, high: foot.depth}
	room := f.room(foot)
	if f.name == "rect" {
		s.along = fitting(room[0]+give, foot.length, most)
		s.across = fitting(room[1]+give, foot.width, (most+max(s.along, 1)-1)/max(s.along, 1))
	}
	s.playX = room[0] - float64(s.along)*foot.length
	s.playY = room[1] - float64(s.across)*foot.width
	s.layers = max(1, fitting(depth+lostMM, foot.depth, most)) // foam gives aside, and not downwards
	s.proud = foot.depth - depth
	s.rest = depth - float64(s.layers)*foot.depth
	return s, s.along > 0 && s.across > 0 && s.playX >= -give && s.playY >= -give
}

// pile makes the seat one of at most so many on each other, of a height: of all of them where they stand out
// no further than that, else of as many as do not, or as stand out as planned.
func (s *seat) pile(most int, height, depth, stands float64) {
	s.layers = max(1, most)
	if float64(s.layers)*height > depth+stands+lostMM {
		if stands <= proudMM {
			stands = 0
		}
		s.layers = max(1, fitting(depth+stands+lostMM, height, most))
	}
	s.proud, s.rest = float64(s.layers)*height-depth, depth-float64(s.layers)*height
}

// lostMM is what of a length its way through binary fractions may lose.
const lostMM = 1e-6

// fitting is how many things of a size go into a room, at most so many.
func fitting(room, size float64, most int) int {
	return int(math.Min(math.Floor(room/size), float64(max(most, 1))))
}

// room is the largest length and width at the proportions of the footprint:
// how far a single piece could grow along each side and still go in.
func (f form) room(foot footprint) [2]float64 {
	switch f.name {
	case "round":
		if foot.round {
			return [2]float64{f.length, f.length}
		}
		k := f.length / math.Hypot(foot.length, foot.width)
		return [2]float64{k * foot.length, k * foot.width}
	case "slot":
		return f.slotRoom(foot)
	}
	return [2]float64{f.length, f.width}
}

// slotRoom: across the slot a piece may be as wide as the slot; along it, the
// straight part and what the piece's width leaves of the two half circles.
func (f form) slotRoom(foot footprint) [2]float64 {
	width, across := f.width, foot.width
	if f.width > f.length {
		width, across = f.length, foot.length
	}
	ends := 0.0
	if foot.round {
		ends = width
	} else if across < width {
		ends = math.Sqrt(width*width - across*across)
	}
	long := math.Max(f.length, f.width) - width + ends
	if f.width > f.length {
		return [2]float64{width, long}
	}
	return [2]float64{long, width}
}

// pinch is how far the corners of a rectangular piece would press into a
// pocket's corners of radius r, with so much play a side, mm; 0 where they pass.
func pinch(r, sideX, sideY float64) float64 {
	dx, dy := math.Max(0, r-math.Max(0, sideX)), math.Max(0, r-math.Max(0, sideY))
	return math.Max(0, math.Hypot(dx, dy)-r)
}
