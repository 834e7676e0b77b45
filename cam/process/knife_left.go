package process

import (
	"fmt"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// What a blade that is turned is too wide for is refused, or left: it then stops where the curve
// begins or the side ends, its edge or its back there, and a hand cuts the rest.

const orLeft = "; or, where the blade fits its other sides, write tight_corners: left into its tray, and a hand cuts there"

// unfit is what of a contour's way the blade does not fit, in one path where it hangs together.
func (b *steering) unfit(c geometry.Contour) ([]geometry.Path, error) {
	if _, err := b.strokes(c, c.Vertices()[0].Point); err != nil {
		return nil, err
	}
	_, open := geometry.Chain(placeMM, b.unfitting...)
	return open, nil
}

// leave gathers what is left.
func (b *steering) leave(way ...geometry.Segment) {
	for _, s := range way {
		b.unfitting = append(b.unfitting, geometry.NewPath(geometry.Vertex{Point: s.A, Bulge: s.Bulge}, geometry.Vertex{Point: s.B}))
	}
}

// isLeft reports whether the plan leaves a segment to a hand.
func (b *steering) isLeft(s geometry.Segment) bool { return onAny(b.left, s.At(0.5)) }

func onAny(paths []geometry.Path, at geometry.Point) bool {
	return slices.ContainsFunc(paths, func(p geometry.Path) bool {
		for s := range p.Segments() {
			if on, _ := s.Nearest(at); on.DistanceTo(at) < 1e-3 {
				return true
			}
		}
		return false
	})
}

// nowhere is the error of a contour that the blade fits at no place.
func (b *steering) nowhere() error {
	return noPath(b.name, fmt.Sprintf("has no side that a blade %.2f mm wide can cut", b.tool.ChordMM.Value), "make it larger, take a narrower blade (chord_mm), or cut this sheet by hand (machine: by-hand)")
}

// and is a joint of what follows on another.
func (j joint) and(next joint) joint {
	if !j.open || !next.open {
		return joint{j.open || next.open, j.waste || next.waste}
	}
	return joint{true, j.waste && next.waste}
}

// cutWays are the drawn paths of a contour of which a part is left, open ones; none for another.
func cutWays(c geometry.Contour, cut plan.Cut) (ways []geometry.Path) {
	if len(cut.Left) == 0 {
		return nil
	}
	whole := true
	var sides []geometry.Path
	for s := range c.Segments() {
		if onAny(cut.Left, s.At(0.5)) {
			whole = false
			continue
		}
		sides = append(sides, geometry.NewPath(geometry.Vertex{Point: s.A, Bulge: s.Bulge}, geometry.Vertex{Point: s.B}))
	}
	if whole {
		return nil
	}
	_, ways = geometry.Chain(placeMM, sides...)
	return ways
}
