package process

import (
	"fmt"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// bladed is what a blade that swivels and one that is turned have in common: which edges are gone
// round, and how far beside them.
type bladed struct {
	machine profiles.Machine
	sheet   plan.Sheet
	tol     float64
	// round cuts one contour after the other, each with the waste on its left; path has all of them.
	round func(kind OpKind, cut plan.Cut, list []geometry.Contour, path geometry.Region, near geometry.Point) (finished, error)
}

func (k *bladed) clearZ() float64 { return k.machine.ClearMM(k.sheet.ThicknessMM()) }

func (k *bladed) close(*Program) error { return nil }

func (k *bladed) pocket(cut plan.Cut, near geometry.Point) (finished, error) {
	if !cut.Through {
		return finished{}, endsInside(cut, "a knife")
	}
	path, err := k.offset(cut, -cut.KerfMM[0]/2)
	if err != nil {
		return finished{}, err
	}
	return k.round(Pocket, cut, insideFirst(path.Contours()), path, near)
}

// along goes round a line from inside it, its middle or its tip on the line.
func (k *bladed) along(cut plan.Cut, _ geometry.Point) (finished, error) {
	path := geometry.NewRegion(cut.Along)
	return k.round(Pocket, cut, path.Contours(), path, startOf(cut.Along))
}

// outline cuts the tray free from outside it.
func (k *bladed) outline(edge plan.Cut, near geometry.Point) (finished, error) {
	path, err := k.offset(edge, edge.KerfMM[0]/2)
	if err != nil {
		return finished{}, err
	}
	var contours []geometry.Contour
	for _, c := range orderRims(near, path.Contours(), edge.Hold) {
		contours = append(contours, c.Reverse()) // the waste, outside, on the left
	}
	return k.round(Outline, edge, contours, path, near)
}

// offset is the way of a blade's middle, or of its tip.
func (k *bladed) offset(cut plan.Cut, by float64) (geometry.Region, error) {
	path, err := geometry.Offset(cut.Shape, by, k.tol)
	switch {
	case err != nil:
		return path, noPath(cut.Name, "it has no offset: "+err.Error(), "check its outline")
	case path.Empty():
		return path, noPath(cut.Name, fmt.Sprintf("the blade's kerf of %.3f mm does not fit into it", -2*by), "make the pocket larger")
	}
	return path, nil
}
