package page

import "fmt"

// byHand tells whether what is shown is cut by hand, and so drawn from the plan.
func (s *sheet) byHand() bool { return s.o.Machine.Process.Traits().ByHand }

// sizeText is how large the sheet will be.
func (s *sheet) sizeText() string {
	if s.o.Wanted == nil {
		return ""
	}
	box := s.o.Wanted.Outline.Bounds()
	return size(box.Width(), box.Height(), s.o.Unit)
}

// handFacts is what is known of a sheet that a hand cuts.
func (s *sheet) handFacts() []fact {
	length := 0.0
	for _, m := range s.r.Motions {
		points := trace(m, 10)
		for i := 1; i < len(points); i++ {
			length += points[i].DistanceTo(points[i-1])
		}
	}
	return []fact{
		{"Lines", fmt.Sprintf("%s, each pass", Distance(length, s.o.Unit))}, {"Time", "not known: no hand was measured"},
		{"Foam", Thick(s.o.ThicknessMM, s.o.Unit) + " thick"}, {"By", s.o.Machine.Name},
	}
}
