package coupon

import (
	"context"
	"fmt"
	"strings"

	"traywright/cam/arrange"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// fitStrip makes a pocket for each different piece, as an arrangement would; one
// for all pieces that come to the same pocket.
func (d *designer) fitStrip() {
	var trials []Trial
	for _, p := range d.FitStrip {
		p.Count = 1
		t, ok := d.trial(p)
		if !ok {
			continue
		}
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
		d.parts = append(d.parts, d.try(t))
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

// veryThick is foam that no piece stands out of.
const veryThick units.Length = 1_000_000_000

// trial is the pocket that a piece gets from an arrangement in this foam. Where
// the foam is too thin for the piece its outline is still worth trying: then the
// pocket goes through.
func (d *designer) trial(p job.Piece) (Trial, bool) {
	kind, found := d.arranged(p, d.Thickness)
	if min(kind.LengthMM, kind.WidthMM) <= d.kerfMM() && p.Pose == job.AnyPose {
		p.Pose = job.Upright // a coin on its edge is too thin for the cutter
		kind, found = d.arranged(p, d.Thickness)
	}
	proud := found.Failed()
	if proud {
		if kind, found = d.arranged(p, veryThick); found.Failed() {
			d.found = append(d.found, found...)
			return Trial{}, false
		}
	}
	t := Trial{
		Pieces: []string{p.ID}, Length: length(kind.LengthMM), Width: length(kind.WidthMM), Round: kind.Shape == "round", Proud: proud,
	}
	if depth := length(kind.DepthMM); d.router() && depth < d.Thickness {
		t.Depth = depth
	}
	return t, true
}

// arranged asks the arrangement for one piece in a wide tray of the foam on a
// base, as trays are.
func (d *designer) arranged(p job.Piece, thickness units.Length) (arrange.Kind, finding.List) {
	const side units.Length = 20_000_000_000 // far beyond any piece
	j := &job.Job{File: ID, Units: d.Units, Machine: d.Machine.ID, Roster: []job.Piece{p}, Trays: []job.Tray{{
		ID: ID, Length: side, Width: side, Layers: []job.Layer{{Foam: d.Foam, Thickness: thickness}, {Foam: d.Foam, Thickness: thickness}}, Halves: 1, Holds: []string{p.ID},
	}}}
	r := arrange.Make(context.Background(), arrange.Input{Job: j, Catalog: d.Catalog, Machine: d.Machine, Means: d.Means, Unit: d.Units})
	if len(r.Kinds) == 0 && !r.Findings.Failed() {
		return arrange.Kind{}, finding.List{{Rule: "no-pocket", Where: p.Position.String(), Message: "there is no pocket for " + p.ID, Hint: "check its row in the roster"}}
	}
	if r.Findings.Failed() {
		return arrange.Kind{}, r.Findings
	}
	return r.Kinds[0], nil
}

// try is a pocket of the strip, its number below it. A cutter's letters would take
// as much foam as the pockets; there the picture shows which is which.
func (d *designer) try(t Trial) part {
	below := d.labelRoom()
	if d.router() {
		below = 0
	}
	width := onGrid(t.Length.MM())
	return part{width, onGrid(t.Width.MM()) + below, func(at geometry.Point) {
		t.At = at.Add(geometry.Point{Y: below})
		d.coupon.Trials = append(d.coupon.Trials, t)
		k := job.Pocket{
			For: t.Pieces[0], Shape: job.SizeShape, X: length(at.X), Y: length(at.Y + below), Length: t.Length, Width: t.Width,
			Depth: t.Depth, Through: t.Depth == 0, Columns: 1, Rows: 1,
		}
		if d.router() {
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
