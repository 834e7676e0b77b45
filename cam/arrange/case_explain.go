package arrange

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// tooLow says by how much a case is too low, and whether one more like it would
// help. The pieces that would go there are those that did when it was tried.
func (m *maker) tooLow(c *job.Case, low lack) {
	hint := "make it " + m.enough(low.over) + " higher inside"
	if went := m.oneMore(*c); len(went) > 0 {
		hint += "; or write one more case like it, without a stack: " + strings.Join(went, ", ") + " would go there"
	}
	m.add(finding.Error, c.Position, "case-too-low", hint,
		"case %q: the pieces take %s, and with cover and bases these are at least %s higher than the %s inside",
		c.Name, finding.Counted(low.trays, "tray"), m.enough(low.over), m.length(c.Inside.Height))
}

// oneMore arranges the job with one more case like a given one, and returns
// what goes there; nothing where that does not help.
func (m *maker) oneMore(c job.Case) (went []string) {
	if m.hinting || len(c.Holds) > 0 {
		return nil
	}
	j := *m.Job
	own := c.Name
	c.Name += " 2"
	j.Cases = append(slices.Clone(j.Cases), c)
	for _, t := range m.source.Trays {
		if t.Case == own { // which the new case has, too
			t.ID, t.Case = m.freshID(t.ID+"-2"), c.Name
			j.Trays = append(j.Trays[:len(j.Trays):len(j.Trays)], t)
		}
	}
	r := m.tried(j)
	if r.Job == nil {
		return nil
	}
	stack := r.Job.Cases[len(r.Job.Cases)-1].Stack
	for _, p := range j.Roster {
		n := 0
		for _, k := range r.Kinds {
			if k.Piece == p.ID && slices.Contains(stack, k.Tray) {
				n += k.Count
			}
		}
		if n > 0 {
			went = append(went, fmt.Sprintf("%d of %s", n, p.ID))
		}
	}
	return went
}

// tooDeep says of a piece that no pad is thick enough for it, however it lies.
func (k *choosing) tooDeep(one kind) {
	if len(one.needs) == 0 {
		return // without layers
	}
	flat := flattest(one.needs)
	if len(k.pads(k.leastPad(flat.Depth), 1)) > 0 {
		return
	}
	var most units.Length
	for _, o := range k.whole(sheets(k.pad, 0, 1, 0, true)) {
		most = max(most, o.height)
	}
	hint := "write a tray of the case's size for it under `trays`, with more layers and `holds: [" + one.piece.ID + "]`" +
		k.lowerPile(one.piece, flat, most-k.leastPad(0))
	k.add(finding.Error, k.c.Position, "piece-too-deep", hint,
		"case %q: the %s needs a pocket of %s, and two sheets of %s that can be cut are at most %s thick",
		k.c.Name, named(one.piece, flat), k.length(flat.Depth), k.pad.ID, k.length(most))
}

// tooLarge says of a piece that it fits in no tray of the case, and what would
// take it. Each way has been tried.
func (k *choosing) tooLarge(one kind) {
	b := one.cells(k.wallOf(&k.model), k.step)[0]
	l, w := b.cell()
	edge := k.edgeOf(&k.model)
	var ways []string
	for grown := units.Length(0); grown <= 2*k.model.Corner; grown += k.step {
		r := k.newRoom()
		r.length, r.width = max(r.length, l+2*edge+grown), max(r.width, w+2*edge+grown)
		if k.takes(r, one.piece, b.need.Pieces()) {
			ways = append(ways, fmt.Sprintf("an inside of %s x %s takes it", k.enough(r.length), k.enough(r.width)))
			break
		}
	}
	free := *one.piece
	if free.Pose = job.AnyPose; b.need.Pieces() == 1 && k.takes(k.newRoom(), &free, 1) {
		ways = append(ways, "the pose `any` in the roster lets it lie so that it fits")
	}
	if len(ways) == 0 {
		ways = append(ways, "use a larger case, or take labels out of its way")
	}
	k.add(finding.Error, k.c.Position, "piece-too-large", strings.Join(ways, "; or "),
		"case %q: the piece %s needs a pocket of %s x %s with its notches, and an edge of %s around it: more than the %s x %s inside",
		k.c.Name, one.piece.ID, k.length(l), k.length(w), k.length(edge), k.length(k.model.Length), k.length(k.model.Width))
}

// takes tries one piece, or one pile, in a room that is otherwise empty, in the poses that
// some pad is thick enough for.
func (k *choosing) takes(r room, p *job.Piece, pile int) bool {
	one, _ := k.anyDepth(p, pile, &k.model)
	if one.way == ourWay {
		one.way = gaveWay
	}
	posed, _ := posedFor(one.piles(pile), slices.Max(k.pad.Thicknesses), nil)
	return !fill(context.Background(), r, posed, nil, search{}).short()
}

// enough is a length as it is printed, and no less when it is read back: inches
// are rounded.
func (m *maker) enough(l units.Length) string {
	const fine = 25_400 // the last decimal of an inch, nm
	for more := l; ; more += fine {
		text := more.Format(m.Unit)
		if back, err := units.Parse(text, m.Unit); err != nil || back >= l {
			return text
		}
	}
}
