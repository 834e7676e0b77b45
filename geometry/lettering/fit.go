package lettering

import (
	"fmt"
	"math"
)

// Fit sets the text at the greatest height, up to that of the setting unless it is 0, at
// which it fits a box of width by height mm: what there is to cut, not the room around it. The line's
// Box then has its lower left corner wherever the setting puts it; move it with Transform.
func (f *Face) Fit(text string, width, height float64, s Setting) (Line, error) {
	if !(width > 0) || !(height > 0) || math.IsInf(width, 1) || math.IsInf(height, 1) {
		return Line{}, &Fault{RuleSetting, fmt.Sprintf("a box of %g x %g mm holds no text", width, height), "give it a width and a height"}
	}
	most := s.HeightMM
	if most == 0 {
		most = 1000
	}
	s.HeightMM = most
	line, err := f.Set(text, s)
	for range 40 {
		if err != nil {
			return Line{}, err
		}
		k := min(width/line.Box.Width(), height/line.Box.Height())
		if k >= 1 {
			return line, nil
		}
		s.HeightMM *= min(k, 1-1e-9)
		line, err = f.Set(text, s)
	}
	return line, err
}
