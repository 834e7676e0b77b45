package page

// Paper is the size of a page on paper.
type Paper uint8

const (
	a4     Paper = iota // 210 x 297 mm, ISO 216
	letter              // 8 1/2 x 11 in, ANSI/ASME Y14.1
)

// PaperNamed is the paper of a name, "a4" or "letter"; false for any other.
func PaperNamed(name string) (Paper, bool) {
	for s := a4; s <= letter; s++ {
		if s.String() == name {
			return s, true
		}
	}
	return a4, false
}

// String is the name that PaperNamed takes.
func (s Paper) String() string {
	if s == letter {
		return "letter"
	}
	return "a4"
}

// mm is the paper's width and height, upright.
func (s Paper) mm() (width, height float64) {
	if s == letter {
		return 215.9, 279.4
	}
	return 210, 297
}
