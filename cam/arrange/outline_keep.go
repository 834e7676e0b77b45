package arrange

import (
	"slices"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// odd reports whether boxes do not say all of what a tray may have.
func (k *keeping) odd() bool {
	return k.f.room.feet != nil && slices.ContainsFunc(k.rest, kind.odd)
}

// between reports whether a block has its place by its true outlines, where its box has none.
func (k *keeping) between(b block) bool {
	if !k.odd() {
		return false
	}
	g := bareGround(k.f.room)
	for _, other := range k.f.blocks {
		g.addBlock(other)
	}
	for _, shape := range g.room.feet.shapesOf(b) {
		if !g.free(shape) {
			return false
		}
	}
	return true
}

// footed are the ways in which a pocket that was placed by its true outline may stand where it is.
func (k *keeping) footed(p job.Pocket) (list []block) {
	i := k.likest(p)
	if !k.odd() || i < 0 || max(1, p.Columns)*max(1, p.Rows) > 1 {
		return nil
	}
	one := k.rest[i]
	for _, b := range k.cells(one) {
		l, w := b.pocket()
		same := p.Shape == job.SizeShape && !b.need.Round && p.Length == l && p.Width == w
		switch p.Shape {
		case job.OutlineShape:
			same = b.need.Outline == p.OutlineFile && !b.turned
		case job.RoundShape:
			same = b.need.Round && p.Diameter == l
		}
		if !same || b.open > 0 || !b.reachedAs(p) || !slices.Contains(one.turns(b), p.Turn) {
			continue
		}
		if b.foot = k.f.room.feet.of(b, p.Turn); b.foot != nil {
			b.kept, b.x, b.y = true, p.X, p.Y
			list = append(list, b)
		}
	}
	return list
}

// outlinedAlready reports whether blocks lie by their true outlines: some within the boxes of others.
func outlinedAlready(blocks []block, wall units.Length) bool {
	for i, b := range blocks {
		if b.foot != nil || slices.ContainsFunc(blocks[:i], func(c block) bool { return !b.box().apart(c.box(), wall) }) {
			return true
		}
	}
	return false
}
