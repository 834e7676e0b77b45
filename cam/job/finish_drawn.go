package job

import (
	"fmt"

	"traywright/cam/finding"
)

// drawPieces gives pieces the drawings and the turns that `holds` names for them.
func (f *finisher) drawPieces() {
	for _, d := range f.outlined {
		f.turnPieces(d)
		p := f.pieces[d.piece]
		switch {
		case d.file == "":
		case p == nil && f.groups[d.piece]:
			f.Fail(d.at, "outline-of-group", finding.Quote(d.piece)+" is a group, and an outline is that of one piece", "write an entry for each of its pieces")
		case p == nil: // that there is no such piece is said of its name
		case p.Outline != "" && p.Outline != d.file:
			f.Fail(d.at, "two-outlines", fmt.Sprintf("the piece %s has the outline %s already", finding.Quote(p.ID), p.Outline), "give it one in the whole job; two kinds of hole want two pieces in the roster")
		default:
			p.Outline = d.file
		}
	}
}

// turnPieces gives a piece its turns, or all of a group.
func (f *finisher) turnPieces(d drawn) {
	for i := range f.Roster {
		p := &f.Roster[i]
		switch {
		case d.turns == UsualTurns || p.ID != d.piece && p.Group != d.piece:
		case p.Turns != UsualTurns && p.Turns != d.turns:
			f.Fail(d.turnAt, "two-turns", fmt.Sprintf("the piece %s may turn otherwise in another entry of `holds`", finding.Quote(p.ID)), "say the same in both, or in one of them nothing")
		default:
			p.Turns = d.turns
		}
	}
}
