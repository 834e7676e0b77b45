package arrange

import (
	"slices"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// cells are the ways in which one pocket of the kind may stand: without a way in, too, where there was no room for one.
func (k *keeping) cells(one kind) []block {
	list := one.cells(k.f.room.wall, k.f.room.step)
	if one.way == ourWay {
		one.way = gaveWay
		list = append(list, one.cells(k.f.room.wall, k.f.room.step)...)
	}
	return list
}

// reachedAs reports whether a block has the way in of a pocket.
func (b block) reachedAs(p job.Pocket) bool {
	return p.Notch == b.asDrawn() && (p.Access == job.GapAccess) == (b.open > 0)
}

// reachIn gives those of the blocks that once had no room for a way in one where they are, where there is room now.
func (k *keeping) reachIn() {
	for i, b := range k.f.blocks {
		of := slices.IndexFunc(k.rest, b.is)
		if !b.gaveWay || b.foot != nil || k.rest[of].way != ourWay {
			continue
		}
		own := len(k.f.room.taken) + i
		without := filling{room: k.f.room, taken: slices.Delete(slices.Clone(k.f.taken), own, own+1)}
		for _, c := range k.rest[of].cells(k.f.room.wall, k.f.room.step) {
			c, ok := k.standing(c, k.of[i], b.count)
			if ok && !c.gaveWay && c.need == b.need && c.turned == b.turned && c.origin() == b.origin() && without.free(c.box()) {
				k.f.blocks[i], k.f.taken[own] = c, c.box()
				break
			}
		}
	}
}

// origin is where the block's first pocket is.
func (b block) origin() [2]units.Length {
	return [2]units.Length{b.x + b.margin(job.West), b.y + b.margin(job.South)}
}

// pinned are those pockets that a hand has placed, with the openings for fingers that they have.
func (in Input) pinned(pockets []job.Pocket) (list []job.Pocket) {
	byHand := func(p job.Pocket) bool { return p.Pin || in.Touched[p.Position.Line] }
	for _, p := range pockets {
		if byHand(p) || isOpening(p) && slices.ContainsFunc(pockets, func(q job.Pocket) bool {
			return byHand(q) && q.For != "" && !spanOf(p).apart(spanOf(q), 0)
		}) {
			list = append(list, p)
		}
	}
	return list
}

// spanOf is a box around a pocket, its grid counted out.
func spanOf(p job.Pocket) box {
	l, w := max(p.Length, p.Diameter), max(p.Width, p.Diameter)
	if p.Turn != 0 {
		l, w = l+w, l+w
	}
	return box{p.X, p.Y, p.X + l + units.Length(max(1, p.Columns)-1)*p.PitchX, p.Y + w + units.Length(max(1, p.Rows)-1)*p.PitchY}
}
