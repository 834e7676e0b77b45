package cam

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Pieces of one foam and thickness are cut from one offcut, clamped once, each from a zero of its own. Each is as
// large as what its cutter sweeps; all of an offcut lie within the machine's travel, the offcut itself too, so that
// it lies on the bed. What does not fit lies on a further one.

const (
	betweenMM = 10.0 // foam that stays between what is cut of two pieces: as much as a coupon has for its own edge
	handMM    = 5.0  // of travel to spare, for the hand that lays an offcut (judged, no source)
)

// onOffcut is a piece on its offcut.
type onOffcut struct {
	work *sheetWork
	zero geometry.Point // of its program, from the foam's lower-left corner
}

// trueBox is a box of the machine's own mm in true ones, from X0 Y0.
func (w *sheetWork) trueBox(low, high geometry.Point, m profiles.Machine) geometry.Box {
	x, y := m.Scale()
	return geometry.Box{Min: geometry.Point{X: x * low.X, Y: y * low.Y}, Max: geometry.Point{X: x * high.X, Y: y * high.Y}}
}

// at is a box around a piece's zero, from the foam's corner.
func (p onOffcut) at(b geometry.Box) geometry.Box {
	return geometry.Box{Min: b.Min.Add(p.zero), Max: b.Max.Add(p.zero)}
}

// cut is what the piece's program cuts of the foam, and travel where it takes the tool.
func (p onOffcut) cut(m profiles.Machine) geometry.Box {
	return p.at(p.work.trueBox(p.work.swept.Min.Point, p.work.swept.Max.Point, m).Grow(p.work.kerf().Value / 2))
}

func (p onOffcut) travel(m profiles.Machine) geometry.Box {
	b := p.work.trueBox(p.work.whole.Min.Point, p.work.whole.Max.Point, m)
	return p.at(b.Union(geometry.Box{})) // the tip goes to X0 Y0 as well
}

// offcut is foam for some pieces of a coupon.
type offcut struct {
	machine profiles.Machine
	unit    units.Unit
	pieces  []onOffcut
	row     float64 // where the row of the last begins: what is cut of it lies above
}

// rim is how much foam stays around all, to hold it by.
func (o *offcut) rim() (rim float64) {
	for _, p := range o.pieces {
		rim = math.Max(rim, p.work.rim(o.machine))
	}
	return rim
}

// used is what is cut of it all, and travel where the tools go.
func (o *offcut) used() (cut, travel geometry.Box) {
	cut, travel = geometry.EmptyBox(), geometry.EmptyBox()
	for _, p := range o.pieces {
		cut, travel = cut.Union(p.cut(o.machine)), travel.Union(p.travel(o.machine))
	}
	return cut, travel
}

// sizeMM is the least that the foam measures. Of a single piece that is what any sheet's blank is.
func (o *offcut) sizeMM() (size [2]float64) {
	if len(o.pieces) == 1 {
		size, _ = o.pieces[0].work.laid(o.machine, o.unit)
		return size
	}
	cut, _ := o.used()
	return [2]float64{roundUp(cut.Max.X+o.rim(), o.unit), roundUp(cut.Max.Y+o.rim(), o.unit)}
}

// far is how far the machine goes, true mm; without end where nobody has said.
func far(m profiles.Machine) (far [2]float64) {
	x, y := m.Scale()
	for i, scale := range [2]float64{x, y} {
		if far[i] = math.Inf(1); m.TravelMM[i].Value > 0 {
			far[i] = scale * m.TravelMM[i].Value
		}
	}
	return far
}

// fits reports whether the foam lies on the bed, and every piece within reach.
func (o *offcut) fits() bool {
	size, most := o.sizeMM(), far(o.machine)
	_, travel := o.used()
	return size[0] <= most[0] && size[1] <= most[1] && travel.Width()+handMM <= most[0] && travel.Height()+handMM <= most[1]
}

// placed is a piece whose cut begins no nearer to the foam's left and front edge than that.
func (o *offcut) placed(w *sheetWork, left, front float64) onOffcut {
	p := onOffcut{work: w}
	b := p.cut(o.machine)
	p.zero = geometry.Point{X: roundUp(left+math.Max(0, -b.Min.X), o.unit), Y: roundUp(front+math.Max(0, -b.Min.Y), o.unit)}
	return p
}

