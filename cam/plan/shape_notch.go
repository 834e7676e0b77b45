package plan

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Notches are finger holes, as deep as their pocket. An index finger is 19 mm across at
// its last joint, half of all men's less and half more, women's 16 (from memory, after a
// standard text of ergonomics): with 1 mm of room 20 mm lets most fingers in. Reaching 10 mm
// beyond the side lets the end of one take hold below the piece's rim: common practice, no
// source; a finger is a few mm less thick than broad, and foam gives.
const (
	notchWidthMM = 20
	notchReachMM = 10
)

// roundSide is how wide a notch may be at a round side, so that it still meets the
// shape's own curve.
const roundSide = 0.95

// longestNotch is the widest that a notch may be at a side: what is straight of
// it, or a part of a round side, or of a drawn one.
func (f form) longestNotch(side job.Side) float64 {
	along, across := f.length, f.width
	if side == job.East || side == job.West {
		along, across = across, along
	}
	switch {
	case f.outline != nil:
		return f.outline.sky(side).widest(along)
	case f.name == "round":
		return along * roundSide
	case f.name == "slot" && along > across:
		return along - across
	case f.name == "slot":
		return along * roundSide
	}
	return along - 2*f.corner
}

var allSides = [...]job.Side{job.North, job.East, job.South, job.West}

// notches are the finger holes at the middles of the named sides, or at the ledges of drawn ones. Width and
// reach of 0 are the usual ones; a width is never more than its side.
func (f form) notches(sides job.Side, width, reach units.Length) []geometry.Region {
	var list []geometry.Region
	for _, side := range allSides {
		if sides&side == 0 {
			continue
		}
		if w, k := f.notchSize(side, width, reach); w > 0 && k > 0 {
			list = append(list, geometry.NewRegion(f.notch(side, w, k)))
		}
	}
	return list
}

// notchSize is how wide a notch at a side is, and how far it reaches, mm.
func (f form) notchSize(side job.Side, width, reach units.Length) (w, k float64) {
	w, k = width.MM(), reach.MM()
	if width == 0 {
		w = notchWidthMM
	}
	if reach == 0 {
		k = notchReachMM
	}
	if f.outline != nil { // on a point narrow ones have a place everywhere, and are of no use
		if most := f.outline.sky(side).widest(w); most == w || most >= notchWidthMM {
			return most, k
		}
		return 0, k
	}
	return math.Min(w, f.longestNotch(side)), k
}

// notch goes from within the pocket to reach mm beyond one side: a tongue w wide, whose end is a half circle, or a
// flatter arc where it reaches less than half its width.
func (f form) notch(side job.Side, w, reach float64) geometry.Contour {
	center := geometry.Point{X: f.length / 2, Y: f.width / 2}
	at := ledge{out: f.width / 2}
	if side == job.East || side == job.West {
		at.out = f.length / 2
	}
	if f.outline != nil {
		at, _ = f.outline.sky(side).ledge(w)
	}
	tip := at.out + reach
	rise := math.Min(reach, w/2)
	vertex := func(x, y, bulge float64) geometry.Vertex {
		return geometry.Vertex{Point: center.Add(geometry.Point{X: at.along + x, Y: y}), Bulge: bulge}
	}
	// Drawn northward. The bulge of an arc over a chord w that rises by h is 2h/w.
	tongue := geometry.NewContour(
		vertex(-w/2, at.foot, 0), vertex(w/2, at.foot, 0),
		vertex(w/2, tip-rise, 2*rise/w), vertex(-w/2, tip-rise, 0),
	)
	return tongue.Transform(geometry.Rotate(outward(side), center))
}
