package proof

import "traywright/geometry"

// beyondMM is how far beyond all that is planned a program may cut, beside the width of
// its cut and its lead-in: for laps and ramps in the waste that somebody has made longer.
const beyondMM = 5

// judgeFar finds cuts that no plan asks for, away from all that is planned: off the foam
// or in somebody else's.
func (d *run) judgeFar() {
	planned := d.want.Outline.Bounds()
	for _, c := range d.want.Cuts {
		planned = planned.Union(c.Shape.Bounds())
	}
	for _, m := range d.want.Marks {
		planned = planned.Union(m.Path.Bounds())
	}
	for _, m := range d.result.Motions {
		width, _ := d.width(m.Tool)
		by := beyond(m.box(), planned)
		switch {
		case by <= width+d.want.LeadInMM+beyondMM:
		case m.Rapid && d.setAside(m.To):
		case d.wire && d.onSlit(m.To.Point) && (m.Rapid || d.onSlit(m.From.Point) && d.onSlit(m.middle())): // where it comes in, across the sheet's margin
		case m.Rapid || !m.On || !d.beam && m.lowest() > -slackMM:
			if by > travelBeyondMM && beyond(geometry.Box{Min: m.From.Point, Max: m.From.Point}, planned) < by { // told of where it goes out
				d.warn(m.Line, "travel-beyond-plan", "goes %v beyond all that is planned", length(by)).
					hint("look that the machine reaches there and that no clamp stands in the way")
			}
		default:
			d.wrong(m.Line, "cut-beyond-plan", "cuts %v beyond all that is planned", length(by)).
				hint("take the cut out, or make the program again with `traywright cut`")
		}
	}
}

// setAside tells a place that the machine's profile names for a change of the tool or to
// park at.
func (d *run) setAside(to Point) bool { return d.aside(to) != "" }

// aside is the profile's key for such a place; "" for any other.
func (d *run) aside(to Point) string {
	c := d.setup.Machine.Controller
	for i, at := range [][]float64{c.ChangeAt, c.ParkAt} {
		if len(at) > 0 && to.DistanceTo(geometry.Point{X: at[0], Y: at[1]}) < slackMM {
			return [2]string{"change_at", "park_at"}[i]
		}
	}
	return ""
}

// towards is the key for the place that a rapid goes to, straight or after rising first.
func (d *run) towards(i int) string {
	list := d.result.Motions
	if !list[i].Rapid {
		return ""
	}
	key := d.aside(list[i].To)
	if key == "" && i+1 < len(list) && list[i+1].Rapid {
		key = d.aside(list[i+1].To)
	}
	return key
}

// travelBeyondMM is how far beyond all that is planned a program may travel without a
// word: what a sheet is held by lies there (judged, no source).
const travelBeyondMM = 25

// beyond is how far a box reaches out of another at most, mm.
func beyond(b, of geometry.Box) float64 {
	return max(of.Min.X-b.Min.X, of.Min.Y-b.Min.Y, b.Max.X-of.Max.X, b.Max.Y-of.Max.Y)
}
