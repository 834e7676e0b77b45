package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
)

// placesIn is how many of its piece a pocket is for: as many as go in. One that is too small for it is its pocket all the
// same, and an error of `check`; another beside it would hide that. One that the arranger made and a hand pinned or moved
// is for what the arranger made it for, however deep the layer is that is cut through.
func (m *maker) placesIn(k plan.Pocket) int {
	p, piece := m.pinnedAs[k.Position], m.pieces[k.For]
	if k.Holds > 1 && k.Pinned && piece != nil && p.For == k.For && m.asMade(p, piece) {
		return min(k.Holds, max(1, piece.Pile))
	}
	return max(1, k.Holds)
}

// asMade reports whether a pocket is as the arranger makes one for a piece, or a pile of it.
func (m *maker) asMade(p pinned, piece *job.Piece) bool {
	t := m.Job.Defaults
	if at := trayAt(m.Job.Trays, p.tray.ID); at >= 0 {
		t = m.Job.Trays[at]
	}
	t.Layers = p.tray.Layers
	one, _ := m.anyDepth(piece, piece.Count, &t)
	return slices.ContainsFunc(one.needs, func(n plan.Need) bool {
		l, w := n.Length, n.Width
		size := p.Shape == job.SizeShape && !n.Round && (p.Length == l && p.Width == w || p.Length == w && p.Width == l) ||
			p.Shape == job.RoundShape && n.Round && p.Diameter == l || p.Shape == job.OutlineShape && p.OutlineFile == n.Outline
		for pile := n.Pieces(); size && pile > 0; pile-- {
			if depth, ok := m.depthIn(n.Piled(pile), t.Layers); ok && depth == cmp.Or(p.Depth, t.Layers[0].Thickness) {
				return true
			}
		}
		return false
	})
}
