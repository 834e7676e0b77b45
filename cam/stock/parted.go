package stock

import (
	"cmp"
	"slices"
)

// Parted is a sheet that is parted into panels by straight cuts, each from edge to edge, before any of it
// is cut: first into strips along Y, then each strip along X.
type Parted struct {
	Sheet  string
	Label  string // the owner's own name of it, where its files have another; else ""
	Foam   string
	Layer  float64    // thickness as sold, mm
	SizeMM [2]float64 // as it lies
	Panels []Rect     // in their order, p1 first
	Rest   []Rect     // what stays beside them, in the sheet as it lies
	Called []string   // names of the rest in the rack that is left
}

// Strip is what a cut from the front to the back parts from a sheet.
type Strip struct {
	XMM, LengthMM float64
	Panels        []int     // numbers, from the front to the back
	CutsMM        []float64 // from left to right, from the front edge
}

// Strips are a parted sheet's, from the left to the right.
func (p Parted) Strips() (list []Strip) {
	order := make([]int, len(p.Panels))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return before(p.Panels[a], p.Panels[b]) })
	for _, i := range order {
		panel := p.Panels[i]
		if len(list) == 0 || list[len(list)-1].XMM != panel.XMM {
			list = append(list, Strip{XMM: panel.XMM, LengthMM: panel.LengthMM})
		}
		s := &list[len(list)-1]
		s.Panels = append(s.Panels, i+1)
		if top := panel.YMM + panel.WidthMM; p.within(1, top) {
			s.CutsMM = append(s.CutsMM, top)
		}
	}
	return list
}

// within reports whether a measure ends before the sheet does: the sum of two of them may miss its edge by a rounding.
func (p Parted) within(axis int, mm float64) bool { return mm < p.SizeMM[axis]-1.0/perMM }

// before is the order of cutting: strip by strip, each from the front to the back.
func before(a, b Rect) int {
	return cmp.Or(cmp.Compare(a.XMM, b.XMM), cmp.Compare(a.YMM, b.YMM))
}

// CutsMM are a parted sheet's cuts from the front to the back, from the left edge.
func (p Parted) CutsMM() (list []float64) {
	for _, s := range p.Strips() {
		if end := s.XMM + s.LengthMM; p.within(0, end) {
			list = append(list, end)
		}
	}
	return list
}
