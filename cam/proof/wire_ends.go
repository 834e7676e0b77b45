package proof

import (
	"math"

	"traywright/geometry"
)

// besideMM is how far beyond the tray's extents a wire begins by the plan, where it stands beside
// the foam; 0 where no plan says.
func (d *run) besideMM() float64 {
	most := 0.0
	for _, s := range d.want.Slits {
		most = math.Max(most, beyond(geometry.Box{Min: s.From, Max: s.From}, d.want.Outline.Bounds()))
	}
	return most
}

// judgeEnds: the wire begins and ends as far from the tray as planned, where no foam is, and comes
// no nearer in a rapid.
func (d *run) judgeEnds() {
	motions := d.result.Motions
	reach, tray := d.besideMM()-d.tolerance, d.want.Outline.Bounds()
	first := -1
	for i, m := range motions {
		switch {
		case !m.Rapid:
			if first < 0 {
				first = i
			}
		case d.counts["wire-rapid"] == 0 && m.comesNear(tray, reach):
			d.wrong(m.Line, "wire-rapid", "a rapid of the hot wire comes nearer to the tray than the place beside the foam where the plan begins: it cuts, or pushes, whatever lies there").
				hint("go to the place where it begins by a way around the foam")
		}
	}
	if first < 0 {
		return
	}
	if from := motions[first].From.Point; inBox(from, tray, reach) {
		d.wrong(motions[first].Line, "begins-in-foam", "begins at %v, %v from the tray's extents, where no wire comes to but through foam", from, length(math.Max(0, beyond(geometry.Box{Min: from, Max: from}, tray)))).
			hint("begin beside the sheet, %v or more from the tray", length(d.besideMM()))
	}
	if end := motions[len(motions)-1].To.Point; inBox(end, tray, reach) {
		d.wrong(d.lastLine(), "left-in-foam", "the program ends with the wire in the foam, at %v", end).hint("go back by the slits to where it began")
	}
}

// comesNear reports whether a straight motion comes to within a reach of a box.
func (m Motion) comesNear(b geometry.Box, reach float64) bool {
	n := math.Min(math.Ceil(m.flatLength()/probeStepMM), mostLooks)
	for k := range int(n) + 1 {
		if n > 0 && inBox(m.From.Add(m.To.Sub(m.From.Point).Scale(float64(k)/n)), b, reach) {
			return true
		}
	}
	return false
}
