package plan

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// hole is a pocket on its way through the steps.
type hole struct {
	Pocket
	*pattern
	source  *job.Pocket
	piece   *job.Piece // nil where the roster has none
	at      place
	origin  geometry.Point // of the pattern, in the tray
	cut     *choice        // of the top sheet; nil where it has none
	outside bool           // of the tray
	seat    seat           // of as many of its piece as go in; zero where none does
	rest    float64        // of its depth, mm, above what is packed into it; below 0 where that stands out
	beside  float64        // play beside what is in it, mm
}

// moveTo puts the pocket's box with its lower-left corner at p.
func (h *hole) moveTo(p geometry.Point) {
	h.origin = p
	move := geometry.Translate(p.X, p.Y)
	h.Design = h.bare.Transform(move)
	h.Box = geometry.Box{Min: p, Max: h.pattern.box.Max.Add(p)}
}

// makeHoles makes the pockets of a tray, grids counted out.
func (m *maker) makeHoles(b *board) []*hole {
	var holes []*hole
	for i := range b.source.Pockets {
		p := &b.source.Pockets[i]
		at := place{
			position: p.Position, tray: b.ID, group: [2]int{i + 1}, asked: p.Asked,
			text: fmt.Sprintf("%s, %s", b.at.text, pocketName(i, p)),
		}
		holes = append(holes, m.makePocket(b, p, i, at)...)
	}
	nameOpenings(holes)
	m.checkTwins(holes)
	return holes
}

func pocketName(index int, p *job.Pocket) string {
	name := fmt.Sprintf("pocket %d", index+1)
	if p.For != "" {
		name += " (" + p.For + ")"
	}
	return name
}

// makePocket makes one pocket or its grid; none where it has no shape.
func (m *maker) makePocket(b *board, p *job.Pocket, index int, at place) []*hole {
	form, ok := m.form(b, p, at)
	depth, through, deepOK := m.depth(b, p, at)
	if !ok || !deepOK || !m.checkGrid(p, at) {
		return nil
	}
	tool := p.Tool
	if tool == "" {
		tool = b.source.Tool
	}
	shape, err := m.pattern(patternKey{form, p.Turn, p.Notch, p.NotchWidth, p.NotchReach, p.Relief, tool})
	if err != nil {
		m.log.fail(at, "bad-shape", "has no usable shape: "+err.Error(), "check its size, turn and notches")
		return nil
	}
	master := hole{
		Pocket: Pocket{
			For: p.For, Name: pocketName(index, p), Position: p.Position,
			Depth: depth, Through: through, ShapeName: form.name, Access: "none", Waste: "clear", Piece: p.For, Pinned: p.Pin,
		},
		pattern: shape, source: p, piece: m.pieces[p.For], at: at,
	}
	if p.Waste == job.PlugWaste && (depth < b.Layers[0].Thickness || b.source.Cut == job.Block && !through) {
		m.tellBlind(b, at, depth)
	}
	if m.wholeLayers() {
		master.Waste = "plug"
	}
	if master.piece != nil {
		master.Piece = cmp.Or(master.piece.Name, p.For)
	}
	return master.grid()
}

// grid copies the pocket to every place of its grid, row by row.
func (h hole) grid() []*hole {
	p := h.source
	columns, rows := max(p.Columns, 1), max(p.Rows, 1)
	list := make([]*hole, 0, columns*rows)
	for row := range rows {
		for column := range columns {
			member := h
			if columns*rows > 1 {
				suffix := fmt.Sprintf(" %d,%d", column+1, row+1)
				member.Name += suffix
				member.at.text += suffix
			}
			x := p.X + units.Length(column)*p.PitchX
			y := p.Y + units.Length(row)*p.PitchY
			member.moveTo(geometry.Point{X: x.MM(), Y: y.MM()})
			list = append(list, &member)
		}
	}
	return list
}

func (m *maker) checkGrid(p *job.Pocket, at place) bool {
	if p.Columns > 1 && p.PitchX == 0 || p.Rows > 1 && p.PitchY == 0 {
		m.log.fail(at, "grid-without-pitch", "is a grid whose pockets lie on one another",
			"give `pitch: [x, y]`, the distance from one pocket to the next")
		return false
	}
	return true
}

