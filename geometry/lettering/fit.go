package lettering

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// The range of letter heights, in mm.
const (
	leastHeight = 0.5
	mostHeight  = 1000
)

// Fit sets the text at the greatest height at which it fits a box of width by height mm,
// though not above the setting's own height unless that is 0. What has to fit is the
// line's Box, what there is to cut, not the room around it; move it into its place with
// Transform. The height is the greatest to within a ten-thousandth and the tolerance.
//
// Errors are those of Set, and ruleTooSmall for a box that holds the text at no height from
// 0.5 mm.
func (f *Face) Fit(text string, width, height float64, s Setting) (Line, error) {
	if !(width > 0) || !(height > 0) || math.IsInf(width, 1) || math.IsInf(height, 1) {
		return Line{}, &Fault{ruleSetting, fmt.Sprintf("a box of %g x %g mm holds no text", width, height), "give it a width and a height above 0"}
	}
	if s.HeightMM == 0 {
		s.HeightMM = mostHeight
	}
	// Bridges and tracking need not suit the greatest height, but the one that is found.
	most := s
	most.TrackingMM, most.BridgeMM, most.ArcRadiusMM = 0, 0, 0
	runes, _, err := f.prepare(text, most)
	if err != nil {
		return Line{}, err
	}
	found, err := f.greatest(runes, width, height, s)
	if err != nil {
		return Line{}, err
	}
	// The letters now follow their curves with the tolerance asked for, which may make
	// them a little larger.
	s.HeightMM = found
	for range 50 {
		line, err := f.Set(text, s)
		if err != nil || fits(line, width, height) {
			return line, err
		}
		s.HeightMM *= min(width/line.Box.Width(), height/line.Box.Height()) * (1 - 1e-6)
	}
	return Line{}, tooSmall(width, height)
}

func tooSmall(width, height float64) error {
	return &Fault{ruleTooSmall, fmt.Sprintf("the text does not fit %g x %g mm at any height from %g mm", width, height, leastHeight),
		"give it more room, or shorten it"}
}

func fits(l Line, width, height float64) bool {
	return l.Box.Empty() || l.Box.Width() <= width && l.Box.Height() <= height
}

// greatest finds the height by halving, with letters made once.
func (f *Face) greatest(runes []rune, width, height float64, s Setting) (float64, error) {
	const modelHeight = 10
	model := Setting{HeightMM: modelHeight, ToleranceMM: 1e-4}
	shapes, err := f.shapes(runes, model)
	if err != nil {
		return 0, err
	}
	fit := func(h float64) bool {
		scaled := map[rune]shape{}
		for r, m := range shapes {
			scaled[r] = m.times(h / modelHeight)
		}
		trial := s
		trial.HeightMM = h
		line, err := f.layOut(runes, scaled, trial)
		return err == nil && fits(line, width, height)
	}
	low, high := leastHeight, s.HeightMM
	if fit(high) {
		return high, nil
	}
	if !fit(low) {
		return 0, tooSmall(width, height)
	}
	for high > low*(1+5e-5) {
		if h := math.Sqrt(low * high); fit(h) {
			low = h
		} else {
			high = h
		}
	}
	return low, nil
}

// times is the shape k times as large.
func (s shape) times(k float64) shape {
	t := geometry.Scale(k, geometry.Point{})
	scaled := shape{region: s.region.Transform(t), advance: s.advance * k}
	for _, p := range s.strokes {
		scaled.strokes = append(scaled.strokes, p.Transform(t))
	}
	return scaled
}
