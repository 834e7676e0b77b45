package process

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// stroke is a way that the middle of a steered blade's cut goes without being lifted.
type stroke struct {
	way    []geometry.Segment
	closed bool // it ends beyond where it began
}

// inner is the way of the axis: all but what the blade reaches from its ends.
func (w stroke) inner(reach float64) []geometry.Segment {
	if w.closed {
		return w.way
	}
	return partOf(w.way, reach, wayLength(w.way)-reach)
}

func wayLength(way []geometry.Segment) (mm float64) {
	for _, s := range way {
		mm += s.Length()
	}
	return mm
}

// partOf is the part of an open way from one length to another. One of no length is a place that
// still has a direction.
func partOf(way []geometry.Segment, from, to float64) (list []geometry.Segment) {
	at := 0.0
	for _, s := range way {
		length := s.Length()
		a, b := math.Max(0, (from-at)/length), math.Min(1, (to-at)/length)
		if (b-a)*length > placeMM {
			list = append(list, s.Part(a, b))
		}
		at += length
	}
	if len(list) > 0 {
		return list
	}
	at = 0
	for _, s := range way { // the blade only comes down there
		if length := s.Length(); at+length >= from {
			p, t := s.At((from-at)/length), s.Tangent((from-at)/length)
			return []geometry.Segment{{A: p, B: p.Add(t.Scale(placeMM))}}
		} else {
			at += length
		}
	}
	return list
}

// placeMM is the length of a way that stands for a place: too short to be gone.
const placeMM = 1e-6

// joint is between two segments of a contour.
type joint struct {
	open  bool // the blade is lifted there
	waste bool // into which the way may run on
}

// strokes divides a contour, whose waste is on its left, where the blade has to be lifted to
// turn.
func (b *steering) strokes(c geometry.Contour, near geometry.Point) ([]stroke, error) {
	sides, joints, err := b.sides(c)
	if err != nil {
		return nil, err
	}
	first, least := -1, math.Inf(1)
	for i, j := range joints {
		if d := sides[i].A.DistanceTo(near); j.open && d < least-tieMM {
			first, least = i, d
		}
	}
	if first < 0 {
		return []stroke{b.round(c, near)}, nil
	}
	var list []stroke
	var way []geometry.Segment
	before := joint{}
	for i := range sides {
		i = (first + i) % len(sides)
		if joints[i].open {
			before = joints[i]
		}
		way = append(way, sides[i])
		after := joints[(i+1)%len(sides)]
		if !after.open {
			continue
		}
		if way, err = b.runOn(way, before, after); err != nil {
			return nil, err
		}
		if len(way) > 0 {
			list, way = append(list, stroke{way, false}), nil
		}
	}
	if len(list) == 0 {
		return nil, b.nowhere()
	}
	return list, nil
}

// round goes round a contour without corners, and past its start. It comes down and is lifted where all of the
// blade lies along one side, if one is long enough: where that ends an end of the blade would be beside the wall.
func (b *steering) round(c geometry.Contour, near geometry.Point) stroke {
	past := math.Min(b.recipe.OvercutMM.Value, c.Length()/2)
	t := newTrack(beginAt(c, startPlaces(c, near, b.reach+past)[0], b.out.tol))
	return stroke{t.part(0, t.length()+past), true}
}

// sides are the segments of a contour that the blade goes along, and what is before each.
func (b *steering) sides(c geometry.Contour) (sides []geometry.Segment, joints []joint, err error) {
	const rounding = 1e-3 // mm: of an offset's arc about a corner
	most := b.tool.MostTurn(b.half)
	next := joint{}
	for _, s := range newTrack(c).segments {
		turns := math.Abs(s.Sweep()) > most
		if turns && s.Bulge < 0 && s.Radius() <= b.kerf/2+rounding {
			next = next.and(joint{true, true})
			continue
		}
		if turns && s.Length() <= rounding {
			continue // a corner
		}
		if turns && !b.isLeft(s) {
			err = b.tight(s)
		}
		if err != nil && !b.leaves {
			return nil, nil, err
		}
		if err != nil || b.isLeft(s) {
			b.leave(s)
			next, err = next.and(joint{true, false}), nil
			continue
		}
		sides, joints = append(sides, s), append(joints, next)
		next = joint{}
	}
	if len(sides) == 0 {
		return nil, nil, b.nowhere()
	}
	joints[0] = joints[0].and(next) // what closed the contour
	for i, s := range sides {
		before := sides[(i+len(sides)-1)%len(sides)].Tangent(1)
		after := s.Tangent(0)
		if turn := math.Abs(math.Atan2(before.Cross(after), before.Dot(after))); turn > most {
			joints[i].open = true
		}
	}
	return sides, joints, nil
}

