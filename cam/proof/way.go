package proof

import (
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// Way is where a program goes, in few numbers: enough to tell the programs of one job
// apart, and the same for a program that says the same in other words.
type Way struct {
	Min, Max Point   // of all its motions, in mm of the machine
	CutMM    float64 // length at feed
	Middle   Point   // of all that is gone at feed, by its length
}

// WayOf reads a program for that, on a machine.
func WayOf(text []byte, m profiles.Machine) Way {
	d := newRun("", text, Setup{Machine: m}, nil)
	d.motions()
	d.checkExtents()
	d.measureTime()
	return Way{d.result.Min, d.result.Max, d.result.CutMM, d.center()}
}

// center is the centre of gravity of the ways at feed.
func (d *run) center() Point {
	var sum Point
	total := 0.0
	for _, m := range d.result.Motions {
		if m.Rapid {
			continue
		}
		length, at := m.length(), m.From.Add(m.To.Point).Scale(0.5)
		if half := m.sweep() / 2; m.Arc && half != 0 { // an arc's lies on the line from its centre to its middle
			out := m.Center.DistanceTo(m.From.Point) * math.Sin(half) / half
			start := math.Atan2(m.From.Y-m.Center.Y, m.From.X-m.Center.X)
			sin, cos := math.Sincos(start + half)
			at = m.Center.Add(geometry.Point{X: out * cos, Y: out * sin})
		}
		sum.Point, sum.Z, total = sum.Add(at.Scale(length)), sum.Z+length*(m.From.Z+m.To.Z)/2, total+length
	}
	if total == 0 {
		return sum
	}
	return Point{sum.Scale(1 / total), sum.Z / total}
}

const (
	alikeMM    = 0.02  // that places may differ: arcs may have become chords, and numbers been rounded
	alikeShare = 0.003 // of the length
)

// Alike reports whether two ways may be one. A way without length is like none.
func (w Way) Alike(other Way) bool {
	for _, pair := range [3][2]Point{{w.Min, other.Min}, {w.Max, other.Max}, {w.Middle, other.Middle}} {
		if pair[0].DistanceTo(pair[1].Point) > alikeMM || math.Abs(pair[0].Z-pair[1].Z) > alikeMM {
			return false
		}
	}
	return w.CutMM > 0 && math.Abs(w.CutMM-other.CutMM) <= alikeShare*w.CutMM
}
