package plan

import (
	"errors"
	"fmt"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry"
)

// stopping is a way of cutting whose tool does not fit every edge that a plan may have.
type stopping interface {
	// Left are the parts of a cut's way, along the middle of its kerf, that the tool does not fit,
	// where they may be left; else it is a finding, as it is where nothing at all can be cut. The
	// waste of an outline is outside of it.
	Left(c Cut, outline bool, tolMM float64) ([]geometry.Path, error)
}

// leave decides which of a cut's way is left to a hand.
func (c *Cut) leave(means Means, outline bool, tol float64) *refusal {
	c.Left = nil
	fits, ok := means.(stopping)
	if !ok || len(c.Passes) == 0 || !c.Through || c.Along.Len() > 0 || c.Shape.Empty() {
		return nil
	}
	left, err := fits.Left(*c, outline, tol)
	var why finding.List
	switch {
	case errors.As(err, &why) && len(why) > 0:
		return &refusal{rule: why[0].Rule, message: why[0].Message, hint: why[0].Hint, cut: c.Name, at: c.At}
	case err != nil:
		no := badShape(err)
		no.cut, no.at = c.Name, c.At
		return no
	}
	c.Left = left
	return nil
}

// cut is the place of a refusal that is of one of the sheet's cuts.
func (p place) cut(no *refusal) place {
	if no.cut == "" {
		return p
	}
	if no.at != (finding.Position{}) {
		p.position = no.at
	}
	return p.with(no.cut)
}

// LeftMM is how long a cut's way is that is left to a hand.
func (c Cut) LeftMM() (mm float64) {
	for _, p := range c.Left {
		mm += p.Length()
	}
	return mm
}

// tellLeft notes what is left to a hand.
func (m *maker) tellLeft(s slab, sheet Sheet) {
	var names []string
	places, mm, wide := 0, 0.0, 0.0
	for _, c := range sheet.HolesAndEdge() {
		if len(c.Left) > 0 {
			names, places, mm, wide = append(names, c.Name), places+len(c.Left), mm+c.LeftMM(), c.Tool.ChordMM.Value
		}
	}
	const most = 8
	if more := len(names) - most; more > 0 {
		names = append(names[:most], fmt.Sprintf("%d more", more))
	}
	if places > 0 {
		m.log.note(s.at, "left-to-hand",
			fmt.Sprintf("has edges that a blade %s wide does not fit: they stay uncut in %d places, %s in all, and what they bound hangs there until a hand cuts it; how a piece fits there is that hand's work: %s", m.mm(wide), places, m.mm(mm), strings.Join(names, ", ")),
			"the cut sheet says where; or make curves wider and sides longer, or take a narrower blade")
	}
}