// tight refuses a curve that the blade cannot follow: with foam outside of it for what its ends
// gouge, with waste there where it would all but turn in one place (half its chord: judged, no
// source).
func (b *steering) tight(s geometry.Segment) error {
	r, half, at := s.Radius(), b.half, s.At(0.5)
	chord := b.tool.ChordMM.Value
	switch {
	case s.Bulge > 0 && r < b.tool.LeastRadiusMM(half)-1e-9:
		return noPath(b.name, fmt.Sprintf("has an inside curve of radius %.2f mm at X%.2f Y%.2f: an end of the blade is %.2f mm from its axis and cuts %.3f mm beside it, and %.3g mm is allowed (gouge_mm)",
			r+b.kerf/2, at.X, at.Y, half, math.Hypot(r, half)-r, b.tool.GougeMM.Value),
			fmt.Sprintf("give it a radius of %.2f mm or more, or sharp corners; or take an upright blade of at most %.2f mm (chord_mm)", up(b.tool.LeastRadiusMM(half)+b.kerf/2), down(2*math.Sqrt(b.tool.GougeMM.Value*(b.tool.GougeMM.Value+2*r))))+orLeft)
	case s.Bulge < 0 && r < chord/2:
		return noPath(b.name, fmt.Sprintf("has an outside curve of radius %.2f mm at X%.2f Y%.2f, on which a blade %.2f mm wide all but turns in one place", r-b.kerf/2, at.X, at.Y, chord),
			fmt.Sprintf("give it a radius of %.2f mm or more, or a sharp corner; or take a blade of at most %.2f mm (chord_mm)", up(chord/2-b.kerf/2), down(2*r))+orLeft)
	}
	return nil
}

// aWay is what a hint adds, so that the axis has a way to go where the blade would only stab.
const aWay = 0.01

// up and down round to a hundredth of a mm, to the side on which it still does.
func up(mm float64) float64   { return math.Ceil(mm*100-1e-6) / 100 }
func down(mm float64) float64 { return math.Floor(mm*100+1e-6) / 100 }

// runOn makes a way long enough: at corners of foam it runs a kerf on into the waste, and farther
// where the blade is wider than the side is long.
func (b *steering) runOn(way []geometry.Segment, before, after joint) ([]geometry.Segment, error) {
	ends := 0.0
	for _, j := range [2]joint{before, after} {
		if j.waste {
			ends++
		}
	}
	on := b.kerf
	if short := 2*b.reach + aWay - wayLength(way) - ends*on; short > 1e-6 {
		if ends == 0 {
			at := way[0].At(0.5)
			long := wayLength(way) + b.kerf
			if b.leaves {
				b.leave(way...)
				return nil, nil
			}
			return nil, noPath(b.name, fmt.Sprintf("has a side of %.2f mm between two inside corners at X%.2f Y%.2f, and the blade is %.2f mm wide: it would cut past both", long, at.X, at.Y, b.tool.ChordMM.Value),
				fmt.Sprintf("make that side %.2f mm or longer, or take a blade of at most %.2f mm (chord_mm)", up(b.tool.ChordMM.Value)+aWay, down(long)-aWay)+orLeft)
		}
		on += short / ends
	}
	if before.waste {
		from := way[0].A.Sub(way[0].Tangent(0).Scale(on))
		way = slices.Insert(way, 0, geometry.Segment{A: from, B: way[0].A})
	}
	if last := way[len(way)-1]; after.waste {
		way = append(way, geometry.Segment{A: last.B, B: last.B.Add(last.Tangent(1).Scale(on))})
	}
	return way, nil
}

// keeps is the last look at a cut: its middle keeps half a kerf from the edge, and both of the
// blade's ends go no farther beside it than the gouge.
func (b *steering) keeps(cut plan.Cut, outside bool) error {
	if err := keepsFrom(b.middle.moves, cut, b.kerf/2, outside); err != nil {
		return err
	}
	waste := newRoom(cut.Shape, outside)
	for i, at := 1, b.out.moves[0].To; i < len(b.out.moves); i++ {
		m := b.out.moves[i]
		from := at
		at = m.To
		if m.Kind == Rapid {
			continue
		}
		before := b.out.moves[i-1].Heading
		n := math.Ceil(wayOf(from, m)/0.5) + math.Ceil(math.Abs(m.Heading-before)/0.02)
		for k := range int(n) + 1 {
			share := float64(k) / math.Max(1, n)
			sin, cos := math.Sincos(before + share*(m.Heading-before))
			middle, ahead := onMove(from, m, share), geometry.Point{X: b.reach * cos, Y: b.reach * sin}
			for _, end := range [2]geometry.Point{middle.Add(ahead), middle.Sub(ahead)} {
				if over := b.kerf/2 - waste.depth(end); over > b.tool.GougeMM.Value+1e-4 {
					return noPath(b.name, fmt.Sprintf("an end of the blade, %.2f mm wide, would cut %.2f mm into foam that stays at X%.2f Y%.2f, and %.2f mm is allowed (gouge_mm)", b.tool.ChordMM.Value, over, end.X, end.Y, b.tool.GougeMM.Value),
						"make the sides beside that place longer or its curve wider, or take a narrower blade (chord_mm)")
				}
			}
		}
	}
	return nil
}

// onMove is a place on a move's way, seen from above.
func onMove(from Point, m Move, share float64) geometry.Point {
	s := geometry.Segment{A: from.Point, B: m.To.Point}
	if m.Kind == CW || m.Kind == CCW {
		s.Bulge = math.Tan(sweep(from.Point, m) / 4)
	}
	if s.Chord() == 0 {
		return s.A
	}
	return s.At(share)
}
