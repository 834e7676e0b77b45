package kerf

import (
	"fmt"
	"strings"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// Apply puts into the plan of the coupon's job what a job cannot say: each
// square's own line and setting, the skin under a cutter's grooves, the labels,
// and the notes of the program's header. tol is the distance, mm, under which two
// points are one.
func (c *Coupon) Apply(p *plan.Plan, means plan.Means, tol float64) error {
	tray := &p.Trays[0]
	sheet := &tray.Sheets[0]
	for i := range sheet.Cuts {
		cut := &sheet.Cuts[i]
		at := cut.Pockets[0]
		cut.Name = c.nameOf(at)
		if at >= len(c.Squares) {
			continue
		}
		if err := c.square(cut, c.Squares[at], tol); err != nil {
			return fmt.Errorf("square %s: %w", c.Squares[at].Label, err)
		}
		pocket := &tray.Pockets[at]
		pocket.Design, pocket.Depth, pocket.Through = cut.Shape, length(cut.DepthMM), cut.Through
	}
	sheet.Marks, sheet.Bridged = c.marks(), false // what is measured has no bridge torn out of it
	sheet.Notes = append(sheet.Notes, c.notes()...)
	return sheet.Complete(means, tol)
}

// nameOf is the operation's name of a pocket of the job.
func (c *Coupon) nameOf(pocket int) string {
	slot := pocket - len(c.Squares)
	switch trial := slot - len(c.Slots); {
	case slot < 0:
		return "square " + c.Squares[pocket].Label
	case trial < 0:
		return "slot " + c.Slots[slot].Label
	default:
		t := c.Trials[trial]
		return "fit " + t.Label + " (" + strings.Join(t.Pieces, ", ") + ")"
	}
}

// square turns a planned hole into a line of the nominal size.
func (c *Coupon) square(cut *plan.Cut, s Square, tol float64) error {
	line := geometry.Rectangle(geometry.Box{Min: s.At, Max: s.At.Add(geometry.Point{X: s.Size.MM(), Y: s.Size.MM()})}, 0)
	kerf := c.Recipe.KerfMM.Value
	hole, err := geometry.Offset(geometry.NewRegion(line), kerf/2, tol)
	if err != nil {
		return err
	}
	cut.Along, cut.Shape = line, hole
	cut.Recipes = []profiles.Recipe{c.Groups[s.Group].Recipe}
	if !c.grooved() {
		return nil
	}
	plug, err := geometry.Offset(geometry.NewRegion(line), -kerf/2, tol)
	if err != nil {
		return err
	}
	cut.Through, cut.DepthMM = false, c.Spec.Thickness.MM()-c.SkinMM()
	cut.Shape = geometry.NewRegion(hole.Contours()[0], plug.Contours()[0].Reverse())
	return nil
}

// notes are what the program's header says of the kerf and the settings.
func (c *Coupon) notes() []string {
	var list []string
	if len(c.Squares) > 0 {
		list = append(list, fmt.Sprintf("no kerf is taken off the squares: each path is the nominal size, hole = size + kerf, plug = size - kerf, believed to be %s", round(c.Recipe.KerfMM.Value, c.Spec.Units)))
	}
	if len(c.Slots)+len(c.Trials) > 0 {
		list = append(list, fmt.Sprintf("slots and pockets have a kerf of %s taken off, as any pocket", round(c.Recipe.KerfMM.Value, c.Spec.Units)))
	}
	if skin := c.SkinMM(); skin > 0 && len(c.Squares) > 0 {
		list = append(list, fmt.Sprintf("a skin of %s under the grooves holds the plugs: cut it with a knife when the machine has stopped", round(skin, c.Spec.Units)))
	}
	switch {
	case c.Spec.Of < 2:
	case c.Spec.CurrentA > 0:
		list = append(list, fmt.Sprintf("piece %d of %d, for %g A: set the wire's supply to that", c.Spec.Piece, c.Spec.Of, c.Spec.CurrentA))
	default:
		list = append(list, fmt.Sprintf("piece %d of %d: %s", c.Spec.Piece, c.Spec.Of, c.Spec.Subject()))
	}
	if c.Spec.Ladder.Key != "" {
		for _, s := range c.Groups {
			list = append(list, fmt.Sprintf("squares %s: %s", s.Letter, c.Spec.Ladder.text(s.Value)))
		}
	}
	return list
}
