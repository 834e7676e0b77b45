package plan

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Notches are finger holes: 20 mm across lets a fingertip in, and reaching
// 10 mm beyond the side lets it take hold below the piece's rim. Common
// practice, no source.
const (
	notchWidthMM = 20
	notchReachMM = 10
)

// longestNotch is the widest that a notch may be at a side: what is straight of
// it. Of a round side it is three quarters, so that the notch still meets the
// shape's own curve.
func (f form) longestNotch(side job.Side) float64 {
	along, across := f.length, f.width
	if side == job.East || side == job.West {
		along, across = across, along
	}
	switch {
	case f.name == "round":
		return along * 3 / 4
	case f.name == "slot" && along > across:
		return along - across
	case f.name == "slot":
		return along * 3 / 4
	}
	return along - 2*f.corner
}

var allSides = [...]job.Side{job.North, job.East, job.South, job.West}

// notches are the finger holes at the middles of the named sides. Width and
// reach of 0 are the usual ones; a width is never more than its side.
func (f form) notches(sides job.Side, width, reach units.Length) []geometry.Region {
	var list []geometry.Region
	for _, side := range allSides {
		if sides&side == 0 {
			continue
		}
		w, k := width.MM(), reach.MM()
		if width == 0 {
			w = notchWidthMM
		}
		if reach == 0 {
			k = notchReachMM
		}
		if w = math.Min(w, f.longestNotch(side)); w > 0 && k > 0 {
			list = append(list, geometry.NewRegion(f.notch(side, w, k)))
		}
	}
	return list
}

// notch goes from the middle of the pocket to reach mm beyond one side: a
// tongue w wide, whose end is a half circle, or a flatter arc where it reaches
// less than half its width.
func (f form) notch(side job.Side, w, reach float64) geometry.Contour {
	center := geometry.Point{X: f.length / 2, Y: f.width / 2}
	toSide, out := f.width/2, 0.0
	switch side {
	case job.South:
		out = math.Pi
	case job.East:
		toSide, out = f.length/2, -math.Pi/2
	case job.West:
		toSide, out = f.length/2, math.Pi/2
	}
	tip := toSide + reach
	rise := math.Min(reach, w/2)
	vertex := func(x, y, bulge float64) geometry.Vertex {
		return geometry.Vertex{Point: center.Add(geometry.Point{X: x, Y: y}), Bulge: bulge}
	}
	// Drawn northward. The bulge of an arc over a chord w that rises by h is 2h/w.
	tongue := geometry.NewContour(
		vertex(-w/2, 0, 0), vertex(w/2, 0, 0),
		vertex(w/2, tip-rise, 2*rise/w), vertex(-w/2, tip-rise, 0),
	)
	return tongue.Transform(geometry.Rotate(out, center))
}