// form is the shape that the job gives, or that the piece and the fit make.
func (m *maker) form(b *board, p *job.Pocket, at place) (form, bool) {
	m.checkFor(p, at)
	if p.Fit != "" && p.Shape != job.FromPiece {
		m.fit(b, p, at) // it says how the piece may sit, and a misspelt one would say nothing
	}
	f := form{name: "rect", length: p.Length.MM(), width: p.Width.MM(), corner: p.Corner.MM()}
	switch p.Shape {
	case job.FromPiece:
		var ok bool
		if f, ok = m.formOfPiece(b, p, at); !ok {
			return f, false
		}
	case job.RoundShape:
		f = form{name: "round", length: p.Diameter.MM(), width: p.Diameter.MM()}
	case job.SlotShape:
		f.name, f.corner = "slot", 0
	case job.OutlineShape:
		var ok bool
		if f, ok = m.formOfOutline(p, at); !ok {
			return f, false
		}
	}
	return f, m.checkForm(f, p, at)
}

// formOfOutline is the drawing's shape at true size, its box's corner at the
// origin.
func (m *maker) formOfOutline(p *job.Pocket, at place) (form, bool) {
	shape, ok := m.outlines[p.OutlineFile]
	if !ok {
		read, there := m.Outlines[p.OutlineFile]
		if !there {
			m.log.fail(at, "outline-not-read", fmt.Sprintf("the outline %s has not been read", p.OutlineFile), "put the drawing into the job's folder")
			return form{}, false
		}
		shape = newDrawn(read)
		m.outlines[p.OutlineFile] = shape
	}
	box := shape.shape.Bounds()
	return form{name: "outline", length: box.Width(), width: box.Height(), outline: shape}, true
}

func (m *maker) checkForm(f form, p *job.Pocket, at place) bool {
	switch {
	case !(f.length > 0 && f.width > 0):
		m.log.fail(at, "pocket-without-size", "is "+m.size(f.length, f.width), "give it a size above 0, or a piece of the roster with a fit")
	case f.corner < 0 || 2*f.corner > math.Min(f.length, f.width):
		m.log.fail(at, "corner-too-large", fmt.Sprintf("has a corner radius of %s at a size of %s", m.mm(f.corner), m.size(f.length, f.width)),
			"give a `corner` of at most half the shorter side")
	case math.IsNaN(p.Turn) || math.IsInf(p.Turn, 0):
		m.log.fail(at, "bad-turn", "has a turn that is no number", "give `turn` in degrees")
	default:
		return true
	}
	return false
}

// checkFor looks for names that the roster does not have.
func (m *maker) checkFor(p *job.Pocket, at place) {
	if p.For == "" || len(m.Job.Roster) == 0 || m.pieces[p.For] != nil || p.Shape == job.FromPiece {
		return
	}
	m.log.warn(at, "unknown-piece", fmt.Sprintf("is for %q, which is not on the roster", p.For), m.pieceHint(p.For))
}

// pieceHint names the roster's id that is nearest to a name.
func (m *maker) pieceHint(name string) string {
	var ids []string
	for _, p := range m.Job.Roster {
		ids = append(ids, p.ID)
	}
	return cmp.Or(finding.DidYouMean(name, ids), "add it to the roster, or correct the name")
}

// formOfPiece is the piece's footprint with the fit added to length and width.
func (m *maker) formOfPiece(b *board, p *job.Pocket, at place) (form, bool) {
	piece := m.pieces[p.For]
	switch {
	case p.For == "":
		m.log.fail(at, "pocket-without-shape", "has no shape", "give `size`, `round`, a slot, or `for:` a piece of the roster")
		return form{}, false
	case piece == nil:
		m.log.fail(at, "unknown-piece", fmt.Sprintf("is for %q, which is not on the roster, and has no shape of its own", p.For), m.pieceHint(p.For))
		return form{}, false
	}
	fit, ok := m.fit(b, p, at)
	if !ok {
		return form{}, false
	}
	foot := footprintOf(piece)
	if piece.Shape == job.Round && piece.Pose != job.Lying {
		return form{name: "round", length: foot.length + fit, width: foot.length + fit}, true
	}
	return form{name: "rect", length: foot.length + fit, width: foot.width + fit, corner: p.Corner.MM()}, true
}

