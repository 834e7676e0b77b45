package kerf

import (
	"fmt"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// fitStrip makes a pocket for each different piece, as an arrangement would; one
// for all pieces that come to the same pocket.
func (d *designer) fitStrip() {
	if len(d.FitStrip) == 0 {
		return
	}
	fit, ok := plan.FitIn(d.coupon.Foam, "")
	if !ok {
		d.fail("unknown-fit", fmt.Sprintf("the foam %s has no fit %q", d.Foam, "snug"), "`traywright profiles "+d.Foam+"` lists its fits; a profile of your own can add one")
		return
	}
	var trials []Trial
	for _, p := range d.FitStrip {
		p.Count = 1
		t := d.trial(p, fit)
		if same := sameTrial(trials, t); same != nil {
			same.Pieces, same.Proud = append(same.Pieces, p.ID), same.Proud || t.Proud
			continue
		}
		d.pieces = append(d.pieces, p)
		t.Label = fmt.Sprint(len(trials) + 1)
		trials = append(trials, t)
	}
	var proud []string
	for _, t := range trials {
		d.patches = append(d.patches, d.try(t))
		if t.Proud {
			proud = append(proud, t.Pieces...)
		}
	}
	if len(proud) > 0 {
		d.add(finding.Note, "piece-stands-proud", "higher than "+d.length(d.Thickness)+" of foam: "+strings.Join(proud, ", "), "the strip tries their outline alone")
	}
}

func sameTrial(list []Trial, t Trial) *Trial {
	for i, o := range list {
		if o.Length == t.Length && o.Width == t.Width && o.Round == t.Round && o.Depth == t.Depth {
			return &list[i]
		}
	}
	return nil
}

// trial is the pocket that a piece gets from an arrangement in this foam on a
// base. Where the foam is too thin for the piece its outline is still worth
// trying: then the pocket goes through.
func (d *designer) trial(p job.Piece, fitMM float64) Trial {
	need, depth, proud := d.needOf(p, fitMM)
	if min(need.Length, need.Width).MM() <= d.kerfMM() && p.Pose == job.AnyPose {
		p.Pose = job.Upright // a coin on its edge is too thin for the cutter
		need, depth, proud = d.needOf(p, fitMM)
	}
	t := Trial{Pieces: []string{p.ID}, Length: need.Length, Width: need.Width, Round: need.Round, Proud: proud}
	if stops(d.Means) && depth < d.Thickness {
		t.Depth = depth
	}
	return t
}

// needOf is the smallest pocket that the foam is thick enough for, and how deep
// it is; the smallest of all, through, where it is for none.
func (d *designer) needOf(p job.Piece, fitMM float64) (need plan.Need, depth units.Length, proud bool) {
	step := plan.Step(d.Units)
	layers := []job.Layer{{Foam: d.Foam, Thickness: d.Thickness}, {Foam: d.Foam, Thickness: d.Thickness}}
	all := plan.NeedsOf(&p, fitMM, 0, step)
	for _, n := range all {
		if depth, ok := plan.DepthFor(n.Depth, layers, stops(d.Means), step); ok {
			return n, depth, false
		}
	}
	return all[0], d.Thickness, true
}

// try is a pocket of the strip, its number below it. A cutter's letters would take
// as much foam as the pockets; there the picture shows which is which.
func (d *designer) try(t Trial) patch {
	below := d.labelRoom()
	if d.grooves() {
		below = 0
	}
	width := onGrid(t.Length.MM())
	return patch{width, onGrid(t.Width.MM()) + below, func(at geometry.Point) {
		t.At = at.Add(geometry.Point{Y: below})
		d.coupon.Trials = append(d.coupon.Trials, t)
		k := job.Pocket{
			For: t.Pieces[0], Shape: job.SizeShape, X: length(at.X), Y: length(at.Y + below), Length: t.Length, Width: t.Width,
			Depth: t.Depth, Through: t.Depth == 0, Columns: 1, Rows: 1,
		}
		if rounds(d.Means) {
			k.Relief = job.Dogbone // corners are not what is tried
		}
		if t.Round {
			k.Shape, k.Diameter, k.Length, k.Width = job.RoundShape, t.Length, 0, 0
		}
		d.pockets = append(d.pockets, k)
		if below > 0 {
			d.labelUnder(at, width, t.Label)
		}
	}}
}