// take lays a further piece beside the last, or else behind all; false where there is no room.
func (o *offcut) take(w *sheetWork) bool {
	held, rim := o.pieces, math.Max(o.rim(), w.rim(o.machine))
	cut, _ := o.used()
	last := held[len(held)-1].cut(o.machine)
	for _, at := range []struct{ left, front, row float64 }{{last.Max.X + betweenMM, o.row, o.row}, {rim, cut.Max.Y + betweenMM, cut.Max.Y + betweenMM}} {
		if o.pieces = append(held[:len(held):len(held)], o.placed(w, at.left, math.Max(at.front, rim))); o.fits() {
			o.row = at.row
			return true
		}
	}
	o.pieces = held
	return false
}

// onOffcuts lays the pieces of a job's coupon onto as few offcuts as their order lets it. A wire comes from beside the foam, and
// clamps of the machine's own stand by X0 Y0: there each piece has an offcut to itself.
func onOffcuts(pieces []couponPiece, u units.Unit) (list []*offcut) {
	for _, p := range pieces {
		m := p.plan.Machine
		if n := len(list); n > 0 && !m.Process.Traits().Wire && len(m.Clamps) == 0 && list[n-1].of(p) && list[n-1].take(p.work) {
			continue
		}
		o := &offcut{machine: m, unit: u}
		_, inset := p.work.laid(m, u)
		o.pieces = []onOffcut{{p.work, geometry.Point{X: inset[0], Y: inset[1]}}}
		o.row = o.pieces[0].cut(m).Min.Y
		list = append(list, o)
	}
	return list
}

// of reports whether a piece is of the same foam and thickness.
func (o *offcut) of(p couponPiece) bool {
	mine, its := o.pieces[0].work.sheet, p.work.sheet
	return mine.Layers[0].Foam.ID == its.Layers[0].Foam.ID && mine.Layers[0].Thickness == its.Layers[0].Thickness
}

// lieOnOffcuts gives every piece of a job's coupon its place, and says of it in its program.
func lieOnOffcuts(pieces []couponPiece, u units.Unit) (list []*offcut) {
	list = onOffcuts(pieces, u)
	for n, o := range list {
		_, travel := o.used()
		most := far(o.machine)
		for i, p := range o.pieces {
			place := &page.Offcut{Number: n + 1, Of: len(list), Piece: i, SizeMM: o.sizeMM(), ZeroMM: [2]float64{p.zero.X, p.zero.Y}}
			for _, other := range o.pieces {
				place.Cuts, place.Names = append(place.Cuts, other.cut(o.machine)), append(place.Names, other.work.name)
			}
			place.LowMM = [2]float64{p.zero.X - travel.Min.X, p.zero.Y - travel.Min.Y}
			place.HighMM = [2]float64{most[0] - travel.Max.X + p.zero.X, most[1] - travel.Max.Y + p.zero.Y}
			p.work.offcut = place
			p.work.sheet.Notes = append(p.work.sheet.Notes, place.Note(u))
		}
	}
	return list
}

// tellOffcuts says what foam to lay ready, and where the pieces lie on it.
func tellOffcuts(list []*offcut, u units.Unit) (found finding.List) {
	for _, o := range list {
		layer, size := o.pieces[0].work.sheet.Layers[0], o.sizeMM()
		var where []string
		for _, p := range o.pieces {
			where = append(where, fmt.Sprintf("%s, X0 Y0 %s from its left and %s from its front edge", p.work.name, page.Length(p.zero.X, u), page.Length(p.zero.Y, u)))
		}
		found = append(found, finding.Finding{Severity: finding.Note, Rule: "offcut", Where: fmt.Sprintf("%s, %s", layer.Foam.ID, layer.Thickness.Exact(u)),
			Message: fmt.Sprintf("one offcut of at least %s x %s, with a rim to hold it by: %s", page.Length(size[0], u), page.Length(size[1], u), strings.Join(where, "; then "))})
	}
	return found
}

// describeOffcuts is them for another program.
func describeOffcuts(list []*offcut) (reports []kerf.TestOffcutReport) {
	for _, o := range list {
		layer := o.pieces[0].work.sheet.Layers[0]
		r := kerf.TestOffcutReport{Foam: layer.Foam.ID, ThicknessMM: layer.Thickness.MM(), SizeMM: o.sizeMM()}
		for _, p := range o.pieces {
			r.Pieces = append(r.Pieces, kerf.PlaceReport{Path: p.work.path(), XMM: p.zero.X, YMM: p.zero.Y})
		}
		reports = append(reports, r)
	}
	return reports
}
