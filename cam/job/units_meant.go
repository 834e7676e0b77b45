package job

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

const inch = units.Length(25_400_000)

// In a job in inches mm are asked about from these sizes on (judged, no source): no foam
// tray carries a thing of two feet, or of half a foot each way, and no case is ten feet
// long or two and a half high.
const (
	longPiece  = 24 * inch
	thickPiece = 6 * inch
	longCase   = 120 * inch
	highCase   = 30 * inch
)

// askUnits asks about sizes in inches that look as if they were meant in mm: once for the
// roster, and for each case, or, without cases, each tray.
func (f *finisher) askUnits(j *Job) {
	if j.Units != units.Inch {
		return
	}
	f.askPieces(j)
	for _, c := range j.Cases {
		f.askSize(j, c.Position, "case "+finding.Quote(c.Name), c.Inside.Length, c.Inside.Width, c.Inside.Height)
	}
	for _, t := range j.Trays {
		if len(j.Cases) == 0 {
			f.askSize(j, t.Position, "tray "+t.ID, t.Length, t.Width, 0)
		}
	}
}

func (f *finisher) askPieces(j *Job) {
	var large []Piece
	for _, p := range j.Roster {
		if max(p.Length, p.Width, p.Height) > longPiece || min(p.Length, p.Width, p.Height) > thickPiece {
			large = append(large, p)
		}
	}
	if len(large) == 0 {
		return
	}
	p, more := large[0], ""
	if len(large) > 1 {
		more = fmt.Sprintf(" (and %d more like it)", len(large)-1)
	}
	f.askUnit(p.Position, fmt.Sprintf("the piece %s is %s x %s x %s%s", p.ID, p.Length.Format(j.Units), p.Width.Format(j.Units), p.Height.Format(j.Units), more),
		"write the unit into the roster's first line, `length (mm)`, `width (mm)` and `height (mm)`")
}

func (f *finisher) askSize(j *Job, at finding.Position, what string, length, width, height units.Length) {
	if max(length, width) > longCase || height > highCase {
		f.askUnit(at, fmt.Sprintf("%s is %s x %s", what, length.Format(j.Units), width.Format(j.Units)),
			"write the unit behind each number there, such as `250 mm`; or `units: mm` in "+j.File+", where all of its bare numbers are mm")
	}
}

// askUnit asks about a size; do is what says mm of it, and of nothing that is in inches.
func (f *finisher) askUnit(at finding.Position, what, do string) {
	f.Warn(at, "unit-meant", what+": are mm meant?", "if they are, "+do+"; if not, there is nothing to do")
}
