// Package paper puts the job on paper, as PDF: the cut sheet for the bench, one
// page for each sheet of foam, and templates of the trays in true size to lay
// the pieces on before any foam is cut.
//
// Lengths are mm from the page's upper-left corner, Y down; sizes of letters
// are points (1/72 inch). The same input gives the same bytes.
package paper

// Size of the paper.
type Size uint8

const (
	A4     Size = iota // 210 x 297 mm, ISO 216
	Letter             // 8 1/2 x 11 in, ANSI/ASME Y14.1
)

// SizeNamed is the paper of a name, "a4" or "letter"; false for any other.
func SizeNamed(name string) (Size, bool) {
	for s := A4; s <= Letter; s++ {
		if s.String() == name {
			return s, true
		}
	}
	return A4, false
}

// String is the name that SizeNamed takes.
func (s Size) String() string {
	if s == Letter {
		return "letter"
	}
	return "a4"
}

// mm is the paper's width and height, upright.
func (s Size) mm() (width, height float64) {
	if s == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}
