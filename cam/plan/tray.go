package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// board is a tray on its way through the steps: one of the plan's trays, and
// what it was made from.
type board struct {
	Tray
	source  *job.Tray
	at      place
	eared   geometry.Contour // the outline with its ears, where it has some
	free    [4]bool          // faces that no other half lies at
	corners [4]float64       // radii of the rim's corners, counter-clockwise from the lower left, before ease
	holes   []*hole
	marks   []*mark
	marking *marking            // of what is engraved; nil for nothing
	meet    [][2]int            // pairs of holes that touch or overlap
	reliefs map[job.Relief]bool // that all round corners have room for: see relief_room.go
	known   bool                // every foam is known, so it can be cut
	begun   []begun
	oneTool map[int]string // of holes that it makes in all of their sheets: see one_tool.go
	log     *log           // of its sheets
}

// box is the tray's own size, before ease.
func (b *board) box() geometry.Box {
	return geometry.Box{Max: geometry.Point{X: b.Length.MM(), Y: b.Width.MM()}}
}

// rim is the tray's edge before ease: what a pocket's edge is measured from.
func (b *board) rim() geometry.Contour { return roundedBox(b.box(), b.corners) }

// finish hands the pockets over to the plan.
func (b *board) finish() {
	b.Rim = b.rim()
	b.Pockets = make([]Pocket, len(b.holes))
	for i, h := range b.holes {
		b.Pockets[i] = h.Pocket
	}
	for _, k := range b.marks {
		b.Marks = append(b.Marks, k.Mark)
	}
}

// mostPockets is how many pockets a job may have, all grids counted out.
const mostPockets = 100_000

// makeTrays makes every tray of the job, with its pockets in place.
func (m *maker) makeTrays() {
	if n := countPockets(m.Job); n > mostPockets {
		m.log.fail(place{position: finding.Position{File: m.Job.File}}, "too-many-pockets",
			fmt.Sprintf("the job has %.0f pockets, more than %d", n, mostPockets), "make the grids smaller")
		return
	}
	for i := range m.Job.Trays {
		m.makeTray(&m.Job.Trays[i])
	}
}

func countPockets(j *job.Job) float64 {
	n := 0.0
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			n += float64(max(p.Columns, 1)) * float64(max(p.Rows, 1))
		}
	}
	return n
}

func (m *maker) makeTray(t *job.Tray) {
	at := place{position: t.Position, text: "tray " + t.ID, tray: t.ID}
	b := &board{source: t, at: at, Tray: Tray{
		ID: t.ID, Label: m.label(t, at), Position: t.Position, Length: t.Length, Width: t.Width, Copies: m.copies(t, at),
	}}
	if !m.checkTray(b) {
		return
	}
	m.checkRoom(b)
	corner := t.Corner.MM()
	b.corners = [4]float64{corner, corner, corner, corner}
	b.free = [4]bool{true, true, true, true}
	b.Outline = grown(b, t.Ease.MM())
	m.makeLayers(b)
	m.checkTrayFit(b)
	b.holes = m.makeHoles(b)
	m.makeMarks(b)
	m.checkNotches(b)
	if missing := m.notPlaced(b); len(missing) > 0 {
		m.log.fail(at, "not-arranged", "has no pocket yet for what it holds: "+strings.Join(missing, ", "),
			"`arrange` comes first: give the job to `traywright arrange`, or write its `pockets`")
	}
	if t.Halves == 2 {
		m.boards = append(m.boards, m.halve(b)...)
		return
	}
	m.boards = append(m.boards, b)
}

// notPlaced are the pieces and groups that the tray is to hold, and that have
// no pocket in it.
func (m *maker) notPlaced(b *board) []string {
	var missing []string
	for _, name := range b.source.Holds {
		there := slices.ContainsFunc(b.holes, func(h *hole) bool {
			return h.For == name || h.piece != nil && h.piece.Group == name
		})
		if !there {
			missing = append(missing, name)
		}
	}
	return missing
}

// checkTray finds sizes that make no tray.
func (m *maker) checkTray(b *board) bool {
	t, at := b.source, b.at
	before := len(m.log.found)
	if t.Length <= 0 || t.Width <= 0 {
		m.log.fail(at, "tray-without-size", "has no size", "give `size: [length, width]`, or a case with its `inside`")
	}
	if len(t.Layers) == 0 {
		m.log.fail(at, "tray-without-layers", "has no layers", "list its `layers`, top to bottom")
	}
	if t.Corner < 0 || 2*t.Corner > min(t.Length, t.Width) {
		m.log.fail(at, "corner-too-large", "has a corner radius of "+m.length(t.Corner)+" on "+m.length(min(t.Length, t.Width))+" of width",
			"give a `corner` of at most half the shorter side")
	}
	if t.Ease < 0 {
		m.log.fail(at, "negative-ease", "has an ease of "+m.length(t.Ease), "give an `ease` of 0 or more")
	}
	if t.Halves != 0 && t.Halves != 1 && t.Halves != 2 {
		m.log.fail(at, "bad-halves", fmt.Sprintf("is to be cut in %d parts", t.Halves), "`halves` is 1 or 2")
	}
	return len(m.log.found) == before
}

