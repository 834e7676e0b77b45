package page

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/plan"
)

// glueAwayMM is how far glue stays from an edge: pressed, it spreads (judged, no source).
const glueAwayMM = 3.0

// glueing is what every glue-up ends with, and pressing how long: by the glue's label. The times
// of contact glue are common practice, after a secondary text.
const (
	glueing  = "Use a glue that the foam's maker names. Let it cure, and let the foam air, before painted pieces go in."
	pressing = "Press it under %s with an even weight for as long as the glue's own label says, which is not known here. Contact glue goes thin on both faces and waits until it is touch-dry (often 15 to 30 min with solvent, 30 to 120 min with water; its label goes before this): then it holds at the first touch, and nothing can be slid."
)

// earsOff is how they come off (judged, no source).
const earsOff = "When the dowels are out, cut off each ear, all layers at once: hold a long sharp blade flat against the rim on both sides of it, and draw it through along the rim, in several strokes. Cut the round roots of the ears off as well. "

// gluingUp is how layers become trays, step by step, once for the job; none where no tray has
// layers to glue.
func (c CutSheet) gluingUp() []string { return c.gluing(c.Plan.Trays) }

// gluing is how some trays are glued.
func (c CutSheet) gluing(trays []plan.Tray) []string {
	dowels, boards, blocks := gluedBy(trays)
	near, under := "pocket", "a flat board"
	var steps []string
	if dowels+boards > 0 {
		up := "Up and front left: each layer lies as it lay on the machine, none turned over. The face that was up there is up, and the corner at X0 Y0 is front left on all of them. Mark that corner with a pencil on the side of each before you lift it out."
		if c.Plan.Job.Stock != nil {
			up = "Up and front left: the face that was up on the machine is up on every layer, none is turned over, and a part that lay turned to the left is turned back as far to the right (see Parts of each sheet). Mark each part's own front left corner with a pencil on its side before you lift it out."
		}
		if c.byHand() {
			up = "Up and front left: the face that the template lay on is up on every layer, none is turned over, and its lower left corner on paper is front left. Mark that corner with a pencil on the side of each when it is cut out."
		}
		steps = append(steps, up)
	}
	if dowels > 0 {
		near = "pocket, dowel hole"
		under = "flat boards that lie beside the dowels, or one with holes for them, and on two strips if they stick out below: they are longer than the tray is high,"
		steps = append(steps, "Push the dowels through the tray's lowest layer from below, at the places said with the tray, thread the other layers onto them, upwards, and try so without glue first. The holes meet in one way only: where a dowel finds no hole, a layer is turned or upside down. Force none.")
	}
	if boards > 0 {
		steps = append(steps, "For a tray without dowels stand two straight boards at a right angle, push the layers into that corner with theirs, and try without glue first.")
	}
	if dowels+boards > 0 {
		steps = append(steps, fmt.Sprintf("Glue from below, in the order said with the tray. Keep glue %s from every %s and from the rim, for pressed it spreads; a wall of less than %s gets none.",
			c.length(glueAwayMM), near, c.length(2*glueAwayMM)))
	}
	if dowels+boards+blocks == 0 {
		return nil
	}
	last := glueing
	if slices.ContainsFunc(trays, func(t plan.Tray) bool { return len(t.Ears) > 0 }) {
		steps = append(steps, "Ears with dowel holes, which stick out of some trays, are waste: they stay on every layer, get no glue, and lie under the board as well.")
		last = earsOff + last
	}
	if dowels > 0 {
		last = "Pull the dowels out when the glue holds; they serve the next tray. " + last
	}
	return append(steps, fmt.Sprintf(pressing, under), last)
}

// gluedBy is how many trays are placed by dowels, how many by boards, and how many are blocks.
func gluedBy(trays []plan.Tray) (dowels, boards, blocks int) {
	for i := range trays {
		switch t := &trays[i]; {
		case len(t.Layers) < 2:
		case len(t.Sheets) > 0 && t.Sheets[0].Number == 0:
			blocks++
		case len(t.Dowels()) > 0:
			dowels++
		default:
			boards++
		}
	}
	return dowels, boards, blocks
}

// gluedSo is what of that is a tray's own; "" of a tray of one layer.
func (c CutSheet) gluedSo(t *plan.Tray) string {
	if len(t.Layers) < 2 {
		return ""
	}
	return "As under Gluing up: " + c.placesAndOrder(t) + "."
}

// placesAndOrder is where a tray's dowels go, and which layer is pressed onto which.
func (c CutSheet) placesAndOrder(t *plan.Tray) string {
	var places []string
	for _, k := range t.Dowels() {
		at := k.Box.Min.Add(k.Box.Max).Scale(0.5).Sub(t.Outline.Bounds().Min) // of the foam, which has its ease
		places = append(places, fmt.Sprintf("X %s, Y %s", c.length(at.X), c.length(at.Y)))
	}
	text := ""
	if side := t.EarsAt(); side != "" {
		text += fmt.Sprintf("two ears at the %s stay on until the glue holds, and are then cut off; ", side)
	}
	if len(places) > 0 {
		text += fmt.Sprintf("dowels of %s at %s from front left; ", t.Dowels()[0].Dowel.Format(c.Unit), strings.Join(places, " and "))
	}
	return text + orderOfGlue(len(t.Layers))
}

// orderOfGlue is which layer is pressed onto which, from the lowest.
func orderOfGlue(layers int) string {
	var list []string
	for n := layers; n > 1; n-- {
		list = append(list, fmt.Sprintf("layer %d onto layer %d", n-1, n))
	}
	return strings.Join(list, ", then ")
}

// dowelsToBuy are the dowels that the job's trays want, a line for each diameter.
func (c CutSheet) dowelsToBuy() (lines []string) {
	for _, d := range c.Plan.Dowels() {
		lines = append(lines, fmt.Sprintf("%d dowels of %s, %s or longer: they place the layers while glue sets, are pulled out, and serve one tray after another.", d.Count, d.Diameter.Format(c.Unit), d.Length.Format(c.Unit)))
	}
	return lines
}
