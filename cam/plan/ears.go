package plan

import (
	"math"
	"slices"

	"traywright/geometry"
	"traywright/geometry/units"
)

// Ears. A tray that is too full for registration holes has them beside its rim: each layer is cut
// out with two ears of what would be waste, at the same places of one side, and the holes go
// through those. They stay on until the layers are glued, and are then cut off along the rim by
// hand, all layers at once. They stick out at the back, or else at the right, so that the tray's
// front left corner stays where its zero is.

// earRootMM is the least radius of the corners between an ear and the rim: a blade that is
// turned goes round it within its gouge (judged, no source); a cutter needs more than its own.
const earRootMM = 6

// ear is one of them on a side of the tray that runs along X or Y: where its middle and its tip
// are, how wide it is on each side of its middle, and the radius at its root.
type ear struct{ at, tip, half, root float64 }

// earring is where a tray's ears are.
type earring struct {
	face  int // northFace or eastFace
	ears  []ear
	holes []geometry.Point // their middles
}

// earsFor finds ears for a tray's holes, on its back or else its right side; false where neither
// is long enough for two whose holes lie otherwise however a layer is flipped or turned.
func (m *maker) earsFor(b *board, dowel units.Length) (earring, bool) {
	for _, face := range []int{northFace, eastFace} {
		if e, ok := m.earsOn(b, dowel, face); ok && b.free[face] {
			return e, true
		}
	}
	return earring{}, false
}

func (m *maker) earsOn(b *board, dowel units.Length, face int) (earring, bool) {
	wide := holeFor(b, dowel)
	rim, _ := m.dowelKeepOut(b, wide/2)
	along, deep, first, last := b.Length.MM(), b.Width.MM(), b.corners[3], b.corners[2]
	if face == eastFace {
		along, deep, first, last = b.Width.MM(), b.Length.MM(), b.corners[1], b.corners[2]
	}
	step := Step(m.unit).MM()
	up := func(x float64) float64 { return math.Ceil(x/step-1e-9) * step }
	out := up(deep + b.source.Ease.MM() + rim.mm)
	one := ear{half: rim.mm, root: m.earRoot()}
	one.tip = out + max(rim.mm, one.root) // beyond the corners
	ends := one.half + one.root
	places := func(s, t float64) []geometry.Point {
		if face == eastFace {
			return []geometry.Point{{X: out, Y: s}, {X: out, Y: t}}
		}
		return []geometry.Point{{X: s, Y: out}, {X: t, Y: out}}
	}
	near, far := up(first+ends), -up(last+ends-along)
	for ; far-near > max(2*ends, leastApart*math.Hypot(along, deep)); far -= step {
		if holes := places(near, far); mistakeMM(b.box(), holes) > showsBy*wide {
			e := earring{face: face, ears: []ear{one, one}, holes: holes}
			e.ears[0].at, e.ears[1].at = near, far
			return e, true
		}
	}
	return earring{}, false
}

// earRoot is a radius that every tool of the machine goes round.
func (m *maker) earRoot() float64 { return max(earRootMM, m.widestTool()/2+0.5) }

// widestTool is how wide the widest of the machine's tools is, mm.
func (m *maker) widestTool() (mm float64) {
	for _, t := range m.Machine.Tools {
		mm = max(mm, t.DiameterMM.Value)
	}
	return mm
}

// wear gives a tray its ears.
func (e earring) wear(b *board) {
	rim := b.Outline.Bounds()
	for _, one := range e.ears {
		box := geometry.Box{Min: geometry.Point{X: one.at - one.half, Y: rim.Max.Y}, Max: geometry.Point{X: one.at + one.half, Y: one.tip}}
		if e.face == eastFace {
			box = geometry.Box{Min: geometry.Point{X: rim.Max.X, Y: one.at - one.half}, Max: geometry.Point{X: one.tip, Y: one.at + one.half}}
		}
		b.Ears = append(b.Ears, box)
	}
	b.eared = e.around(b.Outline)
}

// InEar reports whether a pocket is a registration hole in one of the tray's ears.
func (t *Tray) InEar(k Pocket) bool { return k.Dowel > 0 && len(t.Ears) > 0 }

// EarsAt is the side that a tray's ears stick out of; "" without ears.
func (t *Tray) EarsAt() string {
	switch rim := t.Outline.Bounds(); {
	case len(t.Ears) == 0:
		return ""
	case t.Ears[0].Min.X >= rim.Max.X:
		return "right"
	}
	return "back"
}

// cutRound is the outline as it is cut, with the tray's ears.
func (b *board) cutRound() geometry.Contour {
	if len(b.Ears) > 0 {
		return b.eared
	}
	return b.Outline
}

// around is an outline with the ears on it.
func (e earring) around(outline geometry.Contour) geometry.Contour {
	high := outline.Bounds().Max
	var list []geometry.Vertex
	for s := range outline.Segments() {
		list = append(list, geometry.Vertex{Point: s.A, Bulge: s.Bulge})
		switch {
		case s.IsArc():
		case e.face == eastFace && s.A.X == high.X && s.B.X == high.X:
			for _, one := range e.ears {
				list = append(list, one.vertices(high.X, func(along, out float64) geometry.Point { return geometry.Point{X: out, Y: along} }, 1)...)
			}
		case e.face == northFace && s.A.Y == high.Y && s.B.Y == high.Y:
			for _, one := range slices.Backward(e.ears) {
				list = append(list, one.vertices(high.Y, func(along, out float64) geometry.Point { return geometry.Point{X: along, Y: out} }, -1)...)
			}
		}
	}
	return geometry.NewContour(list...)
}

// vertices go round an ear from the rim and back to it, the outline's way being that.
func (e ear) vertices(rim float64, at func(along, out float64) geometry.Point, way float64) []geometry.Vertex {
	wide := e.half + e.root
	return []geometry.Vertex{
		{Point: at(e.at-way*wide, rim), Bulge: -quarterBulge}, {Point: at(e.at-way*e.half, rim+e.root)},
		{Point: at(e.at-way*e.half, e.tip)}, {Point: at(e.at+way*e.half, e.tip)},
		{Point: at(e.at+way*e.half, rim+e.root), Bulge: -quarterBulge}, {Point: at(e.at+way*wide, rim)},
	}
}