// fit is what is added to length and width of a piece, in mm, from the foam of
// the top layer; it may be negative.
func (m *maker) fit(b *board, p *job.Pocket, at place) (float64, bool) {
	if len(b.Layers) == 0 || !b.known {
		return 0, false
	}
	foam := b.Layers[0].Foam
	name := fitName(b.source, p)
	fit, ok := foam.Fits[name]
	if !ok {
		m.log.fail(at, "unknown-fit", fmt.Sprintf("foam %s has no fit %q", foam.ID, name),
			cmp.Or(finding.DidYouMean(name, slices.Sorted(maps.Keys(foam.Fits))), "its fits: "+fitNames(foam)))
	}
	return fit.Value, ok
}

// checkTrayFit finds a tray's fit that no foam has. A foam that lacks one which
// others have may lie in a tray that has it from the defaults; the pockets that
// take their shape from it answer for themselves.
func (m *maker) checkTrayFit(b *board) {
	name := b.source.Fit
	if name == "" || slices.ContainsFunc(b.source.Pockets, func(p job.Pocket) bool { return p.Fit == "" && p.Shape == job.FromPiece }) {
		return
	}
	known := map[string]bool{}
	for _, f := range m.Catalog.Foams() {
		for fit := range f.Fits {
			known[fit] = true
		}
	}
	if list := slices.Sorted(maps.Keys(known)); !known[name] {
		m.log.fail(b.at, "unknown-fit", fmt.Sprintf("there is no fit %q", name), finding.Suggest(name, list))
	}
}

func fitName(t *job.Tray, p *job.Pocket) string {
	switch {
	case p.Fit != "":
		return p.Fit
	case t.Fit != "":
		return t.Fit
	}
	return "snug"
}

func fitNames(f profiles.Foam) string {
	if len(f.Fits) == 0 {
		return "none"
	}
	return strings.Join(slices.Sorted(maps.Keys(f.Fits)), ", ")
}

// depth is where the pocket ends below the tray's top. One that ends at the
// tray's underside goes through.
func (m *maker) depth(b *board, p *job.Pocket, at place) (depth units.Length, through, ok bool) {
	whole := b.Thickness()
	depth = b.inFoam(p.Depth)
	switch {
	case p.Through:
		return whole, true, true
	case depth == 0 && len(b.Layers) > 0:
		depth = b.Layers[0].Thickness
	}
	switch {
	case depth <= 0:
		m.log.fail(at, "pocket-without-depth", "is "+m.length(depth)+" deep", "give a `depth` above 0, or `through`")
		return depth, false, false
	case depth > whole:
		m.log.fail(at, "pocket-too-deep", fmt.Sprintf("is %s deep, %s more than the tray's %s", m.length(depth), m.length(depth-whole), m.length(whole)),
			"make it shallower, write `depth: through`, or use thicker layers")
		return depth, false, false
	}
	return depth, depth == whole, true
}

// twin is what two pockets share that lie on one another.
type twin struct{ minX, minY, maxX, maxY, area int64 }

// checkTwins finds pockets that are there twice: same shape, same place.
func (m *maker) checkTwins(holes []*hole) {
	micron := func(x float64) int64 { return int64(math.Round(x * 1000)) }
	seen := map[twin]*hole{}
	for _, h := range holes {
		box := h.Design.Bounds()
		key := twin{micron(box.Min.X), micron(box.Min.Y), micron(box.Max.X), micron(box.Max.Y), micron(h.Design.Area())}
		if first := seen[key]; first != nil {
			m.log.fail(h.at, "pocket-twice", "lies exactly on "+first.Name, "take one of the two out, or move it")
			continue
		}
		seen[key] = h
	}
}
