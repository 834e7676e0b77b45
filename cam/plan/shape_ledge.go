package plan

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry"
)

// Where a drawn pocket can have a notch: at a ledge, a stretch of the outline that is seen from outside on that side, about as
// straight as a finger needs, with foam in front of it. All judged, no source.
const (
	ledgeStepMM  = 0.25 // a side is looked at this closely
	ledgeClearMM = 6    // foam that stays between a notch and what of the outline stands up beside it: a usual wall
	ledgeSameMM  = 1    // ledges are equally far out within this
	ledgeFall    = 3.0 / 8
	ledgeSlope   = 0.36 // of the edge under a notch, about 20 degrees
	ledgeHollow  = 1.0 / 50
	ledgeFoot    = 1.0 // mm that a notch begins inside the outline, for what lies between two looks at it
)

// drawn is an outline whose box's corner is at the origin, and what is seen of it from its sides.
type drawn struct {
	shape geometry.Region
	skies map[job.Side]*sky
}

func newDrawn(read geometry.Region) *drawn {
	low := read.Bounds().Min
	return &drawn{read.Transform(geometry.Translate(-low.X, -low.Y)), map[job.Side]*sky{}}
}

// ledge is where a notch meets its side: along it and outward from the box's middle, and how far out the notch begins, mm.
type ledge struct{ along, out, foot float64 }

// NotchSideOf is the side of an outline at which a finger hole finds a place, a short one of its box before a long one; 0 where
// none does. See job.NotchSide.
func NotchSideOf(outline geometry.Region) job.Side {
	d := newDrawn(outline)
	box := d.shape.Bounds()
	order := [...]job.Side{job.East, job.West, job.North, job.South}
	if box.Width() < box.Height() {
		order = [...]job.Side{job.North, job.South, job.East, job.West}
	}
	for _, side := range order {
		if _, ok := d.sky(side).ledge(notchWidthMM); ok {
			return side
		}
	}
	return 0
}

// outward is the turn that brings the north to a side, radians.
func outward(side job.Side) float64 {
	switch side {
	case job.South:
		return math.Pi
	case job.East:
		return -math.Pi / 2
	case job.West:
		return math.Pi / 2
	}
	return 0
}

// sky is what is seen of an outline from a side, in columns along it from its left end, outward from the box's middle: how far
// out it reaches on the column's middle and anywhere in it, and how far down the pocket goes from there.
type sky struct {
	step, length      float64
	top, peak, bottom []float64
}

func (d *drawn) sky(side job.Side) *sky {
	if s, ok := d.skies[side]; ok {
		return s
	}
	box := d.shape.Bounds()
	turned := d.shape.Transform(geometry.Rotate(-outward(side), middle(box)))
	box = turned.Bounds()
	n := 2 * max(1, int(math.Ceil(box.Width()/ledgeStepMM/2)))
	s := &sky{step: box.Width() / float64(n), length: box.Width(), top: make([]float64, n), peak: make([]float64, n), bottom: make([]float64, n)}
	for i := range n {
		s.top[i], s.peak[i], s.bottom[i] = math.Inf(-1), math.Inf(-1), math.Inf(-1)
	}
	origin := geometry.Point{X: box.Min.X, Y: middle(box).Y}
	for _, c := range turned.Contours() {
		for segment := range c.Segments() {
			parts := 1
			if segment.IsArc() {
				parts = max(1, int(math.Ceil(segment.Length()/ledgeStepMM)))
			}
			a := segment.A.Sub(origin)
			for i := range parts {
				b := segment.At(float64(i+1) / float64(parts)).Sub(origin)
				s.add(a, b)
				a = b
			}
		}
	}
	d.skies[side] = s
	return s
}

// add takes a straight part of the outline in. Of one that ends on a column's middle its left end counts, so that what
// joins there is counted once.
func (s *sky) add(a, b geometry.Point) {
	for _, p := range [...]geometry.Point{a, b} {
		i := min(max(0, int(p.X/s.step)), len(s.top)-1)
		s.peak[i] = max(s.peak[i], p.Y)
	}
	if b.X < a.X {
		a, b = b, a
	}
	for i := max(0, int(math.Ceil(a.X/s.step-0.5))); i < len(s.top); i++ {
		x := (float64(i) + 0.5) * s.step
		if !(x < b.X) {
			return
		}
		y := a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
		s.peak[i] = max(s.peak[i], y)
		if y > s.top[i] {
			s.top[i], y = y, s.top[i]
		}
		s.bottom[i] = max(s.bottom[i], y)
	}
}

// ledge is the place of a notch of a width: of those furthest out the middle of the longest stretch.
func (s *sky) ledge(w float64) (ledge, bool) {
	fit := make([]*ledge, len(s.top)+1)
	most := math.Inf(-1)
	for i := 1; i < len(s.top); i++ {
		if l, ok := s.at(i, w); ok {
			fit[i], most = &l, max(most, l.out)
		}
	}
	first, last := 0, -1
	for i := 1; i < len(fit); i++ {
		from := i
		for i < len(fit) && fit[i] != nil && fit[i].out >= most-ledgeSameMM {
			i++
		}
		if i-from > last-first+1 {
			first, last = from, i-1
		}
	}
	if last < first {
		return ledge{}, false
	}
	a, b := fit[(first+last)/2], fit[(first+last+1)/2]
	return ledge{(a.along + b.along) / 2, (a.out + b.out) / 2, min(a.foot, b.foot)}, true
}

// at is a notch of a width before a place between two columns: the outline goes on under all of it, without much of a slope,
// hollow or step, and nothing of the outline stands up into it or close beside it.
func (s *sky) at(i int, w float64) (ledge, bool) {
	half, from := w/2/s.step, float64(i)
	out := (s.top[i-1] + s.top[i]) / 2
	if from-half < -1e-9 || from+half > float64(len(s.top))+1e-9 {
		return ledge{}, false
	}
	low, high, sum, count := out, math.Inf(-1), 0.0, 0
	reach := half + ledgeClearMM/s.step
	for j := max(0, int(from-reach)); j < min(len(s.top), int(math.Ceil(from+reach))); j++ {
		off := math.Abs(float64(j) + 0.5 - from)
		under := off < half+1e-9
		if rise := s.peak[j] - out; rise > ledgeSlope*max(off*s.step, w/2) || under && rise > ledgeSlope*w/2 {
			return ledge{}, false
		}
		if under {
			low, high = min(low, s.top[j]), max(high, s.bottom[j])
			sum += s.top[j] - out
			count++
		}
	}
	foot := low - ledgeFoot
	// A column that the outline does not cross is infinitely low.
	if !(out-low <= ledgeFall*w) || high > foot || sum > ledgeHollow*w*float64(count) {
		return ledge{}, false
	}
	return ledge{(from * s.step) - s.length/2, out, foot}, true
}

// widest is the width, up to the one that is wanted, of the widest notch that finds a place; 0 where none does.
func (s *sky) widest(most float64) float64 {
	if _, ok := s.ledge(most); ok {
		return most
	}
	least := 0.0
	for most-least > ledgeStepMM/2 {
		w := (least + most) / 2
		if _, ok := s.ledge(w); ok {
			least = w
		} else {
			most = w
		}
	}
	if least < 1 {
		return 0
	}
	return least
}