// makeLayers stacks the layers from the top.
func (m *maker) makeLayers(b *board) {
	b.known = true
	var top units.Length
	for i, l := range b.source.Layers {
		at := place{position: l.Position, text: fmt.Sprintf("%s, layer %d", b.at.text, i+1)}
		foam, unknown := m.Catalog.FindFoam(l.Foam, at.String())
		if unknown != nil {
			b.known = false
			foam.ID = l.Foam
			m.log.found = append(m.log.found, unknown...)
		}
		if l.Thickness <= 0 {
			b.known = false
			m.log.fail(at, "layer-without-thickness", "is "+m.length(l.Thickness)+" thick", "give its `thickness`, more than 0")
		} else if unknown == nil {
			m.checkStock(at, foam, l.Thickness)
			m.checkMeasured(at, foam, b.source, l)
		}
		layer := Layer{Foam: foam, Thickness: l.Real(), Top: top, ZZero: profiles.ZZero(l.ZZero)}
		if l.Measured > 0 {
			layer.Label = l.Thickness
		}
		b.Layers = append(b.Layers, layer)
		top += l.Real()
	}
}

// halve cuts the tray in two across its longer side. The second half's
// coordinates begin at its own lower-left corner. Where the halves meet there is
// no ease and no corner radius: they lie against each other as one tray.
func (m *maker) halve(whole *board) []*board {
	first, second := *whole, *whole
	first.ID, second.ID = whole.ID+"-1", whole.ID+"-2"
	first.Half, second.Half = 1, 2
	first.at.text, second.at.text = "tray "+first.ID, "tray "+second.ID
	c := whole.corners
	var cut geometry.Point // where the second half begins
	if whole.Length >= whole.Width {
		first.Length = whole.Length / 2
		second.Length = whole.Length - first.Length
		first.corners, second.corners = [4]float64{c[0], 0, 0, c[3]}, [4]float64{0, c[1], c[2], 0}
		first.free[eastFace], second.free[westFace] = false, false
		cut.X = first.Length.MM()
	} else {
		first.Width = whole.Width / 2
		second.Width = whole.Width - first.Width
		first.corners, second.corners = [4]float64{c[0], c[1], 0, 0}, [4]float64{0, 0, c[2], c[3]}
		first.free[northFace], second.free[southFace] = false, false
		cut.Y = first.Width.MM()
	}
	first.Outline = grown(&first, whole.source.Ease.MM())
	second.Outline = grown(&second, whole.source.Ease.MM())
	first.holes, second.holes = m.share(whole, cut)
	first.marks, second.marks = m.shareMarks(whole, cut)
	return []*board{&first, &second}
}

// share gives each half its pockets; one that lies in both is an error.
func (m *maker) share(whole *board, cut geometry.Point) (first, second []*hole) {
	for _, h := range whole.holes {
		switch m.halfOf(h.Box, cut, h.at, "pocket-across-halves") {
		case 1:
			first = append(first, h)
		case 2:
			h.moveTo(h.origin.Sub(cut))
			second = append(second, h)
		}
	}
	return first, second
}

// shareMarks gives each half its labels and emblems.
func (m *maker) shareMarks(whole *board, cut geometry.Point) (first, second []*mark) {
	for _, k := range whole.marks {
		switch m.halfOf(k.Box, cut, k.at, "mark-across-halves") {
		case 1:
			first = append(first, k)
		case 2:
			k.move(geometry.Point{}.Sub(cut))
			second = append(second, k)
		}
	}
	return first, second
}

// halfOf is the half, 1 or 2, that a box lies in; 0, and a finding by that rule,
// for one that lies across the cut.
func (m *maker) halfOf(box geometry.Box, cut geometry.Point, at place, rule string) int {
	low, high := box.Min.X-cut.X, box.Max.X-cut.X
	if cut.X == 0 {
		low, high = box.Min.Y-cut.Y, box.Max.Y-cut.Y
	}
	switch {
	case high <= m.slackMM():
		return 1
	case low >= -m.slackMM():
		return 2
	}
	m.log.fail(at, rule, "lies across the cut between the two halves",
		fmt.Sprintf("move it by %s or by %s, or leave out `halves`", m.more(high), m.more(-low)))
	return 0
}

// Faces of a tray, in the order in which its outline runs through them.
const (
	southFace = iota
	eastFace
	northFace
	westFace
)

// grown is the outline: the box moved out by ease on every free face, the
// corners between two free faces with their radius grown as well. A sharp
// corner stays sharp.
func grown(b *board, ease float64) geometry.Contour {
	box, radii, free := b.box(), b.corners, b.free
	if free[southFace] {
		box.Min.Y -= ease
	}
	if free[eastFace] {
		box.Max.X += ease
	}
	if free[northFace] {
		box.Max.Y += ease
	}
	if free[westFace] {
		box.Min.X -= ease
	}
	for i := range radii {
		if radii[i] > 0 {
			radii[i] += ease
		}
	}
	return roundedBox(box, radii)
}

// quarterBulge is tan(π/8), the bulge of a quarter circle.
const quarterBulge = 0.41421356237309504880168872420969807857

// roundedBox is a rectangle whose corners have each their own radius,
// counter-clockwise from the lower-left one; 0 is a sharp corner.
func roundedBox(b geometry.Box, radii [4]float64) geometry.Contour {
	ways := [4]geometry.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}
	points := [4]geometry.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
	var vertices []geometry.Vertex
	for i, p := range points {
		r := radii[i]
		in, out := ways[(i+3)%4], ways[i]
		vertices = addVertex(vertices, geometry.Vertex{Point: p.Sub(in.Scale(r)), Bulge: quarterBulge})
		vertices = addVertex(vertices, geometry.Vertex{Point: p.Add(out.Scale(r))})
	}
	if n := len(vertices); n > 1 && vertices[n-1].Point == vertices[0].Point {
		vertices = vertices[:n-1]
	}
	return geometry.NewContour(vertices...)
}

// addVertex replaces a vertex at the same place, where two corners meet and
// leave no side between them.
func addVertex(list []geometry.Vertex, v geometry.Vertex) []geometry.Vertex {
	if n := len(list); n > 0 && list[n-1].Point == v.Point {
		return append(list[:n-1], v)
	}
	return append(list, v)
}
